"""One service on one record: a lock in the data folder."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

from filelock import FileLock, Timeout

FILE_NAME = "serving.lock"


class AlreadyServing(Exception):
    """Another copy serves this data folder."""


@contextlib.contextmanager
def only_one(home: Path) -> Iterator[None]:
    """Hold the folder for this process; the system frees it when the process dies. Raises AlreadyServing at once."""
    home.mkdir(parents=True, exist_ok=True)
    lock = FileLock(home / FILE_NAME)
    try:
        lock.acquire(timeout=0)
    except Timeout:
        raise AlreadyServing(
            f"Gloveside already serves {home} in another process. Stop that one first, or set GLOVESIDE_HOME."
        ) from None
    try:
        yield
    finally:
        lock.release()
