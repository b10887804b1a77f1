"""What lies ahead by the arithmetic of rearing: the growth of the operation, the season's rounds, broodless windows."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from gloveside.bot.answers.answer import Answer, nothing, told
from gloveside.bot.answers.slots import slot
from gloveside.bot.desk import Desk
from gloveside.bot.growth_figures import growth_figures
from gloveside.bot.rearing_record import own_record
from gloveside.bot.wording.days import day
from gloveside.bot.wording.rearing.fit import fit
from gloveside.bot.wording.rearing.health import window_lines
from gloveside.bot.wording.rearing.operation import growth_lines
from gloveside.bot.wording.rearing.stock import season_lines
from gloveside.extract.models import Question
from gloveside.rearing.broodless import Case, broodless_window
from gloveside.storage.entries import KeptEntry

_AHEAD = timedelta(days=365)
_SOUTH = {"spring": 9, "summer": 12, "autumn": 3, "fall": 3, "winter": 6, "christmas": 12}
"""First month of each season of the year in the south (meteorological); Christmas is the same everywhere."""
_WINDOW_DAYS = timedelta(days=75)
"""After a loss longer ago there is a new queen or no colony, so no window follows (common practice, no source)."""
_NOT_SAID = 24


def season_of_year(words: str, today: date, *, southern: bool) -> date | None:
    """First day of the next spring, summer … that the words name; None where they name none."""
    name = next((n for n in _SOUTH if n in words), None)
    if name is None:
        return None
    month = _SOUTH[name] if southern or name == "christmas" else (_SOUTH[name] + 5) % 12 + 1
    return date(today.year + (today >= date(today.year, month, 1)), month, 1)


def _by(desk: Desk, question: Question) -> date | None:
    """The day a question looks ahead to, or None."""
    if question.until is not None and question.until > desk.today:
        return question.until
    if question.since is not None and question.since > desk.today:
        return question.since
    if (days := slot(question, "days")) is not None:
        return desk.today + timedelta(days=int(days))
    return season_of_year(
        str(slot(question, "season_said") or ""), desk.today, southern=desk.settings.operation.southern
    )


def growth(desk: Desk, question: Question) -> Answer:
    """What may come of the hives by a day (in a year where none was said), from the record and the settings."""
    from gloveside.rearing.growth import grow
    from gloveside.rearing.growth_settings import GrowthSettings

    living = [s for s in desk.store.states.all(desk.today).values() if s.alive]
    hives = sum(s.place.startswith("hive ") for s in living)
    if not hives:
        return nothing("No hive is in the record, so there is nothing to grow from. Say or import your hives first.")
    nucs = sum(s.place.startswith("nuc ") and s.mating == "laying" and s.queenright is True for s in living)
    by = _by(desk, question) or desk.today + _AHEAD
    months = min(240, max(2, (by.year - desk.today.year) * 12 + by.month - desk.today.month + 1))
    given: dict[str, Any] = {
        "hives": hives, "nucs": nucs, "start": desk.today.replace(day=1), "record": own_record(desk.store.rounds.all()),
        **growth_figures(desk.settings),
    }  # fmt: skip
    try:
        result = grow(GrowthSettings(**given), months=months)
        lines = growth_lines(result, by, slot(question, "target"), currency=desk.settings.operation.currency)
    except ValueError as error:
        return nothing(*fit([str(error)]))
    return told(f"From {hives} hives and {nucs} laying nucs now", *lines, "A model, not the record: check its settings")


def plan(desk: Desk, question: Question) -> Answer:
    """The season's rounds for so many laying queens; for as many as there are nucs, where no number was said."""
    from gloveside.rearing.chance import LAYING_PRIOR, OWN_WEIGHT_MOST, RIPE_PRIOR, TAKE_MANAGED
    from gloveside.rearing.season import plan_season, queens_by

    nucs = len(desk.store.places.all(kind="nuc")) or _NOT_SAID
    queens = int(slot(question, "queens") or nucs)
    own = own_record(desk.store.rounds.all())
    take = TAKE_MANAGED.beta.given(own.take, OWN_WEIGHT_MOST).mean
    ripe = RIPE_PRIOR.beta.given(own.ripe, OWN_WEIGHT_MOST).mean
    board = desk.settings.rearing.board
    start = desk.today + timedelta(days=3 if board else 1)
    said = _by(desk, question)
    by = said or _season_end(desk)
    last_graft, _ = queens_by(by)
    builders = tuple(desk.register.builders) or ("builder",)
    try:
        found = plan_season(
            queens, 0.9, start, by, builders=builders, nucs=nucs, cells_share=take * ripe, board=board,
            laying=LAYING_PRIOR.beta.given(own.laying, OWN_WEIGHT_MOST),
            incubator=desk.settings.rearing.incubator_c is not None,
        )  # fmt: skip
    except ValueError as error:
        return nothing(*fit([str(error)]))
    head = f"{queens} laying queens by {day(by, desk.today)}:"
    lines = season_lines(found, most=4)
    if slot(question, "queens") is None or said is None:
        lines.append("Say how many queens and by when for another plan")
    return told(head, f"Last graft {day(last_graft, desk.today)}", *lines)


def _season_end(desk: Desk) -> date:
    """Last day of summer's last month: queens mated later are few (common practice, no source)."""
    month = 3 if desk.settings.operation.southern else 9
    first = date(desk.today.year, month, 1)
    if desk.today >= first - timedelta(days=40):
        first = date(desk.today.year + 1, month, 1)
    return first - timedelta(days=1)


def broodless(desk: Desk, question: Question) -> Answer:
    """When a hive has no sealed brood: by the caging, split or loss of its queen in the record, or from a day said."""
    place = question.place
    if place is None or place.startswith("yard "):
        found = [
            (p, e, c)
            for p in desk.store.states.all(desk.today)
            if p.startswith("hive ") and (hit := _queen_gone(desk, p)) is not None
            for e, c in [hit]
        ]
        windows = [(p, broodless_window(e.on, c)) for p, e, c in found]
        coming = sorted((w.opens, p, w) for p, w in windows if w.days and w.closes >= desk.today)
        if not coming:
            return nothing("No broodless window lies ahead by the record. Say a hive, or the day she is caged.")
        lines = [f"{p.capitalize()}: {day(w.opens, desk.today)} to {day(w.closes, desk.today)}" for _, p, w in coming]
        return told("No sealed worker brood:", *lines, rests_on=[e.id for _, e, _ in found])
    if slot(question, "caged"):
        on = question.until or question.since or desk.today
        head = f"{place.capitalize()}, if caged {day(on, desk.today)}"
        return told(head, *window_lines(broodless_window(on, "caged")))
    hit = _queen_gone(desk, place)
    if hit is None:
        window = broodless_window(desk.today, "caged")
        return told(
            f"{place.capitalize()}: no caging, split or loss of the queen in the last {_WINDOW_DAYS.days} days.",
            "If she were caged today:", *window_lines(window),
        )  # fmt: skip
    kept, case = hit
    released = _released(desk, place, kept.on) if case == "caged" else None
    window = broodless_window(kept.on, case, released=released)
    name = {"caged": "caged", "emergency queen": "queen gone"}.get(case, "split")
    return told(f"{place.capitalize()}: {name} {day(kept.on, desk.today)}", *window_lines(window), rests_on=[kept.id])


def _queen_gone(desk: Desk, place: str) -> tuple[KeptEntry, Case] | None:
    """The last caging, split or loss of the queen of a place, with what followed; None where she lays."""
    since = desk.today - _WINDOW_DAYS
    entries = desk.store.entries.find(
        kind=["queen", "split", "plant", "inspection", "builder"], place=place, since=since, until=desk.today
    )
    found: tuple[KeptEntry, Case] | None = None
    for kept in entries:
        fields = kept.fields
        if kept.kind == "queen" and kept.place == place:
            if fields.get("step") == "caged":
                found = kept, "caged"
            elif fields.get("step") in ("caught", "killed", "died"):
                found = kept, "emergency queen"
        elif (kept.kind == "split" and place in (fields.get("places") or ())) or (
            kept.kind == "builder" and fields.get("step") == "made queenless" and kept.place == place
        ):
            found = kept, "emergency queen"
        elif kept.kind == "plant" and place in (fields.get("places") or ()) and found is not None:
            late = (kept.on - found[0].on).days >= 5
            found = found[0], "ripe cell after a week" if late else "split with a ripe cell"
        elif kept.kind == "inspection" and fields.get("eggs") and found is not None and found[1] != "caged":
            found = None if (kept.on - found[0].on).days > 3 else found
    return found


def _released(desk: Desk, place: str, caged: date) -> date | None:
    out = desk.store.entries.find(kind="queen", place=place, since=caged, until=desk.today)
    return next((e.on for e in out if e.fields.get("step") == "released"), None)
