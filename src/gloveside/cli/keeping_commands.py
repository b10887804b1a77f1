"""`gloveside due`: what is due, from the record."""

from __future__ import annotations

from datetime import timedelta
from typing import Annotated

import typer

from gloveside.cli.options import parse_date


def due(
    days: Annotated[int, typer.Option("--days", min=0, max=400, help="How many days ahead.")] = 14,
    on: Annotated[str | None, typer.Option("--on", help="As seen on this local date (ISO).")] = None,
) -> None:
    """List what is due."""
    from gloveside.bot.answers.lists import due as due_answer
    from gloveside.bot.console import wrapped
    from gloveside.bot.wiring import Workshop
    from gloveside.extract.models import Question

    with Workshop.at_home() as workshop:
        desk = workshop.desk(parse_date(on))
        question = Question(ask="due", until=desk.today + timedelta(days=days))
        print(wrapped(due_answer(desk, question)))


def register(app: typer.Typer) -> None:
    """Add these commands to the app."""
    app.command()(due)
