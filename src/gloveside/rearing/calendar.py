"""The calendar of a round: from the graft to the laying queen, each step with its band, reason and source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from gloveside.rearing import sources as src
from gloveside.rearing.development import cool_delay_hours, larva_shift_hours
from gloveside.rearing.moments import Moment, day, days, hours, like, wall

STEPS: tuple[str, ...] = (
    "excluder in",
    "slide in",
    "graft",
    "slide out",
    "take check",
    "sealed",
    "leave alone",
    "splits",
    "plant",
    "emergence",
    "mating flights",
    "first eggs",
    "laying check",
    "write off",
)
BOARD_STEPS = frozenset({"excluder in", "slide in", "slide out"})

EXCLUDER_BEFORE, SLIDE_BEFORE = 3, 1
RIPE, RIPE_LATEST, EMERGES = 10, 11, 12
FLIGHTS = (5.0, 7.0, 10.0)
FIRST_EGGS = (8.0, 12.9, 21.0)
LAYING_CHECK = (12, 14, 18)
WRITE_OFF = (21, 25, 28)


@dataclass(frozen=True, slots=True)
class Step:
    """One step. earliest <= likely <= latest are local dates, or date-times where the graft's time was given.

    `leave alone` is a span: `earliest` and `likely` are its first day, `latest` its last. `done`: it was really done
    (or seen) then, so the three are the same.
    """

    step: str
    earliest: Moment
    likely: Moment
    latest: Moment
    why: str
    source: str
    done: bool = False

    def to_json(self) -> dict[str, Any]:
        """The step in the form of the contract: step, earliest, likely, latest, why, source (and done, when so)."""
        out: dict[str, Any] = {
            "step": self.step,
            "earliest": self.earliest.isoformat(),
            "likely": self.likely.isoformat(),
            "latest": self.latest.isoformat(),
            "why": self.why,
            "source": self.source,
        }
        if self.done:
            out["done"] = True
        return out


@dataclass(frozen=True, slots=True)
class RoundCalendar:
    """The steps of one round, in the order of the work."""

    steps: tuple[Step, ...]

    def get(self, name: str) -> Step:
        """The step of that name; KeyError when the round has no such step (say, a slide without a board)."""
        for step in self.steps:
            if step.step == name:
                return step
        raise KeyError(name)

    def __contains__(self, name: object) -> bool:
        return any(step.step == name for step in self.steps)

    def __iter__(self) -> Iterator[Step]:
        return iter(self.steps)

    def to_json(self) -> dict[str, Any]:
        """`{"steps": [...]}` with ISO dates."""
        return {"steps": [step.to_json() for step in self.steps]}


Three = tuple[datetime, datetime, datetime]


def _three(at: datetime, low: float, likely: float, high: float) -> Three:
    return at + days(low), at + days(likely), at + days(high)


def _no_sooner(band: Three, floor: datetime) -> Three:
    """The band with nothing before `floor`."""
    return max(band[0], floor), max(band[1], floor), max(band[2], floor)


def _shift(band: Three, by: timedelta) -> Three:
    return band[0] + by, band[1] + by, band[2] + by


class _Plan:
    """Collects the steps of one round; what was done replaces what was planned."""

    def __init__(self, model: Moment, done: Mapping[str, Moment]) -> None:
        unknown = set(done) - set(STEPS)
        if unknown:
            raise ValueError(f"No step is called {sorted(unknown)[0]!r}. Steps: {', '.join(STEPS)}.")
        self.model = model
        self.given = done
        zone = model.tzinfo if isinstance(model, datetime) else None
        self.done = {name: wall(moment, zone) for name, moment in done.items()}
        self.steps: list[Step] = []

    def add(self, name: str, band: Three, why: str, source: str, *, timed: bool = False) -> Three:
        """Append a step and return the band that the following steps build on."""
        at = self.done.get(name)
        if at is not None:
            given = self.given[name]
            self.steps.append(Step(name, given, given, given, why, source, done=True))
            return at, at, at
        form = self.model if timed else day(self.model)
        low, likely, high = (like(moment, form) for moment in band)
        self.steps.append(Step(name, low, likely, high, why, source))
        return band


def _graft_day(grafted: Moment, plan: _Plan, *, board: bool, planned: bool) -> datetime:
    """When the graft is or was: as done, else as given, else pushed on by a builder that was made ready late."""
    if "graft" in plan.done:
        return plan.done["graft"]
    at = wall(grafted)
    if planned and board:
        for step, before in (("excluder in", EXCLUDER_BEFORE), ("slide in", SLIDE_BEFORE)):
            if step in plan.done:
                wanted = plan.done[step].date() + timedelta(days=before)
                if wanted > at.date():
                    at = datetime.combine(wanted, at.time())
    return at


def round_calendar(
    grafted: Moment,
    *,
    board: bool = True,
    larva_age_h: float | None = None,
    incubator_c: float | None = None,
    incubator_share: float = 1.0,
    virgins: bool = False,
    planned: bool = False,
    done: Mapping[str, Moment] | None = None,
) -> RoundCalendar:
    """The whole calendar of a round grafted at `grafted` (local date, or local date-time, naive or aware).

    board: an excluder-and-slide board is used (else its three steps are absent).
    larva_age_h: hours since hatching at the graft (default 12-24 h); older larvae are ripe and emerge sooner.
    incubator_c: temperature of the incubator that holds the sealed cells, °C; 32 °C costs 27 h against 34.5 °C.
    incubator_share: part of the sealed time spent in it, 0..1.
    virgins: the queens emerge in the incubator and are planted as virgins of 0-1 day instead of as ripe cells.
    planned: the graft is still to come, so a late excluder or slide pushes it on.
    done: what was really done or seen, by step name; it replaces the plan and shifts what follows. Cells seen sealed
        can only bring the later dates forward: they may have been sealed for days.
    Raises ValueError for an unknown step name, a larva over 72 h or a temperature that nobody measured.
    """
    plan = _Plan(grafted, done or {})
    g = _graft_day(grafted, plan, board=board, planned=planned)
    age = hours(0) if larva_age_h is None else hours(larva_shift_hours(larva_age_h))
    cool = hours(0) if incubator_c is None else hours(cool_delay_hours(incubator_c, incubator_share))

    if board:
        plan.add(
            "excluder in",
            _three(g, -8, -EXCLUDER_BEFORE, -EXCLUDER_BEFORE),
            "queen below, feed on, before the graft",
            src.cite(src.PRACTICE, src.GORMANSTON_2017, src.BUCHLER_2013),
        )
        plan.add(
            "slide in",
            _three(g, -SLIDE_BEFORE, -SLIDE_BEFORE, -SLIDE_BEFORE),
            "top box queenless a day before the graft",
            src.MONTY_2014.cite,
        )
    plan.add("graft", (g, g, g), "larvae 12-24 h old", src.BUCHLER_2013.cite, timed=True)
    took = _three(g, 1, 2, 2)
    if board:
        out = plan.add(
            "slide out",
            _three(g, 1, 1, 2),
            "cells started; queenright finisher now",
            src.cite(src.MONTY_2014, src.BUCHLER_2013),
        )
        if "slide out" in plan.done:
            took = _no_sooner(took, out[1])
    plan.add("take check", took, "wax rim and jelly show by now", src.cite(src.MONTY_2014, src.MEMORY))

    cap = _shift(_three(g, 4, 5, 6), age)
    shift = age
    seen = plan.add("sealed", cap, "cells closed about 5 days after", src.cite(src.CUSHMAN, src.PRACTICE), timed=True)
    if "sealed" in plan.done and seen[1] < cap[1]:
        shift += timedelta(days=(seen[1].date() - cap[1].date()).days)
    start = min(seen[1], cap[1])

    ripe = _shift(_three(g, RIPE, RIPE, RIPE_LATEST), shift + cool)
    plan.add(
        "leave alone",
        (start, start, max(start, ripe[1] - days(1))),
        "fragile: upright, no knock, no chill",
        src.cite(src.CUSHMAN, src.WANG_2016, src.MEMORY),
    )
    out_of_cell = _shift(_three(g, EMERGES - 1, EMERGES, EMERGES + 1), shift + cool)
    if "emergence" in plan.done:
        out_of_cell = (plan.done["emergence"],) * 3
    if virgins:
        planting = (out_of_cell[0], out_of_cell[1], out_of_cell[2] + days(1))
        planting_why, planting_source = "virgins 0-1 day old; cells do better", src.PEREZ_SATO_2006.cite
    else:
        planting = ripe
        planting_why, planting_source = "ripe, 1-2 days before they emerge", src.BUCHLER_2013.cite
    planting = (plan.done["plant"],) * 3 if "plant" in plan.done else planting
    plan.add(
        "splits",
        (planting[1] - days(3), planting[1] - days(1), planting[2] - days(1)),
        "the day before; 3 days queenless is better",
        src.cite(src.PRACTICE, src.HONEY_FARMERS, src.CUSHMAN),
    )
    plan.add("plant", planting, planting_why, planting_source)
    born = plan.add(
        "emergence",
        out_of_cell,
        "16 days from the egg (15-17)",
        src.cite(src.CUSHMAN, src.MUSSEN_1987),
        timed=True,
    )
    _after_emergence(plan, born)
    return RoundCalendar(tuple(plan.steps))


def _after_emergence(plan: _Plan, born: Three) -> None:
    """The steps from the emergence on. Natural events carry its spread; looks are planned from the likely day."""
    e = born[1]
    usual = e + days(FLIGHTS[1])
    flights = plan.add(
        "mating flights",
        (born[0] + days(FLIGHTS[0]), usual, born[2] + days(FLIGHTS[2])),
        "above 20 °C, low wind, afternoon",
        src.cite(src.HEIDINGER_2014, src.NSW_828, src.COLOSS_MATING),
    )
    eggs = (born[0] + days(FIRST_EGGS[0]), e + days(FIRST_EGGS[1]), born[2] + days(FIRST_EGGS[2]))
    if "mating flights" in plan.done:
        late = flights[1] - usual
        likely = eggs[1] + late
        eggs = (min(flights[1] + days(2), likely), likely, max(eggs[2], likely))
    eggs = plan.add(
        "first eggs",
        eggs,
        "mean 12.9 days after emergence",
        src.cite(src.PEREZ_SATO_2006, src.CONNOR, src.MEMORY),
    )
    look = _three(e, *LAYING_CHECK)
    if {"mating flights", "first eggs"} & set(plan.done):
        look = _no_sooner(look, eggs[1])
    look = (look[0], max(look[1], eggs[1]), max(look[2], eggs[1]))
    look = plan.add("laying check", look, "not before: she may still fly", src.cite(src.ARITHMETIC, src.MEMORY))
    give_up = _three(e, *WRITE_OFF)
    if "laying check" not in plan.done:
        give_up = _no_sooner(give_up, look[1])
    plan.add("write off", give_up, "no eggs by now: give young larvae", src.cite(src.ARITHMETIC, src.MEMORY))
