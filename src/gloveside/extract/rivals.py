"""Numbers that a hearing may have taken for one another: teen and ty, 14 and 40, "20, 8" and 28, five and hive."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

# Units and tens whose names are near in sound.
_NEAR_UNITS = {1: (9,), 5: (9,), 9: (5, 1), 6: (7,), 7: (6,), 4: (14,), 8: (18, 80), 2: (10,), 3: (13,)}


@dataclass(frozen=True, slots=True)
class Variant:
    """Tokens start..end-1 read as `text` instead. value: the number that would stand there."""

    start: int
    end: int
    text: str
    value: int


def of_value(value: int) -> tuple[int, ...]:
    """Numbers that sound like this one, nearest first."""
    found: list[int] = []
    if 13 <= value <= 19:
        found.append((value - 10) * 10)
    if 30 <= value <= 90 and value % 10 == 0:
        found.append(value // 10 + 10)
    if value in (20, 12):
        found.append(12 if value == 20 else 20)
    if value == 14:
        found.append(4)
    if value == 40:
        found.append(44)
    if 20 < value < 100 and value % 10:
        tens, unit = value - value % 10, value % 10
        found.extend(tens + other for other in _NEAR_UNITS.get(unit, ()) if other < 10)
    elif value < 10:
        found.extend(_NEAR_UNITS.get(value, ()))
    return tuple(dict.fromkeys(found))


def variants(tokens: Sequence[str]) -> Iterator[Variant]:
    """Rival readings of each whole number in a tokenised text, one number at a time."""
    for at, token in enumerate(tokens):
        if not token.isdigit() or len(token) > 4:
            continue
        value = int(token)
        for other in of_value(value):
            yield Variant(at, at + 1, str(other), other)
        gap = 2 if tokens[at + 1 : at + 2] == [","] else 1
        after = tokens[at + gap] if at + gap < len(tokens) else ""
        if 20 <= value <= 90 and value % 10 == 0 and after.isdigit() and 1 <= int(after) <= 9:
            yield Variant(at, at + gap + 1, str(value + int(after)), value + int(after))
        if 100 < value < 1000 and value % 100 and token[1] != "0":
            yield Variant(at, at + 1, f"{value // 100} {value % 100}", value % 100)
