"""Putting the date of an older note right: "hive 41 died on Tuesday, not Wednesday". What follows from it moves."""

from __future__ import annotations

import re
from datetime import date, timedelta

from gloveside.bot import entries_named, kept_reply, offered, planning
from gloveside.bot.desk import Desk
from gloveside.bot.messages import Reply
from gloveside.bot.wording.days import day, spoken_day
from gloveside.bot.wording.entries import placed_line
from gloveside.extract import models as m

_FARTHEST = timedelta(days=60)
"""A day farther from the one that was said is misheard, or another year's."""


def put_right(desk: Desk, order: m.Order) -> Reply:
    """Find the entry of the wrong day and move it; ask where several fit, change nothing where none does.

    order: a change of `on` with the right day in `to` (ISO), the wrong day in `on`, and what was said in `said`.
    """
    right = _date(order.to)
    if right is None or order.on is None:
        return Reply(
            "Which note, and which day? Say for example: the strips in hive 11 went in on the 20th, not the 22nd."
        )
    if right > desk.today or abs(right - order.on) > _FARTHEST:
        which = f"{day(right, desk.today)} {right.year}"
        return Reply(f"{which} cannot be meant for a note of {day(order.on, desk.today)}. Nothing was changed.")
    found = entries_named.of_day(desk, order.said or "", order.on)
    if not found:
        return Reply("\n".join(_not_found(desk, order, order.on)))
    if len(found) == 1:
        return _moved(desk, found[0].id, right)
    question = f"{len(found)} entries are of {spoken_day(order.on, desk.today)}. Which one?"
    return offered.one_of(question, [(placed_line(k.entry), f"c:d{k.id}:{right.isoformat()}") for k in found])


def tapped(desk: Desk, data: str) -> Reply | None:
    """One of several entries was chosen; None where the button is of another sort."""
    found = re.fullmatch(r"d(\d+):(\d{4}-\d\d-\d\d)", data)
    right = _date(found[2]) if found else None
    return None if found is None or right is None else _moved(desk, int(found[1]), right)


def _date(value: object) -> date | None:
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        return None


def _moved(desk: Desk, entry_id: int, right: date) -> Reply:
    """Give one entry another day; the old one stays in the history, dates and reminders follow."""
    kept = desk.store.entries.get(entry_id)
    if not kept.current or kept.on == right:
        return Reply("That was put right already.")
    changed = desk.store.notes.change("on", right, entry_id=entry_id, by=desk.user)
    planning.refresh(desk, [e.entry for e in (*changed.before, *changed.after)])
    return kept_reply.for_note(desk, desk.store.notes.kept(kept.note_id), amended=True)


def _not_found(desk: Desk, order: m.Order, wrong: date) -> list[str]:
    lines = [f"No such entry is in the record {_on(desk, wrong)}. Nothing was changed."]
    place, number = entries_named.places_and_round(desk, order.said or "")
    if place is not None or number is not None:
        near = desk.store.entries.find(place=place, round=number, until=desk.on, newest_first=True, limit=2)
        lines += [f"There is {day(e.on, desk.today)}: {placed_line(e.entry)}" for e in near]
    return lines


def _on(desk: Desk, when: date) -> str:
    said = spoken_day(when, desk.today)
    return said if said in ("today", "yesterday") else f"on {said}"
