"""The store as the rest of the program sees it: one folder, one record, one object for each purpose."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

from gloveside.storage.audio_files import AudioFiles
from gloveside.storage.chosen_settings import ChosenSettings
from gloveside.storage.database import RecordFile
from gloveside.storage.entries import Entries
from gloveside.storage.exports import Exports
from gloveside.storage.imports import Imports
from gloveside.storage.intake import Intake
from gloveside.storage.moments import Clock, utc_now
from gloveside.storage.names import AUDIO_FOLDER, FILE_NAME
from gloveside.storage.notes import Notes
from gloveside.storage.outbox import Outbox
from gloveside.storage.people import People
from gloveside.storage.places import Places
from gloveside.storage.reminders import Reminders
from gloveside.storage.rounds import Rounds
from gloveside.storage.state import States
from gloveside.storage.totals import Totals
from gloveside.storage.words import Words


class Store:
    """An open record: `gloveside.db` and `audio/` in one folder. Safe to use from any thread.

    Each attribute serves one purpose: notes, entries, rounds, places, states, totals, words, exports, imports, intake,
    outbox, reminders, people, settings (chosen in the chat), audio. `together()` makes one unit of work of several
    calls.
    """

    def __init__(self, file: RecordFile, audio: AudioFiles) -> None:
        self.file = file
        self.audio = audio
        self.words = Words(file)
        self.rounds = Rounds(file)
        self.entries = Entries(file)
        self.notes = Notes(file, self.rounds)
        self.places = Places(file, self.rounds, self.words)
        self.states = States(file)
        self.totals = Totals(file, self.rounds)
        self.exports = Exports(file, self.entries)
        self.imports = Imports(file, self.places)
        self.intake = Intake(file)
        self.outbox = Outbox(file)
        self.reminders = Reminders(file)
        self.people = People(file)
        self.settings = ChosenSettings(file)

    @classmethod
    def open(cls, folder: Path, clock: Clock = utc_now) -> Self:
        """Open or create the record in a folder. clock: gives the present moment, aware; tests pass their own.

        Raises RecordDamaged or StoreError with a sentence for the operator.
        """
        return cls(RecordFile(folder / FILE_NAME, clock), AudioFiles(folder / AUDIO_FOLDER))

    @contextlib.contextmanager
    def together(self) -> Iterator[None]:
        """One unit of work: every call inside the block is kept, or, when the block raises, none.

        Keep it short: nobody else can write meanwhile, so no waiting, network or recognition inside. It belongs to the
        thread that entered it: in asynchronous code, run the whole block in one worker thread and never await inside.
        """
        with self.file.writing():
            yield

    def close(self) -> None:
        """Close the record. Call it once, when no thread uses the store any more."""
        self.file.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()
