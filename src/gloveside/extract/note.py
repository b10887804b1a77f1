"""One annotated note: its tokens, what they may mean, and what is known of each."""

from __future__ import annotations

from dataclasses import dataclass, field

from spacy.tokens import Doc

from gloveside.extract.dates import DateSpan
from gloveside.extract.numbers import NumberSpan
from gloveside.extract.patterns import Lattice
from gloveside.extract.places import PlaceSpan

STOPS = {".", ";", "!", "?"}
PREPOSITIONS = {"in", "on", "at", "into", "to", "from", "of", "for", "off", "inside", "onto", "with", "by", "over"}


@dataclass(frozen=True, slots=True)
class Cue:
    """A scope cue over tokens start..end-1."""

    start: int
    end: int
    scope: str
    concept: str


@dataclass(slots=True)
class Note:
    """An annotated note.

    lower: tokens in lower case; lattice: what they may mean; content: tokens of concepts with meaning; soft: tokens
    that say nothing; filler: those that may open a question; light: tokens that say nothing once something else is
    understood; trade: tokens that only the trade says; sentence, clause: their number for each token;
    negated: tokens at which a match is negated -> the cue; blocked: tokens under a future or conditional cue -> cue;
    northern: whether summer is in June.
    """

    doc: Doc
    lower: list[str]
    lattice: Lattice
    places: list[PlaceSpan] = field(default_factory=list)
    rounds: list[tuple[int, int, int]] = field(default_factory=list)
    dates: list[DateSpan] = field(default_factory=list)
    cues: list[Cue] = field(default_factory=list)
    soft: set[int] = field(default_factory=set)
    light: set[int] = field(default_factory=set)
    content: set[int] = field(default_factory=set)
    trade: set[int] = field(default_factory=set)
    filler: set[int] = field(default_factory=set)
    numbers: dict[int, NumberSpan] = field(default_factory=dict)
    sentence: list[int] = field(default_factory=list)
    clause: list[int] = field(default_factory=list)
    negated: dict[int, Cue] = field(default_factory=dict)
    blocked: dict[int, Cue] = field(default_factory=dict)
    northern: bool = False

    def text(self, start: int, end: int) -> str:
        """The note's own words of a token range."""
        return str(self.doc[start:end].text).strip()

    def of_places(self) -> set[int]:
        """Tokens that name a place."""
        return {at for p in self.places for at in range(p.start, p.end)}

    def of_rounds(self) -> set[int]:
        """Tokens that name a round."""
        return {at for left, right, _ in self.rounds for at in range(left, right)}

    def of_dates(self) -> set[int]:
        """Tokens that name a day or a stretch of days."""
        return {at for d in self.dates for at in range(d.start, d.end)}


class Unsure(int):
    """A number said as one of two: "seven or eight"."""

    rivals: tuple[int, ...] = ()
