"""A wrong value named again before the right one: "sorry, not 8, 7", "not hive 9 but hive 19", "not white, blue"."""

from __future__ import annotations

from gloveside.extract.correction_cues import cues
from gloveside.extract.elements import Element, element, elements, join, same
from gloveside.extract.note import STOPS, Note

# Between the wrong value and the right one.
BETWEEN = frozenset((",", "but", "it", "its", "it's", "was", "is", "'s", "that", "that's", "a", "an", "um", "er", "uh",
                     "sorry", "make", "of", "the", "rather", "they", "were", "i", "mean", "meant", "it'd"))  # fmt: skip
# Before "not", as part of what is taken back.
BEFORE = frozenset((",", "no", "sorry", "wait", "oh", "um", "er", "uh", "it's", "it", "was", "that", "that's", "and"))


def _value(note: Note, piece: Element) -> object:
    """What a piece says, for comparison."""
    if piece.shape == "N":
        return note.numbers[piece.start].value if piece.start in note.numbers else None
    if piece.shape == "P":
        own = [s for s in note.places if s.start == piece.start]
        whole = any(s.end == piece.end for s in own)
        return tuple(p for s in own for p in (s.places if whole else s.places[:1]))
    return " ".join(note.lower[piece.start : piece.end])


def _noun(note: Note, at: int) -> str:
    """The word that a number counts, for comparison without its plural."""
    return note.lower[at].rstrip("s") if at < len(note.lower) and "counted" in note.lattice.edges[at] else ""


def _head(note: Note, at: int) -> int:
    """Where what is taken back begins: the words of a correction before "not"."""
    told = {k for c in cues(note) for k in range(c.start, c.end)}
    while at > 0 and (note.lower[at - 1] in BEFORE or at - 1 in told):
        at -= 1
    return at


LATE = (["in", "fact"], ["actually"], ["in", "truth"], ["to", "be", "exact"], ["rather"], ["it", "was"])


def _single(word: str) -> str:
    """A word without its plural, for comparison: "patties" is "patty"."""
    return word[:-3] + "y" if word.endswith("ies") else word.rstrip("s")


def said_late(note: Note) -> str | None:
    """The text with the better count of two: "a honey frame, 2 honey frames in fact"."""
    for at in range(2, len(note.lower)):
        words = next((w for w in LATE if note.lower[at : at + len(w)] == w), None)
        ends = at + len(words) if words else at
        if words is None or (ends < len(note.lower) and note.lower[ends] not in (*STOPS, ",", "and", "but")):
            continue
        new = max((k for k in note.numbers if k < at and note.numbers[k].end < at), default=None)
        if new is None or note.lower[new - 1 : new] != [","]:
            continue
        noun = [_single(word) for word in note.lower[note.numbers[new].end : at]]
        before = [_single(word) for word in note.lower[: new - 1]]
        size = len(noun)
        if not noun or before[-size:] != noun:
            continue
        first = new - 1 - size - 1
        counted = first >= 0 and (note.lower[first] in ("a", "an", "one") or first in note.numbers)
        if counted:
            return join(note, [(0, first), (new, at), (ends, len(note.lower))])
    return None


def put_right(note: Note) -> str | None:
    """The text with the right value where the wrong one stood, or None when no wrong value is named again."""
    for at, word in enumerate(note.lower):
        if word != "not" or at == 0 or at + 1 >= len(note.lower):
            continue
        wrong = element(note, at + 1)
        if not wrong.typed or wrong.shape in ("D", "ORD"):
            continue
        after = wrong.end
        two = next((k for k in range(at + 2, after) if note.lower[k] == ","), None) if wrong.shape == "P" else None
        if two is not None:
            # "not hive 14, 40" sounds like a list
            wrong = Element(at + 1, two, "P", True)
            after = two
        noun = _noun(note, after) if wrong.shape == "N" else ""
        after += bool(noun)
        gap = after
        while after < len(note.lower) and note.lower[after] in BETWEEN and "N" not in note.lattice.edges[after]:
            after += 1
        if after >= len(note.lower) or note.lower[after] in STOPS:
            continue
        number = note.numbers.get(after)
        whole = number is not None and not number.ordinal
        new = Element(after, number.end, "N", True) if number is not None and whole else element(note, after)
        bare = new.shape == "N" and wrong.shape == "P"
        if not (same(new, wrong) or bare) or (after == gap and wrong.shape not in ("N", "P")):
            continue
        left = _head(note, at)
        said = [e for e in elements(note, 0, left) if e.shape == wrong.shape and _value(note, e) == _value(note, wrong)]
        if not said or _value(note, new) == _value(note, wrong) or (bare and _noun(note, new.end)):
            continue
        old, end = said[-1], new.end
        if new.shape == "N" and _noun(note, new.end) and _noun(note, new.end) == _noun(note, old.end):
            end += 1
        if new.shape == "N" and not bare and _noun(note, new.end) and end == new.end:
            continue  # "not 8, 7 frames of honey" counts something else
        name = [(old.start, old.start + 1), (new.start, new.end)] if bare else [(new.start, new.end)]
        return join(note, [(0, old.start), *name, (old.end, left), (end, len(note.lower))])
    return None
