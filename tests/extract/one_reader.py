"""One reader for the tests of a file: its rules are loaded once."""

from __future__ import annotations

from datetime import date
from functools import cache

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
