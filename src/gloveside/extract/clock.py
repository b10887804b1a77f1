"""Times of day as people say them: "half past nine", "9 am", "at nine fifteen in the morning"."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import time

from gloveside.extract.numbers import NumberSpan

PARTS_OF_DAY = frozenset(
    ["morning", "mornings", "afternoon", "arvo", "evening", "night", "lunchtime", "lunch", "midday"]
)
_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})(am|pm)?")
_HOUR_MARKED = re.compile(r"(\d{1,2})(am|pm)")
_MARKS = frozenset(["am", "pm", "a.m.", "p.m.", "a.m", "p.m"])
_ENDS = frozenset(["", ".", ",", "in", "today", "tomorrow", "on", "and"])


def hour_of_day(hour: int) -> int:
    """The hour meant by a bare number: one to six are afternoon, the rest as said."""
    return hour + 12 if 1 <= hour <= 6 else hour % 24


@dataclass(frozen=True, slots=True)
class Clock:
    """Reads times out of one list of lower-case tokens. numbers: the number spans by their first token."""

    tokens: Sequence[str]
    numbers: Mapping[int, NumberSpan]

    def word(self, i: int) -> str:
        """The token at i, or nothing."""
        return self.tokens[i] if 0 <= i < len(self.tokens) else ""

    def read(self, at: int, led: bool) -> tuple[time, int] | None:
        """The time that starts at token `at` and the token after it. led: a word like "at" stands before."""
        word = self.word(at)
        if word in ("noon", "midday", "midnight"):
            return (time(0 if word == "midnight" else 12), at + 1) if led or word != "midday" else None
        if found := _HOUR_MARKED.fullmatch(word):
            return _made(int(found[1]), 0, found[2], at + 1)
        if (found := _CLOCK.fullmatch(word)) and (":" in word or found[3] or self.word(at + 1) in _MARKS):
            return self._marked(int(found[1]), int(found[2]), at + 1, found[3])
        return self._past_or_to(at, led) or self._hour(at, led)

    def _small(self, i: int, highest: int = 12) -> NumberSpan | None:
        span = self.numbers.get(i)
        if span and not span.ordinal and isinstance(span.value, int) and 1 <= span.value <= highest:
            return span
        return None

    def _hour(self, at: int, led: bool) -> tuple[time, int] | None:
        """Read "nine o'clock", "nine am", "nine fifteen am", "at nine thirty", "at nine in the morning"."""
        hour = self._small(at, 24)
        if hour is None:
            return None
        value, end = int(hour.value), hour.end
        if self.word(end) in ("o'clock", "oclock"):
            return self._marked(value, 0, end + 1)
        if self.word(end) in _MARKS:
            return self._marked(value, 0, end)
        minutes = self._small(end, 55)
        if minutes and minutes.value >= 10 and minutes.value % 5 == 0 and value <= 12:
            halves = led and minutes.value in (15, 30, 45) and self.word(minutes.end) in _ENDS
            if halves or self.word(minutes.end) in _MARKS:
                return self._marked(value, int(minutes.value), minutes.end)
        if led and self.word(end) == "in" and self.word(end + 1) == "the" and self.word(end + 2) in PARTS_OF_DAY:
            return self._marked(value, 0, end)
        return None

    def _past_or_to(self, at: int, led: bool) -> tuple[time, int] | None:
        """Read "half past nine", "quarter to three", "at ten past four", and after "at" also "half nine"."""
        start = at + 1 if self.word(at) == "a" else at
        word, span = self.word(start), self._small(start, 25)
        minutes, end = {"half": 30, "quarter": 15}.get(word), start + 1
        if minutes is None and span and led and span.value in (5, 10, 20, 25):
            # Without "at" before it "five to ten" is a range of frames.
            minutes, end = int(span.value), span.end
        if minutes is None:
            return None
        towards = self.word(end)
        hour = self._small(end + 1) if towards in ("past", "to") else None
        if hour is None and led and word == "half":
            towards, hour = "past", self._small(end)
        if hour is None:
            return None
        if towards == "to":
            return self._marked((int(hour.value) - 2) % 12 + 1, 60 - minutes, hour.end)
        return self._marked(int(hour.value), minutes, hour.end)

    def _marked(self, hour: int, minute: int, end: int, mark: str | None = None) -> tuple[time, int] | None:
        """Take in a following am, pm or "in the morning"; heed "tonight" and "this afternoon"."""
        after, then = self.word(end), self.word(end + 1)
        if mark is None and after in _MARKS:
            mark, end = after.replace(".", ""), end + 1
        elif mark is None and after == "in" and then == "the" and self.word(end + 2) in PARTS_OF_DAY:
            mark, end = "am" if self.word(end + 2) == "morning" else "pm", end + 3
        elif mark is None and (after == "tonight" or (after == "this" and then in ("afternoon", "evening", "arvo"))):
            mark = "pm"
        return _made(hour, minute, mark, end)


def _made(hour: int, minute: int, mark: str | None, end: int) -> tuple[time, int] | None:
    if hour > 24 or minute > 59 or (mark and hour > 12):
        return None
    if mark:
        return time(hour % 12 + (12 if mark == "pm" else 0), minute), end
    return time(hour_of_day(hour) % 24, minute), end
