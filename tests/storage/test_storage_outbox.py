"""The outbox: nothing lost, nothing twice, in order within a chat."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from gloveside.storage.store import Store

AT = datetime(2026, 11, 20, 1, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def send(store, now=AT):
    """Send what is due once, as a sender would; returns the texts."""
    sent = []
    for row in store.outbox.due(now):
        assert store.outbox.mark_sending(row.id)
        store.outbox.mark_sent(row.id, f"s{row.id}")
        sent.append(row.text)
    return sent


def test_messages_go_out_in_order_within_a_chat_and_chats_side_by_side(store):
    for chat, text in (("a", "a1"), ("a", "a2"), ("b", "b1"), ("a", "a3")):
        store.outbox.queue(chat, "text", text)
    assert [send(store) for _ in range(4)] == [["a1", "b1"], ["a2"], ["a3"], []]


def test_a_chat_that_must_wait_does_not_hold_up_the_others(store):
    store.outbox.queue("a", "text", "a1")
    store.outbox.queue("a", "text", "a2")
    store.outbox.queue("b", "text", "b1")
    first = store.outbox.due(AT)[0]
    store.outbox.mark_sending(first.id)
    store.outbox.mark_failed(first.id, "429", retry_at=AT + MINUTE)
    assert send(store) == ["b1"]
    assert store.outbox.next_due_at(AT) == AT + MINUTE
    assert send(store, AT + MINUTE) == ["a1"]
    assert send(store, AT + MINUTE) == ["a2"]


def test_a_message_for_later_does_not_hold_up_the_reply(store):
    store.outbox.queue("a", "text", "tomorrow", not_before=AT + timedelta(hours=9))
    store.outbox.queue("a", "text", "now")
    assert send(store) == ["now"]
    assert send(store) == []
    assert send(store, AT + timedelta(hours=9)) == ["tomorrow"]


def test_what_follows_in_a_chat_ends_at_the_first_that_must_wait(store):
    ids = [store.outbox.queue("a", "text", f"a{n}") for n in range(4)]
    store.outbox.queue("b", "text", "b0")
    store.outbox.mark_sending(ids[2])
    store.outbox.mark_failed(ids[2], "429", retry_at=AT + MINUTE)
    assert [row.id for row in store.outbox.following("a", AT)] == ids[:2]
    assert [row.id for row in store.outbox.following("a", AT + MINUTE)] == ids


def test_a_group_with_a_new_number_keeps_its_messages_and_its_leave(store):
    store.people.pair(store.people.new_code("owner"), user="7", name="Ana", chat="7")
    store.people.add_group("-1", "Bees", by="7")
    store.outbox.queue("-1", "text", "a1")
    send(store)
    store.outbox.queue("-1", "text", "a2")
    assert store.outbox.move_chat("-1", "-100") == 1
    store.people.move_group("-1", "-100")
    assert [row.chat for row in store.outbox.due(AT)] == ["-100"]
    assert (store.people.may_speak("7", "-100"), store.people.may_speak("7", "-1")) == (True, False)
    store.people.move_group("-1", "-200")
    assert not store.people.may_speak("7", "-200"), "an old number that was left gives no leave"


def test_a_message_that_can_never_go_out_is_given_up(store):
    row_id = store.outbox.queue("a", "text", "a1")
    store.outbox.queue("a", "text", "a2")
    store.outbox.mark_sending(row_id)
    store.outbox.mark_failed(row_id, "blocked by the user", retry_at=None)
    assert send(store) == ["a2"]
    assert store.outbox.get(row_id).state == "given up"


def test_one_sender_takes_up_a_message(store):
    row_id = store.outbox.queue("a", "text", "a1")
    assert store.outbox.mark_sending(row_id)
    assert not store.outbox.mark_sending(row_id)
    assert store.outbox.due(AT) == []


def test_a_kill_between_send_and_mark_repeats_that_message_only(store, folder, clock):
    first = store.outbox.queue("a", "text", "a1")
    store.outbox.queue("a", "text", "a2")
    store.outbox.mark_sending(first)
    with Store.open(folder, clock) as after:
        assert [row.id for row in after.outbox.recover()] == [first]
        assert send(after) == ["a1"]
        assert send(after) == ["a2"]
        assert after.outbox.get(first).tries == 2


def test_the_same_key_queues_once_even_after_it_was_sent(store):
    first = store.outbox.queue("a", "text", "digest", dedupe_key="digest 2026-11-20")
    send(store)
    assert store.outbox.queue("a", "text", "digest again", dedupe_key="digest 2026-11-20") == first
    assert store.outbox.waiting() == 0


def test_what_hangs_on_a_message_comes_back_as_it_was_queued(store):
    buttons = [[{"text": "Yes", "data": "y:1"}, {"text": "No", "data": "n:1"}]]
    row_id = store.outbox.queue("a", "photo", "chart", attachments=["chart.png"], buttons=buttons, reply_to="7")
    row = store.outbox.get(row_id)
    assert (row.attachments, row.buttons, row.reply_to) == (["chart.png"], buttons, "7")
    store.outbox.mark_sending(row_id)
    store.outbox.mark_sent(row_id, "88")
    assert store.outbox.by_sent_message("a", "88").id == row_id
    assert store.outbox.by_sent_message("b", "88") is None
