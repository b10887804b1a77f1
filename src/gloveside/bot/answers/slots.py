"""The slots of a question: the extra ones by name, the time it is about, and how that is said back."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from gloveside.bot.desk import Desk
from gloveside.bot.wording.days import day, span
from gloveside.extract.models import Question
from gloveside.storage.entries import KeptEntry

BEGINNING = date(1900, 1, 1)


def slot(question: Question, name: str) -> Any:
    """An extra slot, or None."""
    return (question.model_extra or {}).get(name)


def as_of(desk: Desk, question: Question) -> date:
    """The local date at the end of which a state is asked for: the one said, never after today."""
    if slot(question, "state") == "not looked at":
        return desk.today
    if slot(question, "season"):
        return period(desk, question).until
    return min(question.until or question.since or desk.today, desk.today)


def past(desk: Desk, question: Question) -> bool:
    """Whether an earlier date than today is asked for."""
    return as_of(desk, question) < desk.today


def of_product(question: Question, entries: list[KeptEntry]) -> list[KeptEntry]:
    """The entries that name the product asked about; all where none was."""
    product = slot(question, "product")
    return entries if product is None else [e for e in entries if e.fields.get("product") == product]


def season_start(on: date, begins: int) -> date:
    """First day of the season that a date lies in. begins: month 1..12 of the settings (`operation.season_month`)."""
    return date(on.year if on.month >= begins else on.year - 1, begins, 1)


def season_before(start: date) -> tuple[date, date]:
    """First and last day of the season before one that starts on `start`."""
    return start.replace(year=start.year - 1), start - timedelta(days=1)


def season_name(start: date) -> str:
    """`2025/26`; `2026` where a season is a calendar year."""
    return str(start.year) if start.month == 1 else f"{start.year}/{(start.year + 1) % 100:02d}"


@dataclass(frozen=True, slots=True)
class Period:
    """The days a question is about, both included, and their name. said: False where none were named."""

    since: date
    until: date
    words: str
    said: bool


def period(desk: Desk, question: Question) -> Period:
    """The days asked about; all of the record up to today where none were said."""
    since, until = question.since, question.until
    season = slot(question, "season")
    if season is not None and since is None and until is None:
        start = season_start(desk.today, desk.settings.operation.season_month)
        for _ in range(int(season)):
            start = season_before(start)[0]
        last = season_before(start.replace(year=start.year + 2))[0] - timedelta(days=1)
        words = f"in the season {season_name(start)}" if season else "this season"
        return Period(start, min(last, desk.today), words, said=True)
    if since is None and until is None:
        return Period(BEGINNING, desk.today, "in all", said=False)
    last = min(until or desk.today, desk.today)
    first = since or BEGINNING
    return Period(first, last, _words(since, until, desk.today), said=True)


def this_season(desk: Desk) -> Period:
    """From the start of the season to today."""
    start = season_start(desk.today, desk.settings.operation.season_month)
    return Period(start, desk.today, f"this season (since {day(start, desk.today)})", said=False)


def _words(since: date | None, until: date | None, today: date) -> str:
    if since is None:
        return f"until {day(until or today, today)}"
    if until is None:
        return f"since {day(since, today)}"
    if since == until:
        return f"on {day(since, today)}"
    whole_month = since.day == 1 and until == since.replace(day=calendar.monthrange(since.year, since.month)[1])
    if whole_month:
        return f"in {calendar.month_name[since.month]} {since.year}"
    if (since.month, since.day, until.month, until.day) == (1, 1, 12, 31):
        return f"in {since.year}"
    return f"{span(since, until)} {until.year}" if until.year != today.year else span(since, until)
