"""Tasks and what was kept since: which entries do the work that a task names, so that it need not be ticked off."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from gloveside.extract import models as m
from gloveside.storage.entries import KeptEntry

RoundPlace = Callable[[int], str | None]
"""The cell builder of a round, or None."""

# Getting ready for a job, or keeping away from it, is not the job.
_NOT_THE_JOB = re.compile(
    r"\b(order|buy|mix|ring|call|phone|text|email|e-mail|fetch|pick up|collect|borrow|ask|clean|paint|build|weigh|"
    r"leave|keep|don'?t|do not|not|never|make (up )?(some |the |more )?(syrup|fondant|feed|boxes|frames))\b"
)
# "feed hives 9 and 10", "feed the nucs": one place done is not all of them done.
_SEVERAL = re.compile(r"\b(hives|nucs|colonies|all|every|each|both|rest|others|whole|yard|apiary)\b")


@dataclass(frozen=True, slots=True)
class Job:
    """What a task names. words: found in its text; kinds: entries that may be that work; fields: what they must hold.

    of_round: rounds have one such step, so a task needs to name no place for it.
    """

    words: re.Pattern[str]
    kinds: tuple[str, ...]
    of_round: bool = False
    fields: tuple[tuple[str, frozenset[Any]], ...] = ()


def _job(words: str, *kinds: str, of_round: bool = False, **fields: Iterable[Any]) -> Job:
    held = tuple((name, frozenset(values)) for name, values in fields.items())
    return Job(re.compile(rf"\b(?:{words})\b"), kinds, of_round, held)


_OUT = r"(out|off|remove|removed|removing|pull|pulling)"
# The first that fits holds: "plant the ripe cells" is planting, "treat for mites" is no mite count.
JOBS = (
    _job(r"check.*(take|graft|grafts|round)|take check|count.*take", "take", "cells", of_round=True),
    _job(rf"slide.*{_OUT}|{_OUT}.*slide|take.*slide", "builder", of_round=True, step=["slide out"]),
    _job(r"slide", "builder", of_round=True, step=["slide in"]),
    _job(r"excluder.*(in|on|under)|put.*excluder", "builder", of_round=True, step=["excluder in"]),
    _job(r"graft|grafts|grafting", "graft", of_round=True),
    _job(r"plant|planting", "plant", of_round=True),
    _job(r"count.*cells|ripe cells", "cells", of_round=True),
    _job(r"check.*cells", "take", "cells", "inspection"),
    _job(r"split|splits|splitting", "split", of_round=True),
    _job(r"mark|marking|clip", "mark"),
    _job(rf"strips?.*{_OUT}|{_OUT}.*(strips?|treatment)|take.*strips?", "treatment", step=["out"]),
    _job(r"treat|treating|treatment|strips?|oxalic|formic|thymol", "treatment", step=["in", "given", None]),
    _job(r"mites?|wash|mite count|sugar shake", "mites"),
    _job(r"feed|feeding|fondant|syrup|patty", "feed"),
    _job(r"harvest|extract|extracting|take.*honey", "harvest"),
    _job(rf"{_OUT}.*(supers?|box|boxes)|(supers?|box|boxes).*{_OUT}|take.*(supers?|box|boxes)", "box", step=["off"]),
    _job(r"supers?|box|boxes", "box", step=["on", None]),
    _job(r"unite|uniting|combine|merge", "unite"),
    _job(r"move|moving|shift", "move"),
    _job(r"requeen|introduce|release", "queen", step=["introduced", "released"]),
    _job(r"eggs|laying|mated", "mating", "inspection"),
    _job(r"inspect|inspecting|inspection|check|look|go through|open", "inspection", "mating"),
)
KINDS = tuple(dict.fromkeys(kind for job in JOBS for kind in job.kinds))
"""Kinds of entries that can do a task."""


def job_of(task: m.Task) -> Job | None:
    """The work that a task names, where an entry of the record could show that it was done; else None."""
    text = task.text.lower()
    if _NOT_THE_JOB.search(text):
        return None
    job = next((j for j in JOBS if j.words.search(text)), None)
    if job is None or (task.place is None and task.round is None and not job.of_round):
        return None
    return None if not job.of_round and _SEVERAL.search(text) else job


def done_by(kept: KeptEntry, task: m.Task, since: Iterable[KeptEntry], builder_of: RoundPlace) -> list[KeptEntry]:
    """The entries that do a kept task: work that it names, at its place or round, on its day or later.

    A day early counts too, where the task was said on a day before.
    """
    job = job_of(task)
    if job is None or task.due is None:
        return []
    return [e for e in since if e.kind in job.kinds and _in_time(e, kept, task) and _fits(e, task, job, builder_of)]


def _in_time(entry: KeptEntry, kept: KeptEntry, task: m.Task) -> bool:
    if task.due is None or entry.note_id == kept.note_id:
        return False
    if entry.on > kept.on:
        return entry.on >= task.due - timedelta(days=1)
    return entry.on == kept.on == task.due and entry.spoken_at > kept.spoken_at


def _fits(entry: KeptEntry, task: m.Task, job: Job, builder_of: RoundPlace) -> bool:
    if any(entry.fields.get(name) not in values for name, values in job.fields):
        return False
    if task.round is not None and entry.round is not None:
        return entry.round == task.round
    places = {p for name in ("place", "places", "from", "into") for p in _listed(entry.fields.get(name))}
    if entry.round is not None and (builder := builder_of(entry.round)) is not None:
        places.add(builder)
    if task.place is not None:
        return task.place in places
    if task.round is not None:
        return builder_of(task.round) in places
    return job.of_round


def _listed(value: object) -> list[str]:
    if isinstance(value, str):
        return [value]
    return [v for v in value if isinstance(v, str)] if isinstance(value, list) else []
