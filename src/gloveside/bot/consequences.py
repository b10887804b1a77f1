"""What follows from a kept entry: the next dates and numbers, as short lines under the record."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from gloveside.bot.rounds import RoundView
from gloveside.bot.settings import Settings
from gloveside.bot.splits import splits_wanted
from gloveside.bot.wording import days
from gloveside.bot.wording.entries import count
from gloveside.extract import models as m
from gloveside.rearing.marking import YearRule, marking_colour

# Swarm watch: every 5 days at high risk (Welsh BKA guidance); emergency cells start within 2 days of the loss
# (Fell & Morse 1984), queens emerge 11.5-15 days after it.
_SWARM_LOOK = 5
_EMERGENCY = (12, 15)


@dataclass(frozen=True, slots=True)
class Known:
    """What the lines are worked out from. view_of: the round of an entry, after it was kept."""

    today: date
    settings: Settings
    view_of: Callable[[m.EntryBase], RoundView | None]


def follow(entries: Iterable[m.EntryBase], known: Known) -> list[str]:
    """Lines that follow from the entries, each once, in their order."""
    listed = list(entries)
    marked = {e.place for e in listed if isinstance(e, m.Mark)}
    told = (e for e in listed if not (isinstance(e, m.Mating) and e.place in marked))
    return list(dict.fromkeys(line for entry in told for line in _of(entry, known)))


def _of(entry: m.EntryBase, known: Known) -> list[str]:
    match entry:
        case m.Builder() | m.Graft() | m.Take() | m.Cells() | m.Split() | m.Plant() | m.Incubator():
            view = known.view_of(entry)
            return [] if view is None else _round_lines(entry, view, known)
        case m.Inspection():
            return _inspection(entry, known.today)
        case m.Mating(result="laying"):
            return [f"Mark her {_colour(entry.on, known)}; she can be sold or used"]
        case m.Mating(result="not laying" | "virgin seen"):
            return [f"Look again {days.day(entry.on + timedelta(days=4), known.today)}"]
        case m.Task(due=date() as due):
            return [f"I'll remind you {days.day(due, known.today)}"]
        case m.Sale(count=int() | float() as n, price=int() | float() as each) if n > 1:
            return [f"In all {known.settings.operation.currency}{n * each:g}"]
        case _:
            return []


def _colour(found_laying: date, known: Known) -> str:
    """The colour for a queen found laying: born about two weeks before (mean 12.9 days, Pérez-Sato 2006)."""
    rule: YearRule = "calendar" if known.settings.operation.colour_year == "calendar" else "season end"
    return marking_colour(found_laying - timedelta(days=14), rule)


def _inspection(entry: m.Inspection, today: date) -> list[str]:
    lines: list[str] = []
    cells = entry.queen_cells
    if cells is not None and cells.count != 0 and cells.type in ("swarm", None) and cells.done != "kept":
        lines.append(f"Look again for late cells by {days.day(entry.on + timedelta(days=_SWARM_LOOK), today)}")
    if entry.queen == "queenless":
        first, last = (entry.on + timedelta(days=d) for d in _EMERGENCY)
        lines.append(f"Own emergency queen: about {days.span(first, last)}")
    return lines


def _round_lines(entry: m.EntryBase, view: RoundView, known: Known) -> list[str]:
    """The steps still ahead of this round, from the entry's own step on, at most five lines."""
    today = known.today
    c = view.calendar

    on = view.on
    emerge = c.get("emergence")
    emergence = f"Queens emerge {days.day(emerge.likely, today)} ({days.span(emerge.earliest, emerge.latest)})"
    alone = c.get("leave alone")
    match entry:
        case m.Builder():
            ahead = [s for s in ("slide in", "graft", "slide out", "take check") if s in c and s not in view.did]
            return [f"{s.capitalize()} {days.day(on(s), today)}" for s in ahead if on(s) >= entry.on][:3]
        case m.Graft():
            lines = []
            if "slide out" in c and "slide out" not in view.did:
                lines.append(f"Slide out {days.day(on('slide out'), today)}")
            lines.append(f"Check the take {days.day(on('take check'), today)}")
            lines.append(f"Leave the cells alone {days.span(alone.earliest, alone.latest)}")
            return [*lines, f"Splits {days.day(on('splits'), today)}, plant {days.day(on('plant'), today)}", emergence]
        case m.Take() | m.Cells(state="open" | "capped" | None):
            return [
                f"Leave the cells alone until {days.day(alone.latest, today)}",
                _splits_line(view, on("splits"), today),
                f"Plant {days.day(on('plant'), today)}",
                emergence,
            ]
        case m.Cells(state="ripe"):
            return [_splits_line(view, on("splits"), today), f"Plant {days.day(on('plant'), today)}", emergence]
        case m.Split():
            wanted = splits_wanted(view)
            lines = [f"Plant {days.day(on('plant'), today)}"]
            if wanted is not None:
                more = wanted - view.splits
                lines.insert(0, f"{count(more, 'split')} still to make" if more > 0 else "All splits made")
            return lines
        case m.Plant():
            look = c.get("laying check")
            quiet = days.span(c.get("mating flights").earliest, look.earliest - timedelta(days=1))
            return [
                emergence,
                f"Leave the nucs shut {quiet}",
                f"First look for eggs {days.day(look.likely, today)}",
                f"No eggs by {days.day(on('write off'), today)}: write off or test",
            ]
        case m.Incubator(step="in"):
            return [emergence]
        case _:
            return []


def _splits_line(view: RoundView, on: date, today: date) -> str:
    wanted = splits_wanted(view)
    what = "as many splits as ripe cells" if wanted is None else count(wanted, "split")
    return f"Make {what} on {days.day(on, today)}"
