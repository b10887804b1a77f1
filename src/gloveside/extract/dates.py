"""Days and times as people say them, found in lower-case tokens and resolved against the day of the note.

Every span carries both readings: `past` for something done, `future` for something due. The reader picks the one that
fits the kind of entry. Decisions, each with a test:

* A bare weekday is the last one for things done (today counts) and the next one for things due (today does not).
* "last Friday" is the Friday before today, "next Friday" the first Friday after today, "Friday week" a week later.
* A day of the month without a month ("the twentieth") follows the same rule as a weekday.
* "may", "march", "second", "sat", "sun" are dates only where a date is sure: a month needs its day beside it, `sat`
  and `sun` need "on", "last", "next", "this" or "by" before them, an ordinal must not count a noun ("the second bar").
* "in three days" and bare lengths ("3 weeks", `length` is set) are only ever due; "12 mites in 3 days" dates nothing.
* Hours without am or pm: one to six are afternoon, the rest as said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, time

from gloveside.extract.clock import hour_of_day
from gloveside.extract.day_reading import DateSpan, DayReader
from gloveside.extract.day_words import COUNTED

__all__ = ["DateSpan", "find"]


def find(tokens: Sequence[str], on: date) -> list[DateSpan]:
    """All days and times in lower-case tokens, in order. on: the day of the note.

    A time beside a day joins it: "on Friday at half past nine" and "at nine o'clock tomorrow" are one span each.
    """
    finder = DayReader(tokens, on)
    spans: list[DateSpan] = []
    i = 0
    while i < len(tokens):
        span = finder.at(i)
        if span is None:
            i += 1
            continue
        i = span.end
        previous = spans[-1] if spans else None
        between = tokens[previous.end : span.start] if previous else ["x"]
        if previous and list(between) in ([], [","]) and _joinable(previous, span):
            dated, timed = (previous, span) if span.time and not previous.time else (span, previous)
            spans[-1] = replace(dated, start=previous.start, end=span.end, time=timed.time)
            continue
        if bare := _bare_hour(finder, span):
            span, i = bare, bare.end
        spans.append(span)
    return spans


def _joinable(first: DateSpan, second: DateSpan) -> bool:
    """Whether one of two neighbours is a time and the other a day."""
    return (first.time is None) != (second.time is None) and not first.length and not second.length


def _bare_hour(finder: DayReader, span: DateSpan) -> DateSpan | None:
    """Take "at nine" into a day just read: only beside a day is a bare number a time."""
    if span.time or span.length or span.rough or finder.word(span.end) != "at":
        return None
    if finder.clock.read(span.end + 1, led=True):
        return None
    hour = finder.numbers.get(span.end + 1)
    if not hour or hour.ordinal or isinstance(hour.value, float) or not 1 <= hour.value <= 12:
        return None
    if finder.word(hour.end) in COUNTED or finder.numbers.get(hour.end):
        return None
    return replace(span, end=hour.end, time=time(hour_of_day(int(hour.value))))
