"""Syrup and feeders, as lines for a phone."""

from __future__ import annotations

from gloveside.bot.wording.days import day
from gloveside.bot.wording.rearing.fit import fit, number
from gloveside.rearing.feed import RunsDry, Syrup


def syrup_lines(mix: Syrup) -> list[str]:
    """A recipe."""
    return fit(
        [
            f"{number(mix.sugar_kg, 2)} kg sugar in {number(mix.water_l, 2)} L water",
            f"makes {number(mix.syrup_l, 2)} L, {100 * mix.sugar_share:.0f} % sugar",
            "White sugar; do not boil",
        ]
    )


def dry_lines(dry: RunsDry) -> list[str]:
    """When a feeder runs dry."""
    learnt = (
        f"seen over {dry.learnt_from} {'fill' if dry.learnt_from == 1 else 'fills'}"
        if dry.learnt_from
        else "usual use, none noted yet"
    )
    return fit(
        [
            f"Top up {day(dry.top_up)}",
            f"Dry about {day(dry.likely)}, at the earliest {day(dry.earliest)}",
            f"{number(dry.litres_a_day, 2)} L a day ({learnt})",
        ]
    )
