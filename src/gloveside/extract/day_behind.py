"""A day said behind what it dates is parted from it, and so read by itself: "… nuc 3 laying all of that was Monday".

Talk without stops has no border there; what was told last, and what is told next, would take the day as their own.
"""

from __future__ import annotations

from collections.abc import Sequence

from gloveside.extract.note import Note
from gloveside.extract.places import PlaceSpan

# What points back at what was told, up to the day: "all of that was", "i did both of these on".
POINTING = frozenset(["that", "this", "those", "these", "it", "both", "all", "everything"])
LINKING = POINTING | frozenset(
    [
        "was",
        "were",
        "is",
        "are",
        "'s",
        "of",
        "on",
        "from",
        "back",
        "done",
        "did",
        "i",
        "we",
        "last",
        "lot",
        "the",
        "two",
    ]
)
LINKING |= {"just", "oh", "and", "by", "way", "actually", "happened"}
OPENING = POINTING | {"i", "we", "oh", "and", "by", "actually"}
TELLING = frozenset(["was", "were", "is", "are", "'s", "did", "done", "happened", "that's", "from"])
LEADING = frozenset(["now", "and", "so", "then", "right", "okay"])
LONGEST = 8
# Words that may come after the day, and belong to it: "that was Saturday all of it", "yesterday by the way".
TRAILING = frozenset("all of it them that by the way both should have said i forgot to say mention then".split())  # noqa: SIM905


def cuts(note: Note, within: Sequence[PlaceSpan], start: int, end: int) -> set[int]:
    """Where such a day begins in tokens start..end-1, and where it is over."""
    out: set[int] = set()
    for day in note.dates:
        if day.past is None or not start < day.start < end:
            continue
        head = day.start
        if note.lower[day.end : day.end + 1] == ["'s"] and any(p.start == day.end + 1 for p in within):
            while head > start and note.lower[head - 1] in LEADING:
                head -= 1
            out.add(head)  # "super on now today's hive 6 weak"
            continue
        while head > start and day.start - head < LONGEST and note.lower[head - 1] in LINKING:
            head -= 1
        while head < day.start and note.lower[head] not in OPENING:
            head += 1  # "super on that was Saturday"
        words = set(note.lower[head : day.start])
        places = [p for p in within if p.end <= head]
        if not (words & POINTING and words & TELLING) or not places or not _told(note, places[-1].end, head):
            continue
        stop = day.end
        while stop < end and note.lower[stop] in TRAILING:
            stop += 1
        out |= {head, stop}
    return {at for at in out if start < at < end}


def _told(note: Note, start: int, end: int) -> bool:
    """Whether tokens start..end-1 tell something of the place before them."""
    return any(at in note.content and at not in note.soft for at in range(start, end))
