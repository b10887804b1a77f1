"""Fetches recordings from the service into the record's audio folder, a few ahead of the work."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from pathlib import Path

import telegram
from telegram.error import BadRequest

from gloveside.storage.intake import IntakeRow
from gloveside.storage.store import Store

AHEAD = 3
DEADLINE = 120.0
"""Seconds for one recording, however slowly its bytes come."""


class NotHandedOver(Exception):
    """The service refuses this recording for good."""


class Downloads:
    """At most AHEAD at a time; each recording once."""

    def __init__(self, bot: telegram.Bot, store: Store, deadline: float = DEADLINE) -> None:
        self._bot = bot
        self._store = store
        self._deadline = deadline
        self._running: dict[int, asyncio.Task[Path]] = {}
        self._places = asyncio.Semaphore(AHEAD)

    def start(self, rows: Iterable[IntakeRow]) -> None:
        """Begin to fetch what these rows of the inbox will need."""
        for row in rows:
            if row.file_id is not None and row.id not in self._running and len(self._running) <= AHEAD:
                self._running[row.id] = asyncio.create_task(self._fetch(row))

    async def get(self, row: IntakeRow) -> Path:
        """The recording of a row as a file in the record. Raises NotHandedOver, telegram errors, TimeoutError."""
        if row.id not in self._running:
            self._running[row.id] = asyncio.create_task(self._fetch(row))
        try:
            return await self._running[row.id]
        finally:
            self._running.pop(row.id, None)

    async def _fetch(self, row: IntakeRow) -> Path:
        async with self._places, asyncio.timeout(self._deadline):
            try:
                described = await self._bot.get_file(row.file_id or "")
                if not (described.file_path or "").startswith(("http://", "https://")):
                    # The client takes a path that exists on this computer for a local file. Never read one.
                    raise NotHandedOver("no address for the recording")
                data = bytes(await described.download_as_bytearray())
            except BadRequest as refused:
                raise NotHandedOver(str(refused)) from None
        suffix = Path(str(row.payload.get("name") or "note.ogg")).suffix
        sha256 = await asyncio.to_thread(self._store.audio.keep, data, suffix)
        return self._store.audio.path(sha256)

    async def close(self) -> None:
        """Give up what is still being fetched."""
        for task in self._running.values():
            task.cancel()
        await asyncio.gather(*self._running.values(), return_exceptions=True)
        self._running.clear()
