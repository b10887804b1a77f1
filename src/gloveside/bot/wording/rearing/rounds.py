"""A round's calendar, its hints, its drones, and cells that nobody grafted, as lines for a phone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from gloveside.bot.wording.days import day, short, span
from gloveside.bot.wording.rearing.fit import MOST, fit
from gloveside.rearing.backwards import BackPlan
from gloveside.rearing.drones import DroneDates
from gloveside.rearing.hints import Hint
from gloveside.rearing.natural_cells import EmergencyPlan
from gloveside.rearing.steps import RoundCalendar, Step

_NAMES = {
    "excluder in": "Excluder in",
    "slide in": "Slide in",
    "graft": "Graft",
    "slide out": "Slide out",
    "take check": "Take check",
    "sealed": "Sealed",
    "leave alone": "Leave alone",
    "splits": "Splits",
    "plant": "Plant",
    "emergence": "Emerge",
    "mating flights": "Mating",
    "first eggs": "First eggs",
    "laying check": "Look for eggs",
    "write off": "Write off",
}


def banded(step: Step) -> str:
    """`Wed 2 Dec (1–3 Dec)`, or the day alone when it is fixed."""
    text = day(step.likely)
    if step.done:
        return f"{text} ✓"
    return text if step.earliest == step.latest else f"{text} ({span(step.earliest, step.latest)})"


def _ticked(step: Step) -> str:
    return short(step.likely) + (" ✓" if step.done else "")


def step_line(step: Step) -> str:
    """One step as one line."""
    name = _NAMES[step.step]
    if step.done:
        return f"{name} {banded(step)}"
    match step.step:
        case "leave alone":
            return f"{name} {span(step.earliest, step.latest)}"
        case "mating flights":
            return f"{name} flights {span(step.earliest, step.latest)}"
        case "plant":
            late = "" if step.earliest == step.latest else f", at latest {short(step.latest)}"
            return f"{name} {day(step.likely)}{late}"
        case "excluder in" | "slide in" | "slide out" | "take check" | "splits" | "laying check":
            return f"{name} {day(step.likely)}"
        case "write off":
            return f"{name} from {day(step.likely)}"
        case _:
            return f"{name} {banded(step)}"


def calendar_lines(calendar: RoundCalendar) -> list[str]:
    """The whole round in at most 12 lines; the steps at the board share two."""
    lines = []
    for step in calendar:
        if step.step == "graft":
            lines.append(f"Graft {day(step.likely)}" + (" ✓" if step.done else ""))
        elif step.step == "slide in":
            out = calendar.get("slide out")
            lines.append(f"Slide in {_ticked(step)}, out {_ticked(out)}")
        elif step.step == "slide out":
            continue
        else:
            lines.append(step_line(step))
    if len(lines) > MOST:
        look, end = calendar.get("laying check"), calendar.get("write off")
        lines = [*lines[:-2], f"Look for eggs {_ticked(look)}, give up {_ticked(end)}"]
    return fit(lines)


def why_lines(step: Step) -> list[str]:
    """Why a step falls on its day, and where that comes from."""
    return fit([step_line(step), step.why, f"Source: {step.source}"])


def back_lines(plan: BackPlan) -> list[str]:
    """A round planned backwards from the wished planting day."""
    calendar = plan.calendar
    lines = [f"To plant on {day(plan.plant)}:", f"drones capped by {day(plan.drones.capped.latest)}"]
    lines += [
        step_line(s) for s in calendar if s.step in ("excluder in", "slide in", "graft", "slide out", "take check")
    ]
    lines += [step_line(s) for s in calendar if s.step in ("leave alone", "splits", "emergence")]
    return fit(lines)


def drone_lines(drones: DroneDates) -> list[str]:
    """When drone brood must be laid, capped and emerging."""
    return fit(
        f"{title} {span(step.earliest, step.latest)}, best {short(step.likely)}"
        for title, step in (
            ("Drone eggs", drones.eggs),
            ("Drones capped", drones.capped),
            ("Drones emerge", drones.emerge),
        )
    )


def first_graft_lines(step: Step) -> list[str]:
    """The season's first graft after capped drone brood was seen."""
    return fit(
        [
            f"First graft {day(step.likely)}",
            f"At the earliest {short(step.earliest)}, safe from {short(step.latest)}",
            "Drones must be mature when queens fly",
        ]
    )


def sealed_cell_lines(calendar: RoundCalendar) -> list[str]:
    """A cell found sealed."""
    return fit(
        [
            "Move it now: keep it upright and warm",
            *(step_line(calendar.get(n)) for n in ("emergence", "mating flights", "first eggs", "laying check")),
            "The old queen has likely swarmed",
        ]
    )


def emergency_lines(plan: EmergencyPlan) -> list[str]:
    """What follows the loss of a queen."""
    return fit(
        [
            *(step_line(s) for s in plan.calendar if s.step in ("sealed", "emergence", "first eggs", "laying check")),
            f"Want none? Cut cells {span(plan.cut_out.earliest, plan.cut_out.latest)}",
            f"Laying workers from {short(plan.laying_workers.earliest)} to {short(plan.laying_workers.latest)}"
            " if no queen is made",
        ]
    )


def hint_lines(hints: Sequence[Hint]) -> list[str]:
    """Hints on a round, one or two lines each."""
    lines = []
    for hint in hints:
        name = _NAMES.get(hint.step, hint.step.capitalize())
        if hint.kind == "away":
            free = f"{short(hint.free)} would do" if hint.free else "no other day fits"
            lines.append(f"{name} {short(hint.on)}: you are away, {free}")
        elif hint.kind == "builder":
            lines.append(f"{name} {short(hint.on)}: {hint.text}")
        else:
            lines.append(f"{name}: {hint.text}")
    return fit(lines)


def clash_lines(found: Mapping[str, Sequence[tuple[int, int, date, date]]]) -> list[str]:
    """Builder -> rounds that overlap in it, as `hints.builder_clashes` gives them; round 0 is being prepared."""
    lines = [
        f"{name[:1].upper()}{name[1:]}: {_round(one)} and {_round(other)}, {span(first, last)}"
        for name, pairs in found.items()
        for one, other, first, last in pairs
    ]
    if not lines:
        return ["No two rounds share a builder"]
    return fit([*lines, "Move one, or give it another builder"])


def _round(number: int) -> str:
    return f"round {number}" if number else "the next round"
