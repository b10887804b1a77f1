"""Questions about one place: the last note, and its history."""

from __future__ import annotations

from gloveside.bot.desk import Desk
from gloveside.bot.wording.days import day
from gloveside.bot.wording.entries import line
from gloveside.bot.wording.places import place as place_name
from gloveside.extract.models import Question

_MOST = 8


def _place(desk: Desk, question: Question) -> str | None:
    return question.place or desk.register.last_place


def last(desk: Desk, question: Question) -> str:
    """What was said last about a place, or at all."""
    place = _place(desk, question)
    if place is None:
        return "Which hive or nuc?"
    found = desk.store.entries.find(place=place, newest_first=True, limit=20)
    if not found:
        return f"Nothing is in the record about {place}."
    newest = [e for e in reversed(found) if e.on == found[0].on]
    return "\n".join([f"{place_name(place)} · {day(found[0].on, desk.today)}", *(line(e.entry) for e in newest)])


def history(desk: Desk, question: Question) -> str:
    """The notes of a place, newest first."""
    place = _place(desk, question)
    if place is None:
        return "Which hive or nuc?"
    found = desk.store.entries.find(place=place, since=question.since, until=question.until, newest_first=True)
    if not found:
        return f"Nothing is in the record about {place}."
    lines = [f"{day(e.on, desk.today)}: {line(e.entry)}" for e in found[:_MOST]]
    more = [f"and {len(found) - _MOST} more"] if len(found) > _MOST else []
    return "\n".join([place_name(place), *lines, *more])
