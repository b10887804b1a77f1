"""The colour of a queen's mark, by the year of her birth."""

from __future__ import annotations

from datetime import date
from typing import Literal

Colour = Literal["white", "yellow", "red", "green", "blue"]
YearRule = Literal["calendar", "season start", "season end"]

BY_LAST_DIGIT: tuple[Colour, ...] = ("blue", "white", "yellow", "red", "green")
"""White 1/6, yellow 2/7, red 3/8, green 4/9, blue 5/0 (associations; agreed everywhere)."""
SOUTHERN_SEASON_MONTH = 7


def colour_of_year(year: int) -> Colour:
    """The colour of a year: 2026 is white."""
    return BY_LAST_DIGIT[year % 5]


def marking_year(born: date, rule: YearRule = "calendar", *, season_month: int = SOUTHERN_SEASON_MONTH) -> int:
    """The year whose colour a queen born on that day carries.

    rule: `calendar` is the year of birth; `season start` and `season end` give all queens of one season the year in
    which it began or ends. season_month: month in which a season begins (7 in the south; 1 makes all rules one).
    """
    if rule == "calendar":
        return born.year
    if not 1 <= season_month <= 12:
        raise ValueError(f"The season begins in a month from 1 to 12, not {season_month}.")
    began = born.year if born.month >= season_month else born.year - 1
    return began if rule == "season start" or season_month == 1 else began + 1


def marking_colour(born: date, rule: YearRule = "calendar", *, season_month: int = SOUTHERN_SEASON_MONTH) -> Colour:
    """The colour for a queen born on that day, see `marking_year`."""
    return colour_of_year(marking_year(born, rule, season_month=season_month))


def possible_birth_years(colour: Colour, on: date, *, oldest: int = 5) -> list[int]:
    """Years of birth that a queen with that mark may have on that day, newest first, up to `oldest` years back."""
    return [y for y in range(on.year, on.year - oldest - 1, -1) if colour_of_year(y) == colour]
