"""Puts the chat service of one operation together and runs it until it is told to stop."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from datetime import timedelta

from gloveside.bot import planning, spoken
from gloveside.bot.chat import lines
from gloveside.bot.chat.only_one import only_one
from gloveside.bot.chat.redaction import guard
from gloveside.bot.chat.service import ChatService, Tuning
from gloveside.bot.chat.token import read_token
from gloveside.bot.reminders.ringing import Ringer
from gloveside.bot.wiring import Workshop
from gloveside.storage.people import Role

log = logging.getLogger(__name__)


def ringer_for(workshop: Workshop) -> Ringer:
    """The reminders of an operation, with its own quiet hours and time zone."""

    def open_steps() -> set[tuple[str, str]]:
        found = set()
        for due in workshop.desk().due_items():
            if due.entry is not None:
                found.add((f"task {due.entry}", "task"))
            elif due.step is not None:
                found.add((planning.COMING if due.round is None else f"round {due.round}", due.step))
        return found

    settings = workshop.settings
    return Ringer(workshop.store, planning.rhythm(settings), digest=settings.reminders.digest, open_steps=open_steps)


def service_for(
    workshop: Workshop, token: str, show: Callable[[str], None], tuning: Tuning | None = None
) -> ChatService:
    """The chat service of an operation, not started yet."""
    settings = workshop.settings
    speak = None
    if settings.chat.spoken_replies:
        if spoken.installed():
            speak = spoken.SpokenReplies(workshop.folder / "spoken").say
        else:
            show(f"Spoken replies are switched on, but {spoken.PROGRAM} is not installed; answers come as text only.")

    return ChatService(
        token=token,
        store=workshop.store,
        conversation=workshop.conversation,
        home=workshop.folder,
        base_url=settings.chat.base_url,
        tick=ringer_for(workshop).ring,
        speak=speak,
        show=show,
        warm_up=workshop.warm,
        tuning=tuning or Tuning(),
    )


def serve(workshop: Workshop, show: Callable[[str], None] = print) -> None:
    """Serve until SIGTERM or Ctrl-C. Raises TokenError or AlreadyServing, each with a sentence for the operator."""
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(levelname)s %(message)s")
    token = read_token(workshop.settings.chat.token_file)
    guard(token)
    with only_one(workshop.folder), workshop:
        asyncio.run(service_for(workshop, token, show).run())


def new_code(workshop: Workshop, role: Role = "helper", valid_minutes: int = 15) -> str:
    """A line for the console with a fresh one-time code that lets one more person in."""
    code = workshop.store.people.new_code(role, timedelta(minutes=valid_minutes))
    return lines.CODE_FOR_ANOTHER.format(role=role, code=code, minutes=valid_minutes)
