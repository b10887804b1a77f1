"""The demo season through the real engine: its expected readings, and what the bad recordings come to."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path
from typing import Any

import pytest

from gloveside.bot import season
from gloveside.bot.ear import Ear
from gloveside.bot.wiring import Workshop
from gloveside.storage.store import Store

ROOT = Path(__file__).resolve().parents[2]
BAD = ROOT / "fixtures" / "bad"
_spec = importlib.util.spec_from_file_location("bench_reading", ROOT / "bench" / "reading.py")
assert _spec is not None
assert _spec.loader is not None
reading_bench = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(reading_bench)

SHARE = 0.9
"""Of the demo's voice notes, those whose expected reading must be reached."""


def right(got: dict[str, Any], note: season.VoiceNote) -> bool:
    item = {"on": note.spoken_at.date(), "ignore_notes": note.ignore_notes}
    wanted = note.expected.get("any_of") or [note.expected]
    full = [{"entries": [], "questions": [], "orders": [], **w} for w in wanted]
    return any(reading_bench.exact(got, item, w) for w in full)


@pytest.mark.audio
def test_nine_in_ten_voice_notes_reach_their_expected_reading(tmp_path: Path) -> None:
    settings = season.settings()
    missed: list[str] = []
    notes = list(season.notes())
    assert len(notes) >= 24
    with Store.open(tmp_path) as store:
        with store.together():
            season.fill_register(store.places)
        ear = Ear(settings, tmp_path)
        for note in notes:
            register = store.places.register(note.spoken_at, "1")
            reading = ear.read_audio(
                note.audio, source=note.name, on=note.spoken_at.date(), register=register, now=note.spoken_at
            )
            if not right(json.loads(reading.to_json()), note):
                missed.append(f"{note.name}: {reading.heard}")
    print("\n".join(["not reached:", *missed]))
    assert len(missed) <= len(notes) * (1 - SHARE), missed


def test_the_season_as_it_was_said_is_read_as_expected(tmp_path: Path) -> None:
    """Without the engine in between: the same notes typed."""
    with Store.open(tmp_path) as store:
        with store.together():
            season.fill_register(store.places)
        register = store.places.register(next(iter(season.notes())).spoken_at, "1")
    ear = Ear(season.settings(), tmp_path)
    missed = [
        note.text
        for note in season.notes()
        if not right(
            json.loads(
                ear.read_text(
                    note.text, source="", on=note.spoken_at.date(), register=register, now=note.spoken_at
                ).to_json()
            ),
            note,
        )
    ]
    assert len(missed) <= 1, missed


@pytest.mark.audio
@pytest.mark.parametrize("name", ["not_audio", "empty", "silence", "wind", "picture"])
def test_bad_recordings_get_a_sentence_and_no_record(name: str, tmp_path: Path) -> None:
    with Workshop(tmp_path, season.settings()) as workshop:
        spoken_at = next(iter(season.notes())).spoken_at
        reading = workshop.read_file(BAD / f"{name}.ogg", spoken_at=spoken_at, keep=True)
        assert reading.error
        assert reading.error.endswith(".")
        assert not reading.entries
        assert not workshop.store.entries.find()
        (note,) = workshop.store.file.rows("SELECT audio_sha256, state FROM notes")
        assert note["state"] == "unreadable"
        assert workshop.store.audio.path(note["audio_sha256"]).read_bytes() == (BAD / f"{name}.ogg").read_bytes()


@pytest.mark.audio
def test_a_stereo_recording_at_48_khz_is_heard(tmp_path: Path) -> None:
    with Workshop(tmp_path, season.settings()) as workshop:
        reading = workshop.read_file(BAD / "stereo48.ogg", spoken_at=next(iter(season.notes())).spoken_at, keep=False)
        assert reading.error is None
        assert reading.entries


def test_text_in_another_script_and_text_without_end_get_a_sentence_quickly(tmp_path: Path) -> None:
    note = next(iter(season.notes()))
    with Workshop(tmp_path, season.settings()) as workshop:
        for text in ("蜂王很好，八框卵", "Матка есть, восемь рамок расплода", "hive 12 " * 2000):
            reading = workshop.read_text(text, source="text", spoken_at=note.spoken_at, keep=False)
            assert reading.error
            assert reading.error.endswith(".")


def test_done_in_the_future_is_asked_about(tmp_path: Path) -> None:
    with Workshop(tmp_path, season.settings()) as workshop:
        note = next(iter(season.notes()))
        reading = workshop.read_text(
            "fed hive three two litres of syrup tomorrow", source="text", spoken_at=note.spoken_at, keep=False
        )
        assert not reading.keep or all(e.kind in ("task", "note") for e in reading.entries)


def test_more_taken_than_grafted_is_asked_about(tmp_path: Path) -> None:
    with Workshop(tmp_path, season.settings()) as workshop:
        note = next(iter(season.notes()))
        reading = workshop.read_text(
            "round three, top bar sixteen out of fifteen", source="text", spoken_at=note.spoken_at, keep=False
        )
        assert not reading.keep
        assert reading.doubts
