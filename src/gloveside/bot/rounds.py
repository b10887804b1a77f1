"""A round as the conversation sees it: the row of the record, and the calendar that follows from what was done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from gloveside.bot.settings import Rearing
from gloveside.bot.wording.days import as_date
from gloveside.extract import models as m
from gloveside.rearing.calendar import STEPS, RoundCalendar, round_calendar, share_in_incubator
from gloveside.storage.entries import KeptEntry
from gloveside.storage.round_rows import PREPARED_WITHIN_DAYS, Done, RoundRow

_GRAFT_AFTER = {"excluder in": 3, "slide in": 1, "made queenless": 1, "stocked": 1}
_BOARD = frozenset({"excluder in", "slide in", "slide out"})
_AS_CALENDAR = {"cells capped": "sealed", "incubator emerged": "emergence"}
# Steps that come in several visits: the last one counts, so that what follows is worked out from it.
_LAST_COUNTS = frozenset({"splits", "plant"})
# One nuc looked at is not the round looked at: this one stays due until every planted place has its result.
_NEVER_DONE = frozenset({"laying check"})


@dataclass(frozen=True, slots=True)
class RoundView:
    """One round with its calendar. number: None while it is prepared and nothing is grafted; then `row` is bare."""

    number: int | None
    row: RoundRow
    calendar: RoundCalendar

    @property
    def cells(self) -> int | None:
        """The best count of cells to split for: ripe, else capped, else those that took."""
        row = self.row
        return next((n for n in (row.count_ripe, row.count_capped, row.taken) if n is not None), None)

    @property
    def splits(self) -> int:
        """Splits made for it so far."""
        return sum(d.count or 0 for d in self.row.done if d.step == "splits")

    @property
    def did(self) -> frozenset[str]:
        """Names of the calendar's steps that were really done."""
        return frozenset(_AS_CALENDAR.get(d.step, d.step) for d in self.row.done) - _NEVER_DONE

    @property
    def name(self) -> str:
        """`round 3`, or `the next round`."""
        return "the next round" if self.number is None else f"round {self.number}"

    def on(self, step: str) -> date:
        """The likely local date of a step. Raises KeyError for a step that the calendar lacks."""
        return as_date(self.calendar.get(step).likely)


def view(row: RoundRow, settings: Rearing, number: int | None) -> RoundView | None:
    """The round of this row; None when nothing yet dates its graft."""
    done: dict[str, date] = {}
    for d in row.done:
        step = _AS_CALENDAR.get(d.step, d.step)
        if step not in _NEVER_DONE and (step not in done or step in _LAST_COUNTS):
            done[step] = d.on
    if row.grafted is not None:
        grafted, planned = row.grafted, False
    else:
        starts = [d for d in row.done if d.step in _GRAFT_AFTER]
        if not starts:
            return None
        grafted, planned = starts[-1].on + timedelta(days=_GRAFT_AFTER[starts[-1].step]), True
    board = settings.board or row.board
    known: dict[str, Any] = {
        "board": board,
        "planned": planned,
        "done": {k: v for k, v in done.items() if k in STEPS and (board or k not in _BOARD)},
    }
    calendar = round_calendar(grafted, **known)
    incubated = row.did("incubator in")
    if incubated is not None and settings.incubator_c is not None:
        share = share_in_incubator(calendar, incubated)
        calendar = round_calendar(grafted, incubator_c=settings.incubator_c, incubator_share=share, **known)
    return RoundView(number, row, calendar)


def coming(steps: Sequence[KeptEntry], grafts: Sequence[KeptEntry], settings: Rearing, on: date) -> RoundView | None:
    """The round that the last steps at a cell builder prepare, where no graft has followed yet; else None.

    steps, grafts: the record's `builder` and `graft` entries of the last weeks, by date.
    """
    loose: list[m.Builder] = []
    for kept in steps:
        entry = kept.entry
        if not isinstance(entry, m.Builder) or entry.round is not None or entry.step == "slide out":
            continue
        followed = any(g.on >= entry.on and (entry.place is None or g.place in (None, entry.place)) for g in grafts)
        if not followed and (on - entry.on).days <= PREPARED_WITHIN_DAYS:
            loose.append(entry)
    if not loose:
        return None
    builder = next((e.place for e in reversed(loose) if e.place), None)
    done = tuple(Done(e.step, e.on, 0) for e in loose)
    board = any(e.step in _BOARD for e in loose)
    return view(RoundRow(number=0, builder=builder, board=board, done=done), settings, None)
