"""Feed: syrup recipes by weight and by volume, and when a feeder runs dry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import floor, sqrt
from typing import Literal

Ratio = Literal["1:1", "2:1"]
DENSITY: dict[Ratio, float] = {"1:1": 1.23, "2:1": 1.333}
"""kg/L at 20 °C: 50 % sugar (a German regulator's text has 1.236 with 3.5 % acid), 67 % (from memory)."""
PARTS: dict[Ratio, int] = {"1:1": 1, "2:1": 2}
LOOSE_SUGAR_KG_L = 0.85
"""Granulated sugar, poured (from memory)."""


@dataclass(frozen=True, slots=True)
class Syrup:
    """A mix. sugar_kg, water_l in; syrup_l out; sugar_share by weight (0..1)."""

    sugar_kg: float
    water_l: float
    syrup_l: float
    sugar_share: float


def _check(amount: float, what: str) -> None:
    if not amount > 0:
        raise ValueError(f"How much {what}? Say a number above 0.")


def syrup_from_sugar(sugar_kg: float, ratio: Ratio = "1:1") -> Syrup:
    """Syrup from so much sugar, sugar : water by weight. 1 kg + 1 L is about 1.63 L; 2 kg + 1 L about 2.25 L."""
    _check(sugar_kg, "sugar, in kg")
    water = sugar_kg / PARTS[ratio]
    return Syrup(sugar_kg, water, (sugar_kg + water) / DENSITY[ratio], sugar_kg / (sugar_kg + water))


def syrup_for(litres: float, ratio: Ratio = "1:1") -> Syrup:
    """Sugar and water for so many litres of syrup. 10 L of 1:1 need about 6.15 kg and 6.15 L."""
    _check(litres, "syrup, in litres")
    weight = litres * DENSITY[ratio]
    water = weight / (PARTS[ratio] + 1)
    return Syrup(weight - water, water, litres, PARTS[ratio] / (PARTS[ratio] + 1))


def by_volume(sugar_l: float, water_l: float) -> Syrup:
    """A mix measured in buckets: litres of loose sugar and of water. 1:1 by volume is about 46 % sugar by weight.

    Density is drawn straight between water (1), 50 % and 67 % sugar.
    """
    _check(sugar_l, "sugar, in litres")
    _check(water_l, "water, in litres")
    sugar = sugar_l * LOOSE_SUGAR_KG_L
    share = sugar / (sugar + water_l)
    if share <= 0.5:
        density = 1 + share / 0.5 * (DENSITY["1:1"] - 1)
    else:
        density = DENSITY["1:1"] + (share - 0.5) / (2 / 3 - 0.5) * (DENSITY["2:1"] - DENSITY["1:1"])
    return Syrup(sugar, water_l, (sugar + water_l) / density, share)


@dataclass(frozen=True, slots=True)
class Look:
    """A visit to a feeder: `given` litres poured in on that day; `left` litres found before, None when not noted."""

    on: date
    given: float = 0.0
    left: float | None = None


@dataclass(frozen=True, slots=True)
class RunsDry:
    """When a feeder runs dry. litres_a_day: mean use, with low and high; top up by `top_up`."""

    litres_a_day: float
    low: float
    high: float
    earliest: date
    likely: date
    top_up: date
    learnt_from: int


USUAL_L_A_DAY, USUAL_LOW, USUAL_HIGH = 0.75, 0.5, 1.0
"""Use of a builder before there are own looks: 0.5-1 L a day (from memory)."""


def _stretches(looks: Sequence[Look]) -> list[tuple[float, int]]:
    """(litres taken, days) between looks; an empty feeder gives the least that was taken and is kept as such."""
    stretches = []
    level: float | None = None
    since: date | None = None
    for look in looks:
        if level is not None and since is not None and look.left is not None and look.on > since:
            stretches.append((max(0.0, level - look.left), (look.on - since).days))
        if look.left is not None:
            level = look.left + look.given
        elif look.given:
            level = look.given if level is None else None
        since = look.on
    return stretches


def feeder_runs_dry(looks: Sequence[Look], *, capacity_l: float | None = None, margin_days: int = 1) -> RunsDry:
    """Predict when a feeder runs dry from its looks in any order; the last one tells what is in it now.

    capacity_l: what the feeder holds at most. margin_days: top up so long before the earliest dry day, never before
    the last look. The use is drawn from 0.5-1 L a day towards the own looks. A last look that notes neither what was
    left nor what was given cannot be used. Raises ValueError with what to say.
    """
    if not looks:
        raise ValueError("Nothing fed yet: say how many litres went in.")
    rows = sorted(looks, key=lambda look: look.on)
    for look in rows:
        if look.given < 0 or (look.left is not None and look.left < 0):
            raise ValueError("Litres are counted from 0.")
        if capacity_l is not None and (look.left or 0) + look.given > capacity_l + 1e-9:
            raise ValueError(f"The feeder holds {capacity_l:g} L: say how much went in.")
    last = rows[-1]
    if last.left is None and not last.given:
        raise ValueError("Say how much is in the feeder, or how much went in.")
    stretches = _stretches(rows)
    days_seen = sum(d for _, d in stretches)
    prior_days = 4.0
    rate = (USUAL_L_A_DAY * prior_days + sum(v for v, _ in stretches)) / (prior_days + days_seen)
    rates = [v / d for v, d in stretches]
    between = sqrt(sum((r - rate) ** 2 for r in rates) / len(rates)) if rates else 0.0
    half = 1.2816 * sqrt(((USUAL_HIGH - USUAL_LOW) / 2.56) ** 2 * prior_days + between**2 * days_seen)
    half /= sqrt(prior_days + days_seen)
    low, high = max(0.02, rate - half), rate + half
    level = (last.left or 0.0) + last.given
    likely = last.on + timedelta(days=floor(level / max(rate, 0.02)))
    earliest = last.on + timedelta(days=floor(level / high))
    top_up = max(last.on, earliest - timedelta(days=margin_days))
    return RunsDry(rate, low, high, earliest, likely, top_up, len(stretches))
