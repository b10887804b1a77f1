"""`gloveside serve` and `gloveside pair`: the chat service, and who may speak to it."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from gloveside.bot.wiring import Workshop


def serve() -> None:
    """Serve the chat until stopped (SIGTERM, Ctrl-C). The token comes from GLOVESIDE_TOKEN or a private file."""
    import asyncio
    import logging

    from gloveside.bot.chat.only_one import AlreadyServing, only_one
    from gloveside.bot.chat.redaction import guard
    from gloveside.bot.chat.service import ChatService
    from gloveside.bot.chat.token import TokenError, read_token
    from gloveside.bot.planning import rhythm
    from gloveside.bot.reminders.ringing import Ringer
    from gloveside.bot.wiring import Workshop

    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(levelname)s %(name)s: %(message)s")
    with Workshop.at_home() as workshop:
        try:
            token = read_token(workshop.settings.chat.token_file)
            guard(token)
            with only_one(workshop.folder):
                ringer = Ringer(workshop.store, rhythm(workshop.settings), workshop.settings.reminders.digest)
                service = ChatService(
                    token,
                    workshop.store,
                    workshop.conversation,
                    workshop.folder,
                    base_url=workshop.settings.chat.base_url,
                    tick=ringer.ring,
                    speak=None,
                )
                _offer_code(workshop)
                workshop.ear.warm()
                asyncio.run(service.run())
        except (TokenError, AlreadyServing) as trouble:
            print(trouble, file=sys.stderr)
            raise typer.Exit(1) from trouble


def _offer_code(workshop: Workshop) -> None:
    """While nobody is paired, show a code: nobody is heard before one was sent."""
    if not workshop.store.people.all():
        code = workshop.store.people.new_code("owner")
        print(f"Nobody is paired yet. Send this to the bot within 15 minutes: {code}", flush=True)


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
