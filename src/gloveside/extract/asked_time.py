"""Times that a question names and its reading does not hold, so that no answer is given for another stretch of time."""

from __future__ import annotations

from gloveside.extract import coverage, queries
from gloveside.extract.models import Question
from gloveside.extract.note import Note

_TIMELESS = {"ripe", "growth", "plan", "broodless", "age", "odds", "splits", "drones", "same"}
"""Questions whose answer is a time, or which take times in their own ways."""
_NOW = {"today", "tonight", "now", "yet", "day", "days"}
_UNITS = {
    "week",
    "weeks",
    "fortnight",
    "month",
    "months",
    "weekend",
    "quarter",
    "year",
    "years",
    "yesterday",
    "tomorrow",
}
_HELD = {"days", "season", "compare", "season_said", "year_before", "what_days"}
_EACH = {"a", "an", "per", "each", "every"}


def not_held(note: Note, start: int, end: int, asked: Question) -> list[str]:
    """The words of tokens start..end-1 that name a time which no slot of a question holds; empty where one does."""
    extra = asked.model_extra or {}
    if asked.since is not None or asked.until is not None or asked.ask in _TIMELESS or _HELD & set(extra):
        return []
    if asked.ask == "last" and ("when" in note.lower[start:end] or "long" in note.lower[start:end]):
        return []
    aged = {"age", "old", "older"} & set(note.lower[start:end]) or extra.get("rank") in ("oldest", "youngest")
    if aged or extra.get("what") == "feeder":
        return []
    left: list[str] = []
    for at in range(start, end):
        word = note.lower[at]
        if word in _NOW or at in note.of_rounds() or at in note.of_places():
            continue
        month = word in queries.MONTHS and (word not in ("march", "may") or note.doc[at].text[:1].isupper())
        unit = word in _UNITS and not _EACH & set(note.lower[at - 1 : at])
        dated = any(d.start <= at < d.end and (d.past or d.future) and not d.length for d in note.dates)
        if month or unit or (dated and not _NOW & set(note.lower[at - 1 : at + 2]) and word not in coverage.JOINS):
            left.append(word)
    return left


def after_season(note: Note, start: int, end: int) -> set[int]:
    """The tokens of "after the winter", which only says that it is now."""
    for at in range(start + 1, end):
        if "year_seasons" in note.lattice.edges[at]:
            lead = at - 1 - (note.lower[at - 1] == "the")
            if lead >= start and note.lower[lead] == "after":
                return set(range(lead, at + 1))
    return set()
