"""Splits for a round from its take: the ripe cells to expect, the 80 % band, how many splits to make."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gloveside.rearing.chance import OWN_WEIGHT_MOST, RIPE_PRIOR, Prior, beta_binomial_pmf
from gloveside.rearing.records import Tally
from gloveside.rearing.steps import RoundCalendar, Step


@dataclass(frozen=True, slots=True)
class Splits:
    """What to expect of a round's take, in cells, and what to make.

    expected: mean number of ripe cells. low..high: the band that holds at least `level` of the chance.
    make: splits to make. when, plant: the steps of the round where its calendar was given.
    """

    taken: int
    expected: float
    low: int
    high: int
    level: float
    make: int
    why: str
    when: Step | None = None
    plant: Step | None = None


def splits_for(
    taken: int,
    *,
    ripe: Tally | None = None,
    counted: int | None = None,
    empty_split_cost: float = 1.0,
    spare_cell_cost: float = 1.0,
    level: float = 0.8,
    prior: Prior = RIPE_PRIOR,
    own_weight_most: float = OWN_WEIGHT_MOST,
    calendar: RoundCalendar | None = None,
) -> Splits:
    """How many splits to make for a round of which `taken` cells were started.

    ripe: the operator's ripe cells of cells started so far. counted: ripe cells really counted: then make so many.
    empty_split_cost, spare_cell_cost: what a split without a cell and a cell without a split cost, in any unit; equal
    costs give the middle of the distribution. Raises ValueError for counts that cannot be.
    """
    if taken < 0:
        raise ValueError("How many cells were started? Say a number from 0.")
    if empty_split_cost <= 0 or spare_cell_cost <= 0 or not 0 < level < 1:
        raise ValueError("Costs must be above 0 and the band between 0 and 1.")
    when = calendar.get("splits") if calendar else None
    plant = calendar.get("plant") if calendar else None
    if counted is not None:
        if not 0 <= counted <= taken:
            raise ValueError(f"{counted} ripe cells of {taken} started cannot be: count again.")
        return Splits(taken, float(counted), counted, counted, level, counted, "as counted ripe", when, plant)
    beta = prior.beta.given(ripe or Tally(), most_weight=own_weight_most)
    below = np.cumsum(beta_binomial_pmf(taken, beta))
    tail = (1 - level) / 2
    low, high = int(np.searchsorted(below, tail)), int(np.searchsorted(below, 1 - tail))
    wanted = spare_cell_cost / (spare_cell_cost + empty_split_cost)
    make = min(taken, int(np.searchsorted(below, wanted - 1e-12)))
    why = f"{beta.mean:.0%} of started cells ripen"
    why += f" (your {ripe.won} of {ripe.of})" if ripe and ripe.of else " (common practice)"
    return Splits(taken, taken * beta.mean, low, min(high, taken), level, make, why, when, plant)
