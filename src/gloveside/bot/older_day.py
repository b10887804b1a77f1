"""Putting the date of an older note right: "hive 41 died on Tuesday, not Wednesday". What follows from it moves."""

from __future__ import annotations

import re
from datetime import date, timedelta

from gloveside.bot import kept_reply, planning
from gloveside.bot.desk import Desk
from gloveside.bot.messages import LONGEST_BUTTON_DATA, Button, Reply
from gloveside.bot.wording.days import day, spoken_day
from gloveside.bot.wording.entries import placed_line
from gloveside.extract import models as m
from gloveside.extract.annotate import annotate
from gloveside.extract.note import Note
from gloveside.storage.entries import KeptEntry

_MOST_OFFERED = 3
_FARTHEST = timedelta(days=60)
"""A day farther from the one that was said is misheard, or another year's."""
_SAYS: tuple[tuple[str, frozenset[str]], ...] = (
    ("graft", frozenset({"graft_verb", "graft_noun"})),
    ("take", frozenset({"take_noun", "=took", "=take"})),
    ("builder", frozenset({"excluder", "slide"})),
    ("treatment", frozenset({"treat_verb", "treat_thing", "product"})),
    ("feed", frozenset({"feed_verb", "fed_said", "feed_type", "feed_noun"})),
    ("mites", frozenset({"mite_way", "mite_word"})),
    ("sale", frozenset({"sell_verb", "sold_said"})),
    ("harvest", frozenset({"harvest_verb", "honey_crop"})),
    ("mark", frozenset({"mark_verb", "colour"})),
    ("loss", frozenset({"lost_verb", "died_word", "=dying", "=died", "=dead", "=loss"})),
    ("split", frozenset({"split_verb", "split_noun"})),
    ("plant", frozenset({"plant_strong", "=planted", "=plant", "=planting"})),
    ("box", frozenset({"box_noun"})),
    ("move", frozenset({"move_verb", "=moved", "=shifted"})),
    ("inspection", frozenset({"looked_word", "=eggs", "=brood"})),
    ("cells", frozenset({"=cells", "=ripe", "=capped"})),
    ("mating", frozenset({"=laying", "=mated"})),
)
"""Words that tell which kind of entry is meant."""


def put_right(desk: Desk, order: m.Order) -> Reply:
    """Find the entry of the wrong day and move it; ask where several fit, change nothing where none does.

    order: a change of `on` with the right day in `to` (ISO), the wrong day in `on`, and what was said in `said`.
    """
    right = _date(order.to)
    if right is None or order.on is None:
        return Reply(
            "Which note, and which day? Say for example: the strips in hive 11 went in on the 20th, not the 22nd."
        )
    if right > desk.today or abs(right - order.on) > _FARTHEST:
        which = f"{day(right, desk.today)} {right.year}"
        return Reply(f"{which} cannot be meant for a note of {day(order.on, desk.today)}. Nothing was changed.")
    found = _found(desk, order, order.on)
    if not found:
        return Reply("\n".join(_not_found(desk, order, order.on)))
    if len(found) == 1:
        return _moved(desk, found[0].id, right)
    lines = [f"{len(found)} entries are of {spoken_day(order.on, desk.today)}. Which one?"]
    buttons: list[Button] = []
    for number, kept in enumerate(found[:_MOST_OFFERED], 1):
        data = f"c:d{kept.id}:{right.isoformat()}"
        if len(data.encode()) <= LONGEST_BUTTON_DATA:
            lines.append(f"{number}. {placed_line(kept.entry)}")
            buttons.append(Button(str(number), data))
    return Reply("\n".join(lines), (tuple(buttons),))


def tapped(desk: Desk, data: str) -> Reply | None:
    """One of several entries was chosen; None where the button is of another sort."""
    found = re.fullmatch(r"d(\d+):(\d{4}-\d\d-\d\d)", data)
    right = _date(found[2]) if found else None
    return None if found is None or right is None else _moved(desk, int(found[1]), right)


def _date(value: object) -> date | None:
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        return None


def _found(desk: Desk, order: m.Order, wrong: date) -> list[KeptEntry]:
    """Entries of the wrong day, of the place, round and kind that were said."""
    note = annotate(order.said or "", desk.on, desk.register)
    entries = desk.store.entries.find(since=wrong, until=wrong)
    places = {p for span in note.places for p in span.places}
    rounds = {number for _, _, number in note.rounds}
    if places:
        entries = [e for e in entries if places & _places(e)]
    if rounds:
        entries = [e for e in entries if e.fields.get("round") in rounds]
    said = [kind for kind, labels in _SAYS if _says(note, labels)]
    of_kind = [e for e in entries if e.kind in said or (e.kind == "queen" and "loss" in said)]
    if said and (of_kind or not (places or rounds)):
        return of_kind
    return entries if places or rounds else []


def _says(note: Note, labels: frozenset[str]) -> bool:
    return any(not labels.isdisjoint(edges) for edges in note.lattice.edges)


def _places(kept: KeptEntry) -> set[str]:
    fields = kept.fields
    single = (fields.get(name) for name in ("place", "from", "into", "to", "mother"))
    return {p for p in (*single, *(fields.get("places") or ())) if isinstance(p, str)}


def _moved(desk: Desk, entry_id: int, right: date) -> Reply:
    """Give one entry another day; the old one stays in the history, dates and reminders follow."""
    kept = desk.store.entries.get(entry_id)
    if not kept.current or kept.on == right:
        return Reply("That was put right already.")
    changed = desk.store.notes.change("on", right, entry_id=entry_id, by=desk.user)
    planning.refresh(desk, [e.entry for e in (*changed.before, *changed.after)])
    return kept_reply.for_note(desk, desk.store.notes.kept(kept.note_id), amended=True)


def _not_found(desk: Desk, order: m.Order, wrong: date) -> list[str]:
    lines = [f"No such entry is in the record {_on(desk, wrong)}. Nothing was changed."]
    note = annotate(order.said or "", desk.on, desk.register)
    place = next((p for span in note.places for p in span.places), None)
    number = next((number for _, _, number in note.rounds), None)
    if place is not None or number is not None:
        near = desk.store.entries.find(place=place, round=number, until=desk.on, newest_first=True, limit=2)
        lines += [f"There is {day(e.on, desk.today)}: {placed_line(e.entry)}" for e in near]
    return lines


def _on(desk: Desk, when: date) -> str:
    said = spoken_day(when, desk.today)
    return said if said in ("today", "yesterday") else f"on {said}"
