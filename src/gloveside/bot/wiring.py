"""The rooms put together for one operation: settings, record, ear and conversation, opened when first needed."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time
from functools import cached_property
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self

from gloveside.bot.ear import Ear
from gloveside.bot.loading import loading
from gloveside.bot.settings import Settings, home, load
from gloveside.extract.models import Reading
from gloveside.extract.register import Register
from gloveside.storage.names import FILE_NAME

if TYPE_CHECKING:
    from gloveside.bot.conversation import Conversation
    from gloveside.bot.desk import Desk
    from gloveside.storage.store import Store

CONSOLE = 0
"""Chat and user number of the console and of files read from the command line."""


def utc_now() -> datetime:
    """The present moment."""
    return datetime.now(tz=UTC)


class Workshop:
    """Everything of one operation. Use as a context manager: it closes the record."""

    def __init__(self, folder: Path, settings: Settings, clock: Callable[[], datetime] = utc_now) -> None:
        self.folder = folder
        self.settings = settings
        self.clock = clock
        self._store: Store | None = None

    @classmethod
    def at_home(cls) -> Self:
        """The operation of `GLOVESIDE_HOME`. Raises SettingsError."""
        folder = home()
        return cls(folder, load(folder))

    @cached_property
    def ear(self) -> Ear:
        """What hears and reads."""
        return Ear(self.settings, self.folder)

    @property
    def store(self) -> Store:
        """The record; the folder is made when it is first needed."""
        if self._store is None:
            from gloveside.storage.store import Store

            self.folder.mkdir(parents=True, exist_ok=True)
            self._store = Store.open(self.folder, self.clock)
        return self._store

    @cached_property
    def conversation(self) -> Conversation:
        """What answers."""
        with loading():
            from gloveside.bot.conversation import Conversation

        return Conversation(self.store, self.ear, self.settings, self.clock)

    def desk(self, on: date | None = None) -> Desk:
        """A desk for the command line, as on a local date (default: today)."""
        from gloveside.bot.desk import Desk

        zone = self.settings.operation.zone
        now = self.clock() if on is None else datetime.combine(on, time(12), tzinfo=zone)
        return Desk(
            store=self.store,
            settings=self.settings,
            now=now,
            on=now.astimezone(zone).date(),
            chat=str(CONSOLE),
            user=str(CONSOLE),
            register=self.register(now, alone=False),
        )

    def register(self, spoken_at: datetime, *, alone: bool) -> Register:
        """The register for a note; alone: without the last place, and without making a record where there is none."""
        if alone and self._store is None and not (self.folder / FILE_NAME).is_file():
            return Register()
        northern = not self.settings.operation.southern
        found = replace(self.store.places.register(spoken_at, str(CONSOLE)), northern=northern)
        if not alone:
            return found
        return Register(
            places=found.places,
            builders=found.builders,
            mothers=found.mothers,
            rounds=found.rounds,
            names=found.names,
            corrections=found.corrections,
            northern=northern,
        )

    def read_text(self, text: str, *, source: str, spoken_at: datetime, keep: bool) -> Reading:
        """Read one typed note and keep it where asked to; trouble comes back as the reading's `error`."""
        reading = self.ear.read_text(
            text,
            source=source,
            on=self._day(spoken_at),
            register=self.register(spoken_at, alone=not keep),
            now=spoken_at,
        )
        return self._kept(reading, spoken_at, text=text) if keep else reading

    def read_file(self, path: Path, *, spoken_at: datetime, keep: bool) -> Reading:
        """Hear and read one sound file and keep it where asked to; trouble comes back as the reading's `error`."""
        if not path.is_file():
            return Reading(source=path.name, keep=False, error=f"{path} is not there. Check the name and try again.")
        reading = self.ear.read_audio(
            path,
            source=path.name,
            on=self._day(spoken_at),
            register=self.register(spoken_at, alone=not keep),
            now=spoken_at,
        )
        return self._kept(reading, spoken_at, sound=path) if keep else reading

    def _day(self, spoken_at: datetime) -> date:
        return spoken_at.astimezone(self.settings.operation.zone).date()

    def _kept(
        self, reading: Reading, spoken_at: datetime, text: str | None = None, sound: Path | None = None
    ) -> Reading:
        note_id = self.store.notes.add(
            chat=str(CONSOLE),
            user=str(CONSOLE),
            source=reading.source,
            spoken_at=spoken_at,
            text=text,
            audio_sha256=self.store.audio.keep(sound) if sound is not None else None,
        )
        kept = self.store.notes.finish(note_id, reading, self._day(spoken_at), reading.keep)
        entries = [e.entry for e in kept.entries] or reading.entries
        return reading.model_copy(update={"id": note_id, "entries": entries})

    def warm(self) -> None:
        """Load what the first note, and the first question for odds, would otherwise wait for."""
        self.ear.warm()
        importlib.import_module("scipy.special")

    def close(self) -> None:
        """Close the record, if it was opened."""
        if self._store is not None:
            self._store.close()
            self._store = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()
