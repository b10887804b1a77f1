"""Fetches updates and confirms them to the service only after they are in the record.

The service counts an update as delivered when the next call names a higher offset. That call is made here after the
commit, so a kill at any instant leaves each update either in the record or with the service (then it comes again, and
the record knows it).
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from typing import Any

import telegram
from telegram.error import Conflict, InvalidToken, RetryAfter, TelegramError

from gloveside.bot.chat import pauses
from gloveside.bot.chat.admission import Admission, Admitted
from gloveside.bot.chat.redaction import redact
from gloveside.bot.chat.updates import ALLOWED, update_id
from gloveside.storage.store import Store

log = logging.getLogger(__name__)

LONG_POLL = 25
"""Seconds for which the service holds a call when nothing is new."""
READ_MARGIN = 10.0
LONGEST_PAUSE = 30.0
SECOND_COPY = (
    "Another program fetches this bot's messages (409). Stop the other copy; until then notes go to one or the other."
)


class Poller:
    """One loop. admitted: called on the event loop after each commit."""

    def __init__(
        self,
        bot: telegram.Bot,
        store: Store,
        admission: Admission,
        admitted: Callable[[Admitted], None],
        *,
        long_poll: int = LONG_POLL,
        longest_pause: float = LONGEST_PAUSE,
    ) -> None:
        self._bot = bot
        self._store = store
        self._admission = admission
        self._admitted = admitted
        self._long_poll = long_poll
        self._longest_pause = longest_pause
        self.offset: int | None = None
        self.confirmed_offset: int | None = None

    async def run(self) -> None:
        """Fetch, commit, go on, for ever. Raises InvalidToken when the service no longer knows the token."""
        failures = 0
        conflict = False
        while True:
            try:
                batch = await self.fetch(self._long_poll)
                if conflict:
                    log.info("Alone again: fetching messages.")
                conflict, failures = False, 0
            except InvalidToken:
                raise
            except Conflict:
                if not conflict:
                    log.error(SECOND_COPY)
                conflict = True
                failures += 1
                await asyncio.sleep(min(self._longest_pause, 2.0 * failures))
                continue
            except RetryAfter as wait:
                await asyncio.sleep(pauses.asked(wait))
                continue
            except (TelegramError, TimeoutError) as error:
                failures += 1
                if failures in (1, 10, 100):
                    log.warning("no messages from the service (%s); trying on", redact(str(error)))
                await asyncio.sleep(pauses.growing(failures, self._longest_pause))
                continue
            if batch and not await self.take(batch):
                failures += 1
                await asyncio.sleep(min(self._longest_pause, 1.0 * failures))

    async def fetch(self, seconds: int) -> list[Any]:
        """One call for raw updates; confirms those before our offset.

        Raw, because one update that the client library cannot parse would otherwise block all that come after it.
        (Method names of the Bot API are case-insensitive; in this spelling the library hands the result through.)
        """
        arguments = {"timeout": seconds, "limit": 100, "allowed_updates": list(ALLOWED)}
        if self.offset is not None:
            arguments["offset"] = self.offset
        async with asyncio.timeout(seconds + READ_MARGIN * 3):
            got = await self._bot.do_api_request(
                "getupdates", api_kwargs=arguments, read_timeout=seconds + READ_MARGIN, return_type=None
            )
        self.confirmed_offset = self.offset
        return got if isinstance(got, list) else []

    async def take(self, batch: list[Any]) -> bool:
        """Commit a batch, then move the offset; False when the record could not be written (nothing is confirmed)."""
        try:
            result = await asyncio.to_thread(self._admission.admit, batch, self._store.file.clock())
        except Exception as error:
            log.error(
                "messages could not be written to the record: %s. They stay with the service.", redact(str(error))
            )
            return False
        numbers = [n for n in map(update_id, batch) if n is not None]
        if numbers:
            self.offset = max(numbers) + 1
        self._admitted(result)
        return True

    async def confirm(self) -> None:
        """At a clean stop: tell the service what is in the record, so that it is not sent again."""
        if self.offset is None or self.confirmed_offset == self.offset:
            return
        batch = await self.fetch(0)
        if batch:
            await self.take(batch)
