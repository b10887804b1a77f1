"""Cells that nobody grafted: a swarm cell found sealed, and emergency cells after a queen was lost."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from gloveside.rearing import sources as src
from gloveside.rearing.emergence import add_from_emergence
from gloveside.rearing.moments import days, wall
from gloveside.rearing.steps import Plan, RoundCalendar, Step, Three

SEALED_MOST, SEALED_LEAST = 8, 7
"""Days from the cap of a queen cell to emergence."""
EMERGENCY = (10, 13, 15)
"""Days from the loss of the queen to the first emergency queen: earliest from a 3-day larva, central, latest."""
LAYING_WORKERS = (14, 21, 28)
"""Days from the loss to laying workers; sources say two weeks, or three to four."""
CUT_OUT = (9, 10)
"""Days after the loss on which no new cell can be started any more, for those who want none."""


def sealed_cell_calendar(found: date, *, not_sealed_on: date | None = None) -> RoundCalendar:
    """A swarm (or supersedure) cell found sealed on `found`: plant it, emergence and what follows.

    not_sealed_on: the last look at which it was not sealed yet; it narrows the band. Without it the queen may emerge
    at once or in up to 8 days. Raises ValueError when that look was not before `found`. Source: sealed 7-8 days.
    """
    if not_sealed_on is not None and not_sealed_on >= found:
        raise ValueError("The look without a sealed cell must be before the day the sealed cell was found.")
    plan = Plan(found, {})
    low, high = found, found + timedelta(days=SEALED_MOST)
    if not_sealed_on is not None:
        low = max(found, not_sealed_on + timedelta(days=SEALED_LEAST))
    likely = low + (high - low) / 2
    born: Three = (wall(low), wall(likely), wall(high))
    at = wall(found)
    plan.add("plant", (at, at, max(at, born[0])), "now: she may emerge any day", src.ARITHMETIC.cite)
    plan.add("emergence", born, "sealed at most 8 days", src.cite(src.NEMNBA, src.ARITHMETIC))
    add_from_emergence(plan, born)
    return RoundCalendar(tuple(plan.steps))


@dataclass(frozen=True, slots=True)
class EmergencyPlan:
    """What follows the loss of a queen.

    cut_out: the days to remove the last cells if none is wanted (cutting once before day 7 is not enough).
    laying_workers: when they may start if no queen is made.
    """

    calendar: RoundCalendar
    cut_out: Step
    laying_workers: Step


def emergency_calendar(lost: date, *, loss_known_to_days: int = 0) -> EmergencyPlan:
    """Emergency cells after the queen was lost on `lost` (local date).

    loss_known_to_days: she may also have been lost up to so many days earlier. Cells are begun 12-48 h after the loss
    over larvae of 0-3 days; the queen emerges 11.5-15 days after it, at the earliest about 10. Source: Fell & Morse.
    """
    if loss_known_to_days < 0:
        raise ValueError("Say how many days earlier she may have been lost, as a number from 0.")
    plan = Plan(lost, {})
    at = wall(lost)
    early = at - days(loss_known_to_days)
    born: Three = (early + days(EMERGENCY[0]), at + days(EMERGENCY[1]), at + days(EMERGENCY[2]))
    cap: Three = (born[0] - days(SEALED_MOST), born[1] - days(SEALED_MOST), born[2] - days(SEALED_MOST))
    cites = src.cite(src.FELL_MORSE_1984, src.ARITHMETIC)
    plan.add("sealed", cap, "begun 12-48 h after the loss", cites)
    plan.add("emergence", born, "11.5-15 days after the loss", cites)
    add_from_emergence(plan, born)

    def after(name: str, low: int, likely: int, high: int, why: str) -> Step:
        back = timedelta(days=loss_known_to_days)
        one, two, three = (lost + timedelta(days=n) for n in (low, likely, high))
        return Step(name, one - back, two, three, why, cites)

    return EmergencyPlan(
        RoundCalendar(tuple(plan.steps)),
        after("cut out", CUT_OUT[0], CUT_OUT[0], CUT_OUT[1], "no larva left that is young enough"),
        after("laying workers", *LAYING_WORKERS, "no open brood left, sources disagree"),
    )
