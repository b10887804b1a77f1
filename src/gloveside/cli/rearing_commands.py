"""Commands of the rearing arithmetic that need no record: a round's dates, how many to stock, drones, cells, syrup."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gloveside.cli.options import parse_date

if TYPE_CHECKING:
    from gloveside.rearing.hints import Hint
    from gloveside.rearing.steps import RoundCalendar

AsJson = Annotated[bool, typer.Option("--json", help="One JSON object.")]
Chart = Annotated[Path | None, typer.Option("--chart", help="Also write a chart to this PNG file.")]
Dark = Annotated[bool, typer.Option("--dark", help="Chart on a dark ground.")]
NoBoard = Annotated[bool, typer.Option("--no-board", help="No excluder-and-slide board is used.")]


@contextmanager
def sentences() -> Iterator[None]:
    """A figure that cannot be ends the command with its sentence and exit code 2."""
    try:
        yield
    except ValueError as error:
        from gloveside.bot.wording.rearing.fit import fit

        print("\n".join(fit([str(error)])), file=sys.stderr)
        raise typer.Exit(2) from error


def required_date(value: str | None, name: str) -> date:
    """An ISO date that must be there."""
    parsed = parse_date(value)
    if parsed is None:
        raise typer.BadParameter(f"Say the date with {name}, as 2026-11-20.")
    return parsed


def _moment(value: str) -> date | datetime:
    try:
        return datetime.fromisoformat(value) if "T" in value or " " in value else date.fromisoformat(value)
    except ValueError as error:
        raise typer.BadParameter(f"{value!r} is no date. Write it as 2026-11-20 or 2026-11-20T15:30.") from error


def _done(values: Sequence[str]) -> dict[str, date | datetime]:
    pairs = {}
    for value in values:
        step, found, when = value.partition("=")
        if not found:
            raise typer.BadParameter(f"{value!r}: write what was done as step=date, say 'sealed=2026-11-25'.")
        pairs[step.strip()] = _moment(when.strip())
    return pairs


def show(lines: Sequence[str], data: dict[str, Any], *, as_json: bool) -> None:
    """Print the lines, or the data as one JSON object."""
    print(json.dumps(data, ensure_ascii=False) if as_json else "\n".join(lines))


def round_(
    grafted: Annotated[str | None, typer.Option("--grafted", help="Day (or day and time) of the graft, ISO.")] = None,
    plant: Annotated[str | None, typer.Option("--plant", help="Plan backwards from this planting day.")] = None,
    no_board: NoBoard = False,
    larva_age: Annotated[float | None, typer.Option(help="Hours since hatching at the graft.")] = None,
    incubator: Annotated[float | None, typer.Option(help="Incubator, °C.")] = None,
    incubated_from: Annotated[
        str | None, typer.Option("--incubated-from", help="Day (or day and time) the cells went into it.")
    ] = None,
    virgins: Annotated[bool, typer.Option(help="Queens emerge in the incubator, planted as virgins.")] = False,
    done: Annotated[list[str] | None, typer.Option("--done", help="What was really done: step=date.")] = None,
    away: Annotated[list[str] | None, typer.Option("--away", help="A day nobody is there; repeat.")] = None,
    forecast: Annotated[list[str] | None, typer.Option("--forecast", help="date=°C or date=°C,km/h; repeat.")] = None,
    why: Annotated[str | None, typer.Option("--why", help="Only this step: why then, and its source.")] = None,
    hints: Annotated[bool, typer.Option("--hints", help="Only what to watch out for.")] = False,
    today: Annotated[str | None, typer.Option("--on", help="Day marked on the chart (ISO).")] = None,
    chart: Chart = None,
    dark: Dark = False,
    as_json: AsJson = False,
) -> None:
    """The dates of a round, from its graft or backwards from the planting day."""
    from gloveside.bot.wording.rearing import rounds as wording
    from gloveside.rearing.backwards import plan_back
    from gloveside.rearing.calendar import round_calendar, share_in_incubator

    if (grafted is None) == (plant is None):
        raise typer.BadParameter("Say either --grafted DATE or --plant DATE, as 2026-11-20.")
    options: dict[str, Any] = {
        "board": not no_board,
        "larva_age_h": larva_age,
        "incubator_c": incubator,
        "virgins": virgins,
    }
    if incubated_from is not None and (incubator is None or grafted is None):
        raise typer.BadParameter("--incubated-from goes with --grafted and --incubator, the temperature in °C.")
    with sentences():
        if plant is not None:
            back = plan_back(required_date(plant, "--plant"), **options)
            calendar, lines = back.calendar, wording.back_lines(back)
            data = calendar.to_json() | {
                "drones": [s.to_json() for s in (back.drones.eggs, back.drones.capped, back.drones.emerge)]
            }
        else:
            at, was = _moment(grafted or ""), _done(done or [])
            if incubated_from is not None:
                in_hive = round_calendar(at, done=was, **(options | {"incubator_c": None}))
                options["incubator_share"] = share_in_incubator(in_hive, _moment(incubated_from))
            calendar = round_calendar(at, done=was, **options)
            lines, data = wording.calendar_lines(calendar), calendar.to_json()
    found = _hints(calendar, away or [], forecast or [], _done(done or []), board=not no_board, larva_age=larva_age)
    if hints or (found and not as_json and len(lines) + len(wording.hint_lines(found)) <= 12):
        told = wording.hint_lines(found) or ["Nothing to watch out for"]
        lines = told if hints else [*lines, *told]
    if why is not None:
        if why not in calendar:
            raise typer.BadParameter(f"No step {why!r}. Steps: {', '.join(step.step for step in calendar)}.")
        lines = wording.why_lines(calendar.get(why))
    if found:
        data["hints"] = [{"step": h.step, "on": h.on.isoformat(), "kind": h.kind, "text": h.text} for h in found]
    show(lines, data, as_json=as_json)
    if chart is not None:
        from gloveside.bot.charts.timeline import round_timeline

        chart.write_bytes(round_timeline(calendar, today=parse_date(today), dark=dark))


def _hints(
    calendar: RoundCalendar,
    away: Sequence[str],
    forecast: Sequence[str],
    done: dict[str, date | datetime],
    *,
    board: bool,
    larva_age: float | None,
) -> list[Hint]:
    from gloveside.rearing.hints import DayWeather, away_hints, builder_hints, larva_hints, weather_hints

    known = {}
    for text in forecast:
        when, _, figures = text.partition("=")
        celsius, _, wind = figures.partition(",")
        try:
            known[required_date(when, "--forecast")] = DayWeather(float(celsius), float(wind or 0))
        except ValueError as error:
            raise typer.BadParameter(f"{text!r}: write a forecast as 2026-12-08=17 or 2026-12-08=17,30.") from error
    return [
        *away_hints(calendar, {required_date(d, "--away") for d in away}),
        *builder_hints(calendar.get("graft").likely, done, board=board),
        *(larva_hints(calendar.get("graft").likely, larva_age) if larva_age is not None else ()),
        *weather_hints(calendar, known),
    ]


def odds(
    queens: Annotated[int, typer.Option("--queens", help="Laying queens wanted, at least.")],
    sure: Annotated[float, typer.Option("--sure", help="How sure: 0.9 or 90.")] = 0.9,
    laying: Annotated[float | None, typer.Option("--laying", help="Fixed share of ripe cells that lay.")] = None,
    forage: Annotated[str, typer.Option("--forage", help="dearth, fair or flow, for the builders.")] = "fair",
    as_json: AsJson = False,
) -> None:
    """How many nucs, cells and larvae for so many laying queens."""
    from gloveside.bot.wording.rearing.stock import odds_lines
    from gloveside.cli.rearing_record import own_record_at_home
    from gloveside.rearing.odds import odds as odds_of
    from gloveside.rearing.season import CAPACITY

    if forage not in CAPACITY:
        raise typer.BadParameter(f"Forage is {', '.join(CAPACITY)}.")
    state: Any = forage
    with sentences():
        result = odds_of(queens, sure, laying, own_record_at_home())
    show(odds_lines(result, state), result.to_json(), as_json=as_json)


def drones(
    grafted: Annotated[str | None, typer.Option("--grafted", help="Day of the graft (ISO).")] = None,
    capped: Annotated[str | None, typer.Option("--capped", help="Day capped drone brood was first seen.")] = None,
    mature: Annotated[float | None, typer.Option("--mature", help="Days from emergence to mature.")] = None,
    as_json: AsJson = False,
) -> None:
    """When drone brood is needed for a round, or the first graft after capped drones were seen."""
    from gloveside.bot.wording.rearing.rounds import drone_lines, first_graft_lines
    from gloveside.rearing.drones import MATURE, drones_for, first_graft_after_capped_drones

    with sentences():
        if capped is not None:
            step = first_graft_after_capped_drones(
                required_date(capped, "--capped"), mature_days=MATURE.likely if mature is None else mature
            )
            show(first_graft_lines(step), step.to_json(), as_json=as_json)
            return
        dates = drones_for(required_date(grafted, "--grafted or --capped"), mature_days=mature)
    steps = [s.to_json() for s in (dates.eggs, dates.capped, dates.emerge)]
    show(drone_lines(dates), {"steps": steps}, as_json=as_json)


def swarm_cell(
    found: Annotated[str, typer.Option("--found", help="Day the sealed cell was found (ISO).")],
    open_on: Annotated[str | None, typer.Option("--open-on", help="Last day it was seen not sealed.")] = None,
    as_json: AsJson = False,
) -> None:
    """A swarm cell found sealed: when she emerges and what follows."""
    from gloveside.bot.wording.rearing.rounds import sealed_cell_lines
    from gloveside.rearing.natural_cells import sealed_cell_calendar

    with sentences():
        calendar = sealed_cell_calendar(required_date(found, "--found"), not_sealed_on=parse_date(open_on))
    show(sealed_cell_lines(calendar), calendar.to_json(), as_json=as_json)


def queen_lost(
    lost: Annotated[str, typer.Option("--on", help="Day the queen was lost (ISO).")],
    earlier: Annotated[int, typer.Option("--or-earlier", help="Or up to so many days earlier.")] = 0,
    as_json: AsJson = False,
) -> None:
    """A queen lost: emergency cells, the next queen, laying workers."""
    from gloveside.bot.wording.rearing.rounds import emergency_lines
    from gloveside.rearing.natural_cells import emergency_calendar

    with sentences():
        plan = emergency_calendar(required_date(lost, "--on"), loss_known_to_days=earlier)
    data = plan.calendar.to_json()
    data["steps"] += [plan.cut_out.to_json(), plan.laying_workers.to_json()]
    show(emergency_lines(plan), data, as_json=as_json)


def splits(
    taken: Annotated[int, typer.Option("--taken", help="Cells started.")],
    ripe: Annotated[int | None, typer.Option("--ripe", help="Ripe cells counted, if they were.")] = None,
    grafted: Annotated[str | None, typer.Option("--grafted", help="Day of the graft, for the dates.")] = None,
    as_json: AsJson = False,
) -> None:
    """How many splits to make for a round's take."""
    from gloveside.bot.wording.rearing.stock import splits_lines
    from gloveside.cli.rearing_record import own_record_at_home
    from gloveside.rearing.calendar import round_calendar
    from gloveside.rearing.splits import splits_for

    on = parse_date(grafted)
    with sentences():
        calendar = round_calendar(on) if on else None
        result = splits_for(taken, ripe=own_record_at_home().ripe, counted=ripe, calendar=calendar)
    data = {
        "make": result.make,
        "expected": round(result.expected, 2),
        "low": result.low,
        "high": result.high,
        "why": result.why,
    }
    show(splits_lines(result), data, as_json=as_json)


def syrup(
    litres: Annotated[float | None, typer.Option("--litres", help="Litres of syrup wanted.")] = None,
    sugar: Annotated[float | None, typer.Option("--sugar", help="Kilograms of sugar there are.")] = None,
    thick: Annotated[bool, typer.Option("--thick", help="2:1 by weight instead of 1:1.")] = False,
    as_json: AsJson = False,
) -> None:
    """Sugar and water for syrup, 1:1 or 2:1 by weight."""
    from dataclasses import asdict

    from gloveside.bot.wording.rearing.feeding import syrup_lines
    from gloveside.rearing.feed import syrup_for, syrup_from_sugar

    if (litres is None) == (sugar is None):
        raise typer.BadParameter("Say either --litres of syrup or --sugar in kg.")
    ratio: Any = "2:1" if thick else "1:1"
    with sentences():
        mix = syrup_for(litres, ratio) if litres is not None else syrup_from_sugar(sugar or 0.0, ratio)
    show(syrup_lines(mix), asdict(mix), as_json=as_json)


def colour(
    born: Annotated[str, typer.Option("--born", help="Day the queen emerged (ISO).")],
    rule: Annotated[str, typer.Option("--year", help="calendar, season start or season end.")] = "calendar",
) -> None:
    """The colour of a queen's mark."""
    from gloveside.rearing.marking import marking_colour

    if rule not in ("calendar", "season start", "season end"):
        raise typer.BadParameter("Say calendar, season start or season end.")
    chosen: Any = rule
    print(marking_colour(required_date(born, "--born"), chosen))


def register(app: typer.Typer) -> None:
    """Add these commands to the app."""
    app.command("round")(round_)
    for command in (odds, drones, splits, syrup, colour):
        app.command()(command)
    app.command("swarm-cell")(swarm_cell)
    app.command("queen-lost")(queen_lost)
    from gloveside.cli import rearing_farm_commands

    rearing_farm_commands.register(app)
