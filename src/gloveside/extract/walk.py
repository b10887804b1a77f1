"""Numbers that name the next hive of a walk: "hive 12 got two litres, 13 got one", "and 53, that's the weak one"."""

from __future__ import annotations

from gloveside.extract.note import STOPS, Note
from gloveside.extract.numbers import NumberSpan
from gloveside.extract.place_words import RANGE_WORDS

# How much further on the next hive of a walk may be.
FURTHEST = 12
BEFORE = frozenset([
    "and", "then", "now", "so", "okay", "ok", "right", "next", "um", "er", "uh", "anyway", "but", "while",
    "oh", "did", "for",
])  # fmt: skip
HOLDING = frozenset([
    "got", "gets", "has", "had", "gave", "needs", "needed", "took", "looks", "looked", "likewise", "ditto",
    "same", "hasn't", "didn't", "hadn't",
])  # fmt: skip
BEING = frozenset(["is", "was", "'s", "isn't", "wasn't"])
GIVING = frozenset(["gave", "give", "fed", "feed", "given"])
TOWARDS = frozenset(["to", "for", "from", "on", "in", "into", "off", "did"])
# After a comma these go on counting: "12, it's 12 in 300".
COUNTING = frozenset(["it's", "it", "no", "sorry", "wait", "make", "that's", "of", "or", "maybe", "one", "i", "hang"])
# Before a preposition these lead to a place: "same again on 14", "back to 12".
POINTED = frozenset(["again", "same", "likewise", "ditto", "goes", "add", "so", "back", "on", "over", "across"])
LOOSE_ENDS = frozenset(["likewise", "ditto", "too", "also", "same"])


def named(note: Note) -> str | None:
    """The text with the noun put before bare numbers that name a place; None where there are none."""
    found: list[tuple[int, int, str]] = []
    end = 0
    for at, span in sorted(note.numbers.items()):
        if at < end or not _may_name(note, span):
            continue
        before = [p for p in note.places if p.end <= at and p.sort in ("hive", "nuc") and not p.deictic]
        said = [int(name) for p in before for name in (q.split(" ")[-1] for q in p.places) if name.isdigit()]
        said += [int(note.numbers[k].value) for k, _, _ in found]
        if not said:
            continue
        end = _list_end(note, span)
        near = said[-1] < span.value <= said[-1] + FURTHEST
        known = span.value in said[:-1]
        walked = len(set(said)) > 1
        if (near or known) and _names(note, at, end, walked):
            sort = before[-1].sort if before else "hive"
            found.append((at, end, sort if end == span.end else f"{sort}s"))
        else:
            end = span.end
    if not found:
        return None
    out: list[str] = []
    last = 0
    for at, _, noun in found:
        out += [note.text(last, at), noun]
        last = at
    out.append(note.text(last, len(note.lower)))
    return " ".join(p for p in out if p)


def _may_name(note: Note, span: NumberSpan) -> bool:
    """Whether a number is whole, and neither a place, a round, a day nor a count."""
    taken = note.of_places() | note.of_rounds() | note.of_dates()
    after = note.lattice.edges[span.end] if span.end < len(note.lower) else {}
    return not (
        span.ordinal
        or span.value != int(span.value)
        or span.start in taken
        or "counted" in after
        or "H" not in note.lattice.edges[span.start]
    )


def _puts_right(note: Note, at: int) -> bool:
    """Whether a number is what a correction puts in: "17 ripe cells, hang on. 18"."""
    while at > 0 and (note.lower[at - 1] in (*STOPS, ",") or at - 1 in note.filler):
        at -= 1
    return any(c.scope == "correction" and c.end == at for c in note.cues)


def _ends_range(note: Note, at: int) -> bool:
    """Whether a number is the end of a range of bare numbers: "nucs 19 to 21, sorry, 20 to 22"."""
    return at > 1 and note.lower[at - 1] in RANGE_WORDS and any(n.end == at - 1 for n in note.numbers.values())


def _list_end(note: Note, span: NumberSpan) -> int:
    """Where a list of numbers that begins with this one ends: "24 and 25 likewise"."""
    end = span.end
    while end + 1 < len(note.lower) and note.lower[end] == "and":
        more = note.numbers.get(end + 1)
        if more is None or not _may_name(note, more) or not span.value < more.value <= span.value + FURTHEST:
            break
        end = more.end
    return end


def _names(note: Note, at: int, end: int, walked: bool) -> bool:
    """Whether numbers at..end-1 stand where a place would: before "got" or "is weak", after "back to"."""
    if _puts_right(note, at) or _ends_range(note, at):
        return False
    last = note.lower[at - 1] if at else "."
    follows = note.lower[end] if end < len(note.lower) else "."
    then = note.lower[end + 1] if end + 1 < len(note.lower) else "."
    opens = last in STOPS or last == "," or last in BEFORE
    if last in GIVING:
        return follows in ("a", "an", "some", "another") or end in note.numbers
    if opens and (follows in HOLDING or (follows in ("too", "also") and then in (*STOPS, ",", "and"))):
        return True
    if opens and follows in BEING:
        return walked and (end + 1 in note.content or then in ("the", "a", "another", "fine", "no"))
    pointed = at > 1 and note.lower[at - 2] in POINTED
    if last in TOWARDS and (walked or pointed) and not note.lattice.comma[at - 1]:
        if pointed and follows in ("for", "again", "now", "quickly"):
            return True
        return follows in STOPS or (follows in (",", "and") and end + 1 not in note.numbers) or then in LOOSE_ENDS
    if opens and last != "," and follows == "," and walked:
        return then not in COUNTING and end + 1 not in note.numbers
    return False
