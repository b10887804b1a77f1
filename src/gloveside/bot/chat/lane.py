"""One worker thread for work that must not hold up the event loop, such as recognition."""

from __future__ import annotations

import asyncio
import queue
import threading
from collections.abc import Callable
from concurrent.futures import Future
from typing import Any, TypeVar

T = TypeVar("T")


class Lane:
    """Runs calls one after another in a thread of its own: a daemon, so that a stuck call cannot hold up the end."""

    def __init__(self, name: str) -> None:
        self._calls: queue.SimpleQueue[tuple[Future[Any], Callable[..., Any], tuple[Any, ...]] | None] = (
            queue.SimpleQueue()
        )
        self._thread = threading.Thread(target=self._run, name=name, daemon=True)
        self._thread.start()

    def _run(self) -> None:
        while (item := self._calls.get()) is not None:
            future, call, arguments = item
            if not future.set_running_or_notify_cancel():
                continue
            try:
                future.set_result(call(*arguments))
            except BaseException as error:
                future.set_exception(error)

    async def call(self, call: Callable[..., T], *arguments: Any) -> T:
        """Run the call in the lane's thread and give its result."""
        future: Future[T] = Future()
        self._calls.put((future, call, arguments))
        return await asyncio.wrap_future(future)

    def close(self, wait: float = 0.0) -> bool:
        """Take no more calls; wait up to so many seconds for the thread to end, and say whether it did."""
        self._calls.put(None)
        self._thread.join(wait)
        return not self._thread.is_alive()
