"""Works off the inbox: notes one at a time in a worker thread, questions and taps in a second one to be quick.

The answer is queued and the inbox row is marked done in one unit of work, so each note is answered once. Order is kept
within a chat; a typed question waits a moment for the notes before it, then overtakes them and says so.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from telegram.error import NetworkError, RetryAfter, TelegramError

from gloveside.bot.chat import lines, pauses
from gloveside.bot.chat.admission import QUESTION, TAP, TEXT, VOICE
from gloveside.bot.chat.downloads import Downloads, NotHandedOver
from gloveside.bot.chat.lane import Lane
from gloveside.bot.chat.outgoing import Outgoing
from gloveside.bot.chat.port import Conversation
from gloveside.bot.chat.redaction import redact
from gloveside.bot.chat.signals import Bell
from gloveside.bot.messages import Incoming, Reply
from gloveside.storage.intake import IntakeRow
from gloveside.storage.store import Store

log = logging.getLogger(__name__)

QUICK = (QUESTION, TAP)
SLOW = (VOICE, TEXT)
PATIENCE = 0.5
"""Seconds for which a question waits for the notes before it."""
LOOK_AHEAD = 6
"""Messages among which recordings are fetched before their turn."""
LOOK_AGAIN = 1.0
LONGEST_PAUSE = 60.0


class Work:
    """Two loops over the inbox.

    answered: called on the event loop after each answer, with the chat and whether somebody waits for it right now.
    """

    def __init__(
        self,
        store: Store,
        conversation: Conversation,
        downloads: Downloads,
        outgoing: Outgoing,
        *,
        answered: Callable[[int, bool], None],
        speak: Callable[[str], Path | None] | None = None,
        patience: float = PATIENCE,
        longest_pause: float = LONGEST_PAUSE,
    ) -> None:
        self._store = store
        self._conversation = conversation
        self._downloads = downloads
        self._outgoing = outgoing
        self._answered = answered
        self._speak = speak
        self._patience = patience
        self._ear = Lane("ear")
        self._quick = Lane("quick")
        self.slow_bell = Bell()
        self.quick_bell = Bell()
        self._done_bell = asyncio.Condition()
        self._closing = False
        self._longest_pause = longest_pause
        self._troubles: dict[int, int] = {}
        self._warming: asyncio.Task[None] | None = None

    def wake(self) -> None:
        """Something new is in the inbox."""
        self.slow_bell.ring()
        self.quick_bell.ring()

    def warm_up(self, call: Callable[[], None]) -> None:
        """Run this in the ear's thread before the first note."""
        self._warming = asyncio.create_task(self._warm(call))

    async def _warm(self, call: Callable[[], None]) -> None:
        try:
            await self._ear.call(call)
        except Exception as error:
            # The first note will meet the same trouble and say so in the chat.
            log.warning("not ready to hear: %s", redact(str(error)))

    async def recover(self) -> None:
        """At start: take up again what was in work when the program ended."""
        again = await asyncio.to_thread(self._store.intake.recover)
        if again:
            log.info("%d message(s) were in work when the program ended; working on them again", len(again))

    async def run_slow(self) -> None:
        """Notes and typed text, in order, for ever."""
        served: str | None = None
        while not self._closing:
            row = await asyncio.to_thread(self._store.intake.claim, self._now(), exclude_kinds=QUICK, after_chat=served)
            if row is None:
                await self.slow_bell.wait(LOOK_AGAIN)
                continue
            served = row.chat
            await self._start_downloads()
            await self._one(row, self._ear)

    async def run_quick(self) -> None:
        """Taps and questions, for ever."""
        while not self._closing:
            row = await asyncio.to_thread(self._store.intake.claim, self._now(), exclude_kinds=SLOW)
            if row is None:
                await self.quick_bell.wait(LOOK_AGAIN)
                continue
            await self._one(row, self._quick)

    async def close(self, tasks: Sequence[asyncio.Task[None]], wait: float) -> None:
        """Let the note in hand be finished for up to so many seconds; what is not, is taken up at the next start."""
        self._closing = True
        self.wake()
        _, late = await asyncio.wait(tasks, timeout=wait)
        for task in late:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)
        if self._warming is not None:
            self._warming.cancel()
            await asyncio.gather(self._warming, return_exceptions=True)
        await self._downloads.close()
        self._ear.close()
        self._quick.close()

    # -- one row ------------------------------------------------------------------------------------------------------

    def _now(self) -> datetime:
        return self._store.file.clock()

    async def _start_downloads(self) -> None:
        pending = await asyncio.to_thread(self._store.intake.pending, limit=LOOK_AHEAD)
        self._downloads.start(row for row in pending if row.kind == VOICE)

    async def _one(self, row: IntakeRow, lane: Lane) -> None:
        try:
            waiting = await self._wait_for_earlier(row) if row.kind == QUESTION else 0
            said = await self._incoming(row)
            reply = await lane.call(self._conversation.hear, said)
            if self._speak is not None and reply.text and row.kind == VOICE and reply.voice is None:
                reply = replace(reply, voice=await lane.call(self._speak, reply.text))
            if waiting:
                reply = replace(reply, text=f"{reply.text}\n{lines.still_reading(waiting)}")
            await asyncio.to_thread(self._finish, row, reply)
            self._troubles.pop(row.id, None)
        except NotHandedOver as refused:
            log.warning("recording of message %s not handed over: %s", row.id, refused)
            await asyncio.to_thread(self._finish, row, Reply(lines.NO_DOWNLOAD))
        except (TelegramError, TimeoutError) as error:
            await asyncio.to_thread(self._put_back, row, error)
        except asyncio.CancelledError:
            raise
        except Exception as error:
            log.exception("working on message %s failed", row.id)
            await asyncio.to_thread(self._failed, row, error)
        self._answered(int(row.chat), row.kind in QUICK)
        async with self._done_bell:
            self._done_bell.notify_all()

    async def _wait_for_earlier(self, row: IntakeRow) -> int:
        """Wait a moment for the notes before a question; how many are still open after it."""
        end = time.monotonic() + self._patience
        while True:
            earlier = await asyncio.to_thread(self._store.intake.open_count, row.chat, SLOW, row.id)
            left = end - time.monotonic()
            if not earlier or left <= 0:
                return earlier
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(left), self._done_bell:
                    await self._done_bell.wait()

    async def _incoming(self, row: IntakeRow) -> Incoming:
        audio = await self._downloads.get(row) if row.kind == VOICE else None
        return Incoming(
            chat=int(row.chat),
            user=int(row.user),
            message_id=int(row.message_id or 0),
            spoken_at=row.sent_at,
            received_at=self._now(),
            text=row.text,
            audio=audio,
            tap=str(row.payload["tap"]) if row.kind == TAP else None,
            amends=int(row.message_id) if row.edited_at is not None and row.message_id else None,
        )

    def _finish(self, row: IntakeRow, reply: Reply) -> None:
        """Answer queued and row done: both or neither."""
        reply_to = int(row.message_id) if row.kind == VOICE and row.message_id else None
        with self._store.together():
            self._outgoing.queue(int(row.chat), reply, key=f"answer:{row.id}", reply_to=reply_to)
            self._store.intake.mark_done(row.id, reply.note_id)

    def _put_back(self, row: IntakeRow, error: Exception) -> None:
        """The service or the network is to blame: try again later, without end. What is behind it in the chat waits."""
        if isinstance(error, RetryAfter):
            pause = pauses.asked(error)
        else:
            self._troubles[row.id] = self._troubles.get(row.id, 0) + 1
            pause = pauses.growing(self._troubles[row.id], self._longest_pause)
        if not isinstance(error, NetworkError | RetryAfter | TimeoutError):
            log.warning("fetching message %s: %s", row.id, redact(str(error)))
        self._store.intake.wait(
            row.id, redact(f"{type(error).__name__}: {error}"), self._now() + timedelta(seconds=pause)
        )

    def _failed(self, row: IntakeRow, error: Exception) -> None:
        retry_at = self._now() + timedelta(seconds=2.0 * row.tries)
        if not self._store.intake.mark_failed(row.id, redact(f"{type(error).__name__}: {error}"), retry_at):
            self._give_up(row)

    def _give_up(self, row: IntakeRow) -> None:
        self._outgoing.queue(
            int(row.chat), Reply(lines.UNREADABLE), key=f"answer:{row.id}", reply_to=int(row.message_id or 0) or None
        )
