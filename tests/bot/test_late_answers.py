"""An answer answers what had been asked when it was spoken, not what was asked while it waited to be uploaded."""

from __future__ import annotations

from datetime import timedelta

import pytest
from yard import Yard

from gloveside.extract.models import Inspection, Reading
from gloveside.storage.reminders import NewReminder

DUE = "2026-11-20"


def unsure_note(yard: Yard) -> int:
    """A note that was read unsurely and waits for a yes or no, without a question about one field."""
    entry = Inspection(on=yard.now.date(), place="hive 4", queen="seen")
    note = yard.store.notes.add(chat="1", user="1", source="note.ogg", spoken_at=yard.now, text="hive four, queen seen")
    yard.store.notes.finish(note, Reading(source="note.ogg", entries=[entry]), yard.now.date(), keep=False)
    return note


def rung_reminder(yard: Yard) -> int:
    """A reminder that has just rung."""
    due = NewReminder("round 1", "slide out", yard.now.date(), "morning", yard.now, "slide out")
    row = yard.store.reminders.add(due)
    yard.store.reminders.mark_reminded(row, yard.store.outbox.queue("1", "text", "slide out"))
    return row


@pytest.mark.parametrize("word", ["yes", "no"])
def test_a_late_answer_leaves_a_question_asked_after_it_open(registered: Yard, word: str) -> None:
    registered.on(DUE, "15:00").say("hive seventy seven is queenright")
    asked = registered.store.notes.waiting("1")
    assert asked
    reply = registered.on(DUE, "15:05").say(word, spoken=registered.now - timedelta(hours=4))
    assert reply == "Nothing is waiting for a yes or no."
    assert registered.store.notes.waiting("1") == asked
    assert not registered.store.entries.find()


@pytest.mark.parametrize("word", ["yes", "no"])
def test_a_late_answer_neither_keeps_nor_drops_a_note_read_after_it(yard: Yard, word: str) -> None:
    note = unsure_note(yard.on(DUE, "15:00"))
    yard.on(DUE, "15:05").say(word, spoken=yard.now - timedelta(hours=4))
    assert yard.store.notes.get(note).state == "asked"


@pytest.mark.parametrize(("word", "state"), [("yes", "kept"), ("no", "dropped")])
def test_an_answer_spoken_in_time_settles_the_note(yard: Yard, word: str, state: str) -> None:
    note = unsure_note(yard.on(DUE, "15:00"))
    yard.on(DUE, "19:00").say(word, spoken=yard.now - timedelta(hours=3, minutes=50))
    assert yard.store.notes.get(note).state == state


@pytest.mark.parametrize("word", ["yes", "done"])
def test_a_late_answer_does_not_answer_a_reminder_that_rang_after_it(yard: Yard, word: str) -> None:
    row = rung_reminder(yard.on(DUE, "15:00"))
    yard.on(DUE, "15:05").say(word, spoken=yard.now - timedelta(hours=4))
    assert yard.store.reminders.get(row).state == "sent"
    yard.say(word)
    assert yard.store.reminders.get(row).state == "done"
