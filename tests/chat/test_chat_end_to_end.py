"""The whole line: a voice note posted to the Bot API comes back as a reply with the dates."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from bot_api import BotApi, Phone
from chat_under_test import OWNER, QUICK, Running, pair

from gloveside.bot.chat.start import service_for
from gloveside.bot.settings import Settings
from gloveside.bot.wiring import Workshop

NOTES = Path(__file__).parents[2] / "fixtures" / "season"
NOW = datetime(2026, 11, 20, 3, 0, tzinfo=UTC)
"""Fri 20 Nov 2026, 16:00 in Auckland."""


@pytest.fixture
async def line(api: BotApi, tmp_path: Path) -> AsyncIterator[Running]:
    """The operation's own service, with a paired owner."""
    with Workshop(tmp_path / "home", Settings()) as workshop:
        pair(workshop.store, OWNER)
        service = service_for(workshop, api.token, show=lambda _line: None, tuning=QUICK)
        service.base_url = api.base_url
        task = asyncio.create_task(service.run())
        await asyncio.wait_for(service.ready.wait(), 20)
        try:
            yield Running(api, service, workshop.conversation, task)
        finally:
            service.stop()
            await asyncio.wait_for(asyncio.gather(task, return_exceptions=True), 60)


async def test_a_typed_graft_comes_back_with_its_dates_and_reminders(line: Running, api: BotApi) -> None:
    phone = Phone(api.world, OWNER)
    said = "grafted forty larvae into hive seven from hive twenty one, two bars of twenty"
    phone.type(said, date=int(NOW.timestamp()))
    answer = await line.read(phone, "round 1", deadline=60)
    store = line.store
    (kept,) = store.entries.find(kind="graft")
    assert kept.entry.place == "hive 7"
    assert kept.entry.larvae == 40
    assert kept.entry.round == 1
    # Ripe on the tenth day after the graft (Buchler et al. 2013, J. Apic. Res. 52(1), table of queen rearing dates).
    assert "29 Nov" in answer.text, answer.text
    assert "30 Nov" in answer.text, answer.text
    assert {r.step for r in store.reminders.of("round 1")} >= {"splits", "plant"}


async def test_an_order_by_voice_words_takes_the_last_note_back(line: Running, api: BotApi) -> None:
    phone = Phone(api.world, OWNER)
    phone.type("hive twelve is queenright, eight frames of brood")
    first = await line.read(phone, "ive 12", deadline=60)
    phone.type("scratch that")
    await line.read(phone, "Taken back", after=first.message_id, deadline=60)
    assert line.store.entries.find(kind="inspection") == []


@pytest.mark.audio
async def test_a_real_voice_note_is_heard_kept_and_answered(line: Running, api: BotApi) -> None:
    sound = sorted(NOTES.glob("note-*.ogg"))[0]
    phone = Phone(api.world, OWNER)
    phone.voice(sound)
    await line.until(lambda: phone.inbox and line.store.outbox.waiting() == 0, "an answer", deadline=120)
    (note,) = line.store.file.rows("SELECT state, audio_sha256, engine FROM notes")
    assert note["engine"].startswith("whisper")
    assert note["state"] in ("kept", "asked")
    assert line.store.audio.path(note["audio_sha256"]).read_bytes() == sound.read_bytes()
