"""A round planned backwards: from the day on which ripe cells are wanted to the day on which the excluder goes in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from gloveside.rearing.calendar import RIPE, RoundCalendar, round_calendar
from gloveside.rearing.drones import DroneDates, drones_for
from gloveside.rearing.moments import day

SEARCH_DAYS = 5


@dataclass(frozen=True, slots=True)
class BackPlan:
    """What must happen when, for cells to be planted on `plant`. start: the first day of work, drones left aside."""

    plant: date
    graft: date
    start: date
    calendar: RoundCalendar
    drones: DroneDates


def plan_back(
    plant: date,
    *,
    board: bool = True,
    larva_age_h: float | None = None,
    incubator_c: float | None = None,
    incubator_share: float = 1.0,
    virgins: bool = False,
) -> BackPlan:
    """Plan a round so that its likely planting day is `plant` (a local date). Options as in `round_calendar`."""
    guess = plant - timedelta(days=RIPE)
    for off in sorted(range(-SEARCH_DAYS, SEARCH_DAYS + 1), key=abs):
        graft = guess + timedelta(days=off)
        calendar = round_calendar(
            graft,
            board=board,
            larva_age_h=larva_age_h,
            incubator_c=incubator_c,
            incubator_share=incubator_share,
            virgins=virgins,
        )
        if day(calendar.get("plant").likely) == plant:
            start = min(day(step.likely) for step in calendar)
            return BackPlan(plant, graft, start, calendar, drones_for(graft))
    raise ValueError(
        f"No graft day gives cells to plant on {plant.isoformat()}. Leave out the special settings and try again."
    )
