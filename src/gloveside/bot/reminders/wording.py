"""What a reminder says: short enough for a lock screen, with the resolved local date in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from gloveside.bot.messages import LONGEST_BUTTON_DATA, Button
from gloveside.bot.wording.days import day

LONGEST_LABEL = 40


@dataclass(frozen=True, slots=True)
class Item:
    """One step within a message. reminder_id: the row that its buttons act on; late_since: local moment, when late."""

    reminder_id: int
    subject: str
    step: str
    text: str
    on: date
    repeat: bool = False
    late_since: datetime | None = None


def heading(on: date, today: date, *, repeat: bool = False) -> str:
    """`Today, Fri 27 Nov`, `Tomorrow, …`, `Open since …`."""
    if on < today:
        return f"Open since {day(on, today)}"
    name = {0: "Today, ", 1: "Tomorrow, "}.get((on - today).days, "")
    return f"{'Still open: ' if repeat else ''}{name}{day(on, today)}"


def message(items: Sequence[Item], today: date, extra: Sequence[str] = ()) -> str:
    """The text for items of one message, one heading for each date, in order of date. extra: lines put below."""
    lines: list[str] = []
    for on in sorted({item.on for item in items}):
        group = [item for item in items if item.on == on]
        head = heading(on, today, repeat=all(item.repeat for item in group))
        if len(group) == 1 and len({item.on for item in items}) == 1:
            lines.append(f"{head}: {_one(group[0])}")
        else:
            lines.append(f"{head}:")
            lines += [f"– {_one(item)}" for item in group]
    return "\n".join([*lines, *extra])


def _one(item: Item) -> str:
    if item.late_since is None:
        return item.text
    return f"{item.text} (late: was due {day(item.late_since)} {item.late_since:%H:%M})"


def buttons(items: Sequence[Item]) -> tuple[tuple[Button, ...], ...]:
    """A row for each item: done, and later."""
    rows = []
    for item in items:
        name = "Done" if len(items) == 1 else f"Done: {item.step}, {item.subject}"[:LONGEST_LABEL]
        rows.append((Button(name, _data("d", item)), Button("Later", _data("z", item))))
    return tuple(rows)


def _data(verb: str, item: Item) -> str:
    data = f"{verb}:{item.reminder_id}"
    if len(data) > LONGEST_BUTTON_DATA:
        raise ValueError(data)
    return data
