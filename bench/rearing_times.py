"""How long each call of the rearing arithmetic takes: median and slowest of 20, in milliseconds, and growth in full."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from datetime import date, timedelta

from gloveside.bot.charts.timeline import round_timeline
from gloveside.rearing.backwards import plan_back
from gloveside.rearing.breeders import rank_breeders
from gloveside.rearing.broodless import broodless_window
from gloveside.rearing.calendar import round_calendar
from gloveside.rearing.drones import drones_for
from gloveside.rearing.feed import Look, feeder_runs_dry, syrup_for
from gloveside.rearing.growth import grow
from gloveside.rearing.growth_settings import GrowthSettings
from gloveside.rearing.mating_watch import NucLook, mating_watch
from gloveside.rearing.natural_cells import emergency_calendar
from gloveside.rearing.odds import odds
from gloveside.rearing.records import OwnRecord, Tally
from gloveside.rearing.season import plan_season
from gloveside.rearing.splits import splits_for
from gloveside.rearing.take_compare import compare_all, group
from gloveside.rearing.varroa import mite_count, mite_trend

ON = date(2026, 11, 20)
RECORD = OwnRecord(Tally(190, 300), Tally(170, 190), Tally(90, 150))
NOTES = {f"hive {n}": {"temper": [n % 3] * 8, "mites": [n % 5] * 6, "brood": [n % 9] * 12} for n in range(60)}
CALLS: dict[str, Callable[[], object]] = {
    "round_calendar": lambda: round_calendar(ON),
    "plan_back": lambda: plan_back(ON, incubator_c=33, larva_age_h=36),
    "drones_for": lambda: drones_for(ON),
    "emergency_calendar": lambda: emergency_calendar(ON),
    "odds 20 queens": lambda: odds(20, 0.9, record=RECORD),
    "odds 400 queens": lambda: odds(400, 0.99, record=RECORD),
    "splits_for": lambda: splits_for(45, ripe=RECORD.ripe),
    "plan_season 150 queens": lambda: plan_season(
        150, 0.9, ON, ON + timedelta(days=150), builders=("a", "b", "c"), nucs=80
    ),
    "compare 8 groups": lambda: compare_all([group(f"{n}", Tally(10 + n, 30)) for n in range(8)]),
    "mating_watch": lambda: mating_watch(ON, [NucLook(ON + timedelta(days=13), "not laying")], ON + timedelta(days=15)),
    "mite_trend": lambda: mite_trend([(ON + timedelta(days=9 * n), mite_count(n + 1)) for n in range(12)], 3.0),
    "broodless_window": lambda: broodless_window(ON, "caged"),
    "syrup_for": lambda: syrup_for(10),
    "feeder_runs_dry": lambda: feeder_runs_dry([Look(ON + timedelta(days=n), 2, 0.5) for n in range(30)]),
    "rank_breeders 60 hives": lambda: rank_breeders(NOTES),
    "growth 10,000 x 36": lambda: grow(GrowthSettings(ON, 40)),
    "chart of a round": lambda: round_timeline(round_calendar(ON), today=ON),
}


def main() -> None:
    """Print the table."""
    for name, call in CALLS.items():
        call()
        times = []
        for _ in range(20):
            began = time.perf_counter()
            call()
            times.append(1000 * (time.perf_counter() - began))
        print(f"{name:26} {statistics.median(times):8.2f} {max(times):8.2f}")


if __name__ == "__main__":
    main()
