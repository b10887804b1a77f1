"""The varroa thresholds of this operation: those of its settings over the starting table of its hemisphere."""

from __future__ import annotations

from gloveside.bot.settings import Settings
from gloveside.rearing.varroa import Threshold, starting_table


def threshold_table(settings: Settings) -> dict[int, Threshold]:
    """Month 1..12 -> threshold in mites in 100 bees, with its source."""
    own = {month: Threshold(percent, settings.varroa.source) for month, percent in settings.varroa.thresholds.items()}
    return {**starting_table(southern=settings.operation.southern), **own}
