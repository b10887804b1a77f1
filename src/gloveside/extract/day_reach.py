"""How far a day reaches: into the clause that it opens, over the list under its heading, back over what was told.

"They'd left the candy, so on Monday I let her out"; "Marked yesterday. Hive 31 blue, hive 39 red."; "Put 20 cells in
the incubator. That was on Monday."
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from gloveside.extract import day_alone
from gloveside.extract.dates import DateSpan
from gloveside.extract.frames import Match
from gloveside.extract.note import STOPS, Note

if TYPE_CHECKING:
    from gloveside.extract.context import Context

# What joins the clause that a day opens to the one before, and who acts in it.
LINKS = frozenset(("so", "and", "but", "then", "because", "cos", "as", "when", "while", "since"))
ACTING = frozenset(
    (
        "i", "we", "he", "she", "they", "it", "i'd", "i'll", "i've", "we've", "we'd", "there", "the", "my", "our",
        "one", "someone", "somebody", "dad", "mum", "both", "all",
    )
)  # fmt: skip
# Beside a day that is said after what was done: "er, yesterday that was", "forgot to say, that was on Monday".
POINTING_BACK = frozenset(("was", "were", "happened", "did", "done", "forgot"))
BACK = POINTING_BACK | frozenset(
    (
        "it", "that", "that's", "this", "is", "on", "all", "both", "by", "the", "way", "actually", "to", "say",
        "mention", "said", "should", "have", "at", "in", "back", "i", "we", "they", "these", "those", "meant", "oh",
        "and",
    )
)  # fmt: skip
# What a heading sets that tells no more than the work itself.
BARE = frozenset(["fed", "act", "marked", "step"])
# Day said of all that was told: "both yesterday".
ALL = frozenset(["all", "both", "these", "those", "they", "everything"])


def opens_clause(note: Note, matches: Sequence[Match], day: DateSpan) -> bool:
    """Whether a day in the middle of talk without stops begins a clause of its own: "so on Monday I let her out"."""
    at = day.start - 1
    while at >= 0 and note.lower[at] in ("on", "just", "the", "only"):
        at -= 1
    if at < 0 or note.lower[at] not in LINKS or day.end >= len(note.lower) or note.lower[day.end] not in ACTING:
        return False
    return any(m.start >= day.end and note.sentence[m.start] == note.sentence[day.start] for m in matches)


def over_list(
    note: Note, matches: Sequence[Match], contexts: Mapping[int, Context], day: DateSpan, before: Sequence[int]
) -> None:
    """Give the day of a heading to the list that follows: "marked a few yesterday, hive 12 yellow, hive 13 red"."""
    sentence = note.sentence[day.start]
    inside = [p for p in note.places if note.sentence[p.start] == sentence]
    _over_each(note, matches, contexts, day, {matches[i].rule.kind for i in before})
    told = [set(matches[i].sets) - BARE for i in before if matches[i].rule.role == "fact"]
    if any(p.start < day.end for p in inside) or any(told):
        return
    kinds = {matches[i].rule.kind for i in before}
    other = [d.start for d in note.dates if d.start > day.start and d.past is not None]
    for i, match in enumerate(matches):
        if match.start < day.end or match.rule.kind not in kinds or contexts[i].on is not None:
            continue
        if inside and note.sentence[match.start] != sentence:
            continue
        if any(start <= match.start for start in other):
            continue
        contexts[i].on = day.past


def _over_each(
    note: Note, matches: Sequence[Match], contexts: Mapping[int, Context], day: DateSpan, kinds: set[str]
) -> None:
    """Give the day to what is told of each place named before it: "washed hives 3 and 4 yesterday, 2 mites on 3"."""
    sentence = note.sentence[day.start]
    ahead = [p for p in note.places if p.end <= day.start and note.sentence[p.start] == sentence]
    names = {name for p in ahead for name in p.places}
    for i, match in enumerate(matches):
        said = {name for p in contexts[i].places for name in p.places}
        alone = not any(o is not day and note.clause[o.start] == note.clause[match.start] for o in note.dates)
        later = match.start >= day.end and match.rule.kind in kinds and contexts[i].on is None
        if later and alone and len(names) > 1 and said and said <= names and note.sentence[match.start] == sentence:
            contexts[i].on = day.past


def of_last_sentence(note: Note, matches: Sequence[Match], contexts: Mapping[int, Context], day: DateSpan) -> bool:
    """Give a day that stands in a sentence of its own to what was told before it; whether it did."""
    sentence = note.sentence[day.start]
    own = [k for k, s in enumerate(note.sentence) if s == sentence and note.lower[k][:1].isalnum()]
    rest = {note.lower[k] for k in own if not day.start <= k < day.end and k not in note.soft}
    said = {note.lower[k] for k in own if not day.start <= k < day.end}
    earlier = [i for i, m in enumerate(matches) if note.sentence[m.start] < sentence]
    if not earlier or rest - BACK or any(note.sentence[m.start] == sentence for m in matches):
        return False
    last = own[-1] + 2 >= len(note.lower)
    if not last and not (POINTING_BACK | {"both", "those"}) & said:
        return False
    near = note.sentence[matches[earlier[-1]].start]
    for i in earlier:
        if contexts[i].on is None and (said & ALL or note.sentence[matches[i].start] == near):
            contexts[i].on = day.past
    return True


# Before a day on which nothing was done: "give her till the weekend", "the rest on Friday".
NOT_THEN = frozenset(["till", "until", "by", "before", "for", "since", "than", "rest", "others", "remainder", "like"])
NOT_THEN |= {"due"}


def no_day_of_work(note: Note, start: int) -> bool:
    """Whether a day is a limit, or of what is left over: "till the weekend", "the rest tomorrow"."""
    at = start - 1
    while at >= 0 and note.lower[at] in ("the", "this", "on", "next", "to", "come"):
        at -= 1
    return at >= 0 and note.lower[at] in NOT_THEN


def alone(note: Note, at: int) -> bool:
    """Whether a day stands in a sentence of its own: "remind me to feed hive 8. Tomorrow."."""
    own = [k for k, s in enumerate(note.sentence) if s == note.sentence[at]]
    return day_alone.only_day(note, own[0], own[-1] + 1)


def heads(note: Note, start: int) -> bool:
    """Whether a day stands at the head of its sentence, or of the note, so that it holds for what follows."""
    first = start
    while first > 0 and note.sentence[first - 1] == note.sentence[start] and note.lower[first - 1] not in STOPS:
        first -= 1
    quiet = all(k in note.soft or not note.lower[k].isalnum() or k in note.of_places() for k in range(first, start))
    placed = any(p.places and note.sentence[p.start] == note.sentence[start] for p in note.places)
    return quiet or (note.sentence[start] == 0 and not placed)
