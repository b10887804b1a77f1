"""How many nucs, ripe cells and larvae for a wished number of laying queens, with a chosen certainty."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from gloveside.rearing.chance import (
    LAYING_PRIOR,
    OWN_WEIGHT_MOST,
    RIPE_PRIOR,
    TAKE_MANAGED,
    Beta,
    Prior,
    beta_binomial_pmf,
    certainty_words,
    check_certainty,
    reach_curve,
    tries_needed,
)
from gloveside.rearing.records import OwnRecord


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
    Larvae follow from the take (at least 80 % where well managed, Büchler et al. 2013) and the record in the same way,
    with half the risk that was left open, so that cells are not what fails. Raises ValueError for impossible input.
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
    nucs = tries_needed(queens, sure, chance)
    cells = _cells_from_larvae(
        take_prior.beta.given(record.take, most_weight=own_weight_most),
        ripe_prior.beta.given(record.ripe, most_weight=own_weight_most),
    )
    larvae = tries_needed(nucs, (1 + sure) / 2, cells)
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
