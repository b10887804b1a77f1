"""A round as the conversation sees it: what was done, from the entries, and the calendar that follows from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from gloveside.bot.settings import Rearing
from gloveside.extract import models as m
from gloveside.rearing.calendar import RoundCalendar, round_calendar

_PREPARED_BEFORE = timedelta(days=12)
_BOARD_OUT_AFTER = timedelta(days=4)
_GRAFT_AFTER = {"excluder in": 3, "slide in": 1, "made queenless": 1, "stocked": 1}


@dataclass(frozen=True, slots=True)
class RoundView:
    """One round. number: None while it is being prepared and nothing is grafted.

    ripe, capped: the last counts of cells said; splits, planted: totals made for this round.
    """

    number: int | None
    grafted: date
    calendar: RoundCalendar
    builder: str | None = None
    mother: str | None = None
    bars: tuple[int, ...] = ()
    larvae: int | None = None
    taken: int | None = None
    of: int | None = None
    capped: int | None = None
    ripe: int | None = None
    splits: int = 0
    planted: int = 0
    nucs: tuple[str, ...] = ()
    done: frozenset[str] = field(default_factory=frozenset)

    @property
    def cells(self) -> int | None:
        """The best count of cells to split for: ripe, else capped, else those that took."""
        return next((n for n in (self.ripe, self.capped, self.taken) if n is not None), None)

    @property
    def name(self) -> str:
        """`round 3`, or `the next round`."""
        return "the next round" if self.number is None else f"round {self.number}"


def view(number: int | None, entries: Iterable[m.EntryBase], settings: Rearing) -> RoundView | None:
    """The round made of these entries (its own, in the order they happened); None when nothing dates its graft."""
    listed: Sequence[m.EntryBase] = sorted(entries, key=lambda e: e.on)
    grafts = [e for e in listed if isinstance(e, m.Graft)]
    done: dict[str, date] = {}
    facts: dict[str, int | None] = {"taken": None, "of": None, "capped": None, "ripe": None}
    splits = planted = 0
    nucs: list[str] = []
    builder: str | None = None
    for e in listed:
        match e:
            case m.Builder():
                builder = e.place or builder
                if e.step in ("excluder in", "slide in", "slide out"):
                    done[e.step] = e.on
            case m.Graft():
                builder = e.place or builder
            case m.Take():
                done["take check"] = e.on
                facts["taken"] = e.taken if e.taken is not None else facts["taken"]
                facts["of"] = e.of if e.of is not None else facts["of"]
            case m.Cells(state="capped"):
                done.setdefault("sealed", e.on)
                facts["capped"] = e.count
            case m.Cells(state="ripe"):
                facts["ripe"] = e.count
            case m.Cells(state="open"):
                facts["taken"] = e.count if facts["taken"] is None else facts["taken"]
            case m.Split():
                done["splits"] = e.on
                splits += e.count if e.count is not None else len(e.places or ())
            case m.Plant():
                done["plant"] = e.on
                planted += e.count if e.count is not None else len(e.places or ())
                nucs.extend(e.places or ())
            case m.Incubator(step="emerged"):
                done["emergence"] = e.on
            case _:
                pass
    if grafts:
        grafted, planned = grafts[0].on, False
    else:
        starts = [e for e in listed if isinstance(e, m.Builder) and e.step in _GRAFT_AFTER]
        if not starts:
            return None
        grafted, planned = starts[-1].on + timedelta(days=_GRAFT_AFTER[starts[-1].step]), True
    board = settings.board or bool({"excluder in", "slide in", "slide out"} & done.keys())
    known = done if board else {k: v for k, v in done.items() if k not in ("excluder in", "slide in", "slide out")}
    calendar = round_calendar(
        grafted, board=board, incubator_c=settings.incubator_c if _incubated(listed) else None, planned=planned,
        done=known,
    )  # fmt: skip
    first = grafts[0] if grafts else None
    return RoundView(
        number=number,
        grafted=calendar.get("graft").likely if planned else grafted,
        calendar=calendar,
        builder=builder,
        mother=first.mother if first else None,
        bars=tuple(b for g in grafts for b in g.bars or ()),
        larvae=sum(g.larvae or 0 for g in grafts) or None,
        splits=splits,
        planted=planted,
        nucs=tuple(nucs),
        done=frozenset(done) | ({"graft"} if grafts else frozenset()),
        **facts,
    )


def _incubated(entries: Iterable[m.EntryBase]) -> bool:
    return any(isinstance(e, m.Incubator) and e.step == "in" for e in entries)


def prepared_for(entry: m.EntryBase, graft: m.Graft) -> bool:
    """Whether a builder step without a round belongs to this graft: same builder, shortly before or after it."""
    if not isinstance(entry, m.Builder) or entry.round is not None:
        return False
    same = entry.place is None or graft.place is None or entry.place == graft.place
    return same and graft.on - _PREPARED_BEFORE <= entry.on <= graft.on + _BOARD_OUT_AFTER
