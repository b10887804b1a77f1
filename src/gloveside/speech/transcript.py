"""What an engine returns: words with times and probabilities, and the rival texts where it has them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
import numpy.typing as npt


@dataclass(frozen=True, slots=True)
class Audio:
    """Mono samples at 16 kHz.

    samples: float32, shape (n,), in -1..1.  name: where they came from, for messages.
    """

    samples: npt.NDArray[np.float32]
    name: str = ""
    rate: int = 16_000

    @property
    def seconds(self) -> float:
        """Length in seconds."""
        return len(self.samples) / self.rate


@dataclass(frozen=True, slots=True)
class Word:
    """One word as heard. start, end: seconds from the start of the note; probability: 0..1."""

    text: str
    start: float
    end: float
    probability: float


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One rival text of a segment. score: mean log probability of a token (0 is best)."""

    text: str
    score: float


class Scorer(Protocol):
    """Scores any given text against the sound of one segment (teacher forcing)."""

    def score(self, text: str) -> float:
        """Sum of the log probabilities of the text's tokens; higher is better."""
        ...


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of speech between pauses, at most 30 s.

    alternatives: all rival texts, best first, the first-choice text leading (empty: the engine has none).
    score: of the first-choice text, as in Hypothesis.  no_speech: the engine's probability that nothing was said (None:
    not known).
    scorer: present while the engine still holds the encoded sound, else None.
    """

    text: str
    start: float
    end: float
    words: tuple[Word, ...] = ()
    alternatives: tuple[Hypothesis, ...] = ()
    score: float = 0.0
    no_speech: float | None = None
    scorer: Scorer | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Transcript:
    """All that was heard in one note, in order. seconds: length of the audio."""

    segments: tuple[Segment, ...]
    seconds: float
    engine: str

    @property
    def text(self) -> str:
        """The first-choice text of the whole note."""
        return " ".join(s.text.strip() for s in self.segments if s.text.strip())

    @property
    def words(self) -> tuple[Word, ...]:
        """All words, on one clock."""
        return tuple(w for s in self.segments for w in s.words)


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """What an engine may expect to hear; built by `gloveside.extract.vocabulary`.

    words: single words of the trade, lower case.  phrases: short phrases as spoken, numbers in words, lower case.
    prompt: sentences as the engine should write them (digits, capitals, full stops), about 100 tokens, best last.
    """

    words: tuple[str, ...] = ()
    phrases: tuple[str, ...] = ()
    prompt: str = ""


class Engine(Protocol):
    """Any speech engine."""

    @property
    def name(self) -> str:
        """For example `whisper:tiny.en`."""
        ...

    def transcribe(self, audio: Audio, vocabulary: Vocabulary) -> Transcript:
        """Write down what is said in the audio; silence gives a transcript without segments."""
        ...

    @property
    def notice(self) -> str:
        """A sentence about what does not work as it should, for the operator; empty where all is well."""
        ...

    def segments(self, recording: Iterable[Audio], vocabulary: Vocabulary) -> Iterator[Segment]:
        """Write down a recording whose pieces follow each other without gap, segment by segment as each is heard."""
        ...

    def warm(self) -> None:
        """Load the model now rather than with the first note. Raises EngineUnavailable with a sentence."""
        ...

    def describe(self) -> dict[str, str]:
        """What hears, for a report: short label -> text. Loads no model and raises nothing."""
        ...


class SpeechError(Exception):
    """Something about the sound or the engine; the message is a sentence for the operator."""


class AudioUnreadable(SpeechError):
    """The file holds no sound that can be decoded."""


class EngineUnavailable(SpeechError):
    """The engine or its model is missing or damaged."""
