"""The growth of the operation, month by month, over many seeded runs: what may come, and what holds it back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
import numpy.typing as npt

from gloveside.rearing.chance import OWN_WEIGHT_MOST, Prior, certainty_words
from gloveside.rearing.growth_settings import GrowthSettings
from gloveside.rearing.records import Tally

Limit = Literal["cells", "bees", "boxes", "time"]
LIMITS: tuple[Limit, ...] = ("cells", "bees", "boxes", "time")
SERIES = (
    "hives",
    "nucs",
    "queens",
    "splits",
    "losses",
    "nucs_sold",
    "queens_sold",
    "feed_kg",
    "hive_boxes",
    "money",
)
Runs = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Growth:
    """What the runs gave. Every series has shape (months, runs).

    months: first day of each month; the values are those at its end. hives, nucs (with a laying queen), hive_boxes
    (spare) are stocks; queens (newly laying), splits, losses, sold, feed_kg are of the month; money is summed from the
    start. limits: share of the rearing months, over all runs, in which each limit held the splits back.
    """

    months: tuple[date, ...]
    series: dict[str, Runs]
    limits: dict[Limit, float]

    def quantile(self, name: str, q: float) -> npt.NDArray[np.float64]:
        """One quantile (0..1) of a series, shape (months,)."""
        return np.asarray(np.quantile(self.series[name], q, axis=1))

    def fan(self, name: str) -> dict[float, npt.NDArray[np.float64]]:
        """10, 25, 50, 75 and 90 % quantiles of a series by month."""
        levels = (0.1, 0.25, 0.5, 0.75, 0.9)
        return dict(zip(levels, np.quantile(self.series[name], levels, axis=1), strict=True))

    def index(self, by: date) -> int:
        """Index of the month that holds `by`, the last one when it lies beyond; ValueError before the start."""
        if by < self.months[0]:
            raise ValueError(f"The plan begins in {self.months[0]:%B %Y}: name a later date.")
        return max(i for i, m in enumerate(self.months) if m <= by)

    def chance(self, target: float, by: date, name: str = "hives") -> float:
        """Share of runs in which the series has reached `target` at the end of that month."""
        return float((self.series[name][self.index(by)] >= target).mean())

    def chance_words(self, target: float, by: date, name: str = "hives") -> str:
        """The same in plain words."""
        return certainty_words(self.chance(target, by, name))

    @property
    def binds(self) -> Limit | None:
        """The limit that held the splits back most often; None when nothing was ever split."""
        worst: Limit = max(LIMITS, key=self.limits.__getitem__)
        return worst if self.limits[worst] else None


def _months(start: date, n: int) -> tuple[date, ...]:
    first = start.year * 12 + start.month - 1
    return tuple(date((first + i) // 12, (first + i) % 12 + 1, 1) for i in range(n))


def grow(settings: GrowthSettings, *, months: int = 36, runs: int = 10_000, seed: int = 7) -> Growth:
    """Run the model. The same seed gives the same runs.

    Each month: losses; in rearing months cells from the rounds, and as many splits as cells, bees, nuc boxes and hours
    allow; splits with a laying queen are nucs, which are sold or, after `months_to_hive`, moved into hive boxes while
    there are any; feed, honey and money. Shares of take and mating are drawn once a run from the record and the
    literature; losses and honey vary by year. ValueError for months outside 1..240 or runs outside 1..1,000,000.
    """
    if not (1 <= months <= 240 and 1 <= runs <= 1_000_000):
        raise ValueError("Give 1 to 240 months and at least one run.")
    s = settings
    rng = np.random.default_rng(seed)

    def share(prior: Prior, seen: Tally) -> Runs:
        posterior = prior.beta.given(seen, most_weight=OWN_WEIGHT_MOST)
        return rng.beta(posterior.a, posterior.b, runs)

    ripe = share(s.take_prior, s.record.take) * share(s.ripe_prior, s.record.ripe)
    laying = share(s.laying_prior, s.record.laying)
    hives = np.full(runs, float(s.hives))
    boxes = np.full(runs, float(s.spare_hive_boxes))
    money = np.zeros(runs)
    ages = np.zeros((s.months_to_hive + 1, runs))  # nucs by whole months with a laying queen, the last row and older
    ages[0] = s.nucs
    calendar = _months(s.start, months)
    out = {name: np.zeros((months, runs)) for name in SERIES}
    held = dict.fromkeys(LIMITS, 0.0)
    rearing = 0
    factor = honey = np.ones(runs)
    for i, first in enumerate(calendar):
        if i % 12 == 0:
            factor = np.exp(rng.normal(-(s.loss_spread**2) / 2, s.loss_spread, runs))
            honey = np.exp(rng.normal(-(s.honey_spread**2) / 2, s.honey_spread, runs))
        rate = s.winter_loss_a_month if first.month in s.winter_months else s.loss_a_month
        chance = np.minimum(0.95, rate * factor)
        lost = rng.binomial(hives.astype(np.int64), chance).astype(float)
        hives -= lost
        nucs_now = ages.sum(axis=0)
        nuc_lost = rng.binomial(nucs_now.astype(np.int64), np.minimum(0.95, chance * s.nuc_loss_factor)).astype(float)
        _take_from(ages, nuc_lost)
        boxes += lost

        ages[-1] += ages[-2]
        ages[1:-1] = ages[:-2]
        ages[0] = 0
        splits = np.zeros(runs)
        queens = np.zeros(runs)
        if first.month in s.rearing_months:
            rearing += 1
            cells = rng.binomial(s.rounds_a_month * s.larvae_a_round, ripe).astype(float)
            bees = np.floor(hives * s.splits_a_hive_a_month)
            room = np.maximum(0.0, s.nuc_boxes - ages.sum(axis=0))
            left = s.hours_a_month - hives * s.hours_a_hive - s.rounds_a_month * s.hours_a_round
            hours = np.floor(np.maximum(0.0, left) / max(s.hours_a_split, 1e-9))
            each = np.stack([cells, bees, room, hours])
            splits = each.min(axis=0)
            tightest = each.argmin(axis=0)
            for k, limit in enumerate(LIMITS):
                held[limit] += float((tightest == k).mean())
            queens = rng.binomial(splits.astype(np.int64), laying).astype(float)
        queens_sold = np.floor(queens * s.sell_queens_share)
        ages[0] += queens - queens_sold

        grown = ages[1:].sum(axis=0)
        sold = np.minimum(np.round(grown * s.sell_nucs_share), s.nucs_wanted_a_month)
        _take_from(ages, sold)
        boxes += s.hive_boxes_bought_a_month
        moved = np.floor(np.minimum(ages[-1], boxes))
        ages[-1] -= moved
        boxes -= moved
        hives += moved

        feed = splits * s.feed_kg_a_split + (hives * s.feed_kg_a_hive if first.month == s.feed_month else 0.0)
        money += sold * s.nuc_price + queens_sold * s.queen_price - feed * s.sugar_price_kg
        money -= s.hive_boxes_bought_a_month * s.hive_box_price + hives * s.cost_a_hive_a_year / 12
        if first.month == s.honey_month:
            money += hives * s.honey_kg_a_hive * honey * s.honey_price_kg
        values = (hives, ages.sum(axis=0), queens, splits, lost + nuc_lost, sold, queens_sold, feed, boxes, money)
        for name, value in zip(SERIES, values, strict=True):
            out[name][i] = value
    limits = {limit: held[limit] / rearing if rearing else 0.0 for limit in LIMITS}
    return Growth(calendar, out, limits)


def _take_from(ages: Runs, wanted: Runs) -> None:
    """Take so many nucs out of the cohorts in place, the oldest first; never more than there are."""
    left = wanted.copy()
    for row in range(ages.shape[0] - 1, -1, -1):
        took = np.minimum(ages[row], left)
        ages[row] -= took
        left -= took
