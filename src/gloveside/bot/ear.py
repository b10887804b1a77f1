"""From one note, spoken or typed, to its reading: the engine, the vocabulary and the reader behind one call."""

from __future__ import annotations

import contextlib
import threading
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from gloveside.bot.settings import Settings
from gloveside.extract.models import Reading
from gloveside.extract.register import Register
from gloveside.speech.transcript import SpeechError

if TYPE_CHECKING:
    from gloveside.extract.reader import Reader
    from gloveside.speech.transcript import Engine

NO_WORDS = "I heard no words in that note. The sound is kept: hold the phone nearer and say it again."


class Ear:
    """Reads notes. The engine and the reader are loaded when they are first needed; calls may come from any thread."""

    def __init__(self, settings: Settings, folder: Path) -> None:
        self._settings = settings
        self._folder = folder
        self._lock = threading.Lock()
        self._reader: Reader | None = None
        self._engine: Engine | None = None

    def reader(self) -> Reader:
        """The reader of typed text."""
        with self._lock:
            if self._reader is None:
                from gloveside.extract.reader import Reader

                self._reader = Reader()
            return self._reader

    def engine(self) -> Engine:
        """The speech engine. Raises EngineUnavailable with a sentence where none can be used."""
        with self._lock:
            if self._engine is None:
                from gloveside.speech.engines import open_engine

                speech = self._settings.speech
                self._engine = open_engine(
                    speech.engine, data_folder=self._folder, vosk_model=speech.vosk_model, threads=speech.threads or 2
                )
            return self._engine

    def warm(self) -> None:
        """Load the reader now; the engine too, where one can be used, so that the first note is as quick as the next."""
        self.reader()
        with contextlib.suppress(SpeechError):
            self.engine()

    def read_text(self, text: str, *, source: str, on: date, register: Register, now: datetime) -> Reading:
        """Read typed text."""
        reading = self.reader().read(text, on=on, register=register, now=now)
        return reading.model_copy(update={"source": source})

    def read_audio(self, path: Path, *, source: str, on: date, register: Register, now: datetime) -> Reading:
        """Hear and read a sound file. What cannot be heard gives a reading with `error`, never an exception."""
        from gloveside.extract import vocabulary
        from gloveside.extract.hearing import read_transcript
        from gloveside.speech.decode import decode

        try:
            audio = decode(path, longest_minutes=self._settings.speech.longest_minutes)
            transcript = self.engine().transcribe(audio, vocabulary.build(register))
        except SpeechError as trouble:
            return Reading(source=source, keep=False, error=str(trouble))
        if not transcript.text.strip():
            return Reading(
                source=source,
                engine=transcript.engine,
                seconds=round(transcript.seconds, 2),
                keep=False,
                error=NO_WORDS,
            )
        reading = read_transcript(transcript, self.reader(), on=on, register=register, now=now)
        return reading.model_copy(update={"source": source})
