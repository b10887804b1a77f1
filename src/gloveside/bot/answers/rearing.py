"""Questions answered by the rearing arithmetic over the whole record: how many, what helps, whom to breed.

Slots of a question beyond those of the contract: `by` (bar, tool, mother, builder, weather), `queens` and `sure` for
the odds. Each answer fits a lock screen.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import Any

from gloveside.bot.answers.rounds import asked_round
from gloveside.bot.desk import Desk
from gloveside.bot.rearing_record import (
    feeder_looks,
    hive_notes,
    mothers_of,
    nuc_looks,
    own_record,
    washes,
    washes_since_treated,
)
from gloveside.bot.rounds import RoundView
from gloveside.bot.thresholds import threshold_table
from gloveside.bot.wording.days import as_date, short
from gloveside.bot.wording.rearing import feeding, health, operation, rounds, stock
from gloveside.bot.wording.rearing.fit import fit
from gloveside.extract.models import Question
from gloveside.rearing.breeders import dominance, rank_breeders
from gloveside.rearing.drones import drones_for
from gloveside.rearing.feed import feeder_runs_dry
from gloveside.rearing.mating_watch import mating_success, mating_watch
from gloveside.rearing.odds import odds as odds_of
from gloveside.rearing.varroa import mite_trend

FACTORS = ("bar", "tool", "mother", "builder", "weather", "round")
_FAR_BACK = timedelta(days=400)


def _text(lines: Iterable[str]) -> str:
    return "\n".join(lines)


def _slot(question: Question, name: str) -> Any:
    return getattr(question, name, None)


def odds(desk: Desk, question: Question) -> str:
    """How many nucs, cells and larvae for so many laying queens, from the operator's record."""
    queens = _slot(question, "queens")
    if not queens:
        return "For how many laying queens?"
    try:
        found = odds_of(int(queens), float(_slot(question, "sure") or 0.9), record=own_record(desk.store.rounds.all()))
    except ValueError as error:
        return _text(fit([str(error)]))
    return _text(stock.odds_lines(found))


def feeder(desk: Desk, question: Question) -> str:
    """When the feeder of a hive runs dry."""
    if question.place is None:
        return "Which hive's feeder?"
    entries = desk.store.entries.find(kind=["feed", "inspection"], place=question.place, until=desk.today)
    try:
        return _text(feeding.dry_lines(feeder_runs_dry(feeder_looks(entries))))
    except ValueError as error:
        return _text(fit([str(error)]))


def mites(desk: Desk, question: Question) -> str:
    """Where the mites of a hive are heading, since its last treatment."""
    if question.place is None:
        return "The mites of which hive?"
    entries = desk.store.entries.find(kind=["mites", "treatment"], place=question.place, until=desk.today)
    counts = washes(entries)
    since, treated = washes_since_treated(counts, entries)
    if counts and not since:
        return _text(fit([f"No wash since the treatment of {short(treated[-1])}: wash again"]))
    threshold = threshold_table(desk.settings)[desk.today.month].percent
    try:
        lines = health.trend_lines(mite_trend(since, threshold))
    except ValueError as error:
        return _text(fit([str(error)]))
    on, last = since[-1]
    return _text(fit([f"{short(on)}: {health.count_line(last)}", *lines]))


def breeders(desk: Desk, _question: Question) -> str:
    """Whom to breed from."""
    all_rounds = desk.store.rounds.all()
    entries = desk.store.entries.find(kind=["inspection", "mites", "harvest"])
    mothers = mothers_of(all_rounds)
    try:
        ranked = rank_breeders(hive_notes(entries, all_rounds))
    except ValueError as error:
        return _text(fit([str(error)]))
    return _text(operation.breeder_lines(ranked, dominance(mothers) if mothers else None))


def mating(desk: Desk, question: Question) -> str:
    """What one mating nuc is at, or how matings turned out over the rounds of the last year."""
    all_rounds = desk.store.rounds.all()
    if question.place is None:
        recent = [r for r in all_rounds if r.grafted and desk.today - r.grafted <= _FAR_BACK]
        ends: list[Any] = [result for r in recent for _, result, _ in r.matings]
        return _text(operation.success_lines(mating_success(ends)))
    planted = [r for r in all_rounds if question.place in r.planted_places]
    view = desk.round(planted[-1].number) if planted else None
    if view is None:
        return _text(fit([f"No cell is on record for {question.place}: say what you planted there."]))
    born = as_date(view.calendar.get("emergence").likely)
    found = desk.store.entries.find(kind="mating", place=question.place, since=view.on("plant"), until=desk.today)
    watch = mating_watch(born, nuc_looks(found), desk.today)
    return _text(operation.watch_lines(question.place.capitalize(), watch))


def drones(desk: Desk, question: Question) -> str:
    """When drone brood is needed for a round."""
    view: RoundView | str = asked_round(desk, question)
    return view if isinstance(view, str) else _text(rounds.drone_lines(drones_for(view.on("graft"))))
