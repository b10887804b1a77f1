"""Questions about what is to come: what is due, which nucs to look at, when a feeder runs dry."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta

from gloveside.bot.answers import rearing
from gloveside.bot.answers.answer import Answer, ask_back, nothing, told
from gloveside.bot.answers.slots import slot
from gloveside.bot.desk import Desk
from gloveside.bot.due import Due
from gloveside.bot.rearing_record import nuc_looks
from gloveside.bot.wording.days import as_date, day, span, spoken_day
from gloveside.bot.wording.places import place as place_name
from gloveside.bot.wording.places import places
from gloveside.extract.models import Question
from gloveside.rearing.mating_watch import Watch, mating_watch
from gloveside.storage.entries import KeptEntry
from gloveside.storage.state import PlaceState

AHEAD = timedelta(days=14)
_EMERGES_AFTER_PLANTING = timedelta(days=2)
_MOST_LATE = 3
"""So many late things are named, the latest ones: more would hide what today asks for."""
_LOOKS = {"first look due": "look for eggs", "look again": "look again for eggs", "give up": "no eggs: give up or test"}


def due(desk: Desk, question: Question) -> Answer:
    """What is due until a date (two weeks, where none was said); late things first."""
    if slot(question, "what") == "feeder":
        return feeder(desk, question)
    if question.place is not None and question.place.startswith("nuc "):
        return nuc(desk, question.place)
    today = desk.today
    if question.round is not None and (step := slot(question, "step")):
        return _step(desk, question.round, str(step))
    few = slot(question, "days")
    until = question.until or today + (timedelta(days=few) if few else AHEAD)
    items = [
        d
        for d in desk.due_items()
        if d.on <= until
        and (question.since is None or d.on >= question.since or (d.late(today) and question.since <= today))
        and (question.round is None or d.round == question.round)
        and (question.place is None or d.place == question.place)
    ]
    step = slot(question, "step")
    if step:
        items = [d for d in items if d.step and d.step.startswith(str(step))]
        if not items:
            return nothing(f"No {step} is planned in the record until {day(until, today)}.")
    late = [d for d in items if d.late(today)]
    shown = [*late[-_MOST_LATE:], *(d for d in items if not d.late(today))]
    lines = [due_line(d, desk) for d in shown]
    if len(late) > _MOST_LATE:
        lines.insert(0, f"{len(late) - _MOST_LATE} more are late, since {day(late[0].on, today)}")
    rests = [d.entry for d in items if d.entry is not None]
    if question.round is None and question.place is None and not step and _open(question, today):
        watched = nucs_to_look_at(desk, min(until, today))
        if watched:
            lines.append(f"Look for eggs: {places(p for p, _, _ in watched).lower()}")
            rests += [s.last_entry for _, _, s in watched if s.last_entry]
    if not lines:
        return nothing(_nothing_due(question, until, today))
    return told(*lines, rests_on=rests)


def _step(desk: Desk, number: int, name: str) -> Answer:
    """When one step of a round is, whoever does it, with its band."""
    view = desk.round(number)
    if view is None:
        return nothing(f"There is no round {number} in the record.")
    step = next((s for s in view.calendar if s.step.startswith(name)), None)
    if step is None:
        return nothing(f"{view.name.capitalize()} has no {name}.")
    first, last = as_date(step.earliest), as_date(step.latest)
    rests_on = [d.entry_id for d in view.row.done if d.step in (step.step, "graft")]
    title = f"{view.name.capitalize()}: {step.step}"
    if step.done:
        return told(f"{title} done {day(step.likely, desk.today)}", rests_on=rests_on)
    if step.step in ("leave alone", "mating flights"):
        return told(f"{title} {span(first, last)}", rests_on=rests_on)
    band = f"From {day(first, desk.today)}, at the latest {day(last, desk.today)}"
    return told(f"{title} {day(step.likely, desk.today)}", *([band] if first != last else []), rests_on=rests_on)


def _open(question: Question, today: date) -> bool:
    return (question.since is None or question.since <= today) and (question.until is None or question.until >= today)


def _nothing_due(question: Question, until: date, today: date) -> str:
    about = f" for round {question.round}" if question.round is not None else ""
    about += f" at {question.place}" if question.place else ""
    if question.since is not None and question.since == question.until:
        return f"Nothing is due{about} {spoken_day(until, today)}."
    return f"Nothing is due{about} until {day(until, today)}."


def due_line(item: Due, desk: Desk) -> str:
    """`Fri 27 Nov: round 3, make 18 splits`."""
    subject = f"round {item.round}, " if item.round is not None else f"{item.place}, " if item.place else ""
    late = " (late)" if item.late(desk.today) else ""
    when = spoken_day(item.on, desk.today)
    return f"{when[:1].upper()}{when[1:]}{late}: {subject}{item.text}"


def nucs_to_look_at(desk: Desk, on: date) -> list[tuple[str, Watch, PlaceState]]:
    """Nucs in which it is time to look for a laying queen on a local date, with the watch over each."""
    return [(p, w, s) for p, w, s in watches(desk, on) if w.state in _LOOKS and w.next_from and w.next_from <= on]


def watches(desk: Desk, on: date) -> list[tuple[str, Watch, PlaceState]]:
    """Every place with a cell planted in it and no end known, with the watch over it on a local date."""
    waiting = [
        s
        for s in desk.store.states.where(lambda s: s.alive and s.cells_on is not None, on)
        if s.mating not in ("laying", "missing", "drone layer")
    ]
    if not waiting:
        return []
    first = min(s.cells_on for s in waiting if s.cells_on)
    looks: dict[str, list[KeptEntry]] = defaultdict(list)
    for kept in desk.store.entries.find(kind="mating", since=first, until=on):
        if kept.place is not None:
            looks[kept.place].append(kept)
    emergence: dict[int, date] = {}
    for number in {s.cells_round for s in waiting if s.cells_round is not None}:
        view = desk.round(number)
        if view is not None:
            emergence[number] = view.on("emergence")
    found = []
    for s in waiting:
        planted = s.cells_on
        if planted is None:
            continue
        born = emergence.get(s.cells_round or 0, planted + _EMERGES_AFTER_PLANTING)
        mine = [k for k in looks[s.place] if k.on >= planted]
        found.append((s.place, mating_watch(born, nuc_looks(mine), on), s))
    return found


def nuc(desk: Desk, place: str) -> Answer:
    """When to look into one nuc."""
    mine = [(w, s) for p, w, s in watches(desk, desk.today) if p == place]
    if not mine:
        state = desk.store.states.of(place, desk.today)
        if state.mating == "laying" and state.mating_on:
            return told(f"{place_name(place)}: queen laying since {day(state.mating_on, desk.today)}; no check is due.")
        if state.last_on is None:
            return nothing(f"Nothing is in the record about {place}.")
        return nothing(f"No check is due in {place}: no cell is waiting there in the record.")
    watch, state = mine[0]
    lines = [f"{place_name(place)}: {_LOOKS.get(watch.state, watch.state)}"]
    if watch.next_from and watch.next_to:
        first, several = day(watch.next_from, desk.today), watch.next_from != watch.next_to
        lines.append(f"Look from {first} ({span(watch.next_from, watch.next_to)})" if several else f"Look {first}")
    lines.append(watch.why[:1].upper() + watch.why[1:])
    if state.cells_on:
        number = f" of round {state.cells_round}" if state.cells_round else ""
        lines.append(f"Cell{number} planted {day(state.cells_on, desk.today)}")
    return told(*lines, rests_on=[state.last_entry or 0])


def feeder(desk: Desk, question: Question) -> Answer:
    """When the feeder of a hive runs dry; of the hive fed last where none was said."""
    place = question.place
    if place is None:
        fed = desk.store.entries.find(kind="feed", until=desk.today, newest_first=True, limit=20)
        last = [e for e in fed if e.place]
        if not last:
            return ask_back("Which hive's feeder? No feed is in the record yet.")
        place = last[0].place
    entries = desk.store.entries.find(kind=["feed", "inspection"], place=place, until=desk.today)
    text = rearing.feeder(desk, question.model_copy(update={"place": place}))
    if all(e.kind != "feed" for e in entries):
        return nothing(f"No feed of {place} is in the record.")
    fills = [e.id for e in entries if e.kind == "feed"]
    return told(f"Feeder of {place}", *text.splitlines(), rests_on=fills[::-1][:4])
