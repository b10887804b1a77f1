"""Option values shared by the commands."""

from __future__ import annotations

from datetime import date

import typer


def parse_date(value: str | None) -> date | None:
    """An ISO date, or None. A wrong one ends the command with a sentence and exit code 2."""
    if value is None:
        return None
    try:
        return date.fromisoformat(value)
    except ValueError as error:
        raise typer.BadParameter(f"{value!r} is no date. Write it as 2026-11-20.") from error
