"""Putting right a note that is named without its wrong value: "alter this morning's note, the hive was 52"."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

from gloveside.bot import entries_named, kept_reply, offered, planning
from gloveside.bot.desk import Desk
from gloveside.bot.messages import Reply
from gloveside.bot.wording.days import day, spoken_day
from gloveside.bot.wording.entries import placed_line
from gloveside.extract import models as m
from gloveside.storage.corrections import value_of
from gloveside.storage.entries import KeptEntry

_FARTHEST = timedelta(days=400)
_ALSO: dict[str, tuple[str, ...]] = {
    "queen": ("queen", "result"),
    "count": ("count", "queen_cells.count"),
    "place": ("place", "places"),
}
"""The fields that may hold what an order names, where they are several."""


def put_right(desk: Desk, order: m.Order) -> Reply:
    """Find the entry that the words name and give it the value; ask where several fit, change nothing where none does.

    order: a change of `field` to `to` with the words of the note in `about` and, where one was said, its day in `on`.
    """
    if order.field is None or order.to is None or order.about is None:
        return Reply("Put what right? Say for example: alter yesterday's note of hive 14, it was hive 40.")
    unknown = isinstance(order.to, str) and re.match(r"(hive|nuc|yard) ", order.to) and desk.register.places
    if unknown and not desk.register.knows(str(order.to)):
        return Reply(
            f"{str(order.to).capitalize()} is not in the register, so nothing was changed. Say the place again."
        )
    if order.on is not None and (order.on > desk.today or desk.today - order.on > _FARTHEST):
        return Reply(f"I have no note of {day(order.on, desk.today)}. Nothing was changed.")
    found = [(e, f) for e in entries_named.meant(desk, order.about, order.on) if (f := _holding(e, order.field))]
    if not found:
        when = "" if order.on is None else f" {spoken_day(order.on, desk.today)}"
        return Reply(f"No note{when} has a {order.field.replace('_', ' ')} to put right. Nothing was changed.")
    # Entries of one note that share a place or a round carry it together: they are one choice.
    together = {e.note_id for e, _ in found}
    if len(found) == 1:
        return changed(desk, found[0][0].id, found[0][1], order.to)
    if len(together) == 1 and order.field in ("place", "round") and _one_value(found):
        return changed(desk, found[0][0].id, found[0][1], order.to, whole=True)
    question = f"{len(found)} entries fit. Which one?"
    choices = [
        (f"{day(e.on, desk.today)}: {placed_line(e.entry)}", f"c:n{e.id}.{field}:{order.to}") for e, field in found
    ]
    return offered.one_of(question, choices)


def tapped(desk: Desk, data: str) -> Reply | None:
    """One of several entries was chosen; None where the button is of another sort."""
    found = re.fullmatch(r"n(\d+)\.([a-z_.]+):([^:]+)", data)
    if found is None:
        return None
    return changed(desk, int(found[1]), found[2], _value(found[3]))


def changed(desk: Desk, entry_id: int, field: str, to: Any, *, whole: bool = False) -> Reply:
    """Give one entry (whole: all of its note that hold the same value) another value; what follows from it moves."""
    kept = desk.store.entries.get(entry_id)
    old = value_of(kept.fields, field)
    if not kept.current or old == to:
        return Reply("That was put right already.")
    was = old[0] if isinstance(old, list) else old
    if whole:
        change = desk.store.notes.change(field, to, note_id=kept.note_id, was=was, by=desk.user)
    else:
        change = desk.store.notes.change(field, to, entry_id=entry_id, was=was, by=desk.user)
    planning.refresh(desk, [e.entry for e in (*change.before, *change.after)])
    return kept_reply.for_note(desk, desk.store.notes.kept(kept.note_id), amended=True)


def _holding(kept: KeptEntry, field: str) -> str | None:
    """The field of an entry that holds what the order names, when it has one value."""
    for name in _ALSO.get(field, (field,)):
        held = value_of(kept.fields, name)
        if held is not None and not (isinstance(held, list) and len(held) != 1):
            return name
    return None


def _one_value(found: list[tuple[KeptEntry, str]]) -> bool:
    return len({str(value_of(e.fields, field)) for e, field in found}) == 1 and len({f for _, f in found}) == 1


def _value(text: str) -> Any:
    return {"True": True, "False": False}.get(text) if text in ("True", "False") else _number(text)


def _number(text: str) -> str | int | float:
    try:
        number = float(text)
    except ValueError:
        return text
    return int(number) if number.is_integer() else number
