"""Figures of the next place without their nouns: "hive 55, brood on 7, hive 56, 5".

What was counted at the place before is said again with the new figures, so that the rules read each place by itself.
"""

from __future__ import annotations

import itertools

from gloveside.extract.note import STOPS, Note
from gloveside.extract.numbers import NumberSpan
from gloveside.extract.places import PlaceSpan

LEADING = frozenset(
    [",", "er", "um", "uh", "it", "was", "it's", "had", "has", "got", "with", "about", "only", "just", ":"]
)
OUT_OF = frozenset(["in", "out", "of", "from", "off", "per", "/", "mites", "mite"])
BETWEEN = frozenset([",", "and"])
# Said behind the figures without adding to them.
BEHIND = ("and all", "there", "as well", "too", "in there")
MOST = 4


def filled(note: Note) -> str | None:
    """The text with what was counted put to the figures of the next place; None where none stand alone."""
    places = [p for p in note.places if p.sort in ("hive", "nuc") and not p.deictic]
    for before, place in itertools.pairwise(places):
        figures, end = _alone(note, place)
        if not figures or before.sort != place.sort or note.sentence[place.start] - note.sentence[before.end - 1] > 1:
            continue
        counted = _counted(note, before, place.start)
        if len(counted) == 2 and len(figures) == 1 and _out_of(note, *counted):
            counted = counted[:1]  # "3 in 300, hive 32 was 9": of as many
        if len(counted) != len(figures):
            continue
        said = _said_with(note, before, place, counted, figures)
        if said:
            return " ".join(p for p in (note.text(0, place.end), ",", said, note.text(end, len(note.lower))) if p)
    return None


def _out_of(note: Note, first: NumberSpan, second: NumberSpan) -> bool:
    """Whether the first number is counted out of the second: "3 in 300"."""
    between = note.lower[first.end : second.start]
    return second.value >= 100 and bool(between) and OUT_OF.issuperset(between)


def _alone(note: Note, place: PlaceSpan) -> tuple[list[NumberSpan], int]:
    """The figures right behind a place that nothing follows, and where they end."""
    at = place.end
    while at < len(note.lower) and note.lower[at] in LEADING:
        at += 1
    found: list[NumberSpan] = []
    taken = note.of_places() | note.of_rounds() | note.of_dates()
    end = at
    while at in note.numbers and at not in taken and not note.numbers[at].ordinal and len(found) < MOST:
        found.append(note.numbers[at])
        at = end = note.numbers[at].end
        while at < len(note.lower) and note.lower[at] in BETWEEN:
            at += 1
    for words in BEHIND:
        parts = words.split()
        if note.lower[end : end + len(parts)] == parts:
            end += len(parts)
            break
    ends = end >= len(note.lower) or note.lower[end] in STOPS or (note.lower[end] in BETWEEN and at in taken)
    return (found, end) if found and ends else ([], end)


def _counted(note: Note, before: PlaceSpan, stop: int) -> list[NumberSpan]:
    """The numbers said of the place before."""
    taken = note.of_places() | note.of_rounds() | note.of_dates()
    found = [
        n for at, n in sorted(note.numbers.items()) if before.end <= at < stop and at not in taken and not n.ordinal
    ]
    if found:
        return found
    # "hive 8 got a super, hive 9 got 2"
    articles = [
        at
        for at in range(before.end, stop - 1)
        if note.lower[at] in ("a", "an", "another") and "counted" in note.lattice.edges[at + 1]
    ]
    return [NumberSpan(at, at + 1, 1, False, note.lower[at]) for at in articles[:1]] if len(articles) == 1 else []


def _said_with(
    note: Note, before: PlaceSpan, place: PlaceSpan, counted: list[NumberSpan], figures: list[NumberSpan]
) -> str:
    """The clauses in which the place before was counted, with the new figures in them."""
    start, stop = counted[0].start, counted[-1].end
    while start > before.end and note.lower[start - 1] not in (*STOPS, ",", "and"):
        start -= 1
    while stop < place.start and note.lower[stop] not in (*STOPS, ",", "and"):
        stop += 1
    told = any(at in note.content and at not in note.soft and at not in note.numbers for at in range(start, stop))
    after = next((n for k, n in sorted(note.numbers.items()) if k >= counted[-1].end), None)
    if not told and not (after is not None and after.end <= stop and _out_of(note, counted[-1], after)):
        return ""
    out: list[str] = []
    last = start
    for old, new in zip(counted, figures, strict=True):
        out += [note.text(last, old.start), note.text(new.start, new.end)]
        last = old.end
    out.append(note.text(last, stop))
    return " ".join(p for p in out if p)
