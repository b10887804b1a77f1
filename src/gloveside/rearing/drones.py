"""Drones for a round: when their brood must be laid, capped and emerging so that they are mature on the mating days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from gloveside.rearing import sources as src
from gloveside.rearing.calendar import RoundCalendar, Step
from gloveside.rearing.development import CAPPED, EMERGE, Band
from gloveside.rearing.moments import Moment, day

MATURE = Band(12, 14, 16, src.KV_DRONES, (src.METZ_2019, src.MEMORY))
"""Days from emergence to maturity. Minima of 8-10 d and a sperm peak at about 20 d are also published."""
EGG_TO_EMERGED = round(EMERGE["drone"].likely)
EGG_TO_CAPPED = round(CAPPED["drone"].likely)
TYPICAL_FLIGHTS = (18, 22)
"""Typical mating days after the graft (first possible: 17)."""
FIRST_FLIGHT = 17


@dataclass(frozen=True, slots=True)
class DroneDates:
    """Steps of drone brood for a round: `drone eggs`, `drones capped`, `drones emerge`, each with its band.

    `earliest` serves the earliest matings with slow drones, `latest` the last typical matings with fast ones. Eggs laid
    by `latest` are just in time.
    """

    eggs: Step
    capped: Step
    emerge: Step


def drones_for(grafted: Moment, *, mature_days: float | None = None) -> DroneDates:
    """When the drone brood of a round grafted on that day must be laid, capped and emerging.

    mature_days: days from a drone's emergence to maturity (default: 12-16, likely 14, as sources disagree).
    Eggs G-23 to G-14, likely G-20 (first typical mating at G+18, 14 days to mature). Source: arithmetic over
    emergence at 24 days; keep drones emerging, or late pupae, on the day of the graft.
    """
    low, likely, high = (
        (MATURE.low, MATURE.likely, MATURE.high) if mature_days is None else (mature_days, mature_days, mature_days)
    )
    if not 6 <= low <= high <= 30:
        raise ValueError(
            f"Drones mature 8 to 20 days after they emerge, not {mature_days:g}. Give the days in between."
        )
    g = day(grafted)
    first = g + timedelta(days=FIRST_FLIGHT - EGG_TO_EMERGED - round(high))
    usual = g + timedelta(days=TYPICAL_FLIGHTS[0] - EGG_TO_EMERGED - round(likely))
    last = g + timedelta(days=TYPICAL_FLIGHTS[1] - EGG_TO_EMERGED - round(low))

    def step(name: str, after: int, why: str) -> Step:
        by = timedelta(days=after)
        return Step(
            name,
            first + by,
            usual + by,
            last + by,
            why,
            src.cite(src.ARITHMETIC, src.MUSSEN_1987, src.KV_DRONES),
        )

    return DroneDates(
        step("drone eggs", 0, "24 days to emerge, 12-16 to mature"),
        step("drones capped", EGG_TO_CAPPED, "capped 10 days from the egg"),
        step("drones emerge", EGG_TO_EMERGED, "emerging about the day you graft"),
    )


def first_graft_after_capped_drones(seen: date, *, mature_days: float = MATURE.likely) -> Step:
    """The season's first graft, planned from the day on which capped drone brood was first seen.

    The brood seen was capped on that day or up to 14 days before it. Earliest: it was about to emerge; likely:
    halfway; latest: it was capped that very day (safe). Mature drones then meet queens on the first typical
    mating day, G+18. Source: arithmetic; drones are sealed 14-15 days (nemnba.org).
    """
    sealed = EGG_TO_EMERGED - EGG_TO_CAPPED
    wait = [left + round(mature_days) - TYPICAL_FLIGHTS[0] for left in (0, (sealed + 1) // 2, sealed)]
    low, likely, high = (seen + timedelta(days=max(0, w)) for w in wait)
    return Step(
        "first graft",
        low,
        likely,
        high,
        "drones emerge within 14 days of the cap",
        src.cite(src.ARITHMETIC, src.NEMNBA, src.KV_DRONES),
    )


@dataclass(frozen=True, slots=True)
class DroneCheck:
    """Whether drones will be ready. ready: when drones from eggs of that day are mature."""

    ready: Step
    in_time: bool
    late_days: int


def check_drones(eggs_laid: date, calendar: RoundCalendar) -> DroneCheck:
    """Compare drones from eggs laid on `eggs_laid` with a round's mating flights. late_days: 0 when in time."""
    low, likely, high = (
        eggs_laid + timedelta(days=EGG_TO_EMERGED + round(n)) for n in (MATURE.low, MATURE.likely, MATURE.high)
    )
    ready = Step(
        "drones mature",
        low,
        likely,
        high,
        "24 days to emerge, then 12-16",
        src.cite(src.ARITHMETIC, src.METZ_2019),
    )
    late = max(0, (likely - day(calendar.get("mating flights").likely)).days)
    return DroneCheck(ready, late == 0, late)
