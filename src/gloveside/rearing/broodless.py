"""Windows without sealed brood, in which a treatment reaches the mites: dates only, never a dose."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from gloveside.rearing import sources as src
from gloveside.rearing.development import EMERGE

WORKER_OUT = round(EMERGE["worker"].likely)
DRONE_OUT = round(EMERGE["drone"].likely)
TREAT_BEFORE = 7
"""Treat within 7 days of the first new egg: workers are sealed on day 8-9 and mites go in up to a day before."""
CAGE_DAYS = 25
"""Cage at least 25 days for the best effect (UK summary of product characteristics)."""

Case = Literal[
    "caged", "split with a ripe cell", "emergency queen", "ripe cell after a week", "bees only with a ripe cell"
]

FIRST_NEW_EGGS: dict[Case, tuple[int, int, int]] = {
    "caged": (25, 25, 26),
    "split with a ripe cell": (9, 14, 15),
    "emergency queen": (18, 24, 28),
    "ripe cell after a week": (16, 21, 22),
    "bees only with a ripe cell": (9, 14, 15),
}
"""Days from the old queen's last egg to the first new egg: earliest, likely, latest. Arithmetic over E+12.9."""


@dataclass(frozen=True, slots=True)
class Window:
    """Days on which the colony has no sealed brood. Either may be None: there is no such window.

    opens: no sealed worker brood from here. opens_all: no drone brood either. closes: last day to treat, likely;
    closes_early: the same if the new queen starts early (then there may be no window at all).
    """

    case: Case
    opens: date
    opens_all: date
    closes: date
    closes_early: date
    source: str

    @property
    def days(self) -> int:
        """Likely days in the window clear of worker brood, 0 when there is none."""
        return max(0, (self.closes - self.opens).days)

    @property
    def days_all(self) -> int:
        """The same, clear of drone brood too."""
        return max(0, (self.closes - self.opens_all).days)

    @property
    def safe_days(self) -> int:
        """Days in the window even when the new queen starts early."""
        return max(0, (self.closes_early - self.opens).days)


def broodless_window(last_egg: date, case: Case, *, released: date | None = None) -> Window:
    """The window after the old queen's last egg (caging, removal or the split) on `last_egg`.

    released: the day a caged queen was really let out. ValueError when that is before the caging.
    Source: arithmetic over worker 21 and drone 24 days; caging for 25 days or more: UK SPC.
    """
    early, likely, _ = FIRST_NEW_EGGS[case]
    if released is not None:
        early = likely = (released - last_egg).days
        if early < 0:
            raise ValueError("The queen cannot be let out before she was caged: check the two dates.")
    bees_only = case == "bees only with a ripe cell"
    opens = last_egg if bees_only else last_egg + timedelta(days=WORKER_OUT)
    opens_all = last_egg if bees_only else last_egg + timedelta(days=DRONE_OUT)
    return Window(
        case,
        opens,
        opens_all,
        last_egg + timedelta(days=likely + TREAT_BEFORE),
        last_egg + timedelta(days=early + TREAT_BEFORE),
        src.cite(src.ARITHMETIC, src.VMD_SPC) if case == "caged" else src.ARITHMETIC.cite,
    )


@dataclass(frozen=True, slots=True)
class Withholding:
    """When honey may be taken again after a treatment, by the days that the operator read on the label."""

    product: str
    ends: date
    source: str


def withholding(product: str, last_in: date, label_days: int, *, label: str) -> Withholding:
    """Withholding period from the day the product was last in the hive. label: which label and edition was read.

    The days are those entered from the label; nothing is worked out from another product. ValueError below 0.
    """
    if label_days < 0:
        raise ValueError("Read the withholding days on the label and say them, 0 if it has none.")
    return Withholding(product, last_in + timedelta(days=label_days), label)
