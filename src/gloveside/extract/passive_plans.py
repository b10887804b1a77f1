"""Work that is planned in the passive: "the strips will be taken out on Saturday", "hive 9 shall be washed on Monday".

The whole clause is what is to be done; its day is when. What bees do by themselves ("will be capped on Friday") is no
plan.
"""

from __future__ import annotations

from gloveside.extract.note import STOPS, Cue, Note

MODALS = tuple(
    words.split()
    for words in (
        "will", "shall", "must", "should", "'ll", "can", "may", "ought to", "is to", "are to", "has to", "have to",
        "needs to", "need to", "is going to", "are going to", "is supposed to", "are supposed to", "is meant to",
        "are meant to", "will have to", "is due to", "are due to", "is planned to", "are planned to",
    )
)  # fmt: skip
WORKED = frozenset(
    ("taken", "put", "washed", "planted", "fed", "treated", "split", "moved", "marked", "united", "checked", "grafted",
     "given", "removed", "added", "harvested", "sold", "caged", "introduced", "released", "made", "brought", "opened",
     "inspected", "collected", "picked", "set", "hung", "requeened", "combined", "joined", "shifted", "carried",
     "lifted", "cleaned", "swapped", "replaced", "supered", "extracted", "bought", "ordered", "delivered", "shaken",
     "caught", "clipped", "killed", "trickled", "vaporised", "tested", "counted", "transferred", "installed", "pulled",
     "closed", "cut", "weighed", "prepared", "placed", "inserted", "slid", "stocked", "looked", "examined", "dusted",
     "sampled", "merged", "divided", "driven", "loaded", "painted", "mended", "repaired", "fetched", "exchanged",
     "renewed", "topped", "refilled", "filled", "monitored", "handed", "distributed", "tidied", "banked")
)  # fmt: skip
# Verbs of moving things about, which the passive does not need: "the slide will come out on Friday".
GOING = frozenset(("go", "come"))
WHERE = frozenset(("in", "into", "on", "onto", "out", "off", "to", "back", "from", "over"))
BETWEEN = frozenset(("also", "all", "then", "both", "again", "probably", "finally", "just", "now"))
BOUNDS = frozenset((",", ":", "but", "so", "then", "because"))


def find(note: Note) -> None:
    """Put one cue before the clause of a plan in the passive that has a day to come, in place of its modal's own."""
    for at in range(len(note.lower)):
        end = _work(note, at)
        if end is None:
            continue
        start = _subject(note, at)
        if start == at or note.lower[start] in ("i", "we", "it", "she", "what", "that", "which", "if", "when", "who"):
            continue
        stop = next((k for k in range(end, len(note.lower)) if note.lower[k] in STOPS), len(note.lower))
        first = start
        while first > 0 and note.lower[first - 1] not in STOPS:
            first -= 1
        own = [d for d in note.dates if first <= d.start < stop and d.future is not None]
        own = [d for d in own if not d.length or note.lower[d.start - 1 : d.start] == ["in"]]
        held = any(
            c.scope in ("future", "condition") and c.concept != "passive_plan" and first <= c.start < start
            for c in note.cues
        )
        if not own or held or "not" in note.lower[at:end]:
            continue
        note.cues = [c for c in note.cues if not (c.scope in ("future", "question") and start <= c.start < end)]
        note.cues.append(Cue(start, start, "future", "passive_plan"))


def over(note: Note, cue: Cue, at: int) -> bool:
    """Whether a plan ends at a token, because "and" with a day or another plan goes on with the next one."""
    if cue.concept != "passive_plan" or note.lower[at] not in ("and", ","):
        return False
    then = at + 2 if note.lower[at : at + 2] == [",", "and"] else at + 1
    return any(d.start == then for d in note.dates) or any(c.start == then for c in note.cues if c != cue)


def _work(note: Note, at: int) -> int | None:
    """Where a modal at a token with its verb of work ends; None where there is none."""
    for words in MODALS:
        if note.lower[at : at + len(words)] != words:
            continue
        end = at + len(words)
        while note.lower[end : end + 1] and note.lower[end] in BETWEEN:
            end += 1
        verb, then = note.lower[end : end + 1], note.lower[end + 1 : end + 2]
        if verb == ["be"]:
            end += 1
            while note.lower[end : end + 1] and note.lower[end] in BETWEEN:
                end += 1
            if note.lower[end : end + 1] and note.lower[end] in WORKED:
                return end + 1
        elif verb and verb[0] in GOING and then and then[0] in WHERE:
            return end + 2
    return None


def _subject(note: Note, at: int) -> int:
    """Where the words before a modal begin that belong to its clause, a day at its head aside."""
    start = at
    days = {d.end: d.start for d in note.dates}
    while start > 0 and note.lower[start - 1] not in STOPS and note.lower[start - 1] not in BOUNDS:
        if start in days:
            break
        if note.lower[start - 1] == "and" and not _joins(note, start - 1, at):
            break
        start -= 1
    while start < at and (note.lower[start] in ("and", "so", "well") or start in note.filler):
        start += 1
    return start


def _joins(note: Note, at: int, end: int) -> bool:
    """Whether "and" joins two things that the plan is about: "hive 3 and hive 9 must be fed"."""
    named = note.of_places()
    return at - 1 in named and at + 1 in named and all(k in named or note.lower[k] == "and" for k in range(at + 1, end))
