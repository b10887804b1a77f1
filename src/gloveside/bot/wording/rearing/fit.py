"""Keeps a reply within what a lock screen shows: 40 characters wide, 12 lines long."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

WIDTH, MOST = 40, 12


def fit(lines: Iterable[str], *, most: int = MOST, width: int = WIDTH) -> list[str]:
    """The lines, wrapped at words to `width`; when more than `most` come out, the last one says how many are left."""
    out: list[str] = []
    for line in lines:
        out += textwrap.wrap(line, width) or []
    if len(out) <= most:
        return out
    return [*out[: most - 1], f"… {len(out) - most + 1} more lines"]


def percent(share: float) -> str:
    """A share 0..1 as `63 %`."""
    return f"{100 * share:.0f} %"


def ends(low: float, high: float) -> str:
    """Two shares 0..1 as `48–86 %`."""
    return f"{100 * low:.0f}–{100 * high:.0f} %"


def number(value: float, digits: int = 1) -> str:
    """A number with at most so many digits behind the point: `2`, `2.5`."""
    text = f"{value:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
