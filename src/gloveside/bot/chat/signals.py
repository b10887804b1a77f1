"""How the parts of the service wake each other."""

from __future__ import annotations

import asyncio
import contextlib


class Bell:
    """Something to wait for with a deadline; rung from the event loop."""

    def __init__(self) -> None:
        self._event = asyncio.Event()

    def ring(self) -> None:
        """Wake whoever waits, or the next to wait."""
        self._event.set()

    async def wait(self, seconds: float) -> None:
        """Return when the bell rang since the last wait, or after so many seconds."""
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self._event.wait(), max(0.0, seconds))
        self._event.clear()
