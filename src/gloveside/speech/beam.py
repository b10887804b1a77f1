"""One segment through the Whisper decoder: rival texts, word times, and the score of any given text."""

from __future__ import annotations

import math
import threading
import unicodedata
import zlib
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from gloveside.speech.transcript import Hypothesis, Word

BEAM = 5
WINDOW_FRAMES = 3000  # the encoder's window of 30 s
# An ear trained in windows as long as the sound is given such: at least half a second more, in whole seconds. The plain
# weights loop in short windows when it is noisy (measured).
SPARE_FRAMES = 50
STEP_FRAMES = 100
FRAME_SECONDS = 0.01  # one step of the features
TOKEN_SECONDS = 0.02  # one step of the encoder's output
MAX_LENGTH = 448  # positions of the decoder, the prompt included
PROMPT_TOKENS = 223
# A text that packs better than this says the same thing over and over.
# 2.4 is the customary line of Whisper decoders (openai/whisper, `compression_ratio_threshold`).
LOOPING = 2.4
LEAST_PROBABILITY = 1e-10
SCORED_ENCODINGS = 16  # sounds whose encoding is held at once: 2.3 MB each

Samples = npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Decoded:
    """What beam search made of one segment. tokens: of the first choice; rivals: the first choice leads."""

    text: str
    tokens: tuple[int, ...]
    score: float
    rivals: tuple[Hypothesis, ...]
    no_speech: float


class Sound:
    """The sound of one segment, encoded when first needed and again when its encoding has been given up since."""

    def __init__(self, load: Callable[[], Samples], frames: int) -> None:
        self.load = load
        self.frames = frames
        self.encoding: Any = None


class Beam:
    """Decoder calls on one loaded model. Safe to use from several threads.

    model: a `faster_whisper.WhisperModel` of a Whisper model.
    fitted: whether it was trained to hear in windows as long as the sound, which is several times quicker.
    """

    def __init__(self, model: Any, *, fitted: bool = False) -> None:
        from faster_whisper.tokenizer import Tokenizer

        self._model, self._fitted = model, fitted
        self._tokenizer = Tokenizer(model.hf_tokenizer, model.model.is_multilingual, task="transcribe", language="en")
        self._recent: deque[Sound] = deque()
        self._lock = threading.Lock()

    def start(self, prompt: str) -> list[int]:
        """The start sequence: the prompt's last tokens where there is one, then the marks of a transcript."""
        head: list[int] = []
        if prompt.strip():
            tokens = self._tokenizer.encode(" " + prompt.strip())[-PROMPT_TOKENS:]
            head = [self._tokenizer.sot_prev, *tokens]
        return [*head, *self._tokenizer.sot_sequence]

    def sound(self, load: Callable[[], Samples], length: int) -> Sound:
        """A segment's sound. load: gives its samples, again whenever called; length: how many they are."""
        return Sound(load, min(WINDOW_FRAMES, max(1, length // self._model.feature_extractor.hop_length)))

    def encode(self, sound: Sound) -> Any:
        """The encoder's output for the sound's window, kept while the sound is among the last used."""
        from faster_whisper.audio import pad_or_trim

        with self._lock:
            encoding = sound.encoding
        if encoding is None:
            features = self._model.feature_extractor(sound.load())[:, :WINDOW_FRAMES]
            window = fitted_window(features.shape[1]) if self._fitted else WINDOW_FRAMES
            encoding = self._model.encode(pad_or_trim(features, window))
        with self._lock:
            if sound in self._recent:
                self._recent.remove(sound)
            self._recent.append(sound)
            sound.encoding = encoding
            if len(self._recent) > SCORED_ENCODINGS:
                self._recent.popleft().encoding = None
        return encoding

    def search(self, sound: Sound, start: list[int]) -> Decoded:
        """Beam search at temperature 0 without time stamps; the first choice is that of a plain search.

        A text that loops is searched for again with repeats forbidden.
        """
        found = self._search(sound, start)
        if looping(found.text):
            found = self._search(sound, start, no_repeat_ngram_size=4)
        return found

    def _search(self, sound: Sound, start: list[int], **options: int) -> Decoded:
        result = self._model.model.generate(
            self.encode(sound),
            [[*start, self._tokenizer.no_timestamps]],
            beam_size=BEAM,
            num_hypotheses=BEAM,
            return_scores=True,
            return_no_speech_prob=True,
            max_length=MAX_LENGTH,
            **options,
        )[0]
        texts = [self._tokenizer.decode(tokens).strip() for tokens in result.sequences_ids]
        tokens = tuple(t for t in result.sequences_ids[0] if t < self._tokenizer.eot)
        return Decoded(
            texts[0],
            tokens,
            float(result.scores[0]),
            distinct(Hypothesis(t, float(s)) for t, s in zip(texts, result.scores, strict=True)),
            float(result.no_speech_prob),
        )

    def words(self, sound: Sound, start: list[int], tokens: tuple[int, ...], offset: float) -> tuple[Word, ...]:
        """Words with times (seconds, plus the offset) and probabilities.

        A word's probability is the product over its tokens, punctuation left out.
        """
        if not tokens:
            return ()
        result = self._model.model.align(self.encode(sound), start, [list(tokens)], sound.frames)[0]
        begins: dict[int, float] = {}
        for token, step in result.alignments:
            begins.setdefault(int(token), int(step) * TOKEN_SECONDS)
        last = sound.frames * FRAME_SECONDS
        spelled = [self._tokenizer.decode([t]) for t in tokens]
        firsts = [i for i, text in enumerate(spelled) if i == 0 or text.startswith(" ")]
        words = []
        for first, after in zip(firsts, [*firsts[1:], len(tokens)], strict=True):
            text = self._tokenizer.decode(list(tokens[first:after])).strip()
            if not text:
                continue
            probability = 1.0
            for i in range(first, after):
                if any(c.isalnum() for c in spelled[i]) or not spelled[i].isascii():
                    probability *= float(result.text_token_probs[i])
            begin = min(begins.get(first, last), last)
            end = min(max(begin, begins.get(after, last)), last)
            words.append(Word(text, round(offset + begin, 2), round(offset + end, 2), min(1.0, probability)))
        return tuple(words)

    def score(self, sound: Sound, start: list[int], text: str) -> float:
        """Sum of the log probabilities of the text's tokens; minus infinity for an empty text.

        The end of the text is not counted: shorter texts win unfairly, so compare only texts of like length.
        One text at a time: several in one call would copy the encoding for each, which is slower.
        """
        if not text.strip():
            return -math.inf
        tokens = self._tokenizer.encode(" " + text.strip())[: MAX_LENGTH - len(start) - 2]
        # The number of frames moves only the times, which are not used here; ten are quicker than all.
        result = self._model.model.align(self.encode(sound), start, [tokens], 10)[0]
        return float(np.log(np.maximum(result.text_token_probs, LEAST_PROBABILITY)).sum())


class SegmentScorer:
    """Scores texts against one segment (the protocol `Scorer`)."""

    def __init__(self, beam: Beam, sound: Sound, start: list[int]) -> None:
        self._beam, self._sound, self._start = beam, sound, start

    def score(self, text: str) -> float:
        """Sum of the log probabilities of the text's tokens; higher is better."""
        return self._beam.score(self._sound, self._start, text)


def fitted_window(frames: int) -> int:
    """Frames of the window for a sound of so many frames (10 ms each)."""
    return min(WINDOW_FRAMES, -(-(frames + SPARE_FRAMES) // STEP_FRAMES) * STEP_FRAMES)


def looping(text: str) -> bool:
    """Whether a text says the same thing over and over."""
    data = text.encode()
    return len(data) / len(zlib.compress(data)) > LOOPING if data else False


def folded(text: str) -> str:
    """The text without case, punctuation and doubled blanks, for telling whether two say the same."""
    kept = (c if c.isalnum() or c in "$%" else " " for c in unicodedata.normalize("NFKC", text).casefold())
    return " ".join("".join(kept).split())


def distinct(hypotheses: Any) -> tuple[Hypothesis, ...]:
    """The hypotheses that differ by more than case and punctuation, best first; empty ones left out."""
    seen: dict[str, Hypothesis] = {}
    for hypothesis in hypotheses:
        if key := folded(hypothesis.text):
            seen.setdefault(key, hypothesis)
    return tuple(seen.values())
