"""Numbers that run together when no pause is heard: a count said twice, and a count behind a round hundred.

"eleven eleven out of fifteen" counts eleven; "nine in three hundred two strips in" is nine in 300, and two strips.
"""

from __future__ import annotations

from itertools import pairwise

from gloveside.extract.elements import join
from gloveside.extract.note import Note

PAIRED = frozenset(("out", "of"))
# What a wash is counted in.
OF_A_WASH = frozenset(("bees_word", "mite_word", "percent_word", "frame_word"))


def once(note: Note) -> str | None:
    """The text with a number that was said twice in a row said once; None where none was."""
    named = note.of_places() | note.of_rounds()
    for first, second in pairwise(note.numbers[k] for k in sorted(note.numbers)):
        if first.end != second.start or first.value != second.value or first.ordinal or second.ordinal:
            continue
        if first.start in named or second.start in named or second.end >= len(note.lower):
            continue
        counts = "counted" in note.lattice.edges[second.end] or note.lower[second.end] in PAIRED
        if counts:
            return join(note, [(0, first.start), (second.start, len(note.lower))])
    return None


def after_hundred(note: Note) -> str | None:
    """The text with a pause between a round hundred and the count of the next thing; None where none runs into it."""
    for span in note.numbers.values():
        hundreds, rest = divmod(span.value, 100)
        if not (0 < hundreds < 10 and 0 < rest < 10) or rest != int(rest) or span.end >= len(note.lower):
            continue
        if span.ordinal or "and" in note.lower[span.start : span.end]:
            continue
        edges = note.lattice.edges[span.end]
        after = "counted" in edges and not OF_A_WASH & set(edges)
        if after and note.lower[span.start - 1] in ("in", "of", "from", "per") and span.start > 0:
            said = f"{int(hundreds) * 100}, {int(rest)}"
            return " ".join(p for p in (note.text(0, span.start), said, note.text(span.end, len(note.lower))) if p)
    return None
