"""Sends the outbox: in order within a chat, chats beside each other, marked before and after.

A row is marked `sending` before the call and `sent` after it. Only a kill between the service's acceptance and our
mark, or an answer lost on the way, can make a message go out twice; `repeats` counts how often that may have been so.
"""

from __future__ import annotations

import asyncio
import logging
import sqlite3
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import Any

import telegram
from aiolimiter import AsyncLimiter
from telegram.error import BadRequest, ChatMigrated, Forbidden, InvalidToken, NetworkError, RetryAfter, TelegramError

from gloveside.bot.chat import pauses
from gloveside.bot.chat.message_text import LONGEST_TEXT, length
from gloveside.bot.chat.outgoing import Outgoing
from gloveside.bot.chat.redaction import redact
from gloveside.bot.chat.signals import Bell
from gloveside.bot.messages import TAKE_BACK
from gloveside.storage.errors import StoreError
from gloveside.storage.outbox import OutboxRow
from gloveside.storage.store import Store

log = logging.getLogger(__name__)

LOOK_AGAIN = 5.0
LONGEST_PAUSE = 60.0
SEND_DEADLINE = 60.0
PRIVATE_CHAT = (5, 5.0)
"""Messages in seconds that we send to one person: one a second, with a short burst (Bot API FAQ: about 1 a second)."""
GROUP_CHAT = (18, 60.0)
"""The same for a group (Bot API FAQ: 20 a minute)."""
OVERALL = (25, 1.0)
"""The same for all chats together (Bot API FAQ: about 30 a second)."""
SEPARATOR = "\n\n"
HOPELESS_AFTER = 10


class Sender:
    """One loop over the outbox; a task for each chat that has something to send."""

    def __init__(
        self,
        bot: telegram.Bot,
        store: Store,
        outgoing: Outgoing,
        *,
        private_chat: tuple[float, float] = PRIVATE_CHAT,
        longest_pause: float = LONGEST_PAUSE,
    ) -> None:
        self._bot = bot
        self._store = store
        self._outgoing = outgoing
        self._private_chat = private_chat
        self._longest_pause = longest_pause
        self._overall = AsyncLimiter(*OVERALL)
        self._pace: dict[str, AsyncLimiter] = {}
        self._hurried: dict[str, asyncio.Event] = {}
        self._busy: dict[str, asyncio.Task[None]] = {}
        self.bell = Bell()
        self.repeats = 0

    def hurry(self, chat: str) -> None:
        """Somebody waits for an answer in this chat: what is queued for it goes out now, ahead of its pace."""
        self._hurried.setdefault(chat, asyncio.Event()).set()
        self.bell.ring()

    async def recover(self) -> None:
        """At start: put back what was on its way when the program ended."""
        again = await asyncio.to_thread(self._store.outbox.recover)
        self.repeats += len(again)
        if again:
            log.warning("%d message(s) were on their way when the program ended; they may arrive twice", len(again))

    async def run(self) -> None:
        """Send what is due, for ever."""
        while True:
            now = self._store.file.clock()
            for row in await asyncio.to_thread(self._store.outbox.due, now):
                if row.chat not in self._busy:
                    task = self._busy[row.chat] = asyncio.create_task(self._chat(row.chat))
                    task.add_done_callback(lambda _done, chat=row.chat: self._free(chat))  # type: ignore[misc]
            next_at = await asyncio.to_thread(self._store.outbox.next_due_at, now)
            pause = LOOK_AGAIN if next_at is None else (next_at - self._store.file.clock()).total_seconds()
            await self.bell.wait(min(LOOK_AGAIN, max(0.02, pause)))

    def _free(self, chat: str) -> None:
        task = self._busy.pop(chat, None)
        if task is not None and not task.cancelled() and (error := task.exception()) is not None:
            log.error("sending to a chat failed: %s", redact(repr(error)))
        self.bell.ring()

    async def close(self, wait: float) -> None:
        """Let the messages on their way arrive, for up to so many seconds."""
        if self._busy:
            _, late = await asyncio.wait(list(self._busy.values()), timeout=wait)
            for task in late:
                task.cancel()
            await asyncio.gather(*late, return_exceptions=True)

    # -- one chat -----------------------------------------------------------------------------------------------------

    async def _chat(self, chat: str) -> None:
        """Send the next message of a chat, or several short ones as one when they have piled up."""
        await self._turn(chat)
        await self._overall.acquire()
        following = await asyncio.to_thread(self._store.outbox.following, chat, self._store.file.clock())
        rows = together(following)
        taken = await asyncio.to_thread(self._take_up, rows) if rows else False
        if taken:
            await self._send(rows)

    async def _turn(self, chat: str) -> None:
        """Wait until this chat may have its next message, or somebody waits for an answer in it."""
        pace = self._pace.get(chat)
        if pace is None:
            pace = self._pace[chat] = AsyncLimiter(*(GROUP_CHAT if chat.startswith("-") else self._private_chat))
        hurried = self._hurried.setdefault(chat, asyncio.Event())
        waits = [asyncio.ensure_future(pace.acquire()), asyncio.ensure_future(hurried.wait())]
        try:
            await asyncio.wait(waits, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for wait in waits:
                wait.cancel()
            await asyncio.gather(*waits, return_exceptions=True)
        hurried.clear()

    def _take_up(self, rows: Sequence[OutboxRow]) -> bool:
        with self._store.together():
            marked = [self._store.outbox.mark_sending(row.id) for row in rows]
            return all(marked)

    async def _send(self, rows: Sequence[OutboxRow]) -> None:
        tries = rows[0].tries
        try:
            async with asyncio.timeout(SEND_DEADLINE):
                message = await self._call(rows)
        except RetryAfter as wait:
            await self._written(self._later, rows, pauses.asked(wait), "the service asked to wait")
        except ChatMigrated as moved:
            await self._written(self._moved, rows, moved.new_chat_id)
        except (BadRequest, Forbidden) as refused:
            log.warning("message %s refused: %s", rows[0].id, redact(str(refused)))
            await self._written(self._give_up, rows, redact(str(refused)))
        except (NetworkError, InvalidToken, TimeoutError) as error:
            # The service may have taken the message before the answer was lost: then it arrives twice.
            if isinstance(error, telegram.error.TimedOut | TimeoutError):
                self.repeats += 1
            pause = pauses.growing(tries, self._longest_pause)
            await self._written(self._later, rows, pause, redact(f"{type(error).__name__}: {error}"))
        except Exception as error:
            # A file that is gone, a chat that is no number, an answer that makes no sense: must not hold up the rest.
            why = redact(f"{type(error).__name__}: {error}")
            log.warning("message %s: %s", rows[0].id, why)
            if isinstance(error, TelegramError) and tries < HOPELESS_AFTER:
                await self._written(self._later, rows, self._longest_pause, why)
            else:
                await self._written(self._give_up, rows, why)
        else:
            # Outside of the try: a mark that fails is no message that failed.
            await self._written(self._mark_sent, rows, str(message.message_id))

    async def _written(self, write: Callable[..., None], *arguments: Any) -> None:
        """Write a mark, however often it takes: a message without its mark would hold up its chat, or go out again."""
        failures = 0
        while True:
            try:
                return await asyncio.to_thread(write, *arguments)
            except (StoreError, sqlite3.Error, OSError) as error:
                failures += 1
                if failures in (1, 10, 100):
                    log.error("the record cannot be written: %s; trying on", redact(str(error)))
                await asyncio.sleep(pauses.growing(failures, self._longest_pause))

    async def _call(self, rows: Sequence[OutboxRow]) -> telegram.Message:
        row = rows[0]
        chat = int(row.chat)
        buttons = _keyboard(rows[-1].buttons)
        reply = None
        if row.reply_to is not None:
            reply = telegram.ReplyParameters(int(row.reply_to), allow_sending_without_reply=True)
        if row.kind == "text":
            text = SEPARATOR.join(each.text for each in rows)
            return await self._bot.send_message(chat, text, reply_markup=buttons, reply_parameters=reply)
        file = self._outgoing.attachment(row.attachments[0])
        data = await asyncio.to_thread(file.path.read_bytes)
        if row.kind == "photo":
            try:
                return await self._bot.send_photo(
                    chat, data, filename=file.name, reply_markup=buttons, reply_parameters=reply
                )
            except BadRequest:
                # Too large or too long a picture for the service's own viewer: hand it over as a file.
                return await self._bot.send_document(chat, data, filename=file.name, reply_parameters=reply)
        if row.kind == "voice":
            return await self._bot.send_voice(chat, data, filename=file.name, reply_parameters=reply)
        return await self._bot.send_document(
            chat, data, filename=file.name, reply_markup=buttons, reply_parameters=reply
        )

    # -- marks --------------------------------------------------------------------------------------------------------

    def _mark_sent(self, rows: Sequence[OutboxRow], message_id: str) -> None:
        with self._store.together():
            for row in rows:
                self._store.outbox.mark_sent(row.id, message_id)

    def _later(self, rows: Sequence[OutboxRow], pause: float, why: str) -> None:
        retry_at: datetime = self._store.file.clock() + timedelta(seconds=pause)
        with self._store.together():
            for row in rows:
                self._store.outbox.mark_failed(row.id, why, retry_at)

    def _give_up(self, rows: Sequence[OutboxRow], why: str) -> None:
        with self._store.together():
            for row in rows:
                self._store.outbox.mark_failed(row.id, why, None)

    def _moved(self, rows: Sequence[OutboxRow], new_chat: int) -> None:
        old = rows[0].chat
        with self._store.together():
            self._later(rows, 0.0, "the group has a new number")
            self._store.outbox.move_chat(old, str(new_chat))
            self._store.people.move_group(old, str(new_chat))


def together(rows: Sequence[OutboxRow]) -> list[OutboxRow]:
    """The rows from the first on that can go out as one message: plain texts that fit, with the last one's buttons.

    A button that only takes back its note is dropped where a later answer follows: it would do nothing any more.
    Other buttons end the message. One that was tried before goes alone.
    """
    taken: list[OutboxRow] = []
    used = 0
    for row in rows:
        size = length(row.text) + length(SEPARATOR)
        if taken and (row.kind != "text" or row.tries or used + size > LONGEST_TEXT):
            break
        taken.append(row)
        used += size
        if row.kind != "text" or row.tries or not _only_takes_back(row.buttons):
            break
    return taken


def _only_takes_back(rows: list[list[dict[str, str]]]) -> bool:
    return all(button["data"].startswith(TAKE_BACK) for row in rows for button in row)


def _keyboard(rows: list[list[dict[str, str]]]) -> telegram.InlineKeyboardMarkup | None:
    if not rows:
        return None
    return telegram.InlineKeyboardMarkup(
        [[telegram.InlineKeyboardButton(b["label"], callback_data=b["data"]) for b in row] for row in rows]
    )
