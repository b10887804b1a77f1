"""The inbox: every update once, in the order of its chat, and never given up by a crash."""

# ruff: noqa: PT012 - a unit of work that fails half-way is the thing tested.
from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from gloveside.storage.errors import NotFound
from gloveside.storage.intake import ENDS_BEFORE_WAITING, TRIES_BEFORE_POISON
from gloveside.storage.store import Store

AT = datetime(2026, 11, 20, 1, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def arrive(store, update_id, message_id, chat="c", kind="voice", **more):
    return store.intake.take_in(
        update_id=update_id, chat=chat, message_id=message_id, user="u", sent_at=AT, kind=kind, **more
    )


def test_a_redelivered_update_changes_nothing(store):
    assert arrive(store, 1, "10", file_id="f", payload={"a": 1})
    assert not arrive(store, 1, "10", file_id="f")
    assert not arrive(store, 2, "10"), "the same message under another update id"
    assert not arrive(store, 1, "11"), "the same update id with another message"
    (row,) = store.intake.pending()
    assert (row.file_id, row.payload, row.sent_at, row.state) == ("f", {"a": 1}, AT, "new")
    assert store.intake.last_update_id() == 1


def test_an_edit_is_another_update_of_the_same_message_once(store):
    assert arrive(store, 1, "10")
    assert arrive(store, 2, "10", edited_at=AT + MINUTE)
    assert not arrive(store, 3, "10", edited_at=AT + MINUTE)
    assert arrive(store, 4, "10", edited_at=AT + 2 * MINUTE)


def test_two_presses_of_one_button_both_come_in(store):
    assert arrive(store, 1, "10", kind="callback")
    assert arrive(store, 2, "10", kind="callback")
    assert not arrive(store, 2, "10", kind="callback")


def test_the_same_message_number_in_two_chats_is_two_messages(store):
    assert arrive(store, 1, "10", chat="a")
    assert arrive(store, 2, "10", chat="b")


def test_each_update_is_claimed_once_and_in_the_order_of_its_chat(store):
    for n, chat in enumerate(["a", "a", "b"]):
        arrive(store, n, str(n), chat=chat)
    first, second = store.intake.claim(AT), store.intake.claim(AT)
    assert (first.update_id, second.update_id) == (0, 2), "the second of chat a waits for the first"
    assert store.intake.claim(AT) is None
    store.intake.mark_done(first.id)
    assert store.intake.claim(AT).update_id == 1


def test_quick_kinds_can_be_worked_on_while_voice_notes_wait(store):
    arrive(store, 1, "1", kind="voice")
    arrive(store, 2, "2", kind="text")
    voice = store.intake.claim(AT)
    assert voice.kind == "voice"
    assert store.intake.claim(AT) is None
    assert store.intake.claim(AT, exclude_kinds=("voice",)).kind == "text"


def test_what_was_in_work_at_a_crash_is_picked_up_again(store, folder, clock):
    arrive(store, 1, "1")
    store.intake.claim(AT)
    with Store.open(folder, clock) as after:
        assert after.intake.claim(AT) is None
        assert [row.state for row in after.intake.recover()] == ["new"]
        assert after.intake.claim(AT).tries == 2


def test_a_message_that_takes_the_work_down_again_and_again_lets_others_pass_and_is_never_given_up(store):
    arrive(store, 1, "1")
    arrive(store, 2, "2")
    for _ in range(ENDS_BEFORE_WAITING - 1):
        store.intake.claim(AT)
        store.intake.recover()
    assert store.intake.claim(AT).update_id == 1
    store.intake.recover()
    assert store.intake.claim(AT).update_id == 2
    assert store.intake.poison() == []
    later = store.file.clock() + timedelta(minutes=2)
    assert store.intake.claim(later).update_id == 1


def test_failures_are_retried_later_and_then_set_aside(store):
    arrive(store, 1, "1")
    later = AT + MINUTE
    for attempt in range(TRIES_BEFORE_POISON):
        row = store.intake.claim(later)
        again = store.intake.mark_failed(row.id, "no sound", retry_at=later)
        assert again is (attempt < TRIES_BEFORE_POISON - 1)
        assert store.intake.claim(AT) is None
    assert store.intake.poison()[0].error == "no sound"


def test_waiting_for_the_network_costs_no_try(store):
    arrive(store, 1, "1")
    for _ in range(TRIES_BEFORE_POISON + 3):
        row = store.intake.claim(AT)
        store.intake.wait(row.id, "no network", AT)
    assert store.intake.claim(AT).tries == 1


def test_done_work_and_its_reply_are_one_unit(store):
    arrive(store, 1, "1")
    row = store.intake.claim(AT)
    with pytest.raises(RuntimeError), store.together():
        store.outbox.queue("c", "text", "Kept")
        store.intake.mark_done(row.id)
        raise RuntimeError
    assert store.intake.get(row.id).state == "working"
    assert store.outbox.waiting() == 0
    with pytest.raises(NotFound):
        store.intake.mark_done(99)
