"""What helps the take: by bar, tool, mother or any other circumstance, and whether a difference has been shown yet."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from math import asin, ceil, sqrt
from typing import Literal

import numpy as np
import scipy

from gloveside.rearing.intervals import wilson
from gloveside.rearing.records import Tally

Factor = Literal["bar", "position", "tool", "mother", "builder", "larva_age", "weather", "mishap", "round"]
SHOWN_BELOW = 0.05
POWER = 0.8
MOST_CELLS = 100_000
ROUNDING = 1e-7
"""Two tables whose log chances differ by less are equally likely (the same as in R's fisher.test, from memory)."""


@dataclass(frozen=True, slots=True)
class TakeRow:
    """One counted part of a graft: `tally` cells started of larvae, with the circumstances that are known."""

    tally: Tally
    round: Hashable = None
    bar: str | None = None
    position: str | None = None
    tool: str | None = None
    mother: str | None = None
    builder: str | None = None
    larva_age: str | None = None
    weather: str | None = None
    mishap: str | None = None


@dataclass(frozen=True, slots=True)
class Group:
    """The take of one group, with its 95 % Wilson interval (shares 0..1) and the rounds it comes from."""

    name: str
    tally: Tally
    low: float
    high: float
    rounds: frozenset[Hashable] = frozenset()


def group(name: str, tally: Tally, rounds: Iterable[Hashable] = ()) -> Group:
    """A group with its interval worked out."""
    low, high = wilson(tally)
    return Group(name, tally, low, high, frozenset(rounds))


def take_by(rows: Iterable[TakeRow], factor: Factor) -> list[Group]:
    """Rows added up by one circumstance, best take first; rows where it is unknown are left out."""
    sums: dict[str, Tally] = {}
    rounds: dict[str, set[Hashable]] = {}
    for row in rows:
        value = getattr(row, factor)
        if value is None or row.tally.of == 0:
            continue
        name = str(value)
        sums[name] = sums.get(name, Tally()) + row.tally
        rounds.setdefault(name, set()).add(row.round)
    groups = [group(name, tally, rounds[name]) for name, tally in sums.items()]
    return sorted(groups, key=lambda g: (-g.tally.rate, g.name))


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two groups compared. p: two-sided Fisher exact, after correction for several pairs where there were several.

    verdict: `difference shown`, `no difference shown yet`, or `not enough cells`.
    more_cells: how many more larvae on each side would show a difference of this size 4 times in 5, None when the two
    rates are the same or the difference is shown.
    one_day: the two groups share no round, so the day, not the circumstance, may have made the difference.
    """

    better: Group
    other: Group
    p: float
    verdict: Literal["difference shown", "no difference shown yet", "not enough cells"]
    more_cells: int | None
    one_day: bool


def fisher(a: Tally, b: Tally) -> float:
    """Two-sided Fisher exact p of two tallies: the chance of all tables with these margins that are no likelier.

    On scipy.special alone: scipy.stats takes seconds to load, and is the second witness in the tests.
    """
    won, tries = a.won + b.won, a.of + b.of
    least, most = max(0, won - b.of), min(won, a.of)
    x = np.arange(least, most + 1)
    ways = _log_choose(a.of, x) + _log_choose(b.of, won - x) - _log_choose(tries, won)
    seen = ways[a.won - least]
    return min(1.0, float(np.exp(ways[ways <= seen + ROUNDING]).sum()))


def _log_choose(n: int, k: np.ndarray | int) -> np.ndarray:
    return np.asarray(scipy.special.gammaln(n + 1) - scipy.special.gammaln(k + 1) - scipy.special.gammaln(n - k + 1))


def cells_each_side(a: float, b: float, *, power: float = POWER, alpha: float = SHOWN_BELOW) -> int | None:
    """Tries on each side that show a difference between the shares a and b with that power; None for a = b.

    Arcsine formula for two proportions (Cohen's h), two-sided.
    """
    h = abs(2 * asin(sqrt(a)) - 2 * asin(sqrt(b)))
    if h < 1e-9:
        return None
    z = float(scipy.special.ndtri(1 - alpha / 2) + scipy.special.ndtri(power))
    return min(MOST_CELLS, ceil(2 * (z / h) ** 2))


def compare(one: Group, two: Group, *, p: float | None = None) -> Comparison:
    """Compare two groups. p: a corrected p-value where this is one of several pairs. Needs cells on both sides."""
    better, other = (one, two) if one.tally.rate >= two.tally.rate else (two, one)
    if not (one.tally.of and two.tally.of):
        return Comparison(better, other, 1.0, "not enough cells", None, False)
    p = fisher(one.tally, two.tally) if p is None else p
    apart = bool(one.rounds and two.rounds and not (one.rounds & two.rounds))
    if p < SHOWN_BELOW:
        return Comparison(better, other, p, "difference shown", None, apart)
    each = cells_each_side(one.tally.rate, two.tally.rate)
    more = None if each is None else max(1, each - min(one.tally.of, two.tally.of))
    return Comparison(better, other, p, "no difference shown yet", more, apart)


def compare_all(groups: list[Group]) -> list[Comparison]:
    """Every pair of the groups, p-values corrected by Holm's method, the clearest difference first."""
    pairs = [(a, b) for i, a in enumerate(groups) for b in groups[i + 1 :]]
    raw = [fisher(a.tally, b.tally) for a, b in pairs]
    holm: list[float] = [1.0] * len(pairs)
    worst = 0.0
    for rank, i in enumerate(sorted(range(len(pairs)), key=raw.__getitem__)):
        worst = max(worst, min(1.0, raw[i] * (len(pairs) - rank)))
        holm[i] = worst
    compared = [compare(a, b, p=p) for (a, b), p in zip(pairs, holm, strict=True)]
    return sorted(compared, key=lambda c: c.p)
