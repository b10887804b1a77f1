"""How many splits a round wants: as many as ripe cells, counted or expected from the take."""

from __future__ import annotations

from gloveside.bot.rounds import RoundView
from gloveside.rearing.splits import Splits, splits_for


def splits_of(view: RoundView) -> Splits | None:
    """The splits for a round, from the ripe cells counted, else from those capped or taken; None before the take."""
    row = view.row
    if row.count_ripe is not None:
        return splits_for(max(row.count_ripe, row.taken or 0), counted=row.count_ripe)
    started = row.count_capped if row.count_capped is not None else row.taken
    return None if started is None else splits_for(started)


def splits_wanted(view: RoundView) -> int | None:
    """How many splits to make in all for a round; None before anything was counted."""
    splits = splits_of(view)
    return None if splits is None else splits.make
