"""Spoken replies: a voice message where a local engine is installed, nothing where it is not."""

from __future__ import annotations

from pathlib import Path

import av
import pytest
from bot_api import BotApi, Phone
from chat_under_test import opus, serving

from gloveside.bot import spoken
from gloveside.bot.settings import Settings
from gloveside.storage.store import Store

needs_engine = pytest.mark.skipif(not spoken.installed(), reason=f"{spoken.PROGRAM} is not installed")


def test_they_are_off_by_default() -> None:
    assert Settings().chat.spoken_replies is False


def test_signs_and_short_names_are_said_in_full() -> None:
    text = "Take: 19 of 30 (63 %), top 11/15\nSplits Fri 27 Nov; 29 Nov–1 Dec"
    said = spoken.for_the_ear(text)
    assert said == ("Take: 19 of 30 (63 percent), top 11 of 15. Splits Friday 27 November; 29 November to 1 December")


@needs_engine
def test_a_voice_message_is_opus_in_ogg(tmp_path: Path) -> None:
    path = spoken.SpokenReplies(tmp_path / "out").say("Kept. Hive twelve, queenright.")
    assert path is not None
    assert path.read_bytes().startswith(b"OggS")
    with av.open(str(path)) as container:
        assert container.streams.audio[0].codec_context.name == "opus"
        assert container.streams.audio[0].codec_context.channels == 1
        assert 1.0 < container.duration / 1e6 < 10.0


def test_without_an_engine_or_with_too_long_a_text_there_is_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    voice = spoken.SpokenReplies(tmp_path)
    assert voice.say("x" * 700) is None
    assert voice.say("  ") is None
    monkeypatch.setattr(spoken.shutil, "which", lambda _name: None)
    assert voice.say("hello") is None
    assert not spoken.installed()


@needs_engine
async def test_a_spoken_note_gets_a_spoken_answer_after_the_text(
    api: BotApi, store: Store, owner: Phone, tmp_path: Path
) -> None:
    async with serving(api, store, speak=spoken.SpokenReplies(tmp_path / "spoken").say) as chat:
        owner.voice(opus(0.2))
        await chat.until(lambda: len(owner.inbox) == 2, "text and voice")
        owner.type("typed")
        await chat.read(owner, "kept: typed")
    assert [s.method for s in owner.inbox] == ["sendMessage", "sendVoice", "sendMessage"]
    assert owner.inbox[1].files["voice"][1].startswith(b"OggS")
