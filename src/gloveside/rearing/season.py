"""Rounds laid out over a season under what the builders can carry and the nucs can hold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Literal

from gloveside.rearing import sources as src
from gloveside.rearing.calendar import EMERGES, round_calendar
from gloveside.rearing.chance import LAYING_PRIOR, Beta, at_least, certainty_words, check_certainty, tries_needed
from gloveside.rearing.development import Band
from gloveside.rearing.emergence import FIRST_EGGS
from gloveside.rearing.hints import occupied
from gloveside.rearing.mating_watch import CATCH_FROM
from gloveside.rearing.moments import day
from gloveside.rearing.steps import RoundCalendar

Forage = Literal["dearth", "fair", "flow"]
CAPACITY: dict[Forage, Band] = {
    "dearth": Band(15, 18, 20, src.PENN_STATE),
    "fair": Band(15, 24, 45, src.ABD_2011, (src.MONTY_2014,)),
    "flow": Band(24, 45, 100, src.PENN_STATE, (src.ABD_2011,)),
}
"""Cells that one builder raises at a time. Over 100 were raised in a peak flow; about 15 gave heavy queens."""


def builders_for(cells: int, forage: Forage = "fair") -> tuple[int, int]:
    """Cell builders to carry so many cells at a time: (likely, at most). Source: the capacities above."""
    band = CAPACITY[forage]
    return ceil(cells / band.likely), ceil(cells / band.low)


@dataclass(frozen=True, slots=True)
class PlannedRound:
    """One round of the plan: larvae to graft, ripe cells to expect, nucs to stock, laying queens to expect."""

    number: int
    builder: str
    graft: date
    larvae: int
    cells: int
    nucs: int
    queens: float
    calendar: RoundCalendar


@dataclass(frozen=True, slots=True)
class SeasonPlan:
    """The rounds in order of their grafts, what they add up to, and which limit held the plan back (if any).

    reached: chance of at least `queens` laying queens. expected: mean number of laying queens.
    binds: `nucs`, `builders`, `days` (the season is too short) or None when the wish is met.
    """

    rounds: tuple[PlannedRound, ...]
    queens: int
    sure: float
    reached: float
    expected: float
    binds: Literal["nucs", "builders", "days"] | None

    @property
    def words(self) -> str:
        """The chance in plain words."""
        return certainty_words(self.reached)


def queens_by(by: date) -> tuple[date, date]:
    """Last graft days for laying queens by a date: (for the mean first eggs, for the latest usual first eggs).

    Source: emergence G+12 (11-13), first eggs E+12.9 (8-21).
    """
    mean = EMERGES + ceil(FIRST_EGGS[1])
    late = EMERGES + 1 + ceil(FIRST_EGGS[2])
    return by - timedelta(days=mean), by - timedelta(days=late)


def plan_season(
    queens: int,
    sure: float,
    first_graft: date,
    by: date,
    *,
    builders: Sequence[str] = ("builder 1",),
    nucs: int = 24,
    cells_share: float = 0.76,
    laying: Beta | None = None,
    forage: Mapping[int, Forage] | None = None,
    capacity: Mapping[Forage, float] | None = None,
    board: bool = True,
    incubator: bool = False,
    away: frozenset[date] = frozenset(),
    rest_days: int = 0,
) -> SeasonPlan:
    """Lay out rounds from `first_graft` so that at least `queens` lay by `by` with certainty `sure`.

    builders: names; each carries one round at a time, from the excluder to the cells going out (to the cap with an
    incubator), then rests `rest_days`. nucs: mating nucs there are; each is taken from its split until its queen is
    caught at 21 days of age. cells_share: ripe cells of larvae. laying: share of ripe cells that lay (default the
    literature). forage: month -> state, for the capacity of a builder (default `fair`). away: no graft on these days
    nor planting ten days after. Nucs share their weather, hence the beta-binomial. ValueError for impossible input.
    """
    if queens < 1 or nucs < 1 or not builders:
        raise ValueError("Say how many queens, with at least one builder and one nuc.")
    if not 0 < cells_share <= 1:
        raise ValueError("The share of larvae that become ripe cells lies between 0 and 1.")
    sure = check_certainty(sure)
    last_graft, _ = queens_by(by)
    if first_graft > last_graft:
        raise ValueError(
            f"Too late for laying queens by {by.isoformat()}: the last graft would be on {last_graft.isoformat()}."
        )
    laying = laying or LAYING_PRIOR.beta
    carries = {name: float(capacity[name]) if capacity else CAPACITY[name].likely for name in CAPACITY}
    target = tries_needed(queens, sure, laying)
    free_builder = {name: first_graft - timedelta(days=3 if board else 0) for name in builders}
    busy: list[tuple[date, date, int]] = []
    rounds: list[PlannedRound] = []
    total = 0
    nuc_bound = False
    graft = first_graft
    while graft <= last_graft and total < target:
        plan = round_calendar(graft, board=board)
        start, out = occupied(plan, incubator=incubator)
        split, plant = day(plan.get("splits").likely), day(plan.get("plant").likely)
        ready = [name for name in builders if free_builder[name] <= start]
        held = sum(n for a, b, n in busy if a <= split < b)
        if graft not in away and plant not in away:
            for name in ready:
                room = min(nucs - held, target - total)
                if room < 1:
                    nuc_bound = nuc_bound or target > total
                    break
                most = carries[(forage or {}).get(graft.month, "fair")]
                cells = min(room, int(most))
                nuc_bound = nuc_bound or (nucs - held < min(most, target - total))
                caught = day(plan.get("emergence").likely) + timedelta(days=CATCH_FROM)
                busy.append((split, caught, cells))
                held += cells
                total += cells
                free_builder[name] = out + timedelta(days=rest_days)
                larvae = ceil(cells / cells_share)
                rounds.append(
                    PlannedRound(len(rounds) + 1, name, graft, larvae, cells, cells, cells * laying.mean, plan)
                )
        graft += timedelta(days=1)
    reached = at_least(queens, total, laying)
    binds: Literal["nucs", "builders", "days"] | None = None
    if total < target:
        binds = "nucs" if nuc_bound else ("days" if len(rounds) <= len(builders) else "builders")
    return SeasonPlan(tuple(rounds), queens, sure, reached, total * laying.mean, binds)
