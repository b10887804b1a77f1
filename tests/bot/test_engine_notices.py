"""What the engine has to say reaches the doctor and the chat's log; how it is primed comes from the settings file."""

from __future__ import annotations

import gc
import logging
from pathlib import Path

import pytest

from gloveside.bot import doctor
from gloveside.bot import ear as ear_module
from gloveside.bot.ear import Ear, engine_for
from gloveside.bot.loading import loading
from gloveside.bot.settings import Settings, SettingsError, Speech, load
from gloveside.speech.transcript import EngineUnavailable

LESS_EXACT = "Hearing without the trained ear, which is less exact. The disk is full: make room."


class HalfEngine:
    """An engine that works, but not as it should; it knows so once its model is loaded."""

    name = "whisper:tiny.en"
    notice = ""

    def __init__(self, trouble: str = "") -> None:
        self.trouble = trouble

    def warm(self) -> None:
        if self.trouble:
            raise EngineUnavailable(self.trouble)
        self.notice = LESS_EXACT

    def describe(self) -> dict[str, str]:
        return {"engine": self.name, "threads": "2", "trained ear": "none", "notice": self.notice}


@pytest.fixture
def half(monkeypatch: pytest.MonkeyPatch) -> HalfEngine:
    engine = HalfEngine()
    for module in (doctor, ear_module):
        monkeypatch.setattr(module, "engine_for", lambda _settings, _folder: engine)
    return engine


def test_the_doctor_shows_what_the_engine_has_to_say(half: HalfEngine, tmp_path: Path):
    found = doctor.findings(tmp_path)
    assert doctor.Finding(True, "engine whisper:tiny.en, threads: 2, trained ear: none") in found
    assert doctor.Finding(False, LESS_EXACT) in found


def test_an_engine_that_cannot_be_started_is_named_by_doctor_and_log(half, tmp_path, caplog):
    half.trouble = "The speech engine cannot be started: install it again."
    assert doctor.Finding(False, half.trouble) in doctor.findings(tmp_path)
    with caplog.at_level(logging.WARNING):
        Ear(Settings(), tmp_path).warm()
    assert half.trouble in caplog.messages


def test_the_log_says_once_what_the_engine_has_to_say(half: HalfEngine, tmp_path: Path, caplog):
    ear = Ear(Settings(), tmp_path)
    with caplog.at_level(logging.WARNING):
        ear.warm()
        ear.warm()
    assert caplog.messages == [LESS_EXACT]


@pytest.mark.parametrize("prompting", ["auto", "always", "never"])
def test_prompting_of_the_settings_file_reaches_the_engine(tmp_path: Path, monkeypatch, prompting: str):
    (tmp_path / "gloveside.toml").write_text(f'[speech]\nprompting = "{prompting}"\nengine = "whisper"\n')
    given: dict[str, object] = {}
    monkeypatch.setattr("gloveside.speech.engines.WhisperEngine", lambda **options: given.update(options))
    engine_for(load(tmp_path).speech, tmp_path)
    assert given["prompting"] == prompting


def test_prompting_is_automatic_unless_set_and_refuses_other_words(tmp_path: Path):
    assert Speech().prompting == "auto"
    (tmp_path / "gloveside.toml").write_text('[speech]\nprompting = "sometimes"\n')
    with pytest.raises(SettingsError, match=r"speech\.prompting"):
        load(tmp_path)


def test_garbage_is_collected_again_after_the_last_loading_ends():
    assert gc.isenabled()
    with loading():
        with loading():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()
