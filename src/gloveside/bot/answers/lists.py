"""Questions whose answer is a list of places: those in a state, at a yard, of a round, or to look at."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from gloveside.bot.answers import due as due_answers
from gloveside.bot.answers import states
from gloveside.bot.answers.answer import Answer, ask_back, nothing, told
from gloveside.bot.answers.slots import as_of, of_product, past, period, slot
from gloveside.bot.desk import Desk
from gloveside.bot.rearing_record import mothers_of
from gloveside.bot.wording.days import day
from gloveside.bot.wording.places import place as place_name
from gloveside.bot.wording.places import places
from gloveside.extract.models import Question
from gloveside.rearing.breeders import daughters_of
from gloveside.storage.state import PlaceState

_EACH = 9
"""Up to so many places get a line of their own."""


def sort_asked(question: Question) -> str | None:
    """`hive` or `nuc` where the question is about one of them only."""
    return {"hives": "hive", "nucs": "nuc"}.get(str(slot(question, "what")))


def in_scope(desk: Desk, question: Question, on: date) -> list[PlaceState]:
    """Living places of the sort and yard asked about, as they stood on a date."""
    sort, place = sort_asked(question), question.place
    yard = place if place is not None and place.startswith("yard ") else None
    return [
        s
        for s in desk.store.states.all(on).values()
        if s.alive
        and not s.place.startswith("yard ")
        and (sort is None or s.place.startswith(sort))
        and (place is None or yard is not None or s.place == place)
        and (yard is None or s.yard == yard)
        and (question.round is None or s.cells_round == question.round)
    ]


def found_in_state(desk: Desk, question: Question) -> tuple[states.Wanted, list[PlaceState]] | None:
    """The state asked for and the places in it; None where the question names no state that can be told."""
    on = as_of(desk, question)
    wanted = states.wanted(question, on, desk.settings)
    if wanted is None:
        return None
    found = [s for s in in_scope(desk, question, on) if wanted.test(s)]
    if slot(question, "state") == "not looked at" and sort_asked(question) is None:
        found = [s for s in found if s.place.startswith("hive ")]
    return wanted, sorted(found, key=wanted.sort) if wanted.sort else found


def places_in_state(desk: Desk, question: Question) -> Answer:
    """Which places are in the state asked for."""
    state = slot(question, "state")
    if slot(question, "daughters") and question.place is not None:
        return _daughters(desk, question.place)
    if question.place is not None and not question.place.startswith("yard ") and not (state or question.queen):
        return whereabouts(desk, question)
    if state == "to look at":
        return _to_look_at(desk, question)
    if state == "swarm cells" and question.since is not None:
        return _cells_found(desk, question)
    on = as_of(desk, question)
    then = f" as of {day(on, desk.today)}" if past(desk, question) else ""
    found = found_in_state(desk, question)
    if found is not None:
        wanted, chosen = found
        where = f" at {question.place.removeprefix('yard ')}" if question.place else ""
        if not chosen:
            sort = {"hive": "hive", "nuc": "nuc"}.get(sort_asked(question) or "", "place")
            return nothing(f"No {sort}{where} in the record: {wanted.name}{then}.")
        head = f"{wanted.name.capitalize()}{where}{then}: {len(chosen)}"
        return told(head, *_lines(chosen, wanted), rests_on=[s.last_entry or 0 for s in chosen])
    if unknown := state or question.queen:
        return nothing(f"I can't tell from the record which are: {unknown}.")
    if question.round is not None:
        return _of_round(desk, question)
    if kind := slot(question, "kind"):
        return _done_to(desk, question, str(kind))
    if question.place is not None or (sort_asked(question) and slot(question, "all")):
        chosen = in_scope(desk, question, on)
        if sort_asked(question) is None:
            chosen = [s for s in chosen if s.place.startswith("hive ")]
        if not chosen:
            return nothing(f"None is in the record{then}.")
        where = f" at {question.place.removeprefix('yard ')}" if question.place else ""
        return told(f"{len(chosen)}{where}{then}:", places(s.place for s in chosen))
    return ask_back("Which ones? Say for example: which hives are queenless, or which need feed.")


def _daughters(desk: Desk, mother: str) -> Answer:
    """Where the daughters of a queen are, by the last round planted in each place."""
    rows = desk.store.rounds.all(on=desk.today)
    found = sorted(daughters_of(mother, mothers_of(rows)), key=lambda p: (p.split()[0], _number(p)))
    if not found:
        return nothing(f"No planted cell from {mother} is in the record.")
    planted = [d.entry_id for r in reversed(rows) if mother in r.mothers for d in r.done if d.step == "plant"]
    return told(f"Planted from {mother}: {len(found)}", places(found), rests_on=planted)


def whereabouts(desk: Desk, question: Question) -> Answer:
    """Where one hive or nuc stands, or stood on an earlier date."""
    place, on = question.place or "", as_of(desk, question)
    state = desk.store.states.of(place, on)
    then = f" as of {day(on, desk.today)}" if past(desk, question) else ""
    if not state.alive:
        gone = f" {day(state.loss_on, desk.today)}" if state.loss_on else ""
        return told(f"{place_name(place)} is gone{gone}: {state.loss_cause or 'no cause said'}")
    if state.yard is None:
        return nothing(f"The record does not say where {place} {'stood' if then else 'stands'}{then}.")
    moves = desk.store.entries.find(kind="move", place=place, until=on, newest_first=True, limit=1)
    since = f", moved {day(moves[0].on, desk.today)}" if moves else ""
    return told(f"{place_name(place)}{then}: {state.yard.removeprefix('yard ')}{since}", rests_on=[m.id for m in moves])


_DONE = {
    "inspection": "Looked at",
    "treatment": "Treated",
    "feed": "Fed",
    "mites": "Mites counted",
    "harvest": "Honey taken",
    "loss": "Lost",
}


def _done_to(desk: Desk, question: Question, kind: str) -> Answer:
    """Places to which something was done in a time."""
    span = period(desk, question)
    sort = sort_asked(question) or ""
    entries = of_product(question, desk.store.entries.find(kind=kind, since=span.since, until=span.until))
    yard = question.place
    if yard is not None and yard.startswith("yard "):
        there = {s.place for s in in_scope(desk, question, desk.today)}
        entries = [e for e in entries if {e.place, *(e.fields.get("places") or ())} & there]
    found = [(p, e) for e in entries for p in e.fields.get("places") or [e.place] if p and p.startswith(sort)]
    name = _DONE.get(kind, kind.capitalize())
    if product := slot(question, "product"):
        name += f" with {product}"
    if not found:
        return nothing(f"{name} {span.words}: none in the record.")
    last = dict(found)
    spots = sorted(last, key=lambda p: (p.split()[0], _number(p)))
    ids = [e.id for _, e in reversed(found)]
    if len(spots) > _EACH:
        return told(f"{name} {span.words}: {len(spots)}", places(spots), rests_on=ids)
    lines = [f"{place_name(p)}: {day(last[p].on, desk.today)}" for p in spots]
    return told(f"{name} {span.words}: {len(spots)}", *lines, rests_on=ids)


def _lines(chosen: Sequence[PlaceState], wanted: states.Wanted) -> list[str]:
    if len(chosen) > _EACH:
        return [places(s.place for s in sorted(chosen, key=lambda s: (s.place.split()[0], _number(s.place))))]
    lines = []
    for s in chosen:
        about = wanted.about(s)
        lines.append(f"{place_name(s.place)}" + (f" ({about})" if about else ""))
    return lines


def _number(place: str) -> int:
    name = place.split(" ", 1)[-1]
    return int(name) if name.isdigit() else 1_000_000


def _cells_found(desk: Desk, question: Question) -> Answer:
    """Where swarm cells were noted in a time, whatever became of them."""
    span = period(desk, question)
    entries = desk.store.entries.find(kind="inspection", since=span.since, until=span.until)
    found = [
        e
        for e in entries
        if (c := e.fields.get("queen_cells")) and c.get("count") != 0 and c.get("type", "swarm") == "swarm"
    ]
    if not found:
        return nothing(f"No swarm cells are in the record {span.words}.")
    lines = [f"{place_name(e.place or 'place not said')}, {day(e.on, desk.today)}: {_cells(e.fields)}" for e in found]
    return told(f"Swarm cells {span.words}: {len({e.place for e in found})}", *lines, rests_on=[e.id for e in found])


def _cells(fields: dict[str, Any]) -> str:
    cells = fields["queen_cells"]
    return " ".join(str(v) for v in (cells.get("count"), "cells", cells.get("done")) if v)


def _to_look_at(desk: Desk, question: Question) -> Answer:
    today = question.until or question.since or desk.today  # also a day to come
    lines: list[str] = []
    rests: list[int] = []
    if sort_asked(question) != "hive":
        watched = due_answers.nucs_to_look_at(desk, today)
        lines += [f"{place_name(p)}: {w.why}" for p, w, _ in watched[:_EACH]]
        if len(watched) > _EACH:
            lines = [f"Look for eggs: {places(p for p, _, _ in watched).lower()}"]
        rests += [s.last_entry or 0 for _, _, s in watched]
    if sort_asked(question) != "nuc":
        tasks = [d for d in desk.due_items() if d.place and d.place.startswith("hive ") and d.on <= today]
        lines += [due_answers.due_line(d, desk) for d in tasks]
        rests += [d.entry for d in tasks if d.entry]
        cells = states.swarm_cells(today)
        with_cells = [s for s in in_scope(desk, question, today) if cells.test(s)]
        lines += [f"{place_name(s.place)}: swarm cells ({cells.about(s)})" for s in with_cells]
        rests += [s.last_entry or 0 for s in with_cells]
    if not lines:
        sort = {"hive": "hive", "nuc": "nuc"}.get(sort_asked(question) or "", "place")
        coming = [w.next_from for _, w, _ in due_answers.watches(desk, today) if w.next_from and w.next_from > today]
        after = f" The next is on {day(min(coming), desk.today)}." if coming and sort != "hive" else ""
        return nothing(f"No {sort} is due a look {'today' if today == desk.today else day(today)}.{after}")
    return told(*lines, rests_on=rests)


def _of_round(desk: Desk, question: Question) -> Answer:
    view = desk.round(question.round or 0)
    if view is None:
        return nothing(f"There is no round {question.round} in the record.")
    if not view.row.planted_places:
        return nothing(f"The record does not say where {view.name} was planted.")
    lines = [f"{view.name.capitalize()}: {places(view.row.planted_places).lower()}"]
    lines += [f"{place_name(p)}: {result}, {day(on, desk.today)}" for p, result, on in view.row.matings]
    planted = [d.entry_id for d in view.row.done if d.step == "plant"]
    return told(*lines, rests_on=planted)
