"""What is known of the operation when a note is read: places, rounds, the last place. Passed in, never looked up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class RoundKnown:
    """A round in the record. bars: cups grafted on each bar, in order; builder: the cell builder's place."""

    number: int
    grafted: date | None = None
    bars: tuple[int, ...] = ()
    larvae: int | None = None
    builder: str | None = None
    open: bool = True


@dataclass(frozen=True, slots=True)
class Register:
    """Known places and rounds. While `places` is empty every place is taken as it is said.

    places: canonical strings.  builders, mothers: places in that role.  rounds: by number.
    last_place, last_place_at: of the operator's last note, for "here" and "this one".
    names: extra words of the operator (preferred spelling), for the prompt and the reader.
    corrections: heard -> meant, learnt from the operator's own corrections.
    northern: whether summer is in June, for questions about a season of the year.
    """

    places: frozenset[str] = frozenset()
    builders: frozenset[str] = frozenset()
    mothers: frozenset[str] = frozenset()
    rounds: Mapping[int, RoundKnown] = field(default_factory=dict)
    last_place: str | None = None
    last_place_at: datetime | None = None
    names: tuple[str, ...] = ()
    corrections: Mapping[str, str] = field(default_factory=dict)
    northern: bool = False

    def knows(self, place: str) -> bool:
        """Whether the place may be taken as said."""
        return not self.places or place in self.places
