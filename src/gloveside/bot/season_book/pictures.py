"""The charts of a season book, as data URIs so that the file needs nothing beside it."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from datetime import date

from gloveside.bot.charts.mites import mite_chart
from gloveside.bot.charts.take import take_chart
from gloveside.bot.charts.timeline import round_timeline
from gloveside.bot.desk import Desk
from gloveside.bot.rearing_record import take_rows, washes
from gloveside.bot.season_book.contents import Contents
from gloveside.bot.thresholds import threshold_table
from gloveside.rearing.take_compare import take_by

MOST_TIMELINES = 2
MOST_MITES = 4


@dataclass(frozen=True, slots=True)
class Shown:
    """A chart with the words that stand for it where it cannot be seen."""

    src: str
    alt: str


def _shown(png: bytes, alt: str) -> Shown:
    return Shown("data:image/png;base64," + base64.b64encode(png).decode("ascii"), alt)


def timelines(desk: Desk, book: Contents) -> list[Shown]:
    """The timelines of the open rounds, or of the last round where none is open."""
    numbers = [r.number for r in book.rows if r.open][-MOST_TIMELINES:] or [r.number for r in book.rows[-1:]]
    found = []
    for n in numbers:
        view = desk.round(n)
        if view is not None:
            png = round_timeline(view.calendar, name=f"Round {n}", today=desk.today)
            found.append(_shown(png, f"Timeline of round {n}: each step with its likely day and band"))
    return found


def takes(book: Contents) -> list[Shown]:
    """The take by bar, tool and mother."""
    rows = take_rows(book.rows)
    facets = {f"by {name}": take_by(rows, name) for name in ("bar", "tool", "mother")}
    if not any(facets.values()):
        return []
    words = "; ".join(
        f"{title}: " + ", ".join(f"{g.name} {g.tally.won} of {g.tally.of}" for g in groups)
        for title, groups in facets.items()
    )
    return [_shown(take_chart(facets), f"Take {words}")]


def mites(desk: Desk, book: Contents) -> list[Shown]:
    """The hives with the most mites at their last count, with treatments marked."""
    table = threshold_table(desk.settings)
    found = []
    for place, *_ in book.mites.rows[:MOST_MITES]:
        entries = desk.store.entries.find(
            kind=["mites", "treatment"], place=place, since=_year_before(book.since), until=book.until
        )
        counts = washes(entries)
        if not counts:
            continue
        treated = [e.on for e in entries if e.kind == "treatment" and e.fields.get("step") != "out"]
        threshold = table[counts[-1][0].month].percent
        png = mite_chart(counts, threshold, treated=treated, title=place.capitalize())
        found.append(_shown(png, f"Mites of {place}: " + ", ".join(f"{on}: {c.percent:.1f} %" for on, c in counts)))
    return found


def _year_before(on: date) -> date:
    return date(on.year - 1, on.month, min(on.day, 28))
