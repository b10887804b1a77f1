"""What was said in an older note and was wrong: "last Friday I told you 12 took on the top bar, it was 11".

The order of the words is free, so no pattern covers the whole note: it is cut at the words that put it right, and what
is left of them must hold one value of the sort that ends the note.
"""

from __future__ import annotations

from gloveside.extract import late_corrections, said_values
from gloveside.extract.models import Order
from gloveside.extract.note import STOPS, Note

SAID = {"said", "told", "put", "wrote", "recorded", "logged", "noted", "reported", "called"}
RIGHT = {"was", "is", "'s", "should", "were", "meant", "make", "be", "it's", "she's", "he's", "they're"}
LEAD = {
    "it",
    "that",
    "which",
    "but",
    "she",
    "he",
    "they",
    "there",
    "and",
    ",",
    "actually",
    "really",
    "in",
    "fact",
    "sorry",
    "no",
}
BETWEEN = {
    *RIGHT, *LEAD, "have", "been", "only", "just", "more", "like", "truth", "supposed", "to", "the", "a", "queen",
    "marked",
    "really", "well", "i", "mean", "say", "at", "us", "you",
}  # fmt: skip
MISNAMED = {"hive", "nuc", "box", "number", "one", "colony", "place", "queen"}
# Said between what was told and "wrong nuc".
CATCHING = {
    *STOPS, ",", "no", "oh", "wait", "hang", "hold", "on", "sorry", "oops", "whoops", "actually", "that's", "that",
    "'s", "was", "is", "it's", "it", "the", "a", "i've", "i", "have", "got", "said", "i'm", "at", "in", "looking",
    "minute", "sec", "second", "bugger", "um", "er", "uh", "tick",
}  # fmt: skip
AFTER = ("counted", "change_field", "figure_noun")
FIELDS = {"N": "figure", "colour": "colour", "ask_queen": "queen"}


def order(note: Note) -> Order | None:
    """The order to put an older note right that the whole note is, or None."""
    return None if _at_once(note) else _in_order(note) or late_corrections.order(note)


def _at_once(note: Note) -> bool:
    """Whether the note catches a wrong name of its own: "nuc 5 is laying, oh, hang on, wrong nuc, that's nuc 6"."""
    for at in range(1, len(note.lower) - 1):
        if note.lower[at] != "wrong" or note.lower[at + 1] not in MISNAMED:
            continue
        start = at
        while start > 0 and (note.lower[start - 1] in CATCHING or start - 1 in note.soft):
            start -= 1
        caught = {"no", "oh", "wait", "hang", "hold", "sorry", "oops", "whoops", "actually"} & set(note.lower[start:at])
        told = any(word in SAID - {"put"} or word in ("note", "book") for word in note.lower[:start])
        if caught and not told and any(p.end <= start for p in note.places):
            return True
    return False


def _in_order(note: Note) -> Order | None:
    """The order where day, "I said", the wrong value and the right one follow each other."""
    words = note.lower
    told = next((at for at in range(len(words) - 2) if words[at] in ("i", "we") and _says(words, at + 1)), None)
    if told is None or any(not _may_lead(note, at) for at in range(told)):
        return None
    named = note.of_places() | note.of_rounds()
    for label, field in FIELDS.items():
        new = _last_value(note, label, told + 2, named)
        if new is None:
            continue
        start, value = new
        cut = start
        while cut > told + 2 and words[cut - 1] in BETWEEN:
            cut -= 1
        if not RIGHT & set(words[cut:start]) or not LEAD & set(words[cut:start]):
            continue
        old = [
            (at, v)
            for at in range(told + 2, cut)
            for stop, v in note.lattice.edges[at].get(label, ())
            if at not in named and stop <= cut
        ]
        if len({str(v) for _, v in old}) != 1 or old[0][1] == value:
            continue
        day = next((d.past for d in note.dates if d.end <= cut and d.past is not None), None)
        said = note.text(told + 2, cut).strip(" ,")
        if field == "figure":
            field = said_values.counted(note, old[-1][0] + 1)
        return Order(do="change", field=field, to=value, said=said, was=old[-1][1], on=day)
    return None


def _says(words: list[str], at: int) -> bool:
    """Whether a verb tells the notebook something: not "I put in two frames", "I told Tony"."""
    if words[at] == "put":
        return words[at + 1] == "down"
    return words[at] in SAID and (words[at] != "told" or words[at + 1] == "you" or words[at + 1].isdigit())


def _may_lead(note: Note, at: int) -> bool:
    """Whether a token may stand before "I said": a day, a place, a round, fillers, what the note was about."""
    dated = any(d.start <= at < d.end for d in note.dates)
    placed = any(p.start <= at < p.end for p in note.places) or any(a <= at < b for a, b, _ in note.rounds)
    topic = {"graft_noun", "graft_verb", "take_noun", "note_of"} & set(note.lattice.edges[at])
    return dated or placed or bool(topic) or at in note.soft or at in note.filler or note.lower[at] in (",", "note")


def _last_value(note: Note, label: str, start: int, named: set[int]) -> tuple[int, str | int | float] | None:
    """Where the last value of a sort begins, and it, when nothing but its noun follows."""
    for at in range(len(note.lower) - 1, start, -1):
        for stop, value in note.lattice.edges[at].get(label, ()):
            if at not in named and _ends(note, stop) and isinstance(value, str | int | float):
                return at, value
    return None


def _ends(note: Note, at: int) -> bool:
    while at < len(note.lower):
        nouns = [stop for label in AFTER for stop, _ in note.lattice.edges[at].get(label, ())]
        if note.lower[at] in STOPS or note.lower[at] in ("please", "instead", "actually", ","):
            at += 1
        elif nouns:
            at = max(nouns)
        else:
            return False
    return True
