"""The engine `whisper`: the bundled English weights on CTranslate2, offline, with or without the trained ear."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, Literal

from gloveside.speech import adapter as ear
from gloveside.speech.beam import Beam, Decoded, Samples, SegmentScorer, looping
from gloveside.speech.sound_store import SoundStore
from gloveside.speech.transcript import Audio, EngineUnavailable, Segment, Transcript, Vocabulary
from gloveside.speech.voice_activity import Stretch, stretches
from gloveside.speech.weights import BASE_NAME, NEEDED, REINSTALL, base_folder, checked_base

# With the trained ear: of 60 spoken notes at 5 dB of wind and hum none was below -1.1 in score and above 0.02; the six
# texts that 50 clips of noise alone made were below -3.5 (bench/ears)
NO_SPEECH_EAR = 0.3
LEAST_SCORE_EAR = -2.0
NO_SPEECH = 0.6  # above it a segment is dropped whatever its score: speech was below 0.35, wind and silence above 0.68

Prompting = Literal["auto", "always", "never"]


class WhisperEngine:
    """Hears English. The model is loaded at the first call, once, whatever the thread.

    data_folder: where checks and the model with the trained ear are kept (None: nothing is kept, no ear).
    threads: CPU threads of one note.
    adapter: the trained ear, an `.npz` as in `gloveside.speech.adapter` (None: none).
    weights: folder of other CTranslate2 weights of a Whisper model (None: the bundled ones, checked by SHA-256).
    notice: what the caller has to say about the choice of this engine.
    prompting: `auto` gives the vocabulary's prompt only where no trained ear is loaded.
    """

    def __init__(
        self,
        *,
        data_folder: Path | None = None,
        threads: int = 2,
        adapter: Path | None = None,
        weights: Path | None = None,
        prompting: Prompting = "auto",
        notice: str = "",
    ) -> None:
        self._data_folder, self._threads, self._prompting = data_folder, threads, prompting
        self._adapter, self._weights = adapter, weights
        self._lock = threading.Lock()
        self._beam: Beam | None = None
        self._adapted = False
        self._notice = notice

    @property
    def name(self) -> str:
        """`whisper:tiny.en`, with `+ear` once the trained ear is in use."""
        return f"whisper:{self._weights.name if self._weights else BASE_NAME}" + ("+ear" if self._adapted else "")

    @property
    def notice(self) -> str:
        """A sentence about what does not work as it should (empty: all well), known after `warm` or a first note."""
        return self._notice

    def warm(self) -> None:
        """Load the model now. Raises EngineUnavailable with a sentence."""
        self._loaded()

    def describe(self) -> dict[str, str]:
        """What hears, for a report: label -> text. Loads no model and raises nothing."""
        try:
            weights = str(self._weights or base_folder())
        except EngineUnavailable as trouble:
            weights = str(trouble)
        report = {"engine": self.name, "weights": weights, "threads": str(self._threads)}
        report["trained ear"] = str(self._adapter) if self._adapter else "none: primed with a prompt"
        if self._notice:
            report["notice"] = self._notice
        return report

    def transcribe(self, audio: Audio, vocabulary: Vocabulary) -> Transcript:
        """Write down what is said; silence and wind give a transcript without segments."""
        found = []
        for stretch in stretches([audio]):
            load = _slice_of(audio.samples, stretch.first, stretch.first + len(stretch.samples))
            found.append(self._segment(stretch, vocabulary, load))
        return Transcript(tuple(s for s in found if s is not None), audio.seconds, self.name)

    def segments(self, recording: Iterable[Audio], vocabulary: Vocabulary) -> Iterator[Segment]:
        """Write down a recording that comes in pieces, segment by segment, as soon as each is heard."""
        store = SoundStore()
        for stretch in stretches(recording):
            segment = self._segment(stretch, vocabulary, store.keep(stretch.samples))
            if segment is not None:
                yield segment

    def _segment(self, stretch: Stretch, vocabulary: Vocabulary, load: Callable[[], Samples]) -> Segment | None:
        beam = self._loaded()
        start = beam.start(vocabulary.prompt if self._prompted() else "")
        sound = beam.sound(load, len(stretch.samples))
        found = beam.search(sound, start)
        if not _spoken(found, with_ear=self._adapted):
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
                model = self._open(self._folder())
                fitted = self._adapted and self._adapter is not None and ear.hears_in_fitted_windows(self._adapter)
                self._beam = Beam(model, fitted=fitted)
            return self._beam

    def _folder(self) -> Path:
        """The model's folder, with the trained ear where it can be had; else `notice` says why not."""
        if self._weights is None:
            base = checked_base(self._data_folder)
        else:
            base = self._weights
            if missing := [name for name in NEEDED[:3] if not (base / name).is_file()]:
                raise EngineUnavailable(
                    f"The folder {base} holds no speech model: {', '.join(missing)} missing. "
                    "Name another folder, or none to use the bundled one."
                )
        if self._adapter is None or self._data_folder is None:
            return base
        try:
            folder = ear.patched_model(base, self._adapter, self._data_folder)
        except EngineUnavailable as trouble:
            self._notice = f"{self._notice} Hearing without the trained ear, which is less exact. {trouble}".strip()
            return base
        self._adapted = True
        return folder

    def _open(self, folder: Path) -> Any:
        try:
            from faster_whisper import WhisperModel

            # A folder that is not there would be taken for a name on a model hub: checked before, and never looked up.
            return WhisperModel(
                str(folder), device="cpu", compute_type="int8", cpu_threads=self._threads, local_files_only=True
            )
        except (ImportError, RuntimeError, ValueError, OSError) as error:
            raise EngineUnavailable(f"The speech engine cannot be started: {error}. {REINSTALL}") from error


def _slice_of(samples: Samples, first: int, last: int) -> Callable[[], Samples]:
    return lambda: samples[first:last]


def _spoken(found: Decoded, *, with_ear: bool = False) -> bool:
    """Whether a text was spoken at all, and is not what wind or a loop of the decoder made."""
    noise = with_ear and found.score < LEAST_SCORE_EAR
    limit = NO_SPEECH_EAR if with_ear else NO_SPEECH
    return bool(found.rivals) and found.no_speech <= limit and not noise and not looping(found.text)
