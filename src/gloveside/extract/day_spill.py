"""Where a day that was said for one hive stops: it does not spill over to the hive before it or the next one.

"Hive 2 is strong, hive 3 I fed yesterday": hive 2 is of today. "Yesterday I fed hive 3. Hive 4, super on": whether
hive 4 is of yesterday too is not said, and is asked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from gloveside.extract.dates import DateSpan
from gloveside.extract.frames import Match
from gloveside.extract.note import PREPOSITIONS, STOPS, Note
from gloveside.extract.places import PlaceSpan

if TYPE_CHECKING:
    from gloveside.extract.context import Context

# Words that join a place to what was said before it, as one piece of work of one day.
JOINING = PREPOSITIONS | {"and", "or", "then", "plus", "the", "both", "to", "&"}


def of_day(note: Note, matches: Sequence[Match], contexts: Mapping[int, Context], before: Sequence[int]) -> list[int]:
    """Those of the facts before a day that it dates: not those of a hive whose turn had ended before the day came."""
    if not before:
        return []
    own = contexts[before[-1]].places
    heads = [p.start for p in own if p.end <= matches[before[-1]].end or p.start < matches[before[-1]].start]
    if not heads or not _opens(note, own[0]):
        return list(before)
    here = {q for p in own for q in p.places}
    return [
        i for i in before if matches[i].start > heads[0] or here & _places(contexts[i].places) or not contexts[i].places
    ]


def _places(spans: Sequence[PlaceSpan]) -> set[str]:
    return {q for p in spans for q in p.places}


def _opens(note: Note, place: PlaceSpan) -> bool:
    """Whether a place begins the turn of its own in its sentence, joined by nothing to what stands before it."""
    at = place.start - 1
    while at >= 0 and note.lower[at] in ("the", "my", "our", "old"):
        at -= 1
    return at >= 0 and note.lower[at] not in STOPS and note.lower[at] not in JOINING


def doubted(note: Note, matches: Sequence[Match], contexts: Mapping[int, Context], day: DateSpan) -> None:
    """Mark what is told of later hives as doubtful of its day, where the day was said in the sentence of one hive."""
    sentence = note.sentence[day.start]
    if any(p.start == day.end + 1 and note.lower[day.end] == "," for p in note.places):
        return  # "Sunday, nuc 1, laying. Nuc 2, missing": a heading
    inside = [i for i, m in enumerate(matches) if note.sentence[m.start] == sentence and m.rule.role == "fact"]
    own = {q for i in inside for q in _places(contexts[i].places)}
    named = {q for p in note.places if note.sentence[p.start] == sentence and not p.deictic for q in p.places}
    if not inside or len(named) != 1 or own != named:
        return
    for i, match in enumerate(matches):
        if note.sentence[match.start] > sentence and contexts[i].on == day.past and contexts[i].places:
            contexts[i].on_unsure = _places(contexts[i].places).isdisjoint(own)
