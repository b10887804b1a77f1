"""A folder of recordings: each once, dated by its own time, in order."""

from __future__ import annotations

import io
import os
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import av
import pytest
from chat_under_test import MovableClock, PlainConversation, opus

from gloveside.bot.take_in import Summary, TakeIn, recorded_at
from gloveside.storage.store import Store

ZONE = ZoneInfo("Pacific/Auckland")
NOW = datetime(2026, 11, 25, 3, 0, tzinfo=UTC)


def local(at: datetime) -> str:
    return f"{at.astimezone(ZONE):%Y-%m-%d %H:%M:%S}"


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("REC_20261120_143205.wav", "2026-11-20 14:32:05"),
        ("20261120-1432.mp3", "2026-11-20 14:32:00"),
        ("2026-11-20 14.32.05.m4a", "2026-11-20 14:32:05"),
        ("2026-11-20T14-32-05.ogg", "2026-11-20 14:32:05"),
        ("Note 2026-11-20 at 14.32.05.opus", "2026-11-20 14:32:05"),
        ("20261120143205.wav", "2026-11-20 14:32:05"),
        ("261120_1432.mp3", "2026-11-20 14:32:00"),
        ("261120_143205 (2).mp3", "2026-11-20 14:32:05"),
        ("2026_11_20_14h32m05.wav", "2026-11-20 14:32:05"),
    ],
)
def test_the_name_dates_a_recording(tmp_path: Path, name: str, expected: str) -> None:
    path = tmp_path / name
    path.write_bytes(b"x")
    at, how = recorded_at(path, ZONE, NOW)
    assert (local(at), how) == (expected, "name")


@pytest.mark.parametrize(
    "name",
    ["DW_A0017.mp3", "hive 20261399.wav", "209912312359.wav", "1234567890.mp3", "20260230_101500.wav", "REC0001.WAV"],
)
def test_a_name_that_is_no_date_is_passed_over(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(b"x")
    os.utime(path, (NOW.timestamp() - 7200,) * 2)
    assert recorded_at(path, ZONE, NOW) == (NOW - timedelta(hours=2), "file time")


def test_a_name_with_a_date_only_takes_its_time_of_day_from_the_file(tmp_path: Path) -> None:
    path = tmp_path / "PTT-20261120-0007.opus"
    path.write_bytes(b"x")
    stamp = datetime(2026, 11, 20, 9, 15, tzinfo=ZONE).timestamp()
    os.utime(path, (stamp, stamp))
    assert local(recorded_at(path, ZONE, NOW)[0]) == "2026-11-20 09:15:00"
    os.utime(path, (stamp + 3 * 86400,) * 2)
    assert local(recorded_at(path, ZONE, NOW)[0]) == "2026-11-20 12:00:00"


def test_four_digits_after_a_date_may_be_a_counter(tmp_path: Path) -> None:
    path = tmp_path / "261120_0231.mp3"
    path.write_bytes(b"x")
    stamp = datetime(2026, 11, 20, 9, 15, tzinfo=ZONE).timestamp()
    os.utime(path, (stamp, stamp))
    assert local(recorded_at(path, ZONE, NOW)[0]) == "2026-11-20 09:15:00"
    os.utime(path, (stamp - 6.5 * 3600,) * 2)
    assert local(recorded_at(path, ZONE, NOW)[0]) == "2026-11-20 02:31:00"


def test_metadata_comes_before_the_files_own_time(tmp_path: Path) -> None:
    path = tmp_path / "memo.m4a"
    out = io.BytesIO()
    with av.open(out, "w", format="mp4") as container:
        container.metadata["creation_time"] = "2026-11-19T22:30:00Z"
        stream = container.add_stream("aac", rate=48000)
        stream.layout = "mono"
        with av.open(io.BytesIO(opus(0.3))) as source:
            for frame in source.decode(audio=0):
                frame.pts = None
                container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    path.write_bytes(out.getvalue())
    at, how = recorded_at(path, ZONE, NOW)
    assert (at, how) == (datetime(2026, 11, 19, 22, 30, tzinfo=UTC), "metadata")


def test_a_time_in_the_future_or_before_any_recorder_is_not_believed(tmp_path: Path) -> None:
    path = tmp_path / "20281120_143205.wav"
    path.write_bytes(b"x")
    os.utime(path, (NOW.timestamp() - 60,) * 2)
    assert recorded_at(path, ZONE, NOW)[1] == "file time"
    os.utime(path, (NOW.timestamp() + 9e6,) * 2)
    assert recorded_at(path, ZONE, NOW)[0] <= NOW


@pytest.fixture
def work(store: Store) -> TakeIn:
    return TakeIn(store, PlainConversation(store), ZONE)


@pytest.fixture
def card(tmp_path: Path) -> Path:
    folder = tmp_path / "card"
    (folder / "FOLDER_A").mkdir(parents=True)
    (folder / "FOLDER_A" / "261120_1500.ogg").write_bytes(opus(0.2, 200))
    (folder / "261120_0900.ogg").write_bytes(opus(0.2, 300))
    (folder / "261119_1800.OGG").write_bytes(opus(0.2, 400))
    (folder / "copy of 261120_0900.ogg").write_bytes((folder / "261120_0900.ogg").read_bytes())
    (folder / "readme.txt").write_text("not a recording")
    (folder / ".trash.ogg").write_bytes(b"deleted")
    return folder


def test_each_recording_is_taken_once_in_order_and_dated(work: TakeIn, card: Path) -> None:
    seen: list[tuple[int, int, str]] = []
    summary = work.folder(card, lambda done, total, name: seen.append((done, total, name)))
    assert [r.path.name for r, _ in summary.taken] == ["261119_1800.OGG", "261120_0900.ogg", "261120_1500.ogg"]
    assert [local(h.spoken_at) for h in work.conversation.heard] == [
        "2026-11-19 18:00:00", "2026-11-20 09:00:00", "2026-11-20 15:00:00",
    ]  # fmt: skip
    assert summary.known == 1
    assert seen[-1] == (3, 3, "")
    again = work.folder(card)
    assert (again.taken, again.known) == ([], 4)
    assert len(work.store.file.rows("SELECT id FROM notes")) == 3


def test_a_stop_in_between_loses_nothing(work: TakeIn, card: Path) -> None:
    class Cut(Exception):
        pass

    def cut(done: int, total: int, name: str) -> None:
        if done == 2:
            raise Cut

    with pytest.raises(Cut):
        work.folder(card, cut)
    assert len(work.folder(card).taken) == 1
    assert len(work.store.file.rows("SELECT id FROM notes")) == 3


def test_the_same_recording_sent_in_the_chat_is_known(work: TakeIn, card: Path) -> None:
    sound = (card / "261120_0900.ogg").read_bytes()
    note = work.store.notes.add(
        chat="501", user="501", source="chat", spoken_at=NOW, audio_sha256=work.store.audio.keep(sound), message_id="4"
    )
    work.store.notes.set_aside(note)
    assert len(work.folder(card).taken) == 2


def test_a_watched_folder_takes_a_file_once_it_no_longer_changes(work: TakeIn, tmp_path: Path) -> None:
    folder = tmp_path / "inbox"
    folder.mkdir()
    whole = opus(0.4)
    steps = iter(
        [
            lambda: (folder / "261120_0900.ogg").write_bytes(whole[:200]),
            lambda: (folder / "261120_0900.ogg").write_bytes(whole),
            lambda: None,
            lambda: None,
            None,
        ]
    )
    told: list[Summary] = []
    looks: list[int] = []

    def pause() -> bool:
        looks.append(len(told))
        step = next(steps)
        if step is None:
            return False
        step()
        return True

    work.watch(folder, pause, told.append)
    assert looks == [0, 0, 0, 1, 1]
    assert [h.audio.read_bytes() for h in work.conversation.heard] == [whole]


def test_a_folder_that_is_not_there_says_what_to_do(work: TakeIn, tmp_path: Path) -> None:
    with pytest.raises(NotADirectoryError, match="check the name"):
        work.folder(tmp_path / "none")


def test_a_file_that_vanishes_is_reported_and_the_rest_goes_on(
    work: TakeIn, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import gloveside.bot.take_in as module

    original = module.file_sha256

    def sha(path: Path) -> str:
        if path.name == "261120_1500.ogg":
            raise OSError(5, "Input/output error")
        return original(path)

    monkeypatch.setattr(module, "file_sha256", sha)
    summary = work.folder(card)
    assert [(p.name, why) for p, why in summary.unreadable] == [("261120_1500.ogg", "Input/output error")]
    assert len(summary.taken) == 2


def test_clock_of_the_store_is_used(store: Store, clock: MovableClock, tmp_path: Path) -> None:
    clock.ahead = timedelta(days=400)
    path = tmp_path / "card"
    path.mkdir()
    (path / "a.ogg").write_bytes(opus(0.2))
    work = TakeIn(store, PlainConversation(store), ZONE)
    work.folder(path)
    assert work.conversation.heard[0].received_at > datetime.now(UTC) + timedelta(days=399)
