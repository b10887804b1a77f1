"""Intervals of a share: Wilson for what is shown, Clopper-Pearson where an exact one is wanted."""

from __future__ import annotations

from math import sqrt

import scipy

from gloveside.rearing.records import Tally


def wilson(tally: Tally, level: float = 0.95) -> tuple[float, float]:
    """Wilson score interval without continuity correction; (0, 1) when nothing was counted. Shares 0..1."""
    if tally.of == 0:
        return 0.0, 1.0
    z = float(scipy.special.ndtri((1 + level) / 2))
    n, p = tally.of, tally.rate
    middle = (p + z * z / (2 * n)) / (1 + z * z / n)
    half = z / (1 + z * z / n) * sqrt(p * (1 - p) / n + z * z / (4 * n * n))
    low = 0.0 if tally.won == 0 else max(0.0, middle - half)
    high = 1.0 if tally.won == n else min(1.0, middle + half)
    return low, high


def clopper_pearson(tally: Tally, level: float = 0.95) -> tuple[float, float]:
    """Exact (Clopper-Pearson) interval; (0, 1) when nothing was counted. Shares 0..1."""
    x, n = tally.won, tally.of
    tail = (1 - level) / 2
    low = 0.0 if x == 0 else float(scipy.special.betaincinv(x, n - x + 1, tail))
    high = 1.0 if x == n else float(scipy.special.betaincinv(x + 1, n - x, 1 - tail))
    return low, high
