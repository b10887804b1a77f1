"""Mite counts: the share with its interval, thresholds as data of the operator, and what one wash can tell."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, exp, log, sqrt
from typing import Literal

import scipy

from gloveside.rearing import sources as src
from gloveside.rearing.intervals import wilson
from gloveside.rearing.records import Tally
from gloveside.rearing.take_compare import fisher

WASH_BEES = 300
"""Half a cup of bees (PNW Handbooks). Never wash the queen."""
DOUBLING_DAYS = 30.0
"""Load about doubles each month while there is brood (association guidance)."""
HISTORIC_TRIGGER = 3.0
"""3 mites in 100 bees (older USDA-ARS advice); thresholds have fallen since."""

Verdict = Literal["below", "cannot tell", "above"]


@dataclass(frozen=True, slots=True)
class MiteCount:
    """A wash or sugar shake. percent, low, high: mites in 100 bees with the 95 % Wilson interval."""

    mites: int
    bees: int
    percent: float
    low: float
    high: float


def mite_count(mites: int, bees: int = WASH_BEES) -> MiteCount:
    """Percent of a wash with its interval. ValueError without bees or with more mites than bees."""
    if bees < 1:
        raise ValueError("How many bees were washed? Half a cup is about 300.")
    if not 0 <= mites <= bees:
        raise ValueError(f"{mites} mites on {bees} bees cannot be read as a share: count again or wash more bees.")
    low, high = wilson(Tally(mites, bees))
    return MiteCount(mites, bees, 100 * mites / bees, 100 * low, 100 * high)


@dataclass(frozen=True, slots=True)
class Threshold:
    """Mites in 100 bees at which to act, from the operator's table. source and edition are shown with it."""

    percent: float
    source: str
    edition: str = ""


ThresholdTable = Mapping[int, Threshold]
"""Month 1..12 -> threshold. A setting of the operator: authorities differ, and have lowered their figures."""


def starting_table(*, southern: bool) -> dict[int, Threshold]:
    """A table to start from and to edit: 1 % in spring build-up, 2 % at the peak and in decline. Check the local one.

    Source: seasonal figures of 1-3 % (HBHC guide and Ontario advice, from memory); the lower figure is taken.
    """
    spring = Threshold(1.0, src.HBHC.cite, "from memory: check your region")
    later = Threshold(2.0, src.HBHC.cite, "from memory: check your region")
    shift = 6 if southern else 0
    return {(m + shift - 1) % 12 + 1: (spring if m in (11, 12, 1, 2, 3, 4, 5) else later) for m in range(1, 13)}


@dataclass(frozen=True, slots=True)
class Judgement:
    """A count against a threshold. `cannot tell`: the interval holds the threshold."""

    count: MiteCount
    threshold: Threshold
    verdict: Verdict


def judge(count: MiteCount, on: date, table: ThresholdTable) -> Judgement:
    """Compare a count with the threshold of that month. KeyError when the table has no such month."""
    threshold = table[on.month]
    if count.low > threshold.percent:
        verdict: Verdict = "above"
    else:
        verdict = "below" if count.high < threshold.percent else "cannot tell"
    return Judgement(count, threshold, verdict)


def differ(one: MiteCount, two: MiteCount) -> bool:
    """Whether two counts have been shown to differ (Fisher exact, 5 %). One wash of 300 cannot tell 2 % from 3 %."""
    return fisher(Tally(one.mites, one.bees), Tally(two.mites, two.bees)) < 0.05


def bees_to_tell(percent_a: float, percent_b: float, *, power: float = 0.8) -> int:
    """Bees to wash on each side so that two loads (mites in 100 bees) are told apart at 5 %, `power` of the time."""
    a, b = percent_a / 100, percent_b / 100
    if not (0 <= a <= 1 and 0 <= b <= 1) or a == b:
        raise ValueError("Give two different loads in mites for 100 bees, from 0 to 100.")
    z = float(scipy.special.ndtri(0.975) + scipy.special.ndtri(power))
    return ceil(z**2 * (a * (1 - a) + b * (1 - b)) / (a - b) ** 2)


@dataclass(frozen=True, slots=True)
class DailyDrop:
    """Natural mite fall a day, with the 95 % Poisson interval (exact)."""

    per_day: float
    low: float
    high: float


def daily_drop(mites: int, days: float) -> DailyDrop:
    """Mites a day on a board left in for `days`. No share of the colony follows from it."""
    if days <= 0 or mites < 0:
        raise ValueError("How many days was the board in? Say a number above 0, and the mites counted.")
    low = 0.0 if mites == 0 else float(scipy.special.gammaincinv(mites, 0.025))
    high = float(scipy.special.gammaincinv(mites + 1, 0.975))
    return DailyDrop(mites / days, low / days, high / days)


@dataclass(frozen=True, slots=True)
class Trend:
    """Growth of a hive's load.

    rate_a_day: of the logarithm, with its 80 % band. doubling_days: None when not rising. crosses: likely day on which
    the load passes the threshold, the last wash's day when it has, None when not rising. washes: how many it rests on.
    """

    rate_a_day: float
    rate_low: float
    rate_high: float
    doubling_days: float | None
    crosses: date | None
    washes: int
    reached: bool


def mite_trend(
    counts: Sequence[tuple[date, MiteCount]], threshold_percent: float, *, prior_days: float = DOUBLING_DAYS
) -> Trend:
    """The trend of a hive's washes, oldest first or not, drawn towards doubling in `prior_days` where they are few.

    Each log share is weighted by its mites (+0.5); the prior on the daily rate has a standard deviation of half of
    itself. ValueError without counts. A trend through a treatment means nothing: pass counts since the last one.
    """
    if not counts:
        raise ValueError("No wash yet: wash half a cup of bees, about 300, and say how many mites.")
    rows = sorted(counts, key=lambda c: c[0])
    start = rows[-1][0]
    t = [(on - start).days for on, _ in rows]
    y = [log((c.mites + 0.5) / (c.bees + 1)) for _, c in rows]
    w = [c.mites + 0.5 for _, c in rows]
    total = sum(w)
    t_mean = sum(a * b for a, b in zip(w, t, strict=True)) / total
    y_mean = sum(a * b for a, b in zip(w, y, strict=True)) / total
    spread = sum(a * (b - t_mean) ** 2 for a, b in zip(w, t, strict=True))
    prior = log(2) / prior_days
    prior_precision = 1 / (prior / 2) ** 2
    pulled = sum(a * (b - t_mean) * (c - y_mean) for a, b, c in zip(w, t, y, strict=True))
    precision = spread + prior_precision
    rate = (pulled + prior * prior_precision) / precision
    half = 1.2816 / sqrt(precision)
    crosses = None
    now = 100 * exp(y_mean - rate * t_mean)
    if now >= threshold_percent:
        crosses = start
    elif rate > 1e-6:
        crosses = start + timedelta(days=min(3650, ceil(log(threshold_percent / now) / rate)))
    return Trend(
        rate,
        rate - half,
        rate + half,
        log(2) / rate if rate > 1e-6 else None,
        crosses,
        len(rows),
        now >= threshold_percent,
    )
