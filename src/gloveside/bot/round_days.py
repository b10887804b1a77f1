"""The steps of rounds as days of a calendar file."""

from __future__ import annotations

from collections.abc import Iterable

from gloveside.bot.calendar_file import CalendarDay
from gloveside.bot.due import CANNOT_WAIT, HANDS, steps_due
from gloveside.bot.rounds import RoundView
from gloveside.bot.wording.days import as_date, day, span

_SHOWN = frozenset(HANDS) | {"leave alone", "emergence", "first eggs"}


def days_of(views: Iterable[RoundView]) -> list[CalendarDay]:
    """One entry for each step that wants hands or must be known, with its band, reason and source."""
    found: list[CalendarDay] = []
    for view in views:
        texts = {due.step: due.text for due in steps_due(view)}
        name = f"{view.name[:1].upper()}{view.name[1:]}"
        for step in view.calendar:
            if step.step not in _SHOWN or step.done:
                continue
            first = as_date(step.likely)
            last = as_date(step.latest) if step.step == "leave alone" else first
            band = (
                f"From {day(step.earliest)}, at the latest {day(step.latest)}." if step.earliest != step.latest else ""
            )
            found.append(
                CalendarDay(
                    key=f"{view.name} {step.step}",
                    title=f"{name}: {texts.get(step.step, step.step)}",
                    first=first,
                    last=last,
                    details="\n".join(part for part in (band, step.why, f"Source: {step.source}") if part),
                    alarm=step.step in CANNOT_WAIT,
                )
            )
    return found


def described(views: Iterable[RoundView]) -> str:
    """One line on what the file holds: `round 3, 18-30 Nov`."""
    parts = []
    for view in views:
        dates = [as_date(step.likely) for step in view.calendar]
        parts.append(f"{view.name}, {span(min(dates), max(dates))}")
    return "; ".join(parts)
