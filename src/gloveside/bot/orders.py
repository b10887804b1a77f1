"""Orders, answers and taps: taking back, putting right, answering what was asked, done and later."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from gloveside.bot import answers, kept_reply, left_over, older_note, planning
from gloveside.bot.desk import Desk
from gloveside.bot.messages import Reply
from gloveside.bot.wording.entries import placed_line
from gloveside.extract import models as m
from gloveside.extract import numbers
from gloveside.storage.entries import KeptEntry
from gloveside.storage.errors import NotFound, Refused
from gloveside.storage.notes import NoteRow, OpenDoubt
from gloveside.storage.reminders import ReminderRow

_PLACE_FIELDS = frozenset({"place", "places", "mother", "from", "into", "to"})
_CANONICAL = re.compile(r"(hive|nuc|yard) \S+")
_WRONG_PLACE = re.compile(r"\bnot (?:for |on |in )?(?:(hives?|nucs?) )?(\d+)\b")
_SNOOZE = timedelta(hours=3)
_ANSWER_WITHIN = timedelta(hours=48)
NOTHING_ASKED = "Nothing is waiting for a yes or no."


def can_answer(spoken_at: datetime, asked_at: datetime) -> bool:
    """Whether what was spoken then can answer what was asked then (both aware).

    What was spoken before we asked (a late note, a recorder's file) cannot; clocks differ a little.
    """
    return -planning.CLOCKS_DIFFER < spoken_at - asked_at < _ANSWER_WITHIN


def carried_out(
    desk: Desk, given: Sequence[m.Order], waiting: Sequence[OpenDoubt], spoken_at: datetime, heard: str = ""
) -> Reply:
    """Carry out the first order of a note.

    waiting: the open questions that it can answer; spoken_at: aware; heard: the whole note.
    """
    order = given[0]
    match order.do:
        case "undo":
            return undo(desk)
        case "yes" | "no":
            return _agreed(desk, order.do == "yes", waiting, spoken_at)
        case "change":
            return change(desk, order, waiting, heard)
        case "done":
            return reminder_done(desk, planning.last_sent(desk, spoken_at))
        case "snooze":
            return snooze(desk, planning.last_sent(desk, spoken_at))


def _agreed(desk: Desk, yes: bool, waiting: Sequence[OpenDoubt], spoken_at: datetime) -> Reply:
    """A bare yes or no: to the question asked last, else to a note read unsurely, else (yes) to a reminder."""
    if waiting:
        return settle(desk, waiting[-1], yes)
    notes = desk.store.notes
    unsure = [n.id for n in notes.unfinished(desk.chat) if n.state == "asked"]
    shown = [n for n in unsure if can_answer(spoken_at, notes.readings(n)[-1][0])]
    if shown:
        return confirm(desk, shown[-1], yes)
    rung = planning.last_sent(desk, spoken_at)
    return reminder_done(desk, rung) if yes and rung else Reply(NOTHING_ASKED)


def undo(desk: Desk) -> Reply:
    """Take back the last thing kept in this chat by this user."""
    undone = desk.store.notes.undo(desk.chat, desk.user)
    if undone is None:
        return Reply("There is nothing left to take back.")
    planning.withdrawn(desk, [e.entry for e in undone.before])
    planning.refresh(desk, [e.entry for e in (*undone.before, *undone.after)])
    lines = [f"Taken back: {placed_line(e.entry)}" for e in undone.before] or [f"Taken back: “{undone.said}”"]
    lines += [f"Stands again: {placed_line(e.entry)}" for e in undone.after]
    return Reply("\n".join(lines))


def change(desk: Desk, order: m.Order, waiting: Sequence[OpenDoubt], heard: str = "") -> Reply:
    """Put a field right in the last note: the one that waits for an answer, or one that was kept since.

    "Hive 13, not 12" means the last note that was about hive 12, where there is one.
    """
    if order.field is None or order.to is None:
        return Reply("Put what right? Say: hive 14, not hive 40.")
    if order.said is not None or order.about is not None:
        return older_note.put_right(desk, order)
    named = _named(desk, order, heard)
    note = named or desk.store.notes.last(desk.chat, user=desk.user)
    if named is None and waiting and (note is None or note.id < waiting[-1].note_id):
        kept = desk.store.notes.change_waiting(waiting[-1].note_id, order.field, order.to)
        return kept_reply.for_note(desk, kept)
    if note is None:
        return Reply("There is no note of yours to put right yet.")
    if order.was is not None and not _says(desk, note.id, order.was):
        return Reply(f"Your last note says nothing of {order.was}: nothing was changed. Say the day of the note too.")
    changed = desk.store.notes.change(order.field, order.to, note_id=note.id, was=order.was)
    _learn(desk, order, changed.before)
    planning.refresh(desk, [e.entry for e in (*changed.before, *changed.after)])
    return kept_reply.for_note(desk, desk.store.notes.kept(note.id), amended=True)


def _named(desk: Desk, order: m.Order, heard: str) -> NoteRow | None:
    """The last kept note about the place that is named as the wrong one."""
    if order.field == "place" and isinstance(order.was, str):
        return desk.store.notes.last(desk.chat, user=desk.user, place=order.was)
    said = _WRONG_PLACE.search(heard.lower())
    if order.field != "place" or said is None or not isinstance(order.to, str):
        return None
    sort = (said.group(1) or order.to.split()[0]).rstrip("s")
    return desk.store.notes.last(desk.chat, user=desk.user, place=f"{sort} {said.group(2)}")


def _says(desk: Desk, note_id: int, value: Any) -> bool:
    """Whether an entry of a note holds a value, wherever it lies."""
    return any(_holds(e.fields, value) for e in desk.store.entries.find(note_id=note_id))


def _holds(held: Any, value: Any) -> bool:
    if isinstance(held, dict):
        return any(_holds(inner, value) for inner in held.values())
    if isinstance(held, list):
        return any(_holds(inner, value) for inner in held)
    return type(held) is type(value) and bool(held == value)


def _learn(desk: Desk, order: m.Order, before: Sequence[KeptEntry]) -> None:
    """Remember a place that was heard for another, when both are known: later readings are ranked by it."""
    for kept in before:
        heard = kept.fields.get(order.field or "")
        if not isinstance(heard, str) or not isinstance(order.to, str) or order.field not in _PLACE_FIELDS:
            continue
        if heard != order.to and not desk.register.knows(heard):
            desk.store.words.learn(heard, order.to)


def settle(desk: Desk, doubt: OpenDoubt, agreed: bool) -> Reply:
    """A yes or no to an open question: yes keeps what was read, no leaves it out."""
    if not agreed:
        # "No" to one of two values means the other one; to anything else it means: leave it.
        if len(doubt.options) == 2:
            return answer(desk, doubt, doubt.options[1])
        return confirm(desk, doubt.note_id, False)
    if doubt.options:
        return answer(desk, doubt, doubt.options[0])
    return kept_reply.for_note(desk, desk.store.notes.answer_doubt(doubt.note_id, doubt.field, None, doubt.entry))


def answer(desk: Desk, doubt: OpenDoubt, value: Any) -> Reply:
    """One of the offered values, or another that was said. A new place is put into the register."""
    is_place = doubt.field in _PLACE_FIELDS and isinstance(value, str) and _CANONICAL.match(value)
    if is_place and not desk.register.knows(value):
        desk.store.places.add(value)
    kept = desk.store.notes.answer_doubt(doubt.note_id, doubt.field, value, doubt.entry)
    return kept_reply.for_note(desk, kept)


def confirm(desk: Desk, note_id: int, agreed: bool) -> Reply:
    """Keep a waiting note as it was read, or leave it out."""
    if agreed:
        return kept_reply.for_note(desk, desk.store.notes.confirm(note_id))
    desk.store.notes.set_aside(note_id)
    return Reply("Left out. What you said is stored as heard.")


def value_for(field: str, text: str) -> Any | None:
    """A value of the doubt's field said outright (`hive forty`, `six`), or None."""
    words = re.findall(r"[a-z0-9.]+", text.lower())
    found = [s.value for s in numbers.find(words) if not s.ordinal]
    if field in _PLACE_FIELDS:
        sort = next((w.rstrip("s") for w in words if w.rstrip("s") in ("hive", "nuc")), None)
        if sort and len(found) == 1:
            return f"{sort} {found[0]:g}"
        return None
    if field == "text":
        return None
    return found[0] if len(found) == 1 and len(words) <= 3 else None


def tapped(desk: Desk, data: str) -> Reply:
    """A pressed button. A second press finds nothing to do and says so."""
    verb, _, rest = data.partition(":")
    match verb:
        case "s":
            return answers.show_notes(desk, rest)
        case "q":
            return answers.asked_by_button(desk, rest)
        case "c":
            return older_note.tapped(desk, rest)
        case left_over.VERB:
            return left_over.drop(desk, rest)
    first, _, second = rest.partition(":")
    if not first.isdigit():
        raise Refused("That button is of an older version. Say it instead.")
    match verb:
        case "a":
            open_now = [d for d in desk.store.notes.waiting(desk.chat) if d.id == int(first)]
            if not open_now:
                return Reply("That is answered already.")
            return answer(desk, open_now[0], open_now[0].options[int(second)])
        case "y" | "n":
            if desk.store.notes.kept(int(first)).state != "asked":
                return Reply("That is settled already.")
            return confirm(desk, int(first), verb == "y")
        case "u":
            last = desk.store.notes.last(desk.chat)
            if last is None or last.id != int(first):
                return Reply("Only the last note can be taken back by button. Say: scratch that.")
            return undo(desk)
        case "d":
            return reminder_done(desk, desk.store.reminders.get(int(first)))
        case "z":
            return snooze(desk, desk.store.reminders.get(int(first)))
        case _:
            raise Refused("That button is of an older version. Say it instead.")


def reminder_done(desk: Desk, row: ReminderRow | None) -> Reply:
    """What a reminder asked for is done: it is not sent again. Raises NotFound where there is none."""
    if row is None:
        raise NotFound("No reminder is open. Say what you did, and it is kept.")
    desk.store.reminders.mark_done(row.subject, row.step)
    return Reply(f"Done: {row.step}, {row.subject}. To keep counts and dates, say what you did.")


def snooze(desk: Desk, row: ReminderRow | None) -> Reply:
    """Ring again in three hours. Raises NotFound where nothing rang."""
    if row is None:
        raise NotFound("No reminder is open.")
    until = desk.now + _SNOOZE
    desk.store.reminders.snooze(row.id, until)
    local = until.astimezone(desk.settings.operation.zone)
    return Reply(f"I'll ring again at {local:%H:%M}: {row.step}, {row.subject}.")
