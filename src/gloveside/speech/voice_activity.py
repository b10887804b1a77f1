"""Where somebody speaks: the gate in front of every engine, and the cutting of long recordings at their pauses.

The detector is Silero's, in the copy that faster-whisper carries; it runs offline.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from gloveside.speech.transcript import Audio

LONGEST = 28.0  # seconds a segment may last: two less than the engine's window
TOGETHER = 1.5  # seconds; a shorter pause never parts a note that fits into one segment
PAD = 0.4  # seconds of sound kept before and after speech, where the pause allows
BREATH_MS = 160  # a pause shorter than this is part of the speech
SHORTEST_MS = 120  # a sound shorter than this is a click, not speech
LOOK_AHEAD = 120.0  # seconds held back while reading piece by piece


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of sound. start, end: seconds from the start of the recording."""

    start: float
    end: float

    @property
    def seconds(self) -> float:
        """Length in seconds."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Stretch:
    """The sound of one segment. samples: float32; first: index of the first one in the whole recording."""

    samples: npt.NDArray[np.float32]
    first: int
    rate: int

    @property
    def start(self) -> float:
        """Where it starts, in seconds from the start of the recording."""
        return self.first / self.rate

    @property
    def end(self) -> float:
        """Where it ends, in seconds from the start of the recording."""
        return (self.first + len(self.samples)) / self.rate


def speech_spans(audio: Audio) -> list[Span]:
    """Stretches of speech parted by pauses of at least 0.16 s, in order, without padding. Empty: nobody speaks."""
    from faster_whisper.vad import VadOptions, get_speech_timestamps

    if not len(audio.samples):
        return []
    options = VadOptions(
        min_speech_duration_ms=SHORTEST_MS,
        max_speech_duration_s=LONGEST - 1,
        min_silence_duration_ms=BREATH_MS,
        speech_pad_ms=0,
    )
    found = get_speech_timestamps(audio.samples, options, sampling_rate=audio.rate)
    return [Span(s["start"] / audio.rate, s["end"] / audio.rate) for s in found]


def group(spans: list[Span]) -> list[Span]:
    """Join spans into segments of at most `LONGEST` seconds.

    Pauses of `TOGETHER` or more always part; what is still too long is cut at its longest pause, again and again.
    """
    runs: list[list[Span]] = []
    for span in spans:
        if runs and span.start - runs[-1][-1].end < TOGETHER:
            runs[-1].append(span)
        else:
            runs.append([span])
    return [Span(part[0].start, part[-1].end) for run in runs for part in _fitting(run)]


def _fitting(run: list[Span]) -> Iterator[list[Span]]:
    if len(run) == 1 or run[-1].end - run[0].start <= LONGEST:
        yield run
        return
    cut = max(range(1, len(run)), key=lambda i: run[i].start - run[i - 1].end)
    yield from _fitting(run[:cut])
    yield from _fitting(run[cut:])


def padded(segments: list[Span], end: float) -> list[Span]:
    """Widen each segment by `PAD`, at most to the middle of the pause next to it and the ends of the recording."""
    out = []
    for i, span in enumerate(segments):
        before = (segments[i - 1].end + span.start) / 2 if i else 0.0
        after = (span.end + segments[i + 1].start) / 2 if i + 1 < len(segments) else end
        out.append(Span(max(before, span.start - PAD), min(after, span.end + PAD)))
    return out


def stretches(recording: Iterable[Audio]) -> Iterator[Stretch]:
    """The sound of each segment, in order, from a recording that comes in pieces.

    Two minutes are looked at at once, so that memory does not grow with the length; how the recording is cut into
    pieces changes nothing. Every piece must have the rate of the first.
    """
    held = np.zeros(0, np.float32)
    first, rate = 0, 16_000
    for piece in recording:
        rate, at = piece.rate, 0
        while at < len(piece.samples):
            more = piece.samples[at : at + round(LOOK_AHEAD * rate) - len(held)]
            at += len(more)
            held = np.concatenate([held, more]) if len(held) else more
            if len(held) == round(LOOK_AHEAD * rate):
                found = _segments(held, rate)
                done = len(held) - round(PAD * rate)  # a word may be beginning at the very end
                if found and len(held) / rate - found[-1].end < TOGETHER:
                    done = round(found.pop().start * rate)  # it may go on in what follows
                yield from _cut(held, found, first, rate)
                held, first = held[done:].copy(), first + done
    if len(held):
        yield from _cut(held, _segments(held, rate), first, rate)


def _segments(samples: npt.NDArray[np.float32], rate: int) -> list[Span]:
    return padded(group(speech_spans(Audio(samples, rate=rate))), len(samples) / rate)


def _cut(samples: npt.NDArray[np.float32], spans: list[Span], offset: int, rate: int) -> Iterator[Stretch]:
    for span in spans:
        first, last = round(span.start * rate), round(span.end * rate)
        yield Stretch(samples[first:last], offset + first, rate)
