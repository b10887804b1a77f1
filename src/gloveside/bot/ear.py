"""From one note, spoken or typed, to its reading: the engine, the vocabulary and the reader behind one call."""

from __future__ import annotations

import logging
import threading
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from gloveside.bot.loading import loading
from gloveside.bot.settings import Settings, Speech
from gloveside.extract.models import Reading
from gloveside.extract.register import Register
from gloveside.speech.transcript import Audio, SpeechError, Transcript, Vocabulary

if TYPE_CHECKING:
    from gloveside.extract.hearing_settings import HearingSettings
    from gloveside.extract.reader import Reader
    from gloveside.speech.transcript import Engine

log = logging.getLogger(__name__)

LONGEST_TEXT = 8000
"""Letters of a typed note; a chat message has at most 4,096."""
NO_WORDS = "I heard no words in that note. The sound is kept: hold the phone nearer and say it again."


def engine_for(settings: Speech, folder: Path) -> Engine:
    """The speech engine of an operation's settings, no model loaded yet. Raises EngineUnavailable with a sentence."""
    from gloveside.speech.engines import open_engine

    return open_engine(
        settings.engine,
        data_folder=folder,
        vosk_model=settings.vosk_model,
        threads=settings.threads or 2,
        prompting=settings.prompting,
    )


class Ear:
    """Reads notes. The engine and the reader are loaded when they are first needed; calls may come from any thread."""

    def __init__(self, settings: Settings, folder: Path) -> None:
        self._settings = settings
        self._folder = folder
        self._lock = threading.Lock()
        self._reader: Reader | None = None
        self._engine: Engine | None = None
        self._told = ""

    def reader(self) -> Reader:
        """The reader of typed text."""
        with self._lock:
            if self._reader is None:
                with loading():
                    from gloveside.extract import hearing  # noqa: F401 - what reads a note needs it at once
                    from gloveside.extract.reader import Reader

                    self._reader = Reader()
            return self._reader

    def engine(self) -> Engine:
        """The speech engine. Raises EngineUnavailable with a sentence where none can be used."""
        with self._lock:
            if self._engine is None:
                self._engine = engine_for(self._settings.speech, self._folder)
            return self._engine

    def warm(self) -> None:
        """Load the reader and, where one can be used, the engine now: the first note is then as quick as the next."""
        self.reader()
        try:
            engine = self.engine()
            engine.warm()
        except SpeechError as trouble:
            log.warning("%s", trouble)
        else:
            self._tell(engine)

    def _tell(self, engine: Engine) -> None:
        """Log what the engine has to say, once for each wording: it hears, but not as well as it could."""
        if engine.notice and engine.notice != self._told:
            log.warning("%s", engine.notice)
        self._told = engine.notice

    def read_text(self, text: str, *, source: str, on: date, register: Register, now: datetime) -> Reading:
        """Read typed text."""
        if len(text) > LONGEST_TEXT:
            error = f"That note has {len(text)} letters. Send it in parts of at most {LONGEST_TEXT}; it is stored."
            return Reading(source=source, raw=text, keep=False, error=error)
        reader = self.reader()
        from gloveside.extract import hearing

        reading = hearing.read_text(text, reader, on=on, register=register, now=now, settings=self._hearing())
        return reading.model_copy(update={"source": source})

    def read_audio(self, path: Path, *, source: str, on: date, register: Register, now: datetime) -> Reading:
        """Hear and read a sound file. What cannot be heard gives a reading with `error`, never an exception."""
        reader = self.reader()
        from gloveside.extract import hearing, vocabulary

        try:
            transcript = self._heard(path, vocabulary.build(register))
        except SpeechError as trouble:
            return Reading(source=source, keep=False, error=str(trouble))
        told = {"source": source, "engine": transcript.engine, "seconds": round(transcript.seconds, 2)}
        if not transcript.text:
            return Reading(keep=False, error=NO_WORDS, **told)
        reading = hearing.read_transcript(
            transcript, reader, on=on, register=register, now=now, settings=self._hearing()
        )
        return reading.model_copy(update=told)

    def _hearing(self) -> HearingSettings:
        """How hearing weighs things, with the operator's own line between keeping and asking."""
        from gloveside.extract.hearing_settings import HearingSettings

        return HearingSettings(ask_below=self._settings.reading.ask_below)

    def _heard(self, path: Path, vocabulary: Vocabulary) -> Transcript:
        """Decode and transcribe piece by piece, so that memory does not grow with the length of a recording."""
        from gloveside.speech.decode import pieces

        seconds = 0.0

        def counted() -> Iterator[Audio]:
            nonlocal seconds
            for piece in pieces(path, longest_minutes=self._settings.speech.longest_minutes):
                seconds += piece.seconds
                yield piece

        engine = self.engine()
        segments = tuple(engine.segments(counted(), vocabulary))
        self._tell(engine)
        return Transcript(segments, seconds, engine.name)
