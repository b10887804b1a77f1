"""Questions whose answer is a list or a number: what is due, which places are in a state, how many there are."""

from __future__ import annotations

from datetime import timedelta

from gloveside.bot.desk import Desk
from gloveside.bot.due import Due
from gloveside.bot.wording.days import day, spoken_day
from gloveside.bot.wording.places import places
from gloveside.extract.models import Question

_MOST = 10
_AHEAD = timedelta(days=14)


def due(desk: Desk, question: Question) -> str:
    """What is due until a date (two weeks, where none was said); late things first."""
    today = desk.today
    until = question.until or today + _AHEAD
    items = [
        d
        for d in desk.due_items()
        if d.on <= until
        and (question.since is None or d.on >= question.since or d.late(today))
        and (question.round is None or d.round == question.round)
        and (question.place is None or d.place == question.place)
    ]
    if not items:
        return f"Nothing is due until {day(until, today)}."
    return "\n".join(due_line(d, desk) for d in items[:_MOST])


def due_line(item: Due, desk: Desk) -> str:
    """`Fri 27 Nov: round 3, make 18 splits`."""
    subject = f"round {item.round}, " if item.round is not None else f"{item.place}, " if item.place else ""
    late = " (late)" if item.late(desk.today) else ""
    when = spoken_day(item.on, desk.today)
    return f"{when[:1].upper()}{when[1:]}{late}: {subject}{item.text}"


def places_in_state(desk: Desk, question: Question) -> str:
    """Which places are in a state."""
    state = str((question.model_extra or {}).get("state") or question.queen or "")
    if not state:
        return "Which state? Say: which hives are queenless."
    found = [s.place for s in desk.store.states.where(lambda s: s.queen == state, question.until or desk.today)]
    if not found:
        return f"No place is {state} in the record."
    return f"{state.capitalize()}: {places(found)}"


def count_of(desk: Desk, question: Question) -> str:
    """How many places of a kind are registered."""
    del question  # more kinds of count follow
    hives = len(desk.store.places.all(kind="hive"))
    nucs = len(desk.store.places.all(kind="nuc"))
    return f"{hives} hives and {nucs} nucs in the register."
