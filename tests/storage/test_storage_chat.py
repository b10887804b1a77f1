"""Inbox, outbox, reminders and people: nothing lost, nothing twice, in order, and only from those who may speak."""

# ruff: noqa: PT012 - a unit of work that fails half-way is the thing tested.
from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from gloveside.storage.errors import NotFound, Refused
from gloveside.storage.intake import ENDS_BEFORE_WAITING, TRIES_BEFORE_POISON
from gloveside.storage.people import TRIES_IN_AN_HOUR
from gloveside.storage.reminders import NewReminder
from gloveside.storage.store import Store

AT = datetime(2026, 11, 20, 1, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def arrive(store, update_id, message_id, chat="c", kind="voice", **more):
    return store.intake.take_in(
        update_id=update_id, chat=chat, message_id=message_id, user="u", sent_at=AT, kind=kind, **more
    )


# -- inbox -----------------------------------------------------------------------------------------------


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


# -- outbox ----------------------------------------------------------------------------------------------


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


# -- reminders -------------------------------------------------------------------------------------------


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


# -- people ----------------------------------------------------------------------------------------------


def test_nobody_may_speak_until_paired_by_a_code_that_works_once(store):
    assert not store.people.may_speak("7", "7")
    code = store.people.new_code("owner")
    owner = store.people.pair(f" {code.lower()} ", user="7", name="Ana", chat="7")
    assert (owner.role, owner.name) == ("owner", "Ana")
    assert store.people.may_speak("7", "7")
    assert store.people.pair(code, user="8", name="Ben", chat="8") is None
    assert store.people.get("8") is None


def test_a_code_gets_too_old(store, clock):
    code = store.people.new_code("helper", timedelta(minutes=15))
    clock.move(minutes=16)
    assert store.people.pair(code, user="8", name="Ben", chat="8") is None


def test_the_code_is_nowhere_in_the_file(store, folder):
    code = store.people.new_code()
    store.file.rows("SELECT 1")
    content = b"".join(path.read_bytes() for path in folder.glob("gloveside.db*"))
    assert code.replace("-", "").encode() not in content
    assert code.encode() not in content


def test_guessing_is_stopped_for_an_hour_for_that_user_only(store, clock):
    code = store.people.new_code(valid_for=timedelta(hours=3))
    for _ in range(TRIES_IN_AN_HOUR):
        assert store.people.pair("AAAA-AAAA", user="9", name="x", chat="9") is None
    with pytest.raises(Refused, match="Wait an hour"):
        store.people.pair(code, user="9", name="x", chat="9")
    clock.move(minutes=61)
    assert store.people.pair(code, user="9", name="x", chat="9").user == "9"


def test_groups_are_opened_by_an_owner_for_paired_people_only(store):
    store.people.pair(store.people.new_code("owner"), user="7", name="Ana", chat="7")
    store.people.pair(store.people.new_code("helper"), user="8", name="Ben", chat="8")
    assert not store.people.may_speak("7", "-100")
    with pytest.raises(Refused, match="Only an owner"):
        store.people.add_group("-100", "Bees", by="8")
    store.people.add_group("-100", "Bees", by="7")
    assert store.people.may_speak("8", "-100")
    assert not store.people.may_speak("9", "-100")
    assert [g.title for g in store.people.groups()] == ["Bees"]
    store.people.remove_group("-100")
    assert not store.people.may_speak("8", "-100")


def test_somebody_removed_may_not_speak_and_the_last_owner_stays(store):
    store.people.pair(store.people.new_code("owner"), user="7", name="Ana", chat="7")
    store.people.pair(store.people.new_code("helper"), user="8", name="Ben", chat="8")
    store.people.remove("8")
    assert not store.people.may_speak("8", "8")
    with pytest.raises(Refused, match="last owner"):
        store.people.remove("7")
    with pytest.raises(NotFound):
        store.people.remove("8")
    assert [p.user for p in store.people.all()] == ["7"]


def test_settings_chosen_in_the_chat_keep_their_history(store):
    assert store.settings.get("quiet_from", "21:00") == "21:00"
    store.settings.put("quiet_from", "20:00", by="7")
    store.settings.put("quiet_from", "22:30", by="8")
    store.settings.put("digest", False, by="7")
    assert store.settings.get("quiet_from") == "22:30"
    assert store.settings.all() == {"quiet_from": "22:30", "digest": False}
    assert [(by, value) for _, by, value in store.settings.history("quiet_from")] == [("7", "20:00"), ("8", "22:30")]
