"""Colony strength: bees on a comb, brood in a steady state, and bees that come out of brood."""

from __future__ import annotations

from dataclasses import dataclass

from gloveside.rearing import sources as src
from gloveside.rearing.development import CAPPED, EMERGE, HATCH, Band

BEES_PER_FRAME = Band(1400, 1900, 2430, src.SIMPSON_1969, (src.KAUFFELD_1975, src.BURGETT_1985))
"""Bees on one Langstroth deep comb, both sides: loose spread, one full layer, all it holds. Fix one and show it."""
CELLS_PER_FRAME = Band(6370, 6500, 7000, src.ARITHMETIC)
"""Worker cells of a deep comb, both sides."""
EGGS_A_DAY = Band(700, 1000, 2000, src.NSW_828, (src.MUSSEN_1987,))


def cells_per_dm2(cell_mm: float) -> float:
    """Worker cells on one side of 1 dm² of comb with cells `cell_mm` mm wide: 411 at 5.3 mm.

    Source: Betts 1938, 2.309 x (cells per dm)^2 for both sides.
    """
    if not 4.5 <= cell_mm <= 7.5:
        raise ValueError(f"Cells are about 4.9 to 5.7 mm wide, not {cell_mm:g} mm.")
    return 2.309 * (100 / cell_mm) ** 2 / 2


@dataclass(frozen=True, slots=True)
class Brood:
    """Worker brood of a queen that has laid the same each day for three weeks, in cells."""

    eggs: float
    open_larvae: float
    sealed: float

    @property
    def total(self) -> float:
        """All cells of brood."""
        return self.eggs + self.open_larvae + self.sealed


def steady_brood(eggs_a_day: float) -> Brood:
    """Brood in balance: eggs : open : sealed = 3 : 6 : 12 days' laying; 1,000 a day is 21,000 cells."""
    return Brood(
        eggs_a_day * HATCH.likely,
        eggs_a_day * (CAPPED["worker"].likely - HATCH.likely),
        eggs_a_day * (EMERGE["worker"].likely - CAPPED["worker"].likely),
    )


def bees_from_frames(frames: float, per_frame: float = BEES_PER_FRAME.likely) -> float:
    """Adult bees on so many frames of bees; per_frame is the operator's own definition of a frame of bees."""
    if frames < 0 or per_frame <= 0:
        raise ValueError("Frames of bees are counted from 0.")
    return frames * per_frame
