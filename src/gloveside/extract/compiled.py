"""Compiled rules, kept beside the rule files as Python keeps compiled modules, so that a start need not compile them.

A file belongs to one state of the rule files and of the modules that compile them; any change of these makes it anew.
Where nothing can be written (a package folder of another user) all works as before, a second slower at the start.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import sys
import tempfile
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import TypeVar

Made = TypeVar("Made")
ROOM = Path(__file__).parent


def state_of(room: Path) -> str:
    """A mark of all modules and rule files of a folder: names, sizes and times of change."""
    mark = hashlib.sha256(sys.version.encode())
    for path in sorted([*room.glob("*.py"), *(room / "data").glob("*/*.yaml")]):
        stat = path.stat()
        mark.update(f"{path.relative_to(room)} {stat.st_size} {stat.st_mtime_ns}\n".encode())
    return mark.hexdigest()[:16]


@cache
def _state() -> str:
    return state_of(ROOM)


def kept(name: str, make: Callable[[], Made], folder: Path | None = None, state: str | None = None) -> Made:
    """What `make` gives, from the file of this state where there is one, else made and written for the next start.

    name: of the file. folder, state: for tests; by default the package's own `data/__pycache__` and its state.
    """
    folder = folder or ROOM / "data" / "__pycache__"
    path = folder / f"{name}-{state or _state()}.pickle"
    try:
        made: Made = pickle.loads(path.read_bytes())  # noqa: S301 - ours, as trusted as the compiled modules beside it
    except Exception:  # absent, cut short, of another Python: whatever it is, it is made anew
        made = make()
        with suppress(OSError):
            _write(path, name, pickle.dumps(made, pickle.HIGHEST_PROTOCOL))
    return made


def _write(path: Path, name: str, content: bytes) -> None:
    """Whole or not at all; files of older states go."""
    path.parent.mkdir(exist_ok=True)
    handle, draft = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
    Path(draft).chmod(0o644)
    Path(draft).replace(path)
    for old in path.parent.glob(f"{name}-*.pickle"):
        if old != path:
            old.unlink(missing_ok=True)
