"""How old queens are, by what the record tells of their birth: a planted cell, a queen put in, a mark's colour."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from gloveside.bot.answers.answer import Answer, nothing, told
from gloveside.bot.answers.lists import in_scope
from gloveside.bot.answers.slots import slot
from gloveside.bot.desk import Desk
from gloveside.bot.wording.days import day
from gloveside.bot.wording.entries import count
from gloveside.bot.wording.places import place as place_name
from gloveside.extract.models import Question
from gloveside.rearing.marking import possible_birth_years
from gloveside.storage.entries import KeptEntry
from gloveside.storage.state import PlaceState

_EMERGES_AFTER_PLANTING = timedelta(days=2)
"""A ripe cell opens two days after it is planted, on day 12 after the graft."""
_MOST = 8
_GONE = ("caught", "killed", "died")


@dataclass(frozen=True, slots=True)
class Birth:
    """When a queen was born. on: the day; None where only possible years are known, newest first. why: as said."""

    on: date | None
    years: tuple[int, ...]
    why: str
    rests_on: int | None = None


def age(desk: Desk, question: Question) -> Answer:
    """How old the queen of one place is, or which queens are the oldest."""
    if question.place is None or question.place.startswith("yard "):
        return ranked(desk, question.model_copy(update={"rank": slot(question, "rank") or "oldest"}))
    place = question.place
    state = desk.store.states.of(place, desk.today)
    if state.last_on is None:
        return nothing(f"Nothing is in the record about {place}.")
    birth = born(desk, place, state, _arrivals(desk, place))
    if birth is None:
        return nothing(
            f"The record does not say when the queen of {place} was born: no planted cell, no queen put in and no mark."
        )
    head = f"Queen of {place}: {_old(birth, desk.today)}"
    return told(head, birth.why, rests_on=[birth.rests_on or state.last_entry or 0])


def mother(desk: Desk, question: Question) -> Answer:
    """Whose daughter the queen of one place is: the mother of the last round planted there."""
    place = question.place or ""
    rows = desk.store.rounds.all(on=desk.today)
    raised = next((row for row in reversed(rows) if place in row.planted_places), None)
    if raised is None or raised.mother is None:
        return nothing(f"The record does not say from which mother the queen of {place} was raised.")
    planted = [d.entry_id for d in raised.done if d.step in ("graft", "plant")]
    number = f", round {raised.number}" if raised.number is not None else ""
    return told(f"Queen of {place}: daughter of {raised.mother}{number}", rests_on=planted)


def ranked(desk: Desk, question: Question) -> Answer:
    """The places with the oldest or youngest queens, of those whose birth is known."""
    youngest = slot(question, "rank") == "youngest"
    arrivals: dict[str, list[KeptEntry]] = {}
    for kept in _arrivals(desk, None):
        for place in {kept.place, kept.fields.get("to"), *(kept.fields.get("places") or ())}:
            if place:
                arrivals.setdefault(place, []).append(kept)
    found: list[tuple[date, PlaceState, Birth]] = []
    living = [s for s in in_scope(desk, question, desk.today) if s.queenright is not False and s.last_on]
    for state in living:
        birth = born(desk, state.place, state, arrivals.get(state.place, []))
        if birth is not None and state.queen != "cell":
            found.append((birth.on or date(birth.years[0], 12, 31), state, birth))
    if not found:
        return nothing("The record does not say when any of these queens was born.")
    found.sort(key=lambda f: f[0], reverse=youngest)
    most = min(int(slot(question, "top") or _MOST), _MOST)
    lines = [f"{place_name(s.place)}: {_old(b, desk.today)}" for _, s, b in found[:most]]
    head = f"{'Youngest' if youngest else 'Oldest'} queens, of {len(found)} with a known birth"
    return told(head, *lines, rests_on=[b.rests_on or s.last_entry or 0 for _, s, b in found[:most]])


def _arrivals(desk: Desk, place: str | None) -> list[KeptEntry]:
    return desk.store.entries.find(kind=["plant", "queen"], place=place, until=desk.today)


def born(desk: Desk, place: str, state: PlaceState, arrivals: Iterable[KeptEntry], depth: int = 2) -> Birth | None:
    """When the queen that is in a place now was born; None where nothing tells. depth: moves followed back."""
    last: KeptEntry | None = None
    for kept in arrivals:
        fields = kept.fields
        put_in = kept.kind == "queen" and fields.get("step") in ("introduced", "released") and fields.get("to") == place
        if put_in or (kept.kind == "plant" and place in (fields.get("places") or ())):
            last = kept
        elif kept.kind == "queen" and fields.get("step") in _GONE and kept.place == place:
            last = None
    if last is not None and last.kind == "plant":
        if state.queen == "cell":
            return None
        view = desk.round(last.round) if last.round is not None else None
        on = view.on("emergence") if view is not None else last.on + _EMERGES_AFTER_PLANTING
        number = f" of round {last.round}" if last.round is not None else ""
        return Birth(on, (on.year,), f"Cell{number} planted {day(last.on, desk.today)}", last.id)
    if last is not None and last.place not in (None, place) and depth:
        origin = str(last.place)
        before = [k for k in _arrivals(desk, origin) if k.on <= last.on and k.fields.get("step") not in _GONE]
        birth = born(desk, origin, desk.store.states.of(origin, last.on - timedelta(days=1)), before, depth - 1)
        if birth is not None:
            return Birth(birth.on, birth.years, f"From {origin} {day(last.on, desk.today)}", last.id)
    if state.mark is None:
        return None
    on_mark = state.mark_on or desk.today
    years = tuple(possible_birth_years(state.mark, on_mark))  # type: ignore[arg-type]
    return Birth(None, years, f"By her mark: {state.mark}", None) if years else None


def _old(birth: Birth, today: date) -> str:
    if birth.on is None:
        return f"born {' or '.join(map(str, birth.years))}"
    days = (today - birth.on).days
    months = round(days / 30.44)
    length = (
        count(days, "day") if days < 60 else count(months, "month") if months < 24 else f"{days / 365.25:.1f} years"
    )
    return f"{length} old, born {day(birth.on)} {birth.on.year}" if days >= 0 else f"emerges {day(birth.on)}"
