"""The engine `vosk`: a Vosk model folder of the operator's, primed with the phrases of the trade."""

from __future__ import annotations

import json
import math
import threading
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from gloveside.speech.sound_store import pcm
from gloveside.speech.transcript import Audio, EngineUnavailable, Hypothesis, Segment, Transcript, Vocabulary, Word
from gloveside.speech.voice_activity import Stretch, stretches

CHUNK = 8000  # bytes handed over at once: a quarter of a second
UNKNOWN_MARKS = ("[unk]", "<unk>", "<UNK>")  # models differ in how they write "some other word"
MOSTLY = 0.5  # share of unknown words above which the primed text is not the first choice
LEAST_PROBABILITY = 1e-10
NAMED = 12  # unknown words named in a notice

HOW_TO_GET = (
    "Name the folder that holds `am` and `graph` in the settings (speech.vosk_model), or run: gloveside voice get."
)


def check_folder(folder: Path) -> None:
    """Check that a folder looks like a Vosk model before the library sees it. Raises EngineUnavailable."""
    if not folder.is_dir():
        raise EngineUnavailable(f"There is no folder {folder} with a Vosk model. {HOW_TO_GET}")
    if not (folder / "am" / "final.mdl").is_file():
        raise EngineUnavailable(f"{folder} is not a Vosk model: am/final.mdl is missing. {HOW_TO_GET}")
    graph = folder / "graph"
    if not (graph / "HCLG.fst").is_file() and not ((graph / "HCLr.fst").is_file() and (graph / "Gr.fst").is_file()):
        raise EngineUnavailable(
            f"{folder} is not a whole Vosk model: graph/HCLG.fst, or graph/HCLr.fst with graph/Gr.fst, is missing. "
            f"{HOW_TO_GET}"
        )


@dataclass(frozen=True, slots=True)
class Priming:
    """What a recogniser is primed with. grammar: JSON list of phrases, "" for none; unknown: words the model lacks."""

    grammar: str
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Heard:
    words: tuple[Word, ...]
    share_unknown: float

    @property
    def text(self) -> str:
        return " ".join(w.text for w in self.words)

    @property
    def score(self) -> float:
        if not self.words:
            return math.log(LEAST_PROBABILITY)
        return sum(math.log(max(w.probability, LEAST_PROBABILITY)) for w in self.words) / len(self.words)


class VoskEngine:
    """Hears through libvosk. The model is loaded at the first call; one model serves all threads.

    The library forces every sound onto the phrases it is primed with, so its word probabilities prove little: the
    voice-activity gate stands in front, and a segment that is mostly other words is heard again without priming.
    """

    def __init__(self, folder: Path) -> None:
        self._path = folder
        self._lock = threading.Lock()
        self._model: Any = None
        self._notice = ""
        self._primings = lru_cache(maxsize=4)(self._primed)

    @property
    def name(self) -> str:
        """`vosk:` and the name of the model's folder."""
        return f"vosk:{self._path.name}"

    @property
    def notice(self) -> str:
        """A sentence about words that the model does not know (empty: all well), known after a first note."""
        return self._notice

    def warm(self) -> None:
        """Load the model now. Raises EngineUnavailable with a sentence."""
        self._loaded()

    def describe(self) -> dict[str, str]:
        """What hears, for a report: label -> text. Loads no model and raises nothing."""
        report = {"engine": self.name, "model": str(self._path)}
        try:
            check_folder(self._path)
        except EngineUnavailable as trouble:
            report["notice"] = str(trouble)
        if self._notice:
            report["notice"] = self._notice
        return report

    def unknown_words(self, vocabulary: Vocabulary) -> tuple[str, ...]:
        """Words of the vocabulary that the model cannot hear, in alphabetical order."""
        return self._primings(vocabulary.words, vocabulary.phrases).unknown

    def transcribe(self, audio: Audio, vocabulary: Vocabulary) -> Transcript:
        """Write down what is said; silence and wind give a transcript without segments."""
        return Transcript(tuple(self.segments([audio], vocabulary)), audio.seconds, self.name)

    def segments(self, recording: Iterable[Audio], vocabulary: Vocabulary) -> Iterator[Segment]:
        """Write down a recording that comes in pieces, segment by segment, as soon as each is heard."""
        for stretch in stretches(recording):
            priming = self._primings(vocabulary.words, vocabulary.phrases)
            found = self._hear(stretch, priming.grammar)
            rivals = [found]
            if priming.grammar and (not found.words or found.share_unknown > MOSTLY):
                rivals.insert(0, self._hear(stretch, ""))
            rivals = [r for r in rivals if r.words]
            if rivals:
                yield Segment(
                    text=rivals[0].text,
                    start=stretch.start,
                    end=stretch.end,
                    words=rivals[0].words,
                    alternatives=tuple({r.text: Hypothesis(r.text, r.score) for r in rivals}.values()),
                    score=rivals[0].score,
                )

    def _loaded(self) -> Any:
        with self._lock:
            if self._model is None:
                check_folder(self._path)
                try:
                    import vosk
                except (ImportError, OSError) as error:
                    raise EngineUnavailable(
                        f"Vosk cannot be started here: {error}. Choose the engine whisper in the settings."
                    ) from error
                vosk.SetLogLevel(-2)  # before the model: it writes to the terminal otherwise
                try:
                    self._model = vosk.Model(str(self._path))
                except Exception as error:  # the library raises plain Exception
                    raise EngineUnavailable(
                        f"The Vosk model in {self._path} is damaged or of a kind that cannot be read. "
                        "Delete the folder, then run: gloveside voice get."
                    ) from error
            return self._model

    def _primed(self, words: tuple[str, ...], phrases: tuple[str, ...]) -> Priming:
        """Phrases and words in the model's own vocabulary. Never an empty list: libvosk crashes on it."""
        model = self._loaded()
        known: dict[str, bool] = {}
        kept: dict[str, None] = {}
        for phrase in (*phrases, *words):
            parts = phrase.split()
            for part in parts:
                if part not in known:
                    known[part] = model.vosk_model_find_word(part) >= 0
            if heard := " ".join(part for part in parts if known[part]):
                kept[heard] = None
        unknown = tuple(sorted(part for part, is_known in known.items() if not is_known))
        self._notice = _about_unknown(unknown, len(known))
        # A ready-made graph (HCLG.fst) cannot be primed: the library would only warn and go on.
        if not kept or not (self._path / "graph" / "HCLr.fst").is_file():
            return Priming("", unknown)
        if mark := next((m for m in UNKNOWN_MARKS if model.vosk_model_find_word(m) >= 0), None):
            kept[mark] = None
        return Priming(json.dumps(list(kept), ensure_ascii=False), unknown)

    def _hear(self, stretch: Stretch, grammar: str) -> _Heard:
        import vosk

        arguments = [self._loaded(), stretch.rate, *([grammar] if grammar else [])]
        recogniser = vosk.KaldiRecognizer(*arguments)
        recogniser.SetWords(True)
        data = pcm(stretch.samples)
        results = []
        for at in range(0, len(data), CHUNK):
            if recogniser.AcceptWaveform(data[at : at + CHUNK]):
                results.append(recogniser.Result())  # a pause ends a result: all but the last would be lost without it
        results.append(recogniser.FinalResult())
        found = [word for result in results for word in json.loads(result).get("result", [])]
        named = [word for word in found if word["word"] not in UNKNOWN_MARKS]
        return _Heard(
            tuple(
                Word(
                    word["word"],
                    round(stretch.start + word["start"], 2),
                    round(stretch.start + word["end"], 2),
                    min(1.0, float(word["conf"])),
                )
                for word in named
            ),
            1 - len(named) / len(found) if found else 0.0,
        )


def _about_unknown(unknown: tuple[str, ...], total: int) -> str:
    if not unknown:
        return ""
    more = f" and {len(unknown) - NAMED} more" if len(unknown) > NAMED else ""
    return (
        f"This Vosk model does not know {len(unknown)} of {total} words: {', '.join(unknown[:NAMED])}{more}. "
        "It will write others for them; the engine whisper can hear them."
    )
