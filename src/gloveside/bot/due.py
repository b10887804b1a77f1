"""What is due: the open steps of every round, tasks, and mating nucs to look at, as one dated list."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from gloveside.bot.rounds import RoundView
from gloveside.bot.splits import splits_wanted
from gloveside.bot.wording import days
from gloveside.bot.wording.entries import count
from gloveside.extract import models as m
from gloveside.rearing.calendar import Step

# Steps that ask for the beekeeper's hands. The others happen by themselves, or forbid hands.
HANDS = ("excluder in", "slide in", "graft", "slide out", "take check", "splits", "plant", "laying check", "write off")
CANNOT_WAIT = frozenset({"slide out", "splits", "plant"})
_LATER = {name: HANDS[i + 1 :] for i, name in enumerate(HANDS)}


@dataclass(frozen=True, slots=True)
class Due:
    """One thing to do. latest: the last day that will do; round, step: where it comes from; entry: a task's row."""

    on: date
    latest: date
    text: str
    round: int | None = None
    step: str | None = None
    place: str | None = None
    cannot_wait: bool = False
    entry: int | None = None

    def late(self, today: date) -> bool:
        """Whether its last day has gone."""
        return self.latest < today


def step_text(view: RoundView, step: Step) -> str:
    """What to do at this step, in a few words."""
    at = f" ({view.row.builder})" if view.row.builder else ""
    cells = view.cells
    match step.step:
        case "splits":
            how_many = "as many splits as ripe cells" if cells is None else count(splits_wanted(view), "split")
            return f"make {how_many}"
        case "plant":
            ripe = view.row.count_ripe
            return f"plant {count(ripe, 'ripe cell')}" if ripe is not None else "plant the ripe cells"
        case "take check":
            return f"check the take{at}"
        case "graft":
            return f"graft{at}"
        case "laying check":
            return "look for laying queens"
        case "write off":
            return "no eggs by now: write off or test"
        case name:
            return f"{name}{at}"


def steps_due(view: RoundView) -> list[Due]:
    """The steps of a round that still want hands, in order. A step passed over by a later one is not asked for."""
    due: list[Due] = []
    for step in view.calendar:
        if step.step not in HANDS or step.done or step.step in view.did:
            continue
        if any(later in view.did for later in _LATER[step.step]):
            continue
        if step.step in ("laying check", "write off") and not view.row.planted:
            continue
        due.append(
            Due(
                on=days.as_date(step.likely),
                latest=days.as_date(step.latest),
                text=step_text(view, step),
                round=view.number,
                step=step.step,
                place=view.row.builder,
                cannot_wait=step.step in CANNOT_WAIT,
            )
        )
    return due


def tasks_due(tasks: Iterable[tuple[int, m.Task]]) -> list[Due]:
    """Tasks with a date, as things to do. Each with the row of its entry."""
    return [
        Due(on=t.due, latest=t.due, text=t.text, round=t.round, place=t.place, entry=row) for row, t in tasks if t.due
    ]


def in_order(items: Iterable[Due], since: date | None = None, until: date | None = None) -> Sequence[Due]:
    """Sorted by day; within the span where one is given (by the day wanted)."""
    chosen = (d for d in items if (since is None or d.on >= since) and (until is None or d.on <= until))
    return sorted(chosen, key=lambda d: (d.on, d.round or 0, HANDS.index(d.step) if d.step in HANDS else 99))
