"""Since when something is so: "the excluder lies in hive 7 since Sunday" dates the work that began it.

What adds up over days ("fed 4 litres since Monday") and what is only found ("queenless since Monday") is not dated so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from gloveside.extract.dates import DateSpan
from gloveside.extract.frames import Match
from gloveside.extract.note import STOPS, Note

if TYPE_CHECKING:
    from gloveside.extract.context import Context

# Kinds of work that leave a state behind.
BEGINNING = frozenset(["builder", "box", "incubator", "queen", "treatment", "move", "unite", "split", "plant", "mark"])
# How the state is told; without one of these the clause must not tell what somebody did.
STANDING = frozenset(
    ("is", "are", "has", "have", "been", "lies", "lie", "sits", "sit", "stands", "stand", "hangs", "hang", "'s", "'ve",
     "rests", "lives", "live", "stays", "remains", "carries", "carry", "holds", "wears", "contains", "belongs")
)  # fmt: skip
DOING = frozenset(("i", "we", "he", "she", "they", "i've", "we've", "twice", "times", "put", "took", "gave", "caught"))
APART = frozenset((",", "so", "but", "because", "therefore", "then"))


def date_beginnings(note: Note, matches: Sequence[Match], contexts: Mapping[int, Context]) -> None:
    """Date what a state began with by the day since which it lasts, in the day's own clause."""
    for day in note.dates:
        if day.past is None or day.length or day.start in note.blocked or "since" not in _lead(note, day):
            continue
        start, end = _clause(note, day)
        words = note.lower[start:end]
        if {"twice", "times"} & set(words) or not (STANDING & set(words) or DOING.isdisjoint(words)):
            continue
        for i, match in enumerate(matches):
            if start <= match.start < end and match.rule.kind in BEGINNING and contexts[i].on is None:
                contexts[i].on = day.past


def _lead(note: Note, day: DateSpan) -> list[str]:
    """The words right before a day, or its own first ones: "since", "since the", "ever since last"."""
    at = day.start
    while at > 0 and note.lower[at - 1] in ("the", "last", "this"):
        at -= 1
    return [*note.lower[max(0, at - 1) : at], note.lower[day.start]]


def _clause(note: Note, day: DateSpan) -> tuple[int, int]:
    """The tokens of the clause of a day; a day that heads its sentence with a pause belongs to the next clause."""
    start, end = day.start, day.end
    while start > 0 and not _parts(note, start - 1):
        start -= 1
    if end < len(note.lower) and note.lower[end] == "," and day.start - start <= 2:
        end += 1
    while end < len(note.lower) and not _parts(note, end):
        end += 1
    return start, end


def _parts(note: Note, at: int) -> bool:
    """Whether a clause ends at a token; "and" before another name or thing joins."""
    word = note.lower[at]
    if word == "and":
        then = note.lower[at + 1 : at + 2]
        return not then or not (at + 1 in note.numbers or at + 1 in note.of_places() or then[0] in ("the", "a"))
    return word in STOPS or word in APART
