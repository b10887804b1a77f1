"""Development of queen, worker and drone: the published tables and the planning figures drawn from them.

Day 0 is the day on which the egg is laid. G+n is n days after grafting, E+n is n days after the queen emerges.
A larva grafted 12-24 h after hatching is 3.5-4.0 days from the egg.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gloveside.rearing import sources as src
from gloveside.rearing.sources import Source

Caste = Literal["queen", "worker", "drone"]


@dataclass(frozen=True, slots=True)
class Band:
    """A figure with its spread. low <= likely <= high; unit is that of the name (days unless it says otherwise)."""

    low: float
    likely: float
    high: float
    source: Source
    also: tuple[Source, ...] = ()

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise ValueError(f"A band must run low to high, got {self.low}, {self.likely}, {self.high}.")

    @property
    def cites(self) -> str:
        """Short citations of the main source and the others."""
        return src.cite(self.source, *self.also)


@dataclass(frozen=True, slots=True)
class PublishedDays:
    """One row of a published development table, days from the egg; None where the source is silent."""

    caste: Caste
    emerge: float
    hatch: float | None
    capped: float | None
    source: Source


def _averages(source: Source, hatch: float | None = None) -> tuple[PublishedDays, ...]:
    return (
        PublishedDays("queen", 16, hatch, None, source),
        PublishedDays("worker", 21, hatch, None, source),
        PublishedDays("drone", 24, hatch, None, source),
    )


PUBLISHED: tuple[PublishedDays, ...] = (
    *_averages(src.COLLISON),
    *_averages(src.MUSSEN_1987, hatch=3),
    *_averages(src.CORNELL_925),
    PublishedDays("worker", 21, None, None, src.COLOSS_BROOD),
    PublishedDays("queen", 16 + 1 / 24, None, None, src.CHUDA_2015),
)
"""Rows as printed. Chuda-Mickiewicz: 16 d 1 h at 34.5 °C. They disagree by hours, never by a day."""

HATCH = Band(3.0, 3.0, 3.0, src.MUSSEN_1987)
EMERGE: dict[Caste, Band] = {
    "queen": Band(15, 16, 17, src.MUSSEN_1987, (src.CORNELL_925, src.COLLISON)),
    "worker": Band(20, 21, 22, src.MUSSEN_1987, (src.CORNELL_925, src.COLLISON, src.COLOSS_BROOD)),
    "drone": Band(23, 24, 25, src.MUSSEN_1987, (src.CORNELL_925, src.COLLISON, src.MARWAHA_2023)),
}
CAPPED: dict[Caste, Band] = {
    "queen": Band(7.5, 8, 8.5, src.ARITHMETIC, (src.NEMNBA,)),
    "worker": Band(8, 9, 9, src.ARITHMETIC, (src.NEMNBA,)),
    "drone": Band(9.5, 10, 10, src.ARITHMETIC, (src.NEMNBA,)),
}
"""Days from the egg to the cap."""

SEALED_PHASE: dict[Caste, Band] = {
    "queen": Band(7, 8, 8.5, src.NEMNBA),
    "worker": Band(12, 12, 13, src.NEMNBA),
    "drone": Band(14, 15, 15, src.NEMNBA),
}
"""Days from the cap to emergence: 8 / 12 / 15 as published."""

LARVA_HOURS = Band(12, 18, 24, src.BUCHLER_2013)
"""Hours since hatching at the graft."""
LARVA_HOURS_MOST = 72.0
"""Hours after which a larva can no longer become a queen (breeders' practice; quality falls before that)."""

COOLEST_C, WARMEST_C = 32.0, 34.5
COOL_DELAY_H = 27.0
"""Sealed cells at 32 °C emerge 1 d 3 h later than at 34.5 °C (16 d 1 h and 17 d 4 h from the egg)."""
WARM_LIMIT_C = 35.5
"""Brood nests run to about 35 °C; above this there is no figure."""


def cool_delay_hours(incubator_c: float, share: float = 1.0) -> float:
    """Hours by which cells emerge late in an incubator at `incubator_c` °C, against 34.5 °C.

    share: part (0..1) of the sealed time spent at that temperature. Straight line between the two measured points,
    32 and 34.5 °C; 34.5-35.5 °C counts as no delay. Outside 32-35.5 °C a ValueError, as nothing was measured there.
    Source: Chuda-Mickiewicz & Samborski 2015.
    """
    if not COOLEST_C <= incubator_c <= WARM_LIMIT_C:
        raise ValueError(
            f"No figure for cells at {incubator_c:g} °C: it was measured from 32 to 34.5 °C. "
            "Check the incubator with a second thermometer and set it to 34.5."
        )
    if not 0 <= share <= 1:
        raise ValueError(f"The share of the sealed time must lie between 0 and 1, got {share:g}.")
    below = max(0.0, WARMEST_C - incubator_c)
    return share * COOL_DELAY_H * below / (WARMEST_C - COOLEST_C)


def larva_shift_hours(larva_age_h: float) -> float:
    """Hours (negative: sooner) by which a larva of this age emerges against one of 18 h.

    One hour older is one hour sooner (arithmetic; an association page gives up to 1.5 d for 48-60 h). ValueError
    outside 0-72 h.
    """
    if not 0 <= larva_age_h <= LARVA_HOURS_MOST:
        raise ValueError(
            f"A larva of {larva_age_h:g} h cannot become a queen. Say its age since hatching, from 0 to 72 hours."
        )
    return LARVA_HOURS.likely - larva_age_h
