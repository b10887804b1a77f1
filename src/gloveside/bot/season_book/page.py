"""A season book as one HTML page."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from gloveside.bot.desk import Desk
from gloveside.bot.season_book import pictures
from gloveside.bot.season_book.contents import contents
from gloveside.bot.wording.days import short

_FOLDER = Path(__file__).resolve().parent


def _dated(on: date) -> str:
    return f"{short(on)} {on.year}"


def season_book(desk: Desk, since: date, until: date) -> str:
    """The HTML of a book over local dates, both included. It asks for nothing outside itself."""
    book = contents(desk, since, until)
    environment = Environment(
        loader=FileSystemLoader(_FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["dated"] = _dated
    return environment.get_template("page.html").render(
        book=book,
        timelines=pictures.timelines(desk, book),
        takes=pictures.takes(book),
        mites=pictures.mites(desk, book),
    )
