"""`gloveside serve` and `gloveside pair`: the chat service, and who may speak to it."""

from __future__ import annotations

import sys
from typing import Annotated

import typer


def serve() -> None:
    """Serve the chat until stopped (SIGTERM, Ctrl-C). The token comes from GLOVESIDE_TOKEN or a private file."""
    from gloveside.bot.chat.only_one import AlreadyServing
    from gloveside.bot.chat.start import serve as serve_until_stopped
    from gloveside.bot.chat.token import TokenError
    from gloveside.bot.wiring import Workshop

    try:
        serve_until_stopped(Workshop.at_home(), lambda line: print(line, flush=True))
    except (TokenError, AlreadyServing) as trouble:
        print(trouble, file=sys.stderr)
        raise typer.Exit(1) from trouble


def pair(
    helper: Annotated[bool, typer.Option("--helper", help="For a helper instead of an owner.")] = False,
) -> None:
    """Show a one-time code that lets one person speak to the bot."""
    from gloveside.bot.wiring import Workshop

    with Workshop.at_home() as workshop:
        code = workshop.store.people.new_code("helper" if helper else "owner")
        print(f"Send this to the bot within 15 minutes: {code}")


def register(app: typer.Typer) -> None:
    """Add these commands to the app."""
    app.command()(serve)
    app.command()(pair)
