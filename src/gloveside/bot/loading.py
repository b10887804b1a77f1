"""Loading modules and rules without the garbage collector, which would look through all of them again and again."""

from __future__ import annotations

import gc
import threading
from collections.abc import Iterator
from contextlib import contextmanager

_lock = threading.Lock()
_open = 0
_was_on = True


@contextmanager
def loading() -> Iterator[None]:
    """No garbage is collected in here: what is loaded stays, and looking for garbage takes a tenth of a cold start.

    May be entered again inside and from several threads; collection goes on when the last one leaves.
    """
    global _open, _was_on
    with _lock:
        if _open == 0:
            _was_on = gc.isenabled()
            gc.disable()
        _open += 1
    try:
        yield
    finally:
        with _lock:
            _open -= 1
            if _open == 0 and _was_on:
                gc.enable()
