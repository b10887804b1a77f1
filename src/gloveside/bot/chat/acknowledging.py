"""Tells the operator within a second that a note has arrived. A courtesy: nothing here is durable or repeated.

Every new note gets a chat action at once. Where the answer will take longer than a few seconds one silent message says
how many notes were heard; it is brought up to date while more come in and removed when all are answered.
"""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Coroutine
from dataclasses import dataclass
from typing import Any

import telegram
from telegram.constants import ChatAction
from telegram.error import TelegramError

from gloveside.bot.chat import lines
from gloveside.bot.chat.redaction import redact

log = logging.getLogger(__name__)

LONG_WAIT = 12.0
"""Seconds of recordings waiting in a chat from which on a message says that they were heard."""
EDIT_EVERY = 2.0
DEADLINE = 10.0


@dataclass(slots=True)
class _Standing:
    """The message that stands in a chat, or is on its way. shown: notes it speaks of; heard: notes it should."""

    message_id: int | None = None
    shown: int = 0
    heard: int = 0
    waiting: int = 0
    seconds: float = 0.0
    updating: bool = False


class Acknowledger:
    """Used on the event loop only; its calls return at once."""

    def __init__(self, bot: telegram.Bot) -> None:
        self._bot = bot
        self._chats: dict[int, _Standing] = {}
        self._tasks: set[asyncio.Task[None]] = set()

    def heard(self, chat: int, notes: int, seconds: float) -> None:
        """New recordings came in: so many, of this length in all."""
        self._start(self._bot.send_chat_action(chat, ChatAction.TYPING))
        standing = self._chats.setdefault(chat, _Standing())
        standing.heard += notes
        standing.waiting += notes
        standing.seconds += seconds
        if (standing.seconds > LONG_WAIT or standing.waiting > 3) and not standing.updating:
            standing.updating = True
            self._start(self._update(chat, standing))

    def typed(self, chat: int) -> None:
        """A text came in."""
        self._start(self._bot.send_chat_action(chat, ChatAction.TYPING))

    def tapped(self, query: str) -> None:
        """A button was pressed: stop its spinner. An expired query is no matter."""
        self._start(self._bot.answer_callback_query(query))

    def answered(self, chat: int, open_notes: int) -> None:
        """Something was answered; so many notes of this chat are still open."""
        standing = self._chats.get(chat)
        if standing is None:
            return
        standing.waiting = open_notes
        if open_notes == 0:
            del self._chats[chat]
            if standing.message_id is not None:
                self._start(self._bot.delete_message(chat, standing.message_id))
                standing.message_id = None

    async def close(self) -> None:
        """Give up what is under way."""
        for task in list(self._tasks):
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)

    async def _update(self, chat: int, standing: _Standing) -> None:
        """Send the message, then edit it while the number grows, at most every two seconds."""
        try:
            while self._chats.get(chat) is standing and standing.shown != standing.heard:
                started = time.monotonic()
                heard = standing.heard
                text = lines.reading_many(heard)
                if standing.message_id is None:
                    message = await self._bot.send_message(chat, text, disable_notification=True)
                    standing.message_id = message.message_id
                else:
                    await self._bot.edit_message_text(text, chat, standing.message_id)
                standing.shown = heard
                if self._chats.get(chat) is not standing and standing.message_id is not None:
                    # All was answered while this was on its way.
                    await self._bot.delete_message(chat, standing.message_id)
                    return
                await asyncio.sleep(max(0.0, EDIT_EVERY - (time.monotonic() - started)))
        finally:
            standing.updating = False

    def _start(self, call: Coroutine[Any, Any, Any]) -> None:
        task = asyncio.create_task(self._quietly(call))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    @staticmethod
    async def _quietly(call: Coroutine[Any, Any, Any]) -> None:
        try:
            async with asyncio.timeout(DEADLINE * 6):
                await call
        except (TelegramError, TimeoutError) as error:
            log.debug("acknowledgement not sent: %s", redact(str(error)))
