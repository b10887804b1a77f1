"""From the emergence of a queen to the day she is given up: flights, eggs, looks. The same for every kind of cell."""

from __future__ import annotations

from gloveside.rearing import sources as src
from gloveside.rearing.moments import days
from gloveside.rearing.steps import Plan, Three, no_sooner, three

FLIGHTS = (5.0, 7.0, 10.0)
FIRST_EGGS = (8.0, 12.9, 21.0)
LAYING_CHECK = (12, 14, 18)
WRITE_OFF = (21, 25, 28)
"""Days after emergence: earliest, likely, latest."""


def add_from_emergence(plan: Plan, born: Three) -> None:
    """The steps from the emergence on. Natural events carry its spread; looks are planned from the likely day."""
    e = born[1]
    usual = e + days(FLIGHTS[1])
    flights = plan.add(
        "mating flights",
        (born[0] + days(FLIGHTS[0]), usual, born[2] + days(FLIGHTS[2])),
        "above 20 °C, low wind, afternoon",
        src.cite(src.HEIDINGER_2014, src.NSW_828, src.COLOSS_MATING),
    )
    eggs = (born[0] + days(FIRST_EGGS[0]), e + days(FIRST_EGGS[1]), born[2] + days(FIRST_EGGS[2]))
    if "mating flights" in plan.done:
        late = flights[1] - usual
        likely = eggs[1] + late
        eggs = (min(flights[1] + days(2), likely), likely, max(eggs[2], likely))
    eggs = plan.add(
        "first eggs",
        eggs,
        "mean 12.9 days after emergence",
        src.cite(src.PEREZ_SATO_2006, src.CONNOR, src.MEMORY),
    )
    look = three(e, *LAYING_CHECK)
    if {"mating flights", "first eggs"} & set(plan.done):
        look = no_sooner(look, eggs[1])
    look = (look[0], max(look[1], eggs[1]), max(look[2], eggs[1]))
    look = plan.add("laying check", look, "not before: she may still fly", src.cite(src.ARITHMETIC, src.MEMORY))
    give_up = three(e, *WRITE_OFF)
    if "laying check" not in plan.done:
        give_up = no_sooner(give_up, look[1])
    plan.add("write off", give_up, "no eggs by now: give young larvae", src.cite(src.ARITHMETIC, src.MEMORY))
