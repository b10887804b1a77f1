"""The steps of a round as values: names, dates with their band, and how what was done replaces what was planned."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from gloveside.rearing.moments import Moment, day, days, like, wall

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


def three(at: datetime, low: float, likely: float, high: float) -> Three:
    """The moments `low`, `likely` and `high` days after `at`."""
    return at + days(low), at + days(likely), at + days(high)


def no_sooner(band: Three, floor: datetime) -> Three:
    """The band with nothing before `floor`."""
    return max(band[0], floor), max(band[1], floor), max(band[2], floor)


def shift(band: Three, by: timedelta) -> Three:
    """The band moved as a whole."""
    return band[0] + by, band[1] + by, band[2] + by


class Plan:
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
