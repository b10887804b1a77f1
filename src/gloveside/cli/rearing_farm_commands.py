"""Commands over a whole farm: season, take compared, mites, feeders, growth, breeders, nucs, clashes."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gloveside.cli.options import parse_date
from gloveside.cli.rearing_commands import AsJson, Chart, Dark, required_date, sentences, show
from gloveside.cli.rearing_record import own_record_at_home, store_at_home

if TYPE_CHECKING:
    from gloveside.rearing.steps import RoundCalendar


def plan(
    queens: Annotated[int, typer.Option("--queens", help="Laying queens wanted, at least.")],
    by: Annotated[str, typer.Option("--by", help="Laying by this day (ISO).")],
    start: Annotated[str, typer.Option("--from", help="First day to graft (ISO).")],
    sure: Annotated[float, typer.Option("--sure", help="How sure: 0.9 or 90.")] = 0.9,
    builder: Annotated[list[str] | None, typer.Option("--builder", help="A cell builder; repeat for more.")] = None,
    nucs: Annotated[int, typer.Option("--nucs", help="Mating nucs there are.")] = 24,
    forage: Annotated[str, typer.Option("--forage", help="dearth, fair or flow.")] = "fair",
    incubator: Annotated[bool, typer.Option("--incubator", help="Sealed cells go to an incubator.")] = False,
    away: Annotated[list[str] | None, typer.Option("--away", help="A day nobody is there; repeat.")] = None,
    chart: Chart = None,
    dark: Dark = False,
    as_json: AsJson = False,
) -> None:
    """Lay out the season's rounds for so many laying queens by a day."""
    from gloveside.bot.wording.rearing.stock import season_lines
    from gloveside.rearing.chance import LAYING_PRIOR, OWN_WEIGHT_MOST, RIPE_PRIOR, TAKE_MANAGED
    from gloveside.rearing.season import CAPACITY, plan_season

    if forage not in CAPACITY:
        raise typer.BadParameter(f"Forage is {', '.join(CAPACITY)}.")
    own = own_record_at_home()
    take = TAKE_MANAGED.beta.given(own.take, OWN_WEIGHT_MOST).mean
    ripe = RIPE_PRIOR.beta.given(own.ripe, OWN_WEIGHT_MOST).mean
    months: Any = dict.fromkeys(range(1, 13), forage)
    with sentences():
        season = plan_season(
            queens,
            sure,
            required_date(start, "--from"),
            required_date(by, "--by"),
            builders=tuple(builder or ("builder 1",)),
            nucs=nucs,
            cells_share=take * ripe,
            laying=LAYING_PRIOR.beta.given(own.laying, OWN_WEIGHT_MOST),
            forage=months,
            incubator=incubator,
            away=frozenset(required_date(d, "--away") for d in away or ()),
        )
    data = {
        "rounds": [
            {
                "round": r.number,
                "builder": r.builder,
                "graft": r.graft.isoformat(),
                "larvae": r.larvae,
                "cells": r.cells,
                "nucs": r.nucs,
                "queens": round(r.queens, 1),
            }
            for r in season.rounds
        ],
        "expected": round(season.expected, 1),
        "reached": round(season.reached, 3),
        "binds": season.binds,
    }
    show(season_lines(season), data, as_json=as_json)
    if chart is not None:
        from gloveside.bot.charts.season import season_chart

        chart.write_bytes(season_chart(season, dark=dark))


def take_compare(
    counts: Annotated[list[str] | None, typer.Argument(help="Counts to compare, say 11/15 8/15.")] = None,
    by: Annotated[
        str, typer.Option("--by", help="From the record: bar, tool, mother, builder, weather or round.")
    ] = "bar",
    chart: Chart = None,
    dark: Dark = False,
    as_json: AsJson = False,
) -> None:
    """What helps the take: counts compared, given here or from the record."""
    from gloveside.bot.rearing_record import take_rows, weather_of
    from gloveside.bot.wording.rearing.compare import compare_lines
    from gloveside.rearing.take_compare import Group, compare_all, take_by

    groups: list[Group]
    if counts:
        groups = [_group_of(text) for text in counts]
    else:
        if by not in ("bar", "tool", "mother", "builder", "weather", "round"):
            raise typer.BadParameter("Compare by bar, tool, mother, builder, weather or round.")
        factor: Any = by
        with store_at_home() as store:
            sky = weather_of(store.entries.find(kind="weather")) if store else {}
            groups = take_by(take_rows(store.rounds.all(), sky) if store else [], factor)
    compared = compare_all(groups)
    data = {
        "groups": [
            {"name": g.name, "taken": g.tally.won, "of": g.tally.of, "low": round(g.low, 4), "high": round(g.high, 4)}
            for g in groups
        ],
        "compared": [
            {
                "better": c.better.name,
                "other": c.other.name,
                "p": round(c.p, 4),
                "verdict": c.verdict,
                "more_cells": c.more_cells,
            }
            for c in compared
        ],
    }
    show(compare_lines(groups, compared), data, as_json=as_json)
    if chart is not None and groups:
        from gloveside.bot.charts.take import take_chart

        chart.write_bytes(take_chart({f"by {by}" if not counts else "take": groups}, dark=dark))


def _group_of(text: str) -> Any:
    from gloveside.rearing.records import Tally
    from gloveside.rearing.take_compare import group

    name, _, count = text.rpartition("=")
    won, slash, of = count.partition("/")
    if not (slash and won.strip().isdigit() and of.strip().isdigit()):
        raise typer.BadParameter(f"{text!r}: write a count as 11/15, or with a name as top=11/15.")
    with sentences():
        return group(name or text, Tally(int(won), int(of)))


def mites(
    count: Annotated[int | None, typer.Option("--mites", help="Mites counted.")] = None,
    bees: Annotated[int, typer.Option("--bees", help="Bees washed; half a cup is about 300.")] = 300,
    days: Annotated[float | None, typer.Option("--days", help="A board count over so many days.")] = None,
    place: Annotated[str | None, typer.Option("--place", help="Trend of this hive, from the record.")] = None,
    threshold: Annotated[float | None, typer.Option("--threshold", help="Your threshold, mites in 100 bees.")] = None,
    northern: Annotated[bool, typer.Option("--northern", help="Northern months, whatever the settings say.")] = False,
    on: Annotated[str | None, typer.Option("--on", help="Day of the count (ISO).")] = None,
    chart: Chart = None,
    dark: Dark = False,
) -> None:
    """A mite count with its interval and threshold, or a hive's trend."""
    from gloveside.bot.rearing_record import washes, washes_since_treated
    from gloveside.bot.settings import home, load
    from gloveside.bot.thresholds import threshold_table
    from gloveside.bot.wiring import utc_now
    from gloveside.bot.wording.days import short
    from gloveside.bot.wording.rearing import health as wording
    from gloveside.bot.wording.rearing.fit import fit
    from gloveside.rearing.varroa import Threshold, daily_drop, judge, mite_count, mite_trend, starting_table

    day = parse_date(on) or utc_now().date()
    table = starting_table(southern=False) if northern else threshold_table(load(home()))
    limit = Threshold(threshold, "your setting") if threshold is not None else table[day.month]
    with sentences():
        if place is not None:
            with store_at_home() as store:
                kinds = ["mites", "treatment"]
                entries = store.entries.find(kind=kinds, place=place, until=parse_date(on)) if store else []
            found = washes(entries)
            since, treated = washes_since_treated(found, entries)
            if found and not since:
                print("\n".join(fit([f"No wash since the treatment of {short(treated[-1])}: wash again"])))
            else:
                print("\n".join(wording.trend_lines(mite_trend(since, limit.percent))))
            if chart is not None:
                from gloveside.bot.charts.mites import mite_chart

                chart.write_bytes(
                    mite_chart(found, limit.percent, treated=treated, title=place.capitalize(), dark=dark)
                )
            return
        if count is None:
            raise typer.BadParameter("Say the mites with --mites, or a hive with --place.")
        if days is not None:
            print("\n".join(wording.drop_lines(daily_drop(count, days))))
        else:
            print("\n".join(wording.judgement_lines(judge(mite_count(count, bees), day, {day.month: limit}))))


def broodless(
    last_egg: Annotated[str, typer.Option("--last-egg", help="Day of the caging, loss or split (ISO).")],
    case: Annotated[str, typer.Option("--case", help="caged, split, emergency, later cell or bees only.")] = "caged",
    released: Annotated[str | None, typer.Option("--released", help="Day a caged queen was let out.")] = None,
    as_json: AsJson = False,
) -> None:
    """When a colony has no sealed brood."""
    from gloveside.bot.wording.rearing.health import window_lines
    from gloveside.rearing.broodless import Case, broodless_window

    names: dict[str, Case] = {
        "caged": "caged",
        "split": "split with a ripe cell",
        "emergency": "emergency queen",
        "later cell": "ripe cell after a week",
        "bees only": "bees only with a ripe cell",
    }
    if case not in names:
        raise typer.BadParameter(f"The case is one of: {', '.join(names)}.")
    with sentences():
        window = broodless_window(required_date(last_egg, "--last-egg"), names[case], released=parse_date(released))
    data = {k: v.isoformat() if isinstance(v, date) else v for k, v in asdict(window).items()}
    show(window_lines(window), data, as_json=as_json)


def withholding(
    product: Annotated[str, typer.Option("--product", help="What was given.")],
    last_in: Annotated[str, typer.Option("--out", help="Day it was last in the hive (ISO).")],
    days: Annotated[int, typer.Option("--days", help="Withholding days that the label says.")],
    label: Annotated[str, typer.Option("--label", help="Which label and edition was read.")] = "the label",
) -> None:
    """When honey may be taken again, by the days read on the label."""
    from gloveside.bot.wording.rearing.health import withholding_lines
    from gloveside.rearing.broodless import withholding as period_of

    with sentences():
        period = period_of(product, required_date(last_in, "--out"), days, label=label)
    print("\n".join(withholding_lines(period)))


def feeder(
    place: Annotated[str, typer.Option("--place", help="The hive, say 'hive 7'.")] = "hive 7",
    look: Annotated[list[str] | None, typer.Option("--look", help="date=litres given, or date=given,left.")] = None,
) -> None:
    """When a feeder runs dry, from the record or from looks given here."""
    from gloveside.bot.rearing_record import feeder_looks
    from gloveside.bot.wording.rearing.feeding import dry_lines
    from gloveside.rearing.feed import Look, feeder_runs_dry

    with sentences():
        if look:
            looks = []
            for text in look:
                when, _, litres = text.partition("=")
                given, _, left = litres.partition(",")
                try:
                    fill = Look(required_date(when, "--look"), float(given or 0), float(left) if left else None)
                except ValueError as error:
                    raise typer.BadParameter(f"{text!r}: write a look as 2026-11-20=2 or 2026-11-22=2,0.5.") from error
                looks.append(fill)
        else:
            with store_at_home() as store:
                looks = feeder_looks(store.entries.find(kind=["feed", "inspection"], place=place)) if store else []
        print("\n".join(dry_lines(feeder_runs_dry(looks))))


def growth(
    hives: Annotated[int, typer.Option("--hives", help="Hives now.")],
    start: Annotated[str, typer.Option("--from", help="First month (ISO date).")],
    target: Annotated[float | None, typer.Option("--target", help="Hives wanted.")] = None,
    by: Annotated[str | None, typer.Option("--by", help="By this day (ISO).")] = None,
    months: Annotated[int, typer.Option("--months", min=1, max=240)] = 36,
    settings: Annotated[Path | None, typer.Option("--settings", help="A TOML file with more settings.")] = None,
    chart: Chart = None,
    dark: Dark = False,
    as_json: AsJson = False,
) -> None:
    """What may come of the operation, month by month, in 10,000 runs."""
    import tomllib

    from gloveside.bot.growth_figures import growth_figures
    from gloveside.bot.settings import home, load
    from gloveside.bot.wording.rearing.operation import growth_lines
    from gloveside.rearing.growth import grow
    from gloveside.rearing.growth_settings import GrowthSettings

    of_home = load(home())
    try:
        more = tomllib.loads(settings.read_text(encoding="utf-8")) if settings else {}
    except (OSError, ValueError) as error:
        raise typer.BadParameter(f"The settings file {settings} cannot be read: {error}.") from error
    first = required_date(start, "--from")
    with sentences():
        try:
            figures = growth_figures(of_home, more)
            chosen = GrowthSettings(start=first, hives=hives, record=own_record_at_home(), **figures)
        except TypeError as error:
            raise typer.BadParameter(f"The settings file has a name that is not known: {error}.") from error
        result = grow(chosen, months=months)
        until = parse_date(by) or result.months[-1]
        lines = growth_lines(result, until, target, currency=of_home.operation.currency)
        data = {
            "by": until.isoformat(),
            "hives": {str(q): float(v[result.index(until)]) for q, v in result.fan("hives").items()},
            "money": {str(q): round(float(v[result.index(until)])) for q, v in result.fan("money").items()},
            "chance": None if target is None else result.chance(target, until),
            "limits": result.limits,
        }
    show(lines, data, as_json=as_json)
    if chart is not None:
        from gloveside.bot.charts.growth import growth_chart

        chart.write_bytes(growth_chart(result, target=target, dark=dark))


def breeders(as_json: AsJson = False) -> None:
    """Rank candidate mothers from the record."""
    from gloveside.bot.rearing_record import hive_notes, mothers_of
    from gloveside.bot.wording.rearing.operation import breeder_lines
    from gloveside.rearing.breeders import dominance, rank_breeders

    with store_at_home() as store, sentences():
        rounds = store.rounds.all() if store else []
        kinds = ["inspection", "mites", "harvest"]
        ranked = rank_breeders(hive_notes(store.entries.find(kind=kinds) if store else [], rounds))
        mothers = mothers_of(rounds)
        spread = dominance(mothers) if mothers else None
    show(breeder_lines(ranked, spread), {"ranked": [asdict(c) for c in ranked]}, as_json=as_json)


def clashes(
    graft: Annotated[list[str] | None, typer.Option("--graft", help="A planned round: number=date; repeat.")] = None,
    builder: Annotated[str, typer.Option("--builder", help="Where those are planned, say 'hive 7'.")] = "the builder",
    incubator: Annotated[bool, typer.Option("--incubator", help="Sealed cells go to an incubator.")] = False,
    as_json: AsJson = False,
) -> None:
    """Rounds that want the same cell builder at the same time: those of the record, and planned ones."""
    from gloveside.bot.wording.rearing.rounds import clash_lines
    from gloveside.rearing.calendar import round_calendar
    from gloveside.rearing.hints import builder_clashes

    by_builder = _open_rounds()
    for text in graft or ():
        number, _, when = text.partition("=")
        if not number.strip().isdigit():
            raise typer.BadParameter(f"{text!r}: write a planned round as number=date, say 4=2026-11-29.")
        calendar = round_calendar(required_date(when.strip(), "--graft"), planned=True)
        by_builder.setdefault(builder, {})[int(number)] = calendar
    found = {name: builder_clashes(rounds, incubator=incubator) for name, rounds in by_builder.items()}
    data = [
        {"builder": name, "rounds": [one, other], "first": first.isoformat(), "last": last.isoformat()}
        for name, pairs in found.items()
        for one, other, first, last in pairs
    ]
    show(clash_lines(found), {"clashes": data}, as_json=as_json)


def _open_rounds() -> dict[str, dict[int, RoundCalendar]]:
    """Calendars of the record's open rounds by builder, then by number; 0 is the one being prepared."""
    from gloveside.bot.wiring import Workshop
    from gloveside.storage.names import FILE_NAME

    found: dict[str, dict[int, RoundCalendar]] = {}
    with Workshop.at_home() as workshop:
        if (workshop.folder / FILE_NAME).exists():
            for view in workshop.desk().open_rounds():
                if view.row.builder is not None:
                    found.setdefault(view.row.builder, {})[view.number or 0] = view.calendar
    return found


def nuc_watch(
    emerged: Annotated[str, typer.Option("--emerged", help="Day the queen emerges (ISO).")],
    on: Annotated[str, typer.Option("--on", help="Today (ISO).")],
    nuc: Annotated[str, typer.Option("--nuc", help="The nuc, say 'nuc 5'.")] = "nuc",
) -> None:
    """What a mating nuc is at, and when to look next."""
    from gloveside.bot.rearing_record import nuc_looks
    from gloveside.bot.wording.rearing.operation import watch_lines
    from gloveside.rearing.mating_watch import mating_watch

    born = required_date(emerged, "--emerged")
    with store_at_home() as store:
        since = born - timedelta(days=3)
        looks = nuc_looks(store.entries.find(kind="mating", place=nuc, since=since)) if store else []
    print("\n".join(watch_lines(nuc.capitalize(), mating_watch(born, looks, required_date(on, "--on")))))


def register(app: typer.Typer) -> None:
    """Add these commands to the app."""
    for command in (plan, mites, broodless, withholding, feeder, growth, breeders):
        app.command()(command)
    app.command("take-compare")(take_compare)
    app.command("nuc-watch")(nuc_watch)
    app.command()(clashes)
