"""How moments and dates stand in the file: UTC text of fixed width, so that text order is time order."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import overload

Clock = Callable[[], datetime]
"""Gives the present moment, aware."""


def utc_now() -> datetime:
    """The present moment in UTC: the clock of a store that was given none."""
    return datetime.now(UTC)


@overload
def moment_text(moment: datetime) -> str: ...
@overload
def moment_text(moment: None) -> None: ...
def moment_text(moment: datetime | None) -> str | None:
    """An aware moment as `YYYY-MM-DDTHH:MM:SS.ffffff+00:00`; a naive one raises ValueError."""
    if moment is None:
        return None
    if moment.tzinfo is None:
        raise ValueError(f"{moment!r} has no time zone; the record keeps only moments that have one")
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


@overload
def moment_from(text: str) -> datetime: ...
@overload
def moment_from(text: None) -> None: ...
def moment_from(text: str | None) -> datetime | None:
    """The moment written by `moment_text`, in UTC."""
    return None if text is None else datetime.fromisoformat(text)


@overload
def date_from(text: str) -> date: ...
@overload
def date_from(text: None) -> None: ...
def date_from(text: str | None) -> date | None:
    """A local date written as ISO text."""
    return None if text is None else date.fromisoformat(text)
