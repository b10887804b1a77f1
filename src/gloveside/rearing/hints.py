"""Hints about a round: a step on a day away, two rounds in one builder, a builder made ready late, mating weather."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from gloveside.rearing.calendar import EXCLUDER_BEFORE, SLIDE_BEFORE
from gloveside.rearing.development import LARVA_HOURS
from gloveside.rearing.moments import Moment, day
from gloveside.rearing.steps import RoundCalendar, Step

ACTIONS = ("excluder in", "slide in", "graft", "slide out", "take check", "splits", "plant", "laying check")
"""Steps at which somebody must be at the hive."""
FLIGHT_C = 20.0
"""Queens mate above 20 °C (COLOSS BEEBOOK 13.2)."""
FLIGHT_WIND_KMH = 20.0
"""Low wind; the number is common practice, no source."""
FEED_BEFORE = 3
"""Feed at least 3 days before the graft (Büchler et al. 2013, s. 2.1.4)."""


@dataclass(frozen=True, slots=True)
class Hint:
    """One thing to notice. on: the day it is about; free: another day of the step's band that would do."""

    kind: Literal["away", "clash", "builder", "weather", "larvae"]
    step: str
    on: date
    text: str
    free: date | None = None


@dataclass(frozen=True, slots=True)
class DayWeather:
    """A day's forecast: highest temperature in °C, wind in km/h, rain in mm."""

    max_c: float
    wind_kmh: float = 0.0
    rain_mm: float = 0.0

    @property
    def mating(self) -> bool:
        """Whether queens are likely to fly: above 20 °C, low wind, no rain to speak of."""
        return self.max_c > FLIGHT_C and self.wind_kmh <= FLIGHT_WIND_KMH and self.rain_mm < 1


def _days(step: Step) -> list[date]:
    low, high = day(step.earliest), day(step.latest)
    return [low + timedelta(days=n) for n in range((high - low).days + 1)]


def away_hints(calendar: RoundCalendar, away: Collection[date]) -> list[Hint]:
    """Steps that fall on a day marked as away, with the nearest free day inside the step's band, if there is one."""
    hints = []
    for step in calendar:
        on = day(step.likely)
        if step.done or step.step not in ACTIONS or on not in away:
            continue
        free = sorted((d for d in _days(step) if d not in away), key=lambda d: (abs((d - on).days), d))
        text = "another day would do" if free else "no other day: move the round or ask for help"
        hints.append(Hint("away", step.step, on, text, free[0] if free else None))
    return hints


def occupied(calendar: RoundCalendar, *, incubator: bool = False) -> tuple[date, date]:
    """First and last day on which a round holds its builder: to the cap with an incubator, else to planting."""
    first = min(day(step.likely) for step in calendar)
    return first, day(calendar.get("sealed" if incubator else "plant").likely)


def builder_clashes(
    rounds: Mapping[int, RoundCalendar], *, incubator: bool = False
) -> list[tuple[int, int, date, date]]:
    """Pairs of rounds in one builder that overlap: (round, later round, first shared day, last shared day).

    A builder may be made ready for the next round on the day its cells go out: that day is no clash.
    """
    spans = sorted((occupied(c, incubator=incubator), n) for n, c in rounds.items())
    clashes = []
    for i, ((_, end), one) in enumerate(spans):
        for (start, other_end), other in spans[i + 1 :]:
            if start < end:
                clashes.append((one, other, start, min(end, other_end)))
    return clashes


def larva_hints(grafted: Moment, larva_age_h: float) -> list[Hint]:
    """A word on larvae older than 24 h: fewer good queens, and they emerge sooner. Source: Büchler et al. 2013."""
    if larva_age_h <= LARVA_HOURS.high:
        return []
    return [Hint("larvae", "graft", day(grafted), "over 24 h old: poorer queens, and sooner out")]


def builder_hints(
    grafted: Moment, done: Mapping[str, Moment], *, board: bool = True, fed_on: Moment | None = None
) -> list[Hint]:
    """Whether the builder was made ready in time for a graft on that day: excluder G-3, slide G-1, feed 3 days before.

    done: step -> day it was done. fed_on: the first feed.
    """
    g = day(grafted)
    checks: list[tuple[str, Moment | None, int]] = [("feed", fed_on, FEED_BEFORE)]
    if board:
        checks = [
            ("excluder in", done.get("excluder in"), EXCLUDER_BEFORE),
            ("slide in", done.get("slide in"), SLIDE_BEFORE),
            *checks,
        ]
    hints = []
    for name, at, before in checks:
        if at is None:
            continue
        short = before - (g - day(at)).days
        if short > 0:
            days_ = "day" if short == 1 else "days"
            hints.append(
                Hint("builder", name, day(at), f"{short} {days_} late for this graft", day(at) + timedelta(days=before))
            )
    return hints


def weather_hints(calendar: RoundCalendar, forecast: Mapping[date, DayWeather]) -> list[Hint]:
    """What a forecast says about the mating days: how many good ones among those known, or that none is in sight.

    Also a cold, wet or windy day for planting: cells must be kept warm.
    """
    hints = []
    flights = calendar.get("mating flights")
    known = [d for d in _days(flights) if d in forecast]
    good = [d for d in known if forecast[d].mating]
    if known and len(good) < 2:
        text = f"{len(good)} of {len(known)} known days fit to fly"
        hints.append(Hint("weather", "mating flights", known[0], text, good[0] if good else None))
    plant = day(calendar.get("plant").likely)
    if plant in forecast and (forecast[plant].max_c < 15 or forecast[plant].rain_mm >= 5):
        hints.append(Hint("weather", "plant", plant, "cold or wet: carry the cells warm"))
    return hints
