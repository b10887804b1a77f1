"""Putting an older note right: "on Tuesday I said hive 14, it was hive 40". The old entry stays in the history."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta

from gloveside.bot import kept_reply, offered, older_day, older_figure, older_named, planning
from gloveside.bot.desk import Desk
from gloveside.bot.messages import Button, Reply
from gloveside.bot.wording.days import day, spoken_day
from gloveside.bot.wording.entries import line
from gloveside.extract import models as m
from gloveside.extract import numbers
from gloveside.storage.corrections import value_of
from gloveside.storage.entries import KeptEntry

_BACK = timedelta(days=21)
"""How far back a note is looked for when no day was said."""
_FIELDS = ("place", "places", "mother", "from", "into", "to")


def put_right(desk: Desk, order: m.Order) -> Reply:
    """Find the note by its place or round and its day, and change it; ask where several fit.

    order: a change with `said` (the wrong words) or `about` (words that name the note); where a day was said, `on`.
    """
    if order.about is not None:
        return older_named.put_right(desk, order)
    if order.field == "on":
        return older_day.put_right(desk, order)
    if order.field not in ("round", *_FIELDS):
        return older_figure.put_right(desk, order)
    wrong = _meant(desk, order)
    if wrong is None or order.to is None:
        return Reply("Which note? Say for example: on Tuesday I said hive 14, it was hive 40.")
    found = _found(desk, order, wrong)
    by_note: dict[int, list[KeptEntry]] = {}
    for kept in found:
        by_note.setdefault(kept.note_id, []).append(kept)
    if not by_note:
        return Reply("\n".join(_not_found(desk, order, wrong)))
    if len(by_note) == 1:
        return change_notes(desk, list(by_note), order.field or "place", wrong, _to(order))
    notes = sorted(by_note, key=lambda n: by_note[n][0].on, reverse=True)[: offered.MOST]
    choices = [
        (f"{day(by_note[n][0].on, desk.today)}: {line(by_note[n][0].entry)}", f"c:{n}:{wrong}:{order.to}")
        for n in notes
    ]
    every = Button("All of them", f"c:{'.'.join(map(str, notes))}:{wrong}:{order.to}")
    question = f"{_name(wrong)} was said in {len(by_note)} notes{_when(desk, order.on)}. Which one?"
    return offered.one_of(question, choices, further=(every,))


def _to(order: m.Order) -> str | int | float:
    return str(order.to) if isinstance(order.to, bool) or order.to is None else order.to


def tapped(desk: Desk, data: str) -> Reply:
    """One of several notes was chosen. data: note ids joined by dots, the wrong value, the right one."""
    for other in (older_day.tapped, older_figure.tapped, older_named.tapped):
        if (changed := other(desk, data)) is not None:
            return changed
    ids, _, rest = data.partition(":")
    wrong, _, right = rest.partition(":")
    known = [int(i) for i in ids.split(".") if i.isdigit()]
    if not known or not right:
        return Reply("That button is of an older version. Say it instead.")
    number = re.fullmatch(r"\d+", wrong)
    value, to = (int(wrong), int(right)) if number else (wrong, right)
    return change_notes(desk, known, "round" if number else "place", value, to)


def change_notes(desk: Desk, note_ids: Sequence[int], field: str, wrong: str | int, right: str | int | float) -> Reply:
    """Change the value in every entry of these notes that holds it; what follows from them moves."""
    if isinstance(right, str) and desk.register.places and not desk.register.knows(right):
        return Reply(f"{_name(right)} is not in the register, so nothing was changed. Say the place again.")
    touched: list[m.EntryBase] = []
    for note_id in note_ids:
        for name in ("round",) if field == "round" else _FIELDS:
            standing = desk.store.entries.find(note_id=note_id)
            if not any(_holds(e, name, wrong) for e in standing):
                continue
            changed = desk.store.notes.change(name, right, note_id=note_id, was=wrong, by=desk.user)
            touched += [e.entry for e in (*changed.before, *changed.after)]
    if not touched:
        return Reply("That was put right already.")
    planning.refresh(desk, touched)
    reply = kept_reply.for_note(desk, desk.store.notes.kept(note_ids[-1]), amended=True)
    if len(note_ids) > 1:
        reply = Reply(f"{len(note_ids)} notes put right. The last:\n{reply.text}", reply.buttons, note_id=reply.note_id)
    return reply


def _holds(kept: KeptEntry, field: str, value: str | int) -> bool:
    held = value_of(kept.fields, field)
    return value in held if isinstance(held, list) else held == value


def _meant(desk: Desk, order: m.Order) -> str | int | None:
    """The wrong value in the form of the record, from the words that were said."""
    words = re.findall(r"[a-z0-9]+", (order.said or "").lower())
    said = [s.value for s in numbers.find(words) if not s.ordinal]
    if order.field == "round":
        return int(said[0]) if len(said) == 1 else None
    if isinstance(order.was, str):
        return order.was
    sort = next((w.rstrip("s") for w in words if w.rstrip("s") in ("hive", "nuc")), None)
    if sort and len(said) == 1:
        return f"{sort} {said[0]:g}"
    joined = " ".join(words)
    known = [*desk.register.places, *desk.store.places.used()]
    return next((p for p in known if p.lower() == joined), None)


def _found(desk: Desk, order: m.Order, wrong: str | int) -> list[KeptEntry]:
    """Entries that hold the wrong value: of that day, or spoken on it; of the last weeks where no day was said."""
    zone = desk.settings.operation.zone
    since = (order.on or desk.on) - _BACK
    if isinstance(wrong, int):
        found = desk.store.entries.find(round=wrong, since=since, until=desk.on)
    else:
        found = desk.store.entries.find(place=wrong, since=since, until=desk.on)
    if order.on is None:
        last = max((e.on for e in found), default=None)
        return [e for e in found if e.on == last]
    on_day = [e for e in found if e.on == order.on]
    return on_day or [e for e in found if e.spoken_at.astimezone(zone).date() == order.on]


def _not_found(desk: Desk, order: m.Order, wrong: str | int) -> list[str]:
    lines = [f"No note of {_name(wrong).lower()} is in the record{_when(desk, order.on)}. Nothing was changed."]
    if isinstance(wrong, str):
        near = desk.store.entries.find(place=wrong, until=desk.on, newest_first=True, limit=2)
        lines += [f"There is {day(e.on, desk.today)}: {line(e.entry)}" for e in near]
    return lines


def _name(value: str | int) -> str:
    return f"Round {value}" if isinstance(value, int) else value[:1].upper() + value[1:]


def _when(desk: Desk, on: date | None) -> str:
    if on is None:
        return ""
    when = spoken_day(on, desk.today)
    return f" {when}" if when in ("today", "yesterday") else f" on {when}"
