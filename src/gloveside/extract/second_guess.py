"""A value of which another is said afterwards to be as likely: "fed hive 13 two litres, or it might have been hive 30".

The second value is put beside the first ("hive 13 or hive 30"), where the rules read two of which one is meant.
"""

from __future__ import annotations

from gloveside.extract.note import STOPS, Note
from gloveside.extract.numbers import NumberSpan
from gloveside.extract.places import PlaceSpan

# Said between the two, longest first; "or" alone needs a place with its noun behind it.
GUESSES = tuple(
    sorted(
        (
            tuple(words.split())
            for words in (
                "it might have been", "it may have been", "it could have been", "might have been", "may have been",
                "could have been", "it might've been", "it could've been", "might've been", "could've been",
                "was it", "was that", "is it", "was it maybe", "maybe it was", "perhaps it was", "possibly it was",
                "it was maybe", "maybe that was", "it might be", "it could be", "might be", "could be",
                "could it have been", "it was", "that was", "maybe", "perhaps", "possibly", "that might have been",
                "that could have been", "that may have been", "may've been", "might it have been",
            )
        ),
        key=len,
        reverse=True,
    )
)  # fmt: skip
FIRST = frozenset(g[0] for g in GUESSES)
# These tell of something else unless "or" stands before them.
PLAIN = {("it", "was"), ("that", "was"), ("is", "it"), ("it", "could", "be"), ("could", "be"), ("might", "be")}
ASKING = {("was", "it"), ("was", "that"), ("is", "it"), ("was", "it", "maybe")}
LEADING = frozenset(
    (",", "wait", "hang", "on", "hold", "hmm", "no", "actually", "um", "er", "uh", "erm", "though", "or")
)
LED = frozenset(("in", "on", "to", "at", "off", "from", "into", "for", "of", "out"))
# Said behind the second value, and saying nothing more.
TAILS = tuple(
    sorted(
        (
            tuple(words.split())
            for words in (
                "one of the 2", "one of the two", "one or the other", "one of them", "i forget", "i forget which",
                "not sure", "not sure which", "i'm not sure", "i'm not sure which", "can't remember",
                "i can't remember which", "can't remember which", "don't know which", "i don't know which",
                "can't recall", "i can't remember", "i don't remember", "i can't tell", "i couldn't say",
                "couldn't say", "can't say", "hard to say", "anyway", "one of those", "one of those two",
                "i can't say", "though", "too", "i suppose",
                "for all i know", "easily", "just as well", "i couldn't tell you", "one or other", "not certain",
            )
        ),
        key=len,
        reverse=True,
    )
)  # fmt: skip
# So many sentences back a value may be guessed again.
FARTHEST = 1


def joined(note: Note) -> str | None:
    """The text with a value that was guessed afterwards put beside the first; None where none was."""
    for at in range(1, len(note.lower) - 1):
        found = _guess(note, at)
        if found is None:
            continue
        start, value_at, said_or, asked = found
        better = _place(note, start, value_at, said_or) or _number(note, start, value_at, said_or, asked)
        if better is not None:
            return better
    return None


def _guess(note: Note, at: int) -> tuple[int, int, bool, bool] | None:
    """Where a guess starts, where its value stands, whether "or" was said, and whether it was asked."""
    said_or = note.lower[at] == "or"
    step = at + 1 if said_or else at
    while said_or and step < len(note.lower) and note.lower[step] in (",", "um", "er", "uh"):
        step += 1
    if not said_or and note.lower[step] not in FIRST:
        return None
    words = next((g for g in GUESSES if tuple(note.lower[step : step + len(g)]) == g), None)
    if words is None and not said_or:
        return None
    unpaused = not any(word in (*STOPS, ",") for word in note.lower[:-1])  # spoken without a pause
    waited = note.lower[at - 1] in ("on", "wait", "hmm") or (unpaused and words is not None and words[-1] == "been")
    paused = note.lower[at - 1] in (*STOPS, ",") or waited
    if not said_or and (words in PLAIN or not paused):
        return None
    value_at = step + len(words or ())
    while value_at < len(note.lower) and note.lower[value_at] in (*LED, ",", "um", "er", "uh", "even"):
        value_at += 1
    start = at
    while start > 0 and note.lower[start - 1] in LEADING:
        start -= 1
    if start > 0 and note.lower[start - 1] in STOPS and start - 1 > 0:
        start -= 1
        while start > 0 and note.lower[start - 1] in LEADING:
            start -= 1  # "six brood in hive 19. Hang on, was that 90?"
    strong = words is not None and words not in {("maybe",), ("perhaps",), ("possibly",)}
    return (start, value_at, said_or and not strong, words in ASKING) if value_at < len(note.lower) else None


def _place(note: Note, start: int, value_at: int, bare_or: bool) -> str | None:
    """Put a place beside the one said before it."""
    new = next((p for p in note.places if p.start == value_at and not p.deictic), None)
    if new is None or len(new.places) != 1 or new.rivals or not _over(note, new.end):
        return None
    before = [p for p in note.places if p.end <= start and not p.deictic]
    old = before[-1] if before else None
    if old is None or old.sort != new.sort or len(old.places) != 1 or old.rivals or old.places == new.places:
        return None
    apart = note.sentence[max(0, start - 1)] - note.sentence[old.start]
    if (
        apart > FARTHEST
        or (old.end == start and note.lower[start] not in STOPS)
        or (bare_or and not _pause(note, start))
    ):
        return None  # side by side they are read as they stand
    return _put(note, old, note.text(new.start, new.end), start, new.end)


def _number(note: Note, start: int, value_at: int, bare_or: bool, asked: bool) -> str | None:
    """Put a bare number beside the number or the place said last before it."""
    new = note.numbers.get(value_at)
    taken = note.of_places() | note.of_dates() | note.of_rounds()
    if new is None or new.ordinal or value_at in taken or bare_or:
        return None
    ends = _over(note, new.end)
    goes_on = new.end < len(note.lower) and note.lower[new.end] in (",", "in", "out", "of", "from")
    if not (ends or goes_on) or (asked and not ends):
        return None
    places = [p for p in note.places if p.end <= start and p.sort in ("hive", "nuc") and not p.deictic]
    numbers = [n for k, n in sorted(note.numbers.items()) if n.end <= start and not n.ordinal and k not in taken]
    place, number = places[-1] if places else None, numbers[-1] if numbers else None
    old: PlaceSpan | NumberSpan | None = number
    if place is not None and (number is None or place.start > number.start):
        single = len(place.places) == 1 and not place.rivals and place.places[0].split(" ")[1] != str(new.value)
        old = place if single and ends else None
    if old is None:
        return None
    apart = note.sentence[max(0, start - 1)] - note.sentence[old.start]
    if apart > FARTHEST or (isinstance(old, NumberSpan) and old.value == new.value):
        return None
    return _put(note, old, note.text(new.start, new.end), start, new.end)


def _pause(note: Note, start: int) -> bool:
    return note.lower[start] in (*STOPS, ",")


def _over(note: Note, end: int) -> bool:
    """Whether the clause ends behind a value, an aside of doubt left out."""
    end = _after_tail(note, end)
    return end >= len(note.lower) or note.lower[end] in (*STOPS, ",", "that", "and", "but")


def _after_tail(note: Note, end: int) -> int:
    """The first token behind words that only say that it is not known which."""
    step = end
    while step < len(note.lower) and note.lower[step] in (",", *STOPS):
        step += 1
    tail = next((t for t in TAILS if tuple(note.lower[step : step + len(t)]) == t), None)
    return step + len(tail) if tail is not None else end


def _put(note: Note, old: PlaceSpan | NumberSpan, said: str, start: int, end: int) -> str:
    """The text with the second value behind the first, and without the guess."""
    end = _after_tail(note, end)
    rest = note.text(end, len(note.lower)).lstrip(" ?,") if end < len(note.lower) else ""
    kept = note.lower[end] if end < len(note.lower) and note.lower[end] in (*STOPS, ",") else ""
    if kept == "," and isinstance(old, NumberSpan) and rest.startswith(("in ", "out ", "of ", "from ")):
        kept = ""
    mark = "." if kept in STOPS - {"?"} else kept.replace("?", ".")
    head = note.text(0, old.end)
    if isinstance(old, NumberSpan) and any(p.end == old.start for p in note.places):
        head = f"{note.text(0, old.start)}, {note.text(old.start, old.end)}"
    parts = (head, "or", said, note.text(old.end, start).strip(), mark, rest.lstrip(" .;!"))
    return " ".join(p for p in parts if p)
