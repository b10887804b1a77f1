"""What goes into a season book, worked out from the record as plain rows of text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from gloveside.bot.desk import Desk
from gloveside.bot.rearing_record import FINAL_RESULTS
from gloveside.bot.wording.days import short
from gloveside.bot.wording.entries import number, percent
from gloveside.bot.wording.places import places
from gloveside.bot.wording.rearing.fit import ends
from gloveside.rearing.mating_watch import Seen, mating_success
from gloveside.storage.rounds import RoundRow
from gloveside.storage.state import PlaceState

NONE = "–"


@dataclass(frozen=True, slots=True)
class Table:
    """A table of a book. columns: heads; rows: cells as text; numbers: indexes of columns set right."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Contents:
    """All of a book but its pictures. figures: (name, value) of the summary."""

    name: str
    since: date
    until: date
    made_on: date
    figures: tuple[tuple[str, str], ...]
    rounds: Table
    mating: Table
    mating_words: str
    mites: Table
    hives: Table
    nucs: Table
    trade: Table
    feed: Table
    losses: Table
    rows: tuple[RoundRow, ...] = field(default=())


def contents(desk: Desk, since: date, until: date) -> Contents:
    """Work out a book over local dates, both included; hives and nucs as they stood on the last day."""
    totals = desk.store.totals
    rows = [r for r in desk.store.rounds.all(on=until) if r.grafted and since <= r.grafted <= until]
    states = [s for s in desk.store.states.all(until).values() if not s.place.startswith("yard ")]
    return Contents(
        name=desk.settings.operation.name,
        since=since,
        until=until,
        made_on=desk.today,
        figures=_figures(desk, rows, states, since, until),
        rounds=_rounds(rows),
        mating=_matings(rows),
        mating_words=_mating_words(rows),
        mites=_mites(desk, since, until),
        hives=_hives([s for s in states if s.place.startswith("hive ")]),
        nucs=_nucs([s for s in states if s.place.startswith("nuc ") and s.last_on is not None and s.last_on >= since]),
        trade=_trade(desk, since, until),
        feed=Table(
            ("Feed", "Amount", "Times"),
            tuple(
                (a.what or "feed", f"{number(a.total)} {a.unit or ''}".strip() if a.total else "not said", str(a.times))
                for a in totals.feed(since, until)
            ),
            frozenset({1, 2}),
        ),
        losses=_losses(desk, since, until),
        rows=tuple(rows),
    )


def _figures(
    desk: Desk, rows: Sequence[RoundRow], states: Sequence[PlaceState], since: date, until: date
) -> tuple[tuple[str, str], ...]:
    totals = desk.store.totals
    counted = [r for r in rows if r.taken is not None and r.of]
    taken, of = sum(r.taken or 0 for r in counted), sum(r.of or 0 for r in counted)
    sold = {s.goods: s for s in totals.sales(since, until)}
    income = sum(s.income for s in sold.values())
    honey = [a for a in totals.harvest(since, until) if a.total]
    counts = totals.counts(since, until)
    laying = sum(r.laying for r in rows)
    figures = [
        ("Rounds grafted", str(len(rows))),
        ("Larvae grafted", str(sum(r.larvae or 0 for r in rows))),
        ("Cells started", f"{taken} of {of} ({percent(taken, of)})" if of else NONE),
        ("Cells planted", str(sum(r.planted or 0 for r in rows))),
        ("Queens laying", str(laying)),
        ("Hives living", str(sum(s.alive and s.place.startswith("hive ") for s in states))),
        ("Colonies lost", str(sum(totals.losses(since, until).values()))),
        ("Queens sold", number(sold["queen"].count) if "queen" in sold else "0"),
        ("Nucs sold", number(sold["nuc"].count) if "nuc" in sold else "0"),
        ("Income noted", f"{desk.settings.operation.currency}{income:,.0f}"),
        ("Honey", ", ".join(f"{a.total:g} {a.unit or ''}".strip() for a in honey) or NONE),
        ("Notes on hives", str(counts.get("inspection", 0))),
    ]
    return tuple(figures)


def _rounds(rows: Sequence[RoundRow]) -> Table:
    cells = [
        (
            str(r.number),
            short(r.grafted) if r.grafted else NONE,
            r.builder or NONE,
            ", ".join(r.mothers) or NONE,
            ", ".join(r.tools) or NONE,
            str(r.larvae or NONE),
            f"{r.taken}/{r.of or '?'}" if r.taken is not None else NONE,
            percent(r.taken, r.of) if r.taken is not None and r.of else NONE,
            str(r.count_ripe if r.count_ripe is not None else NONE),
            str(r.planted if r.planted is not None else NONE),
            f"{r.laying}/{len([1 for _, result, _ in r.matings if result in FINAL_RESULTS])}" if r.matings else NONE,
        )
        for r in rows
    ]
    heads = ("Round", "Grafted", "Builder", "Mother", "Tool", "Larvae", "Took", "Take", "Ripe", "Planted", "Laying")
    return Table(heads, tuple(cells), frozenset({0, 5, 6, 7, 8, 9, 10}))


def _matings(rows: Sequence[RoundRow]) -> Table:
    cells = []
    for r in rows:
        if not r.planted_places:
            continue
        results = Counter(result for _, result, _ in r.matings)
        waiting = len(r.planted_places) - len(r.matings)
        cells.append(
            (
                str(r.number),
                places(r.planted_places),
                str(results["laying"]),
                str(results["missing"]),
                str(results["drone layer"]),
                str(results["not laying"] + results["virgin seen"] + waiting),
            )
        )
    return Table(
        ("Round", "Nucs", "Laying", "Missing", "Drone layer", "Open"), tuple(cells), frozenset({0, 2, 3, 4, 5})
    )


def _mating_words(rows: Sequence[RoundRow]) -> str:
    finals: list[Seen] = [result for r in rows for _, result, _ in r.matings if result in FINAL_RESULTS]  # type: ignore[misc]
    if not finals:
        return "No mating is known yet."
    found = mating_success(finals)
    t = found.tally
    share = f"{percent(t.won, t.of)} (95 % range {ends(found.low, found.high)})"
    return f"{t.won} of {t.of} queens whose end is known came to lay: {share}."


def _mites(desk: Desk, since: date, until: date) -> Table:
    last: dict[str, tuple[date, float, int]] = {}
    for c in desk.store.totals.mites(since, until):
        if c.place and c.percent is not None:
            times = last[c.place][2] + 1 if c.place in last else 1
            last[c.place] = (c.on, c.percent, times)
    ranked = sorted(last.items(), key=lambda item: -item[1][1])
    cells = tuple((place, short(on), f"{share:.1f} %", str(times)) for place, (on, share, times) in ranked)
    return Table(("Hive", "Last count", "Mites in 100 bees", "Counts"), cells, frozenset({2, 3}))


def _dated(text: object, on: date | None) -> str:
    return f"{text} ({short(on)})" if text is not None and on is not None else NONE


def _hives(states: Sequence[PlaceState]) -> Table:
    cells = []
    for s in states:
        if not s.alive:
            cells.append(
                (s.place, "lost: " + (s.loss_cause or "no cause said"), *[NONE] * 4, _dated("", s.loss_on).strip())
            )
            continue
        cells.append(
            (
                s.place + (f", {s.yard.removeprefix('yard ')}" if s.yard else ""),
                _dated(s.queen, s.queen_on),
                s.mark or NONE,
                _dated(number(s.brood_frames), s.brood_frames_on) if s.brood_frames is not None else NONE,
                " ".join(p for p in (s.strength, s.temper) if p) or NONE,
                _dated(f"{s.mites_percent:.1f} %", s.mites_on) if s.mites_percent is not None else NONE,
                short(s.last_look) if s.last_look else NONE,
            )
        )
    return Table(("Hive", "Queen", "Mark", "Brood frames", "Strength, temper", "Mites", "Last look"), tuple(cells))


def _nucs(states: Sequence[PlaceState]) -> Table:
    cells = [
        (
            s.place,
            _dated(s.queen, s.queen_on),
            s.mark or NONE,
            str(s.cells_round or NONE),
            short(s.cells_on) if s.cells_on else NONE,
            _dated(s.mating, s.mating_on),
        )
        for s in states
    ]
    return Table(("Nuc", "Queen", "Mark", "Round", "Planted", "Mating"), tuple(cells), frozenset({3}))


def _trade(desk: Desk, since: date, until: date) -> Table:
    currency = desk.settings.operation.currency
    cells = [
        (s.goods or "not said", number(s.count), f"{currency}{s.income:,.0f}" if s.priced else NONE, str(s.times))
        for s in desk.store.totals.sales(since, until)
    ]
    cells += [("honey taken", f"{a.total:g} {a.unit or ''}".strip(), NONE, str(a.times))
              for a in desk.store.totals.harvest(since, until) if a.total]  # fmt: skip
    return Table(("Goods", "Count", "Income", "Notes"), tuple(cells), frozenset({1, 2, 3}))


def _losses(desk: Desk, since: date, until: date) -> Table:
    found = desk.store.entries.find(kind="loss", since=since, until=until)
    cells = tuple((e.place or NONE, short(e.on), str(e.fields.get("cause") or "not said")) for e in found)
    return Table(("Colony", "When", "Cause"), cells)
