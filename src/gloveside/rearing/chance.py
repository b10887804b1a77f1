"""Chances of counts: binomial and beta-binomial tails, priors from the literature, and certainty in plain words.

Uses scipy.special alone, through `scipy`, which loads it with the first call. scipy.stats would take seconds: it is the
second witness in the tests.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy

from gloveside.rearing import sources as src
from gloveside.rearing.records import Tally
from gloveside.rearing.sources import Source

MOST_TRIES = 20_000
TIE = 1e-12
"""Rounding of a sum that reaches the wished certainty exactly."""


@dataclass(frozen=True, slots=True)
class Prior:
    """What is believed before the first own count: a mean share, worth `weight` tries. weight is a choice of ours."""

    mean: float
    weight: float
    source: Source

    def __post_init__(self) -> None:
        if not (0 < self.mean < 1 and self.weight > 0):
            raise ValueError(
                f"A prior needs a mean between 0 and 1 and a weight above 0, got {self.mean}, {self.weight}."
            )

    @property
    def beta(self) -> Beta:
        """The prior as a beta distribution."""
        return Beta(self.mean * self.weight, (1 - self.mean) * self.weight)


@dataclass(frozen=True, slots=True)
class Beta:
    """A beta distribution of a share: a successes and b failures, pseudo-counts included."""

    a: float
    b: float

    @property
    def mean(self) -> float:
        """Expected share."""
        return self.a / (self.a + self.b)

    def given(self, seen: Tally, most_weight: float | None = None) -> Beta:
        """The posterior after counts. most_weight: the counts never weigh more than so many tries.

        Nucs of one yard share their weather, so a thousand of them do not make the next round certain.
        """
        scale = 1.0
        if most_weight is not None and seen.of > most_weight:
            scale = most_weight / seen.of
        return Beta(self.a + scale * seen.won, self.b + scale * (seen.of - seen.won))

    def interval(self, level: float = 0.8) -> tuple[float, float]:
        """Central interval of the share."""
        tail = (1 - level) / 2
        return float(scipy.special.betaincinv(self.a, self.b, tail)), float(
            scipy.special.betaincinv(self.a, self.b, 1 - tail)
        )


LAYING_PRIOR = Prior(0.70, 20, src.PEREZ_SATO_2006)
"""Laying queens of ripe cells: 70 %."""
TAKE_MANAGED = Prior(0.80, 20, src.BUCHLER_2013)
"""Cells started of larvae grafted in a well managed builder: at least 80 %."""
TAKE_LEARNING = Prior(0.45, 6, src.MEMORY)
"""The same for learners: 30-60 %."""
RIPE_PRIOR = Prior(0.95, 20, src.PRACTICE)
"""Ripe cells of cells started."""
OWN_WEIGHT_MOST = 100.0
"""Own counts never weigh more than so many tries (a choice, see `Beta.given`)."""


def binomial_at_least(k: int, n: int, p: float) -> float:
    """P(X >= k) for n tries of chance p."""
    if k <= 0:
        return 1.0
    return 0.0 if k > n else float(scipy.special.bdtrc(k - 1, n, p))


def beta_binomial_pmf(n: int, beta: Beta) -> np.ndarray:
    """P(X = 0..n) for n tries whose common chance is beta distributed; shape (n + 1,)."""
    x = np.arange(n + 1)
    log_choose = scipy.special.gammaln(n + 1) - scipy.special.gammaln(x + 1) - scipy.special.gammaln(n - x + 1)
    log_ratio = scipy.special.betaln(x + beta.a, n - x + beta.b) - scipy.special.betaln(beta.a, beta.b)
    return np.asarray(np.exp(log_choose + log_ratio))


def beta_binomial_at_least(k: int, n: int, beta: Beta) -> float:
    """P(X >= k) for n tries whose common chance is beta distributed."""
    if k <= 0:
        return 1.0
    if k > n:
        return 0.0
    return float(min(1.0, beta_binomial_pmf(n, beta)[k:].sum()))


def at_least(k: int, n: int, chance: float | Beta) -> float:
    """P(X >= k): binomial for a fixed chance, beta-binomial for an uncertain one."""
    return beta_binomial_at_least(k, n, chance) if isinstance(chance, Beta) else binomial_at_least(k, n, chance)


def reach_curve(k: int, most: int, chance: float | Beta) -> np.ndarray:
    """P(at least k successes of n) for n = 0..most; shape (most + 1,).

    The n-th try adds the chance that it is the one that brings the k-th success, so the curve is a running sum.
    """
    if k <= 0:
        return np.ones(most + 1)
    before = np.arange(k - 1, most)
    log_choose = scipy.special.gammaln(before + 1) - scipy.special.gammaln(k) - scipy.special.gammaln(before - k + 2)
    if isinstance(chance, Beta):
        log_kth = scipy.special.betaln(k + chance.a, before - k + 1 + chance.b) - scipy.special.betaln(
            chance.a, chance.b
        )
    else:
        log_kth = scipy.special.xlogy(k, chance) + scipy.special.xlog1py(before - k + 1, -chance)
    curve = np.zeros(most + 1)
    curve[k:] = np.minimum(1.0, np.cumsum(np.exp(log_choose + log_kth)))
    return curve


def tries_needed(k: int, sure: float, chance: float | Beta) -> int:
    """The smallest n with P(at least k successes of n) >= sure. ValueError when even 20,000 tries do not do."""
    if k <= 0:
        return 0
    most = 2 * k + 32
    while True:
        curve = reach_curve(k, most, chance)
        if curve[-1] >= sure - TIE:
            return int(np.searchsorted(curve, sure - TIE))
        if most >= MOST_TRIES:
            raise ValueError("Nobody can be that sure with this record. Ask for less certainty or fewer queens.")
        most = min(MOST_TRIES, most * 4)


def check_certainty(sure: float) -> float:
    """`sure` as a share; 90 is read as 90 %. ValueError outside 0..1 (exclusive)."""
    share = sure / 100 if 1 < sure < 100 else sure
    if not 0 < share < 1:
        raise ValueError(f"How sure? Say a share between 0 and 1, or a percentage from 1 to 99, not {sure:g}.")
    return share


def certainty_words(share: float) -> str:
    """A chance in plain words: 0.9 is `9 times in 10`."""
    if share >= 0.995:
        return "almost always"
    if share <= 0.005:
        return "almost never"
    if abs(share - 0.5) < 0.03:
        return "an even chance"
    for of in (4, 5, 10, 20):
        times = round(share * of)
        if 0 < times < of and abs(share - times / of) < 0.006:
            return f"{times} {'time' if times == 1 else 'times'} in {of}"
    times = min(99, max(1, round(share * 100)))
    return f"{times} {'time' if times == 1 else 'times'} in 100"
