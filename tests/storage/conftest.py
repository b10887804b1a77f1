"""A store in a temporary folder, a clock that moves only when told, and a short way to speak into it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from gloveside.extract.models import Doubt, Entry, Reading
from gloveside.storage.notes import KeptNote
from gloveside.storage.store import Store


class SetClock:
    """A clock for tests: gives the moment it was set to, and a second more at each reading."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 25, 1, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now

    def move(self, **by: float) -> datetime:
        self.now += timedelta(**by)
        return self.now


class Speaker:
    """Speaks notes into a store as the conversation would."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.count = 0

    def __call__(
        self,
        *entries: Entry,
        doubts: Sequence[Doubt] = (),
        keep: bool = True,
        on: date | None = None,
        chat: str = "c",
        user: str = "u",
        text: str = "as spoken",
        spoken_at: datetime | None = None,
    ) -> KeptNote:
        self.count += 1
        day = on or (entries[0].on if entries else date(2026, 11, 25))
        moment = spoken_at or datetime(day.year, day.month, day.day, 0, 0, tzinfo=UTC) + timedelta(minutes=self.count)
        note_id = self.store.notes.add(
            chat=chat, user=user, source="typed", spoken_at=moment, text=text, message_id=f"m{self.count}"
        )
        reading = Reading(raw=text, heard=text, entries=list(entries), doubts=list(doubts), keep=keep)
        return self.store.notes.finish(note_id, reading, day, keep)


@pytest.fixture
def clock() -> SetClock:
    return SetClock()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "home"


@pytest.fixture
def store(folder: Path, clock: SetClock) -> Iterator[Store]:
    opened = Store.open(folder, clock)
    yield opened
    opened.close()


@pytest.fixture
def say(store: Store) -> Speaker:
    return Speaker(store)


@pytest.fixture
def speaker_for() -> Callable[[Store], Speaker]:
    return Speaker
