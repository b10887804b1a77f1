"""The loopback service answers as the real one: checked with the real client, so that the other tests mean something.

Published: core.telegram.org/bots/api (limits of text, caption, callback data and downloads; getUpdates and its offset;
ResponseParameters) and core.telegram.org/bots/faq (rates). Wording of refusals: from memory.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator
from datetime import timedelta

import pytest
import telegram
from bot_api import BotApi, Fault, Phone
from bot_api.server import Flood
from telegram.error import BadRequest, Conflict, Forbidden, InvalidToken, NetworkError, RetryAfter

pytestmark = pytest.mark.published


@pytest.fixture
async def bot(api: BotApi) -> AsyncIterator[telegram.Bot]:
    made = telegram.Bot(api.token, base_url=f"{api.base_url}/bot", base_file_url=f"{api.base_url}/file/bot")
    async with made:
        yield made


@pytest.fixture
def phone(api: BotApi) -> Phone:
    return Phone(api.world, 501)


async def test_updates_come_until_confirmed_by_a_higher_offset(bot: telegram.Bot, phone: Phone) -> None:
    phone.type("one")
    phone.type("two")
    first = await bot.get_updates(timeout=1)
    again = await bot.get_updates(timeout=1)
    assert [u.message.text for u in first] == [u.message.text for u in again] == ["one", "two"]
    rest = await bot.get_updates(offset=first[0].update_id + 1, timeout=1)
    assert [u.message.text for u in rest] == ["two"]
    assert await bot.get_updates(offset=rest[-1].update_id + 1, timeout=0) == ()
    assert await bot.get_updates(timeout=0) == ()


async def test_a_waiting_poll_returns_when_something_comes(bot: telegram.Bot, phone: Phone) -> None:
    poll = asyncio.create_task(bot.get_updates(timeout=20))
    began = time.monotonic()
    await asyncio.to_thread(lambda: None)
    phone.type("now")
    assert len(await poll) == 1
    assert time.monotonic() - began < 5


async def test_a_second_poller_ends_the_first_with_a_conflict(api: BotApi, bot: telegram.Bot, phone: Phone) -> None:
    first = asyncio.create_task(bot.get_updates(timeout=20))
    await asyncio.to_thread(api.world.wait, lambda: api._poll is not None, 5)
    async with telegram.Bot(api.token, base_url=f"{api.base_url}/bot") as other:
        second = asyncio.create_task(other.get_updates(timeout=20))
        with pytest.raises(Conflict, match=r"(?i)only one bot instance"):
            await first
        phone.type("for the second")
        assert len(await second) == 1


async def test_a_webhook_keeps_pollers_out_until_it_is_deleted(api: BotApi, bot: telegram.Bot) -> None:
    api.world.webhook = "https://example.org/hook"
    with pytest.raises(Conflict, match=r"(?i)deleteWebhook"):
        await bot.get_updates(timeout=0)
    await bot.delete_webhook()
    assert await bot.get_updates(timeout=0) == ()


async def test_a_file_comes_back_byte_for_byte(api: BotApi, bot: telegram.Bot, phone: Phone) -> None:
    data = bytes(range(256)) * 300
    phone.voice(data)
    (update,) = await bot.get_updates(timeout=1)
    file = await bot.get_file(update.message.voice.file_id)
    assert bytes(await file.download_as_bytearray()) == data
    assert update.message.voice.file_size == len(data)


async def test_a_file_over_20_megabytes_is_refused(bot: telegram.Bot, phone: Phone) -> None:
    phone.voice(b"OggS" + bytes(20 * 1024 * 1024))
    (update,) = await bot.get_updates(timeout=1)
    with pytest.raises(BadRequest, match=r"(?i)file is too big"):
        await bot.get_file(update.message.voice.file_id)


@pytest.mark.parametrize(
    ("text", "data", "reason"),
    [
        ("", None, "message text is empty"),
        ("  \n ", None, "message text is empty"),
        ("x" * 4097, None, "message is too long"),
        ("🐝" * 2049, None, "message is too long"),
        ("ok", "x" * 65, "BUTTON_DATA_INVALID"),
        ("ok", "é" * 33, "BUTTON_DATA_INVALID"),
    ],
)
async def test_what_the_service_refuses_in_a_message(
    bot: telegram.Bot, phone: Phone, text: str, data: str | None, reason: str
) -> None:
    markup = None
    if data is not None:
        markup = telegram.InlineKeyboardMarkup([[telegram.InlineKeyboardButton("b", callback_data=data)]])
    with pytest.raises(BadRequest, match=f"(?i){reason}"):
        await bot.send_message(phone.chat, text, reply_markup=markup)


async def test_the_longest_message_and_button_pass(bot: telegram.Bot, phone: Phone) -> None:
    markup = telegram.InlineKeyboardMarkup([[telegram.InlineKeyboardButton("b", callback_data="x" * 64)]])
    message = await bot.send_message(phone.chat, "x" * 4096, reply_markup=markup)
    assert message.reply_markup.inline_keyboard[0][0].callback_data == "x" * 64


async def test_uploads_arrive_as_sent(bot: telegram.Bot, phone: Phone) -> None:
    await bot.send_document(phone.chat, b"a,b\n1,2\n", filename="entries.csv", caption="all entries")
    await bot.send_voice(phone.chat, b"OggS....", filename="answer.ogg")
    assert [(s.method, s.text, next(iter(s.files.values()))) for s in phone.inbox] == [
        ("sendDocument", "all entries", ("entries.csv", b"a,b\n1,2\n")),
        ("sendVoice", "", ("answer.ogg", b"OggS....")),
    ]
    with pytest.raises(BadRequest, match=r"(?i)caption is too long"):
        await bot.send_document(phone.chat, b"x", filename="x.csv", caption="x" * 1025)
    with pytest.raises(BadRequest, match=r"(?i)IMAGE_PROCESS_FAILED"):
        await bot.send_photo(phone.chat, b"no picture")


async def test_editing_own_messages(bot: telegram.Bot, phone: Phone) -> None:
    message = await bot.send_message(phone.chat, "one")
    changed = await bot.edit_message_text("two", phone.chat, message.message_id)
    assert changed.text == "two"
    with pytest.raises(BadRequest, match=r"(?i)not modified"):
        await bot.edit_message_text("two", phone.chat, message.message_id)
    with pytest.raises(BadRequest, match=r"(?i)can't be edited"):
        await bot.edit_message_text("mine", phone.chat, phone.type("theirs"))
    assert await bot.delete_message(phone.chat, message.message_id)
    with pytest.raises(BadRequest, match=r"(?i)message to edit not found"):
        await bot.edit_message_text("three", phone.chat, message.message_id)


async def test_a_query_is_answered_once(bot: telegram.Bot, phone: Phone) -> None:
    markup = telegram.InlineKeyboardMarkup([[telegram.InlineKeyboardButton("b", callback_data="x")]])
    await bot.send_message(phone.chat, "press", reply_markup=markup)
    phone.tap(phone.inbox[0])
    (update,) = await bot.get_updates(timeout=1)
    assert update.callback_query.data == "x"
    assert await update.callback_query.answer()
    with pytest.raises(BadRequest, match=r"(?i)query is too old"):
        await update.callback_query.answer()


async def test_other_refusals(api: BotApi, bot: telegram.Bot, phone: Phone) -> None:
    with pytest.raises(BadRequest, match=r"(?i)chat not found"):
        await bot.send_message(999, "hello")
    api.world.blocked.add(phone.chat)
    with pytest.raises(Forbidden, match=r"(?i)blocked"):
        await bot.send_message(phone.chat, "hello")
    with pytest.raises(InvalidToken):
        async with telegram.Bot("4242:wrong", base_url=f"{api.base_url}/bot"):
            pass


async def test_planned_faults_reach_the_client_as_real_ones_do(api: BotApi, bot: telegram.Bot, phone: Phone) -> None:
    api.faults.plan("sendmessage", Fault("429", 7), Fault("500"), Fault("drop"), Fault("lost answer"))
    with pytest.raises(RetryAfter) as wait:
        await bot.send_message(phone.chat, "one")
    assert wait.value.retry_after == timedelta(seconds=7)
    for text in ("two", "three", "four"):
        with pytest.raises(NetworkError):
            await bot.send_message(phone.chat, text)
    assert [s.text for s in phone.inbox] == ["four"], "only the one whose answer was lost arrived"


async def test_the_flood_limit_asks_to_wait() -> None:
    with BotApi(flood=Flood(3, 30.0)) as api:
        phone = Phone(api.world, 501)
        async with telegram.Bot(api.token, base_url=f"{api.base_url}/bot") as bot:
            for n in range(3):
                await bot.send_message(phone.chat, str(n))
            with pytest.raises(RetryAfter):
                await bot.send_message(phone.chat, "4")
