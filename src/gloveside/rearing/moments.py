"""Local dates and times: how a moment is moved by days and hours without a clock change moving its date.

Arithmetic is done on the wall clock of the yard, never across offsets: twelve days after 20:00 is 20:00, also when the
clocks change in between. A date counts as noon.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, tzinfo

Moment = date | datetime


def wall(moment: Moment, zone: tzinfo | None = None) -> datetime:
    """The naive local wall time of a date (noon) or date-time; an aware one is first taken to `zone` where given."""
    if isinstance(moment, datetime):
        if moment.tzinfo is not None and zone is not None:
            moment = moment.astimezone(zone)
        return moment.replace(tzinfo=None)
    return datetime.combine(moment, time(12))


def day(moment: Moment) -> date:
    """The local date of a moment."""
    return moment.date() if isinstance(moment, datetime) else moment


def like(naive: datetime, model: Moment) -> Moment:
    """`naive` local wall time in the form of `model`: a date, a naive date-time or one in the model's zone.

    A wall time that a clock change skips is moved on by the skipped hour; its date stays.
    """
    if not isinstance(model, datetime):
        return naive.date()
    whole = naive.replace(second=0, microsecond=0, fold=0)
    if model.tzinfo is None:
        return whole
    aware = whole.replace(tzinfo=model.tzinfo)
    return aware.astimezone(UTC).astimezone(model.tzinfo)


def days(n: float) -> timedelta:
    """A span of `n` days (may be negative or broken)."""
    return timedelta(days=n)


def hours(n: float) -> timedelta:
    """A span of `n` hours."""
    return timedelta(hours=n)
