"""From a note on the phone to the answer on the phone."""

from __future__ import annotations

import time
from datetime import timedelta

from bot_api import BotApi, Phone
from chat_under_test import BUTTONS, opus, serving

from gloveside.bot.messages import Document, Picture, Reply
from gloveside.storage.store import Store

PNG = (
    b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89"
    b"\x00\x00\x00\rIDATx\x9cc\xf8\xff\xff?\x00\x05\xfe\x02\xfe\xa7\x9a\xa0\xa0\x00\x00\x00\x00IEND\xaeB`\x82"
)


async def test_a_voice_note_is_fetched_kept_and_answered(api: BotApi, store: Store, owner: Phone) -> None:
    sound = opus()
    async with serving(api, store) as chat:
        said = owner.voice(sound)
        answer = await chat.read(owner, f"a recording of {len(sound)} bytes")
    assert answer.params["reply_parameters"]["message_id"] == said
    heard = chat.talk.heard[0]
    assert heard.audio is not None
    assert heard.audio.read_bytes() == sound
    assert heard.audio.suffix == ".ogg"
    assert (heard.chat, heard.user, heard.message_id) == (owner.chat, owner.user, said)
    assert chat.talk.threads == {"ear"}
    assert [row.state for row in [store.intake.get(1)]] == ["done"]
    assert store.intake.get(1).note_id == store.notes.by_message(str(owner.chat), str(said)).id


async def test_a_typed_note_is_answered(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        owner.type("hive twelve is queenright")
        await chat.read(owner, "kept: hive twelve is queenright")


async def test_everything_a_reply_can_hold_arrives_in_order(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        chat.talk.answers["show"] = Reply(
            "Which one?",
            buttons=BUTTONS,
            pictures=(Picture("take.png", PNG),),
            documents=(Document("round-3.ics", b"BEGIN:VCALENDAR"),),
        )
        owner.type("show")
        await chat.until(lambda: len(owner.inbox) == 3, "three messages")
    text, photo, document = owner.inbox
    assert (text.method, text.text) == ("sendMessage", "Which one?")
    assert [button["callback_data"] for button in text.buttons] == ["a:1:0", "a:1:1"]
    assert photo.files["photo"] == ("take.png", PNG)
    assert document.files["document"] == ("round-3.ics", b"BEGIN:VCALENDAR")


async def test_a_tap_is_answered_at_once_and_worked_on_once(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        chat.talk.answers["doubt"] = Reply("Hive 19 or hive 90?", buttons=BUTTONS)
        owner.type("doubt")
        asked = await chat.read(owner, "Hive 19 or hive 90?")
        query = owner.tap(asked, "a:1:1")
        await chat.until(lambda: query in chat.world.answered, "the spinner to stop")
        await chat.read(owner, "tapped a:1:1")
        second = owner.tap(asked, "a:1:1")
        await chat.until(lambda: second in chat.world.answered, "the second press")
        await chat.until(lambda: len([h for h in chat.talk.heard if h.tap]) == 2, "both presses")


async def test_an_edited_message_amends_its_note(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        said = owner.type("hive 12 fed two litres")
        await chat.read(owner, "kept: hive 12 fed two litres")
        owner.edit(said, "hive 12 fed three litres")
        await chat.read(owner, "amended: hive 12 fed three litres")
    assert [h.amends for h in chat.talk.heard] == [None, said]
    assert len(store.file.rows("SELECT id FROM notes")) == 1
    current = [e.entry.text for e in store.entries.find(kind="note")]
    assert current == ["hive 12 fed three litres"]


async def test_a_forwarded_note_is_dated_by_when_it_was_spoken(api: BotApi, store: Store, owner: Phone) -> None:
    yesterday = int(time.time()) - 86_400
    async with serving(api, store) as chat:
        owner.forward_voice(opus(), spoken=yesterday)
        await chat.read(owner, "a recording")
    assert int(chat.talk.heard[0].spoken_at.timestamp()) == yesterday
    assert chat.talk.heard[0].received_at.timestamp() > yesterday + 86_000


async def test_a_late_note_is_dated_by_when_it_was_sent(api: BotApi, store: Store, owner: Phone) -> None:
    before = int(time.time()) - 7200
    async with serving(api, store) as chat:
        owner.voice(opus(), spoken=before)
        await chat.read(owner, "a recording")
    assert int(chat.talk.heard[0].spoken_at.timestamp()) == before


async def test_a_sound_file_sent_as_audio_or_as_a_document_is_a_note(api: BotApi, store: Store, owner: Phone) -> None:
    sound = opus()
    async with serving(api, store) as chat:
        owner.send_audio("REC001.MP3", sound)
        owner.send_audio("memo.m4a", sound + b"x", kind="document", mime="application/octet-stream")
        await chat.until(lambda: len(chat.talk.heard) == 2, "both files")
    assert [h.audio.suffix for h in chat.talk.heard if h.audio] == [".mp3", ".m4a"]


async def test_a_picture_is_declined_kindly(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        owner._post({"photo": [{"file_id": "p", "file_unique_id": "q", "width": 9, "height": 9}]})
        await chat.read(owner, "This I can't read")
    assert chat.talk.heard == []


async def test_the_words_under_a_picture_are_a_note(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        photo = [{"file_id": "p", "file_unique_id": "q", "width": 9, "height": 9}]
        owner._post({"photo": photo, "caption": "hive 12 has swarm cells"})
        await chat.read(owner, "The picture or file itself is not kept")
        await chat.read(owner, "kept: hive 12 has swarm cells")


async def test_a_note_is_acknowledged_while_another_is_read(api: BotApi, store: Store, owner: Phone) -> None:
    import threading

    async with serving(api, store) as chat:
        chat.talk.gate = threading.Event()
        began = time.monotonic()
        owner.voice(opus(), seconds=30)
        await chat.until(lambda: chat.world.count("sendChatAction"), "an acknowledgement")
        ack = next(c for c in chat.world.calls if c.method == "sendchataction").at - began
        await chat.read(owner, "Heard, reading it")
        owner.type("what's due?")
        await chat.read(owner, "asked: what's due?")
        answered = await chat.read(owner, "One earlier note is still being read")
        chat.talk.gate.set()
        await chat.read(owner, "a recording", after=answered.message_id)
        await chat.until(lambda: chat.world.deleted, "the acknowledgement to go away")
    assert ack < 1.0


async def test_a_question_waits_for_a_note_that_is_nearly_read(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        owner.voice(opus())
        owner.type("how many splits for round three?")
        await chat.read(owner, "asked: how many splits")
    said = "\n\n".join(s.text for s in owner.inbox).split("\n\n")
    assert [line.split(":")[0] for line in said] == ["kept", "asked"]
    assert "still being read" not in said[-1]


async def test_order_is_kept_within_a_chat(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        for n in range(25):
            if n % 5:
                owner.type(f"note {n}")
            else:
                owner.voice(opus(0.2, 200 + n))
        await chat.until(lambda: store.outbox.waiting() == 0 and len(chat.talk.heard) == 25, "all answers")
    ids = [h.message_id for h in chat.talk.heard]
    assert ids == sorted(ids)
    told = [line for s in owner.inbox for line in s.text.splitlines() if line.startswith("kept: note")]
    assert told == [f"kept: note {n}" for n in range(25) if n % 5]


async def test_a_long_answer_comes_in_parts_and_none_is_refused(api: BotApi, store: Store, owner: Phone) -> None:
    long = "\n".join(f"hive {n}: 🐝 queenright, eight frames of brood" for n in range(400))
    async with serving(api, store) as chat:
        chat.talk.answers["all"] = Reply(long, buttons=BUTTONS)
        owner.type("all")
        await chat.until(lambda: store.outbox.waiting() == 0 and owner.inbox, "the parts")
    assert all(len(s.text.encode("utf-16-le")) // 2 <= 4096 for s in owner.inbox)
    assert "\n".join(s.text for s in owner.inbox) == long
    assert [bool(s.buttons) for s in owner.inbox] == [False] * (len(owner.inbox) - 1) + [True]


async def test_an_empty_answer_sends_nothing(api: BotApi, store: Store, owner: Phone) -> None:
    async with serving(api, store) as chat:
        chat.talk.answers["hush"] = Reply("  ")
        owner.type("hush")
        owner.type("next")
        await chat.read(owner, "kept: next")
    assert len(owner.inbox) == 1


async def test_what_breaks_the_work_is_set_aside_and_said(api: BotApi, store: Store, owner: Phone, caplog) -> None:
    async with serving(api, store) as chat:
        chat.talk.broken_on = "cursed"
        owner.type("cursed note")
        owner.type("good note")
        retry = await chat.until(lambda: len(chat.talk.heard) == 1, "a first try")
        assert retry
        for tries in (2, 3):
            store.file.clock.ahead += timedelta(seconds=10)
            await chat.until(lambda tries=tries: len([h for h in chat.talk.heard if h.text == "cursed note"]) == tries)
        await chat.read(owner, "Something went wrong")
        await chat.read(owner, "kept: good note")
    assert [row.text for row in store.intake.poison()] == ["cursed note"]
