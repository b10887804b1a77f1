"""Nobody is heard until paired; strangers cost nothing."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

from bot_api import BotApi, Phone
from chat_under_test import HELPER, OWNER, STRANGER, opus, pair, serving

from gloveside.bot.chat import lines
from gloveside.bot.chat.admission import Admission
from gloveside.bot.chat.rate import RateLimit
from gloveside.storage.store import Store

GROUP = -100_777


async def test_the_code_on_the_console_pairs_the_first_phone(api: BotApi, store: Store) -> None:
    shown: list[str] = []
    async with serving(api, store, show=shown.append) as chat:
        await chat.until(lambda: shown, "a code on the console")
        code = re.search(r"[A-Z2-9]{4}-[A-Z2-9]{4}", shown[0]).group()
        assert "@marrow_hill_bot" in shown[0]
        phone = Phone(api.world, OWNER)
        phone.type(f" {code.lower().replace('-', '')} ")
        await chat.read(phone, "Welcome, Moana. You are paired as owner.")
        phone.type("hive 12 is queenright")
        await chat.read(phone, "kept: hive 12 is queenright")
    assert [p.role for p in store.people.all()] == ["owner"]


async def test_a_code_works_once(api: BotApi, store: Store, owner: Phone) -> None:
    code = store.people.new_code("helper")
    first, second = Phone(api.world, HELPER, "Tama"), Phone(api.world, STRANGER, "Someone")
    async with serving(api, store) as chat:
        first.type(f"/start {code}")
        await chat.read(first, "paired as helper")
        second.type(code)
        await chat.read(second, "That code is not right")
    assert store.people.get(str(STRANGER)) is None


async def test_guessing_codes_is_stopped(api: BotApi, store: Store, owner: Phone) -> None:
    stranger = Phone(api.world, STRANGER)
    async with serving(api, store) as chat:
        for n in range(7):
            stranger.type(f"ABCD-EFG{n + 2}")
        await chat.read(stranger, "Too many wrong codes")
    assert store.people.get(str(STRANGER)) is None
    assert len(store.file.rows("SELECT * FROM pairing_tries")) == 5


async def test_a_stranger_gets_one_polite_line_and_nothing_is_fetched_or_kept(
    api: BotApi, store: Store, owner: Phone
) -> None:
    stranger = Phone(api.world, STRANGER)
    async with serving(api, store) as chat:
        for _ in range(5):
            stranger.voice(opus(0.2))
            stranger.type("hive 12 is queenless")
        await chat.read(stranger, lines.STRANGER)
        owner.type("hello")
        await chat.read(owner, "kept: hello")
    assert [s.text for s in stranger.inbox] == [lines.STRANGER]
    assert api.world.downloads == {}
    assert chat.world.count("getFile") == 0
    assert [h.user for h in chat.talk.heard] == [OWNER]
    assert len(store.file.rows("SELECT * FROM intake")) == 1


async def test_a_strangers_taps_and_edits_are_ignored(api: BotApi, store: Store, owner: Phone) -> None:
    stranger = Phone(api.world, STRANGER)
    async with serving(api, store) as chat:
        owner.type("hello")
        sent = await chat.read(owner, "kept: hello")
        query = stranger.tap(sent, "d:1")
        said = stranger.type("one")
        stranger.edit(said, "two")
        owner.type("bye")
        await chat.read(owner, "kept: bye")
    assert query not in api.world.answered
    assert {h.user for h in chat.talk.heard} == {OWNER}


def test_crowds_of_strangers_are_answered_so_many_an_hour(store: Store) -> None:
    gate, now = Admission(store), datetime.now(UTC)
    batch = [_message(n, user=10_000 + n, text="hello") for n in range(1, 101)]
    gate.admit(batch, now)
    assert store.outbox.waiting() == 30
    gate.admit([_message(200, user=20_000, text="hello")], now + timedelta(minutes=61))
    assert store.outbox.waiting() == 31


async def test_a_group_is_heard_only_when_an_owner_lets_it_in(api: BotApi, store: Store, owner: Phone) -> None:
    pair(store, HELPER, "helper", "Tama")
    owner_there = Phone(api.world, OWNER, chat=GROUP)
    helper_there = Phone(api.world, HELPER, "Tama", chat=GROUP)
    stranger_there = Phone(api.world, STRANGER, "Someone", chat=GROUP)
    async with serving(api, store) as chat:
        helper_there.type("hive 3 is queenless")
        helper_there.type("/pair")
        await chat.read(helper_there, lines.GROUP_OWNER_ONLY)
        owner_there.type("/pair@marrow_hill_bot")
        await chat.read(owner_there, "Listening here")
        helper_there.type("hive 4 is queenright")
        stranger_there.type("hive 5 is mine")
        await chat.read(helper_there, "kept: hive 4 is queenright")
    assert [(h.chat, h.user, h.text) for h in chat.talk.heard] == [(GROUP, HELPER, "hive 4 is queenright")]


async def test_a_group_that_moves_keeps_its_permission_and_its_messages(
    api: BotApi, store: Store, owner: Phone
) -> None:
    old, new = -4_000, -100_4000
    there = Phone(api.world, OWNER, chat=old)
    async with serving(api, store) as chat:
        there.type("/pair")
        await chat.read(there, "Listening here")
        api.world.migrated[old] = new
        api.world.chats[new] = {"id": new, "type": "supergroup", "title": "Yard"}
        store.outbox.queue(str(old), "text", "for the group")
        await chat.until(lambda: [s.text for s in api.world.to(new)] == ["for the group"], "the message")
        Phone(api.world, OWNER, chat=new).type("still here")
        await chat.until(lambda: any("kept: still here" in s.text for s in api.world.to(new)), "an answer")


async def test_commands_stand_for_what_is_said_and_foreign_ones_are_left_alone(
    api: BotApi, store: Store, owner: Phone
) -> None:
    async with serving(api, store) as chat:
        owner.type("/due@another_bot")
        owner.type("/undo")
        owner.type("/help")
        await chat.read(owner, "Speak a voice note at the hive")
        await chat.read(owner, "kept: scratch that")
    assert [h.text for h in chat.talk.heard] == ["scratch that"]
    assert {c["command"] for c in api.world.commands} == {"due", "undo", "chart", "calendar", "tables", "help"}


async def test_too_large_and_too_long_are_declined_before_any_download(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        owner.voice(b"OggS", seconds=30, size=21_000_000)
        await chat.read(owner, "This recording has 21 MB")
        owner.voice(b"OggS", seconds=5400, size=900_000)
        answer = await chat.read(owner, "lasts 90 minutes")
    assert "take-in FOLDER" in answer.text
    assert chat.world.count("getFile") == 0
    assert chat.talk.heard == []


def test_one_person_cannot_flood_the_record(store: Store) -> None:
    pair(store, OWNER)
    gate, now = Admission(store, rate=RateLimit(burst=10, a_second=1.0)), datetime.now(UTC)
    result = gate.admit([_message(n, user=OWNER, text=f"note {n}") for n in range(1, 16)], now)
    assert result.new == 10
    texts = [row["text"] for row in store.file.rows("SELECT text FROM outbox")]
    assert texts == [lines.TOO_MUCH]
    later = gate.admit([_message(50, user=OWNER, text="later")], now + timedelta(seconds=2))
    assert later.new == 1


def _message(number: int, user: int, text: str) -> dict[str, object]:
    person = {"id": user, "is_bot": False, "first_name": "A"}
    chat = {"id": user, "type": "private", "first_name": "A"}
    body = {"message_id": number, "date": 1_790_000_000, "chat": chat, "from": person, "text": text}
    return {"update_id": number, "message": body}
