"""One reader for the tests of a file: its rules are loaded once."""

from __future__ import annotations

import re
from datetime import date
from functools import cache
from typing import Any

from gloveside.extract.hearing import read_text
from gloveside.extract.models import Reading
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register

ON = date(2026, 11, 25)


@cache
def reader() -> Reader:
    """The reader with all rules."""
    return Reader()


def read(text: str) -> Reading:
    """A typed note of `ON`, read where any place is taken as said."""
    return read_text(text, reader(), on=ON, register=Register())


def entries(text: str) -> list[dict[str, Any]]:
    """Entries of a note of `ON` without notes and sureness; `on` only where it is another day."""
    dumped = (e.model_dump(mode="json", by_alias=True, exclude_none=True) for e in read(text).entries)
    made = [{k: v for k, v in d.items() if k != "sure" and (k, v) != ("on", ON.isoformat())} for d in dumped]
    return [d for d in made if d["kind"] != "note"]


def spoken(text: str) -> str:
    """The words alone, as a speech engine without stops would write them."""
    return re.sub(r"[.,;:!?]+(?=\s|$)", "", text).lower()
