"""A whole recording through an engine, piece by piece, so that an hour takes no more memory than five minutes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from gloveside.speech.decode import LONGEST_MINUTES, Source, pieces
from gloveside.speech.transcript import Audio, PiecewiseEngine, Transcript, Vocabulary


def transcribe_recording(
    engine: PiecewiseEngine,
    source: Source,
    vocabulary: Vocabulary,
    *,
    longest_minutes: float = LONGEST_MINUTES,
    name: str = "",
) -> Transcript:
    """Decode and write down a recording. source: path, bytes or open binary file; name: for messages.

    The result is that of `engine.transcribe(decode(source), vocabulary)`, in memory that does not grow with its length.
    Raises AudioUnreadable or EngineUnavailable with a sentence.
    """
    length = 0.0

    def measured(recording: Iterable[Audio]) -> Iterator[Audio]:
        nonlocal length
        for piece in recording:
            length += piece.seconds
            yield piece

    found = pieces(source, longest_minutes=longest_minutes, name=name)
    segments = tuple(engine.segments(measured(found), vocabulary))
    return Transcript(segments, length, engine.name)
