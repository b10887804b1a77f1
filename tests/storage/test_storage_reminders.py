"""Reminders: each rings once, moves with its round, and is silent once done."""

# ruff: noqa: PT012 - a unit of work that fails half-way is the thing tested.
from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from gloveside.storage.reminders import NewReminder

AT = datetime(2026, 11, 20, 1, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def reminder(step="splits", on=date(2026, 11, 29), moment="evening before", due=AT, subject="round 3"):
    return NewReminder(subject=subject, step=step, step_date=on, moment=moment, due_at=due, text=f"{step} {on}")


def ring(store, now):
    """What the tick of the conversation does; returns the texts queued."""
    rung = []
    for row in store.reminders.due(now):
        with store.together():
            outbox = store.outbox.queue("c", "text", row.text)
            assert store.reminders.mark_reminded(row.id, outbox)
        rung.append((row.step, row.moment))
    return rung


def test_each_reminder_rings_once(store):
    store.reminders.add(reminder())
    store.reminders.add(reminder())
    assert ring(store, AT - MINUTE) == []
    assert ring(store, AT) == [("splits", "evening before")]
    assert ring(store, AT + MINUTE) == []
    store.reminders.replace_round(3, [reminder()])
    assert ring(store, AT + MINUTE) == []


def test_a_crash_between_message_and_mark_leaves_neither(store):
    store.reminders.add(reminder())
    row = store.reminders.due(AT)[0]
    with pytest.raises(RuntimeError), store.together():
        store.reminders.mark_reminded(row.id, store.outbox.queue("c", "text", "x"))
        raise RuntimeError
    assert store.outbox.waiting() == 0
    assert ring(store, AT) == [("splits", "evening before")]
    assert [r.id for r in store.reminders.by_outbox(store.reminders.get(row.id).outbox_id)] == [row.id]


def test_a_moved_round_drops_what_waits_and_rings_on_the_new_date(store):
    store.reminders.replace_round(3, [reminder(due=AT), reminder(moment="morning", due=AT + 10 * MINUTE)])
    ring(store, AT)
    moved = [
        reminder(on=date(2026, 11, 30), due=AT + timedelta(days=1)),
        reminder(on=date(2026, 11, 30), moment="morning", due=AT + timedelta(days=1, minutes=10)),
    ]
    store.reminders.replace_round(3, moved)
    assert ring(store, AT + timedelta(hours=1)) == []
    assert ring(store, AT + timedelta(days=2)) == [("splits", "evening before"), ("splits", "morning")]
    states = [(r.step_date.day, r.moment, r.state) for r in store.reminders.of("round 3")]
    assert states == [
        (29, "evening before", "sent"),
        (29, "morning", "dropped"),
        (30, "evening before", "sent"),
        (30, "morning", "sent"),
    ]


def test_a_round_moved_back_rings_again_only_what_never_rang(store):
    store.reminders.replace_round(3, [reminder(), reminder(moment="morning", due=AT + MINUTE)])
    ring(store, AT)
    store.reminders.replace_round(3, [])
    store.reminders.replace_round(3, [reminder(), reminder(moment="morning", due=AT + MINUTE)])
    assert ring(store, AT + MINUTE) == [("splits", "morning")]


def test_rows_of_another_subject_are_refused(store):
    with pytest.raises(ValueError, match="round 4"):
        store.reminders.replace_round(4, [reminder()])


def test_done_silences_a_step_for_good_and_leaves_the_others(store):
    store.reminders.replace_round(3, [reminder(), reminder(moment="morning"), reminder(step="plant")])
    assert store.reminders.mark_done("round 3", "splits") == 2
    assert ring(store, AT) == [("plant", "evening before")]
    store.reminders.replace_round(3, [reminder(), reminder(step="plant")])
    assert ring(store, AT) == []


def test_a_done_step_stays_silent_when_its_round_moves_and_comes_back_when_it_was_not_done(store):
    store.reminders.replace_round(3, [reminder(), reminder(moment="morning", due=AT + MINUTE)])
    ring(store, AT)
    store.reminders.mark_done("round 3", "splits")
    store.reminders.replace_round(3, [reminder(on=date(2026, 11, 30))])
    assert ring(store, AT + MINUTE) == []
    assert store.reminders.reopen("round 3", "splits") == 1
    assert ring(store, AT + MINUTE) == [("splits", "morning")]


def test_snooze_rings_again_later_once_and_survives_a_move_of_the_round(store):
    store.reminders.replace_round(3, [reminder()])
    ring(store, AT)
    (row,) = store.reminders.of("round 3")
    store.reminders.snooze(row.id, AT + 30 * MINUTE)
    store.reminders.replace_round(3, [reminder(on=date(2026, 12, 5), due=AT + timedelta(days=5))])
    assert ring(store, AT + 29 * MINUTE) == []
    assert ring(store, AT + 30 * MINUTE) == [("splits", "evening before")]
    assert ring(store, AT + 60 * MINUTE) == []
    assert store.reminders.get(row.id).times_sent == 2
    store.reminders.mark_done("round 3", "splits")
    store.reminders.snooze(row.id, AT)
    assert ring(store, AT) == []


def test_a_dropped_subject_is_silent_and_the_rest_is_listed_by_date(store):
    store.reminders.add(reminder())
    store.reminders.add(reminder(subject="task 4", on=date(2026, 11, 28)))
    store.reminders.drop("round 3")
    span = date(2026, 11, 1), date(2026, 11, 30)
    assert [r.subject for r in store.reminders.between(*span)] == ["task 4"]
    assert store.reminders.next_due_at() == AT
    assert ring(store, AT) == [("splits", "evening before")]
    assert store.reminders.next_due_at() is None
