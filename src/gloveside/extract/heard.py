"""One segment of a note on its way from the engine's text to what was meant, and what all steps of hearing share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from gloveside.extract import everyday, rivals
from gloveside.extract.hearing_settings import HearingSettings
from gloveside.extract.reader import Parse, Reader
from gloveside.extract.register import Register
from gloveside.extract.tokens import split
from gloveside.extract.written import text_of
from gloveside.speech.transcript import Segment


@dataclass(frozen=True, slots=True)
class Change:
    """A repair: what was heard, what was put, and how much better the note then reads."""

    heard: str
    put: str
    gain: float
    touches: str = ""


@dataclass(slots=True)
class Heard:
    """One segment after choice and repair. margin: least lead of a number over its nearest rival (None: not scored)."""

    text: str
    segment: Segment
    changes: list[Change] = field(default_factory=list)
    close: list[rivals.Variant] = field(default_factory=list)
    margin: float | None = None
    chosen: int = 0


@dataclass(slots=True)
class Context:
    """The reader with all that it is told, and how often the engine's sound may still be asked in this note."""

    reader: Reader
    on: date
    register: Register
    now: datetime | None
    settings: HearingSettings
    scores_left: int = 0
    _parses: dict[str, Parse] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Start with the settings' number of scores."""
        self.scores_left = self.settings.most_scores

    def parse(self, text: str) -> Parse:
        """The parse of a text, read once however often it is asked for."""
        if text not in self._parses:
            self._parses[text] = self.reader.parse(text, on=self.on, register=self.register, now=self.now)
        return self._parses[text]

    def score(self, segment: Segment, text: str) -> float | None:
        """The engine's score of a text; None where it has no sound or this note has had its share."""
        if segment.scorer is None or self.scores_left <= 0:
            return None
        self.scores_left -= 1
        return segment.scorer.score(text)


def count(text: str) -> tuple[int, int]:
    """Words and numbers of a text."""
    words = [w for w in split(text)[0] if w[:1].isalnum()]
    return len(words), sum(w.isdigit() for w in words)


def unread(parse: Parse) -> list[str]:
    """Unclaimed words that may matter: numbers and words that are not everyday English."""
    return [w for w in parse.unclaimed if not everyday.is_everyday(w.lower()) and w[:1].isalnum()]


def understood(parse: Parse) -> int:
    """How many entries a text gives, tasks and notes left out: those any talk can give."""
    return sum(e.kind not in ("note", "task") for e in parse.entries)


def merit(parse: Parse) -> float:
    """How well a text reads, in words: nothing unclaimed, no doubt, and something understood."""
    real = sum(e.kind != "note" for e in parse.entries) + len(parse.questions) + len(parse.orders)
    return -1.0 * len(parse.unclaimed) - 0.6 * len(parse.doubts) + (1.0 if real else 0.0)


def with_variant(words: Sequence[str], spaces: Sequence[bool], variant: rivals.Variant) -> str:
    """The text with a rival number in it."""
    return text_of(
        [*words[: variant.start], variant.text, *words[variant.end :]],
        [*spaces[: variant.start], spaces[variant.end - 1], *spaces[variant.end :]],
    )
