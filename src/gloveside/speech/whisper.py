"""The engine `whisper`: the bundled English weights on CTranslate2, offline, with or without the trained adapter."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Literal

from gloveside.speech.beam import Beam, Decoded, Samples, SegmentScorer, looping
from gloveside.speech.transcript import Audio, EngineUnavailable, Segment, Transcript, Vocabulary
from gloveside.speech.voice_activity import Stretch, stretches
from gloveside.speech.weights import BASE_NAME, REINSTALL, checked_base

NO_SPEECH = 0.6  # above it a segment is dropped whatever its score: speech was below 0.35, wind and silence above 0.68

Prompting = Literal["auto", "always", "never"]


class WhisperEngine:
    """Hears English. The model is loaded at the first call, once, whatever the thread.

    data_folder: where checks and the patched weights are kept (None: nothing is kept, no adapter).
    prompting: `auto` gives the vocabulary's prompt only where no adapter is loaded.
    """

    def __init__(self, *, data_folder: Path | None = None, threads: int = 2, prompting: Prompting = "auto") -> None:
        self._data_folder, self._threads, self._prompting = data_folder, threads, prompting
        self._lock = threading.Lock()
        self._beam: Beam | None = None
        self._adapted = False
        self._notice = ""

    @property
    def name(self) -> str:
        """`whisper:tiny.en`, with `+ear` once the trained adapter is in use."""
        return f"whisper:{BASE_NAME}" + ("+ear" if self._adapted else "")

    @property
    def notice(self) -> str:
        """A sentence about what does not work as it should (empty: all well), known after `warm` or a first note."""
        return self._notice

    def warm(self) -> None:
        """Load the model now. Raises EngineUnavailable with a sentence."""
        self._loaded()

    def transcribe(self, audio: Audio, vocabulary: Vocabulary) -> Transcript:
        """Write down what is said; silence and wind give a transcript without segments."""
        segments = tuple(self.segments([audio], vocabulary))
        return Transcript(segments, audio.seconds, self.name)

    def segments(self, recording: Iterable[Audio], vocabulary: Vocabulary) -> Iterator[Segment]:
        """Write down a recording that comes in pieces, segment by segment, as soon as each is heard."""
        for stretch in stretches(recording):
            segment = self._segment(stretch, vocabulary)
            if segment is not None:
                yield segment

    def _segment(self, stretch: Stretch, vocabulary: Vocabulary) -> Segment | None:
        beam = self._loaded()
        start = beam.start(vocabulary.prompt if self._prompted() else "")
        sound = beam.sound(_reader(stretch), len(stretch.samples))
        found = beam.search(sound, start)
        if not _spoken(found):
            return None
        return Segment(
            text=found.text,
            start=stretch.start,
            end=stretch.end,
            words=beam.words(sound, start, found.tokens, stretch.start),
            alternatives=found.rivals,
            score=found.score,
            no_speech=found.no_speech,
            scorer=SegmentScorer(beam, sound, start),
        )

    def _prompted(self) -> bool:
        return self._prompting == "always" or (self._prompting == "auto" and not self._adapted)

    def _loaded(self) -> Beam:
        with self._lock:
            if self._beam is None:
                self._beam = Beam(self._load(checked_base(self._data_folder)))
            return self._beam

    def _load(self, folder: Path) -> object:
        try:
            from faster_whisper import WhisperModel

            # A folder that is not there would be taken for a name on a model hub: checked before, and never looked up.
            return WhisperModel(
                str(folder), device="cpu", compute_type="int8", cpu_threads=self._threads, local_files_only=True
            )
        except (ImportError, RuntimeError, ValueError, OSError) as error:
            raise EngineUnavailable(f"The speech engine cannot be started: {error}. {REINSTALL}") from error


def _reader(stretch: Stretch) -> Callable[[], Samples]:
    return lambda: stretch.samples


def _spoken(found: Decoded) -> bool:
    return bool(found.rivals) and found.no_speech <= NO_SPEECH and not looping(found.text)
