"""Dates and times as read on a phone, independent of the machine's locale."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def as_date(when: date | datetime) -> date:
    """The local date of a date or date-time."""
    return when.date() if isinstance(when, datetime) else when


def day(when: date | datetime, today: date | None = None) -> str:
    """`Fri 27 Nov`; the year is added when it is not that of today."""
    d = as_date(when)
    text = f"{_DAYS[d.weekday()]} {d.day} {_MONTHS[d.month - 1]}"
    return text if today is None or abs(d - today) < timedelta(days=180) else f"{text} {d.year}"


def short(when: date | datetime) -> str:
    """`27 Nov`."""
    d = as_date(when)
    return f"{d.day} {_MONTHS[d.month - 1]}"


def spoken_day(when: date | datetime, today: date) -> str:
    """`today`, `tomorrow`, `yesterday`, else the day with its date."""
    d = as_date(when)
    near = {0: "today", 1: "tomorrow", -1: "yesterday"}.get((d - today).days)
    return near or day(d, today)


def span(first: date | datetime, last: date | datetime) -> str:
    """`29 Nov-1 Dec`, `23-27 Nov`, or one day."""
    a, b = as_date(first), as_date(last)
    if a == b:
        return short(a)
    if (a.year, a.month) == (b.year, b.month):
        return f"{a.day}–{short(b)}"
    return f"{short(a)}–{short(b)}"


def listed(items: Iterable[str], joiner: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`."""
    parts = list(items)
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {joiner} {parts[-1]}"
