"""How many nucs, ripe cells and larvae for a wished number of laying queens, with a chosen certainty."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from typing import Any

import numpy as np

from gloveside.rearing.chance import (
    LAYING_PRIOR,
    OWN_WEIGHT_MOST,
    RIPE_PRIOR,
    TAKE_MANAGED,
    TIE,
    Beta,
    Prior,
    beta_binomial_pmf,
    certainty_words,
    check_certainty,
    reach_curve,
    tries_needed,
)
from gloveside.rearing.records import OwnRecord

CELLS_SURE = 0.975
"""No more larvae are grafted than fill all nucs with this chance (a choice of ours): beyond it a nuc helps more."""


@dataclass(frozen=True, slots=True)
class Odds:
    """How many to stock. nucs: mating nucs; cells: ripe cells, one a nuc; larvae: larvae to graft for those cells.

    sure: the certainty that was asked for; overall: chance of the queens from grafting so many larvae and stocking at
    most so many nucs; laying: the share of ripe cells expected to lay.
    """

    nucs: int
    cells: int
    larvae: int
    why: str
    queens: int
    sure: float
    overall: float
    laying: float

    def to_json(self) -> dict[str, Any]:
        """The fields of the contract (nucs, cells, larvae, why) and the overall chance."""
        return {
            "nucs": self.nucs,
            "cells": self.cells,
            "larvae": self.larvae,
            "why": self.why,
            "overall": round(self.overall, 3),
        }


def _cells_from_larvae(take: Beta, ripe: Beta) -> Beta:
    """One beta for the whole way from larva to ripe cell, matched in mean and spread to the product of the two."""
    mean = take.mean * ripe.mean

    def second(x: Beta) -> float:
        return x.a * (x.a + 1) / ((x.a + x.b) * (x.a + x.b + 1))

    spread = second(take) * second(ripe) - mean**2
    weight = mean * (1 - mean) / spread - 1
    return Beta(mean * weight, (1 - mean) * weight)


def _overall(queens: int, nucs: int, larvae: int, cells: Beta, laying: float | Beta) -> float:
    """P(at least `queens` laying) when `larvae` are grafted and at most `nucs` ripe cells are planted."""
    pmf = beta_binomial_pmf(larvae, cells)
    planted = np.minimum(np.arange(larvae + 1), nucs)
    reached = reach_curve(queens, nucs, laying)
    return float(min(1.0, (pmf * reached[planted]).sum()))


def _fewest(queens: int, sure: float, cells: Beta, laying: float | Beta) -> tuple[int, int]:
    """The fewest nucs, and for them the fewest larvae, that give the queens with certainty `sure` over the whole way.

    The chance grows with nucs and with larvae, so both are found by halving. A fixed chance of laying keeps the nucs
    of the plain binomial table; where those leave the cells no room, larvae stop at `CELLS_SURE`.
    """

    def most_larvae(nucs: int) -> int:
        return tries_needed(nucs, CELLS_SURE, cells)

    def reached(nucs: int, larvae: int) -> bool:
        return _overall(queens, nucs, larvae, cells, laying) >= sure - TIE

    nucs = tries_needed(queens, sure, laying)
    if isinstance(laying, Beta):
        more = 1
        while not reached(nucs + more - 1, most_larvae(nucs + more - 1)):
            more *= 2
        tried = range(nucs, nucs + more)
        nucs = tried[bisect_left(tried, True, key=lambda n: reached(n, most_larvae(n)))]
    grafted = range(max(nucs, most_larvae(nucs - 1)), most_larvae(nucs))
    return nucs, grafted.start + bisect_left(grafted, True, key=lambda n: reached(nucs, n))


def odds(
    queens: int,
    sure: float,
    laying: float | None = None,
    record: OwnRecord | None = None,
    *,
    laying_prior: Prior = LAYING_PRIOR,
    take_prior: Prior = TAKE_MANAGED,
    ripe_prior: Prior = RIPE_PRIOR,
    own_weight_most: float = OWN_WEIGHT_MOST,
) -> Odds:
    """How many to stock for at least `queens` laying queens with certainty `sure` (0..1, or 1..99 %).

    laying: a fixed chance that a ripe cell becomes a laying queen: plain binomial. Otherwise that chance is uncertain:
    the literature (70 %, Pérez-Sato & Ratnieks 2006) drawn towards the operator's `record` as it grows (beta-binomial).
    Larvae follow from the take (at least 80 % where well managed, Büchler et al. 2013) and the record in the same way:
    the fewest that reach the certainty over the whole way from larva to laying queen, but as many as one nuc less may
    ask for, so that more certainty or more queens never need fewer. Raises ValueError for impossible input.
    """
    if queens < 1:
        raise ValueError("How many laying queens do you want? Say a whole number from 1.")
    sure = check_certainty(sure)
    if laying is not None:
        laying = check_certainty(laying)
    record = record or OwnRecord()
    chance: float | Beta = (
        laying if laying is not None else laying_prior.beta.given(record.laying, most_weight=own_weight_most)
    )
    cells = _cells_from_larvae(
        take_prior.beta.given(record.take, most_weight=own_weight_most),
        ripe_prior.beta.given(record.ripe, most_weight=own_weight_most),
    )
    nucs, larvae = _fewest(queens, sure, cells, chance)
    mean = chance.mean if isinstance(chance, Beta) else chance
    if laying is not None:
        basis = f"{mean:.0%} of ripe cells lay, as you set"
    elif record.laying.of:
        basis = (
            f"{mean:.0%} of ripe cells lay: your {record.laying.won} of {record.laying.of} "
            f"and {laying_prior.source.cite}"
        )
    else:
        basis = f"{mean:.0%} of ripe cells lay: {laying_prior.source.cite}"
    why = (
        f"{nucs} nucs with a ripe cell give {queens} or more laying queens {certainty_words(sure)}: {basis}; "
        f"{cells.mean:.0%} of larvae become ripe cells"
    )
    overall = _overall(queens, nucs, larvae, cells, chance)
    return Odds(nucs, nucs, larvae, why, queens, sure, overall, mean)
