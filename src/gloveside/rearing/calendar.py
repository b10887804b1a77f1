"""The calendar of a round: from the graft to the laying queen, each step with its band, reason and source."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from gloveside.rearing import sources as src
from gloveside.rearing.development import cool_delay_hours, larva_shift_hours
from gloveside.rearing.emergence import add_from_emergence
from gloveside.rearing.moments import Moment, days, hours, wall
from gloveside.rearing.steps import BOARD_STEPS, STEPS, Plan, RoundCalendar, Step, no_sooner, shift, three

__all__ = ["BOARD_STEPS", "STEPS", "RoundCalendar", "Step", "round_calendar", "share_in_incubator"]

EXCLUDER_BEFORE, SLIDE_BEFORE = 3, 1
RIPE, RIPE_LATEST, EMERGES = 10, 11, 12
"""Days before and after the graft."""


def _graft_day(grafted: Moment, plan: Plan, *, board: bool, planned: bool) -> datetime:
    """When the graft is or was: as done, else as given, else pushed on by a builder that was made ready late."""
    if "graft" in plan.done:
        return plan.done["graft"]
    at = wall(grafted)
    if planned and board:
        for step, before in (("excluder in", EXCLUDER_BEFORE), ("slide in", SLIDE_BEFORE)):
            if step in plan.done:
                wanted = plan.done[step].date() + timedelta(days=before)
                if wanted > at.date():
                    at = datetime.combine(wanted, at.time())
    return at


def round_calendar(
    grafted: Moment,
    *,
    board: bool = True,
    larva_age_h: float | None = None,
    incubator_c: float | None = None,
    incubator_share: float = 1.0,
    virgins: bool = False,
    planned: bool = False,
    done: Mapping[str, Moment] | None = None,
) -> RoundCalendar:
    """The whole calendar of a round grafted at `grafted` (local date, or local date-time, naive or aware).

    board: an excluder-and-slide board is used (else its three steps are absent).
    larva_age_h: hours since hatching at the graft (default 12-24 h); older larvae are ripe and emerge sooner.
    incubator_c: temperature of the incubator that holds the sealed cells, °C; 32 °C costs 27 h against 34.5 °C.
    incubator_share: part of the sealed time spent in it, 0..1.
    virgins: the queens emerge in the incubator and are planted as virgins of 0-1 day instead of as ripe cells.
    planned: the graft is still to come, so a late excluder or slide pushes it on.
    done: what was really done or seen, by step name; it replaces the plan and shifts what follows. Cells seen sealed
        can only bring the later dates forward: they may have been sealed for days.
    Raises ValueError for an unknown step name, a larva over 72 h or a temperature that nobody measured.
    """
    plan = Plan(grafted, done or {})
    g = _graft_day(grafted, plan, board=board, planned=planned)
    age = hours(0) if larva_age_h is None else hours(larva_shift_hours(larva_age_h))
    cool = hours(0) if incubator_c is None else hours(cool_delay_hours(incubator_c, incubator_share))

    if board:
        plan.add(
            "excluder in",
            three(g, -8, -EXCLUDER_BEFORE, -EXCLUDER_BEFORE),
            "queen below, feed on, before the graft",
            src.cite(src.PRACTICE, src.GORMANSTON_2017, src.BUCHLER_2013),
        )
        plan.add(
            "slide in",
            three(g, -SLIDE_BEFORE, -SLIDE_BEFORE, -SLIDE_BEFORE),
            "top box queenless a day before the graft",
            src.MONTY_2014.cite,
        )
    plan.add("graft", (g, g, g), "larvae 12-24 h old", src.BUCHLER_2013.cite, timed=True)
    took = three(g, 1, 2, 2)
    if board:
        out = plan.add(
            "slide out",
            three(g, 1, 1, 2),
            "cells started; queenright finisher now",
            src.cite(src.MONTY_2014, src.BUCHLER_2013),
        )
        if "slide out" in plan.done:
            took = no_sooner(took, out[1])
    plan.add("take check", took, "wax rim and jelly show by now", src.cite(src.MONTY_2014, src.MEMORY))

    cap = shift(three(g, 4, 5, 6), age)
    moved = age
    seen = plan.add("sealed", cap, "cells closed about 5 days after", src.cite(src.CUSHMAN, src.PRACTICE), timed=True)
    if "sealed" in plan.done and seen[1] < cap[1]:
        moved += timedelta(days=(seen[1].date() - cap[1].date()).days)
    start = min(seen[1], cap[1])

    ripe = shift(three(g, RIPE, RIPE, RIPE_LATEST), moved + cool)
    plan.add(
        "leave alone",
        (start, start, max(start, ripe[1] - days(1))),
        "fragile: upright, no knock, no chill",
        src.cite(src.CUSHMAN, src.WANG_2016, src.MEMORY),
    )
    out_of_cell = shift(three(g, EMERGES - 1, EMERGES, EMERGES + 1), moved + cool)
    if "emergence" in plan.done:
        out_of_cell = (plan.done["emergence"],) * 3
    if virgins:
        planting = (out_of_cell[0], out_of_cell[1], out_of_cell[2] + days(1))
        planting_why, planting_source = "virgins 0-1 day old; cells do better", src.PEREZ_SATO_2006.cite
    else:
        planting = ripe
        planting_why, planting_source = "ripe, 1-2 days before they emerge", src.BUCHLER_2013.cite
    planting = (plan.done["plant"],) * 3 if "plant" in plan.done else planting
    plan.add(
        "splits",
        (planting[1] - days(3), planting[1] - days(1), planting[2] - days(1)),
        "the day before; 3 days queenless is better",
        src.cite(src.PRACTICE, src.HONEY_FARMERS, src.CUSHMAN),
    )
    plan.add("plant", planting, planting_why, planting_source)
    born = plan.add(
        "emergence",
        out_of_cell,
        "16 days from the egg (15-17)",
        src.cite(src.CUSHMAN, src.MUSSEN_1987),
        timed=True,
    )
    add_from_emergence(plan, born)
    return RoundCalendar(tuple(plan.steps))


def share_in_incubator(calendar: RoundCalendar, since: Moment) -> float:
    """Part (0..1) of the sealed time that cells moved into an incubator at `since` spend there.

    calendar: the round without an incubator. For `incubator_share` of `round_calendar`.
    """
    cap, born = wall(calendar.get("sealed").likely), wall(calendar.get("emergence").likely)
    if born <= cap:
        return 0.0
    return min(1.0, max(0.0, (born - wall(since)) / (born - cap)))
