"""An entry in the making, and the values that go into it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from gloveside.extract.frames import Match
from gloveside.extract.note import Note, Unsure
from gloveside.extract.places import PlaceSpan
from gloveside.extract.rules import Kind

PLACE_LISTS = {"places"}


@dataclass(slots=True)
class Draft:
    """An entry in the making.

    clashes: (field, first value, second value) said without a correction; on_unsure: whether `on` was said of another
    hive; turn: where the turn opened of a place that was not named, if it is told of one.
    """

    kind: Kind
    fields: dict[str, Any] = field(default_factory=dict)
    key: tuple[str, ...] = ()
    on: date | None = None
    on_unsure: bool = False
    future: bool = False
    matches: list[Match] = field(default_factory=list)
    places: list[PlaceSpan] = field(default_factory=list)
    round_span: tuple[int, int] | None = None
    turn: int | None = None
    clashes: list[tuple[str, Any, Any]] = field(default_factory=list)

    @property
    def start(self) -> int:
        """First token of the entry."""
        return min(m.start for m in self.matches)


def plain(name: str, value: Any) -> Any:
    """Place spans become canonical strings; a list where the field takes one."""
    if isinstance(value, PlaceSpan):
        if name in PLACE_LISTS:
            return list(value.places)
        if len(value.places) > 1 and name in ("mother", "from", "into"):
            return value
        return value.places[0] if value.places else None
    if isinstance(value, Unsure):
        return value
    if isinstance(value, float) and value == int(value):
        return int(value)
    if isinstance(value, dict):
        return {k: plain(k, v) for k, v in value.items()}
    if isinstance(value, list):
        return [plain("", v) for v in value]
    return value


def unsure(value: Any, name: str = "") -> list[tuple[str, Unsure]]:
    """Numbers in doubt inside a list or mapping, each with its field."""
    if isinstance(value, Unsure):
        return [(name, value)]
    if isinstance(value, dict):
        return [found for key, inner in value.items() for found in unsure(inner, key)]
    if isinstance(value, list):
        return [found for inner in value for found in unsure(inner, name)]
    return []


def corrected(note: Note, left: int, right: int) -> bool:
    """Whether a correction was said between two tokens."""
    return any(c.scope == "correction" and left <= c.start < right for c in note.cues)
