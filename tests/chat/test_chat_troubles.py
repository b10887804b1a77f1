"""What goes wrong between the phone and the record, and that nothing is lost by it."""

from __future__ import annotations

import asyncio
import logging
import threading
from datetime import timedelta
from pathlib import Path

import pytest
import telegram
from bot_api import BotApi, Fault, Phone
from chat_under_test import HELPER, PlainConversation, opus, pair, serving

from gloveside.bot.chat.admission import Admission
from gloveside.bot.chat.only_one import AlreadyServing, only_one
from gloveside.bot.chat.polling import SECOND_COPY
from gloveside.storage.errors import StoreError
from gloveside.storage.store import Store


async def test_an_update_is_confirmed_only_after_it_is_in_the_record(
    api: BotApi, store: Store, owner: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The offset moves after the commit: at each getUpdates call everything below its offset is a row already."""
    checked: list[int] = []
    original = api.world.pending

    def pending(offset: int, limit: int) -> list[dict[str, object]]:
        if offset > 0:
            rows = store.file.rows("SELECT update_id FROM intake WHERE update_id < ?", [offset])
            confirmed = [u["update_id"] for u in api.world.updates if u["update_id"] < offset]
            assert set(confirmed) <= {row["update_id"] for row in rows}
            checked.extend(confirmed)
        return original(offset, limit)

    monkeypatch.setattr(api.world, "pending", pending)
    async with serving(api, store) as chat:
        for n in range(20):
            owner.type(f"note {n}")
        await chat.until(lambda: len(checked) >= 20, "all to be confirmed")


async def test_when_the_record_cannot_be_written_nothing_is_confirmed_and_all_comes_again(
    api: BotApi, store: Store, owner: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    full = threading.Event()
    full.set()
    original = Admission.admit

    def admit(self: Admission, *arguments: object) -> object:
        if full.is_set():
            raise StoreError("The disk is full.")
        return original(self, *arguments)

    monkeypatch.setattr(Admission, "admit", admit)
    async with serving(api, store) as chat:
        owner.type("hive 12 is queenright")
        await chat.until(lambda: chat.world.count("getUpdates") >= 2, "a second try")
        assert chat.world.confirmed == 0
        full.clear()
        await chat.read(owner, "kept: hive 12 is queenright")


async def test_an_update_that_comes_again_changes_nothing(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        owner.type("once")
        await chat.read(owner, "kept: once")
        again = dict(api.world.messages[owner.chat, 1])
        chat.world.push("message", again)  # the same message under another update id
        owner.type("next")
        await chat.read(owner, "kept: next")
    assert [h.text for h in chat.talk.heard] == ["once", "next"]


async def test_an_update_that_makes_no_sense_does_not_block_the_next(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        chat.world.push_raw({"message": {"message_id": "x", "chat": 7}})
        chat.world.push_raw({"message": None, "callback_query": []})
        owner.type("after it")
        await chat.read(owner, "kept: after it")


async def test_a_429_holds_up_its_own_chat_only(api: BotApi, store: Store, owner: Phone) -> None:
    pair(store, HELPER, "helper", "Tama")
    helper = Phone(api.world, HELPER, "Tama")
    async with serving(api, store) as chat:
        api.faults.plan("sendmessage", Fault("429", 3))
        owner.type("mine")
        await chat.until(lambda: api.faults.count.get("429"), "the refusal")
        helper.type("theirs")
        theirs = await chat.read(helper, "kept: theirs", deadline=2.5)
        mine = await chat.read(owner, "kept: mine")
    assert mine.at > theirs.at


async def test_a_burst_in_one_chat_does_not_hold_up_another(api: BotApi, store: Store, owner: Phone) -> None:
    pair(store, HELPER, "helper", "Tama")
    helper = Phone(api.world, HELPER, "Tama")
    async with serving(api, store) as chat:
        chat.talk.gate = threading.Event()
        for _ in range(8):
            owner.voice(opus(0.2))
        await chat.until(lambda: chat.talk.heard, "the first to be in work")
        helper.voice(opus(0.2))
        await chat.until(lambda: len(store.intake.pending()) == 9, "all in the record")
        chat.talk.gate.set()
        await chat.until(lambda: len(chat.talk.heard) == 9, "all to be heard")
    assert [h.user for h in chat.talk.heard].index(HELPER) <= 2


async def test_after_hours_without_a_network_everything_goes_out_in_order(
    api: BotApi, store: Store, owner: Phone
) -> None:
    async with serving(api, store) as chat:
        chat.talk.gate = threading.Event()
        owner.voice(opus(0.2))
        await chat.until(lambda: chat.talk.heard, "the note to be in work")
        for n in range(12):
            owner.type(f"note {n}")
        await chat.until(lambda: len(store.intake.pending()) == 13, "all notes in the record")
        api.down = True
        chat.talk.gate.set()
        await chat.until(lambda: len(chat.talk.heard) == 13, "the work to go on")
        assert owner.inbox == []
        store.file.clock.ahead += timedelta(hours=5)
        api.down = False
        await chat.until(lambda: store.outbox.waiting() == 0, "the outbox to empty", deadline=20)
    told = [line for s in owner.inbox for line in s.text.splitlines() if line]
    assert told == [f"kept: a recording of {len(opus(0.2))} bytes", *(f"kept: note {n}" for n in range(12))]


async def test_a_download_that_fails_is_tried_again_and_keeps_its_place(
    api: BotApi, store: Store, owner: Phone
) -> None:
    api.faults.plan("file", Fault("500"), Fault("drop"), Fault("429", 1))
    async with serving(api, store) as chat:
        owner.voice(opus(0.2))
        owner.type("after the note")
        await chat.read(owner, "kept: after the note", deadline=20)
    assert [h.audio is not None for h in chat.talk.heard] == [True, False]
    assert store.intake.get(1).tries == 1, "a network failure is no failed try"


async def test_a_slow_body_is_waited_for(api: BotApi, store: Store, owner: Phone) -> None:
    api.faults.plan("file", Fault("slow", 1.5))
    api.faults.plan("getupdates", Fault("slow", 1.0))
    api.faults.plan("sendmessage", Fault("slow", 1.0))
    async with serving(api, store) as chat:
        owner.voice(opus(0.2))
        await chat.read(owner, "a recording", deadline=15)
        await chat.until(lambda: store.outbox.waiting() == 0, "the mark")
    assert len(owner.inbox) == 1


async def test_a_lost_answer_is_the_only_way_to_a_repeat_while_running(api: BotApi, store: Store, owner: Phone) -> None:
    api.faults.plan("sendmessage", Fault("lost answer"))
    async with serving(api, store) as chat:
        owner.type("note")
        await chat.until(lambda: len(owner.inbox) == 2, "the repeat")
        await chat.until(lambda: store.outbox.waiting() == 0, "the mark")
    assert [s.text for s in owner.inbox] == ["kept: note", "kept: note"]


async def test_a_recording_that_is_gone_is_said_and_does_not_block(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        owner.voice(opus(0.2))
        chat.world.files.clear()
        owner.type("next")
        await chat.read(owner, "will not hand over this recording")
        await chat.read(owner, "kept: next")


async def test_a_mark_that_cannot_be_written_is_tried_on_and_nothing_goes_out_twice(
    api: BotApi, store: Store, owner: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    failures = iter([True, True, False, False, False])
    original = store.outbox.mark_sent

    def mark_sent(outbox_id: int, message_id: str | None = None) -> None:
        if next(failures):
            raise StoreError("The disk is full.")
        original(outbox_id, message_id)

    monkeypatch.setattr(store.outbox, "mark_sent", mark_sent)
    async with serving(api, store) as chat:
        owner.type("one")
        await chat.read(owner, "kept: one")
        owner.type("two")
        await chat.read(owner, "kept: two")
    assert [s.text for s in owner.inbox] == ["kept: one", "kept: two"]


async def test_a_blocked_chat_is_given_up_and_others_go_on(api: BotApi, store: Store, owner: Phone) -> None:
    pair(store, HELPER, "helper", "Tama")
    helper = Phone(api.world, HELPER, "Tama")
    async with serving(api, store) as chat:
        api.world.blocked.add(helper.chat)
        helper.type("one")
        owner.type("two")
        await chat.read(owner, "kept: two")
        await chat.until(lambda: store.outbox.waiting() == 0, "the outbox to empty")
    states = {row["chat"]: row["state"] for row in store.file.rows("SELECT chat, state FROM outbox")}
    assert states == {str(owner.chat): "sent", str(helper.chat): "given up"}


async def test_a_missing_file_or_a_strange_chat_does_not_hold_up_the_outbox(
    api: BotApi, store: Store, owner: Phone
) -> None:
    chat_id = str(owner.chat)
    store.outbox.queue(chat_id, "photo", attachments=[{"file": "gone.png", "name": "gone.png"}])
    store.outbox.queue("the console", "text", "hello")
    store.outbox.queue(chat_id, "text", "behind them")
    async with serving(api, store) as chat:
        await chat.read(owner, "behind them")
        await chat.until(lambda: store.outbox.waiting() == 0, "the outbox to empty")


async def test_a_second_copy_gives_one_clear_line(
    api: BotApi, store: Store, owner: Phone, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.INFO)
    async with serving(api, store) as chat, telegram.Bot(api.token, base_url=f"{api.base_url}/bot") as other:
        for _ in range(3):
            await chat.until(lambda: api._poll is not None, "our poll")
            before = sum(c.code == 409 for c in chat.world.calls)
            await other.get_updates(timeout=0)
            rival = asyncio.create_task(other.get_updates(timeout=1))
            await chat.until(lambda before=before: sum(c.code == 409 for c in chat.world.calls) > before, "a conflict")
            await asyncio.gather(rival, return_exceptions=True)
        owner.type("still here")
        await chat.read(owner, "kept: still here")
    lines = [r for r in caplog.records if r.levelno >= logging.ERROR]
    assert {r.getMessage() for r in lines} == {SECOND_COPY}
    assert all(r.exc_info is None for r in lines)
    assert len(lines) <= 3


def test_two_services_on_one_folder_are_refused(tmp_path: Path) -> None:
    with only_one(tmp_path), pytest.raises(AlreadyServing, match="already serves"), only_one(tmp_path):
        pass
    with only_one(tmp_path):
        pass


async def test_what_was_in_work_at_the_end_is_taken_up_again(api: BotApi, store: Store, owner: Phone) -> None:
    """The process ends (here: is cancelled) while a note is heard; the next start hears it again and answers once."""
    from dataclasses import replace

    from chat_under_test import QUICK

    from gloveside.bot.chat.service import Tuning

    hasty: Tuning = replace(QUICK, stop_within=0.05)
    stuck = PlainConversation(store)
    stuck.gate = threading.Event()
    async with serving(api, store, hasty, conversation=stuck) as chat:
        owner.voice(opus(0.2))
        owner.type("behind it")
        await chat.until(lambda: stuck.heard, "the note to be in work")
    assert [row.state for row in store.intake.pending()] == ["working", "new"]
    async with serving(api, store) as chat:
        await chat.read(owner, "kept: behind it")
    stuck.gate.set()
    assert [h.audio is not None for h in chat.talk.heard] == [True, False]
    assert len([s for s in owner.inbox if "a recording" in s.text]) == 1


async def test_a_clean_stop_finishes_the_note_in_hand(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        chat.talk.gate = threading.Event()
        owner.voice(opus(0.2))
        await chat.until(lambda: chat.talk.heard, "the note to be in work")
        chat.service.stop()
        chat.talk.gate.set()
        await asyncio.wait_for(chat.task, 10)
    assert store.intake.get(1).state == "done"
    assert chat.world.confirmed == store.intake.get(1).update_id


async def test_a_message_on_its_way_at_a_kill_goes_out_again_and_is_counted(
    api: BotApi, store: Store, owner: Phone, caplog: pytest.LogCaptureFixture
) -> None:
    number = store.outbox.queue(str(owner.chat), "text", "maybe sent")
    store.outbox.mark_sending(number)
    caplog.set_level(logging.WARNING)
    async with serving(api, store) as chat:
        await chat.read(owner, "maybe sent")
        await chat.until(lambda: store.outbox.waiting() == 0, "the mark")
    assert any("may arrive twice" in r.getMessage() for r in caplog.records)
