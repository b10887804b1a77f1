"""A sentence laid out as a line for stretches of time (days `@`, counts `#`, ordinals `#th`), with calendar sums."""

from __future__ import annotations

import calendar
import re
from datetime import date, timedelta

from gloveside.extract.dates import DateSpan
from gloveside.extract.note import Note
from gloveside.extract.queries import MONTHS

Days = dict[str, date]
DAY = timedelta(days=1)
MONTH = "(" + "|".join(MONTHS) + ")"
SEASON = {"summer": 12, "autumn": 3, "fall": 3, "winter": 6, "spring": 9}
"""First month in the southern half of the world."""
UNITS = {"day": 1, "week": 7, "month": 30, "year": 365}
FEW = 3
"""What "a few" weeks or days back are taken as; the answer names the day it looks back to."""
WEEKDAYS = "(" + "|".join(name.lower() for name in calendar.day_name) + ")"


class Line:
    """The tokens of a sentence as one line, with where each token stands in it."""

    def __init__(self, note: Note, start: int, end: int, on: date, ahead: bool) -> None:
        self.on, self.ahead, self.northern = on, ahead, note.northern
        self.days: list[DateSpan] = []
        self.counts: list[float] = []
        self.tokens: list[tuple[int, int, int]] = []
        spans = {d.start: d for d in note.dates if not d.length and (d.past or d.future) and not d.rough}
        parts: list[str] = []
        at, width = start, 0
        while at < end:
            span, number = spans.get(at), note.numbers.get(at)
            if span is not None and span.end <= end and not undated(note, span):
                self.days.append(span)
                word, stop = "@", span.end
            elif number is not None and number.end <= end:
                self.counts.append(float(number.value))
                word, stop = "#th" if number.ordinal else "#", number.end
            else:
                word, stop = note.lower[at], at + 1
            self.tokens.append((width, at, stop))
            parts.append(word)
            width += len(word) + 1
            at = stop
        self.text = " ".join(parts)

    def within(self, left: int, right: int) -> set[int]:
        """The tokens between two places of the line."""
        return {k for width, at, stop in self.tokens if left <= width < right for k in range(at, stop)}

    def day(self, found: re.Match[str], number: int = 0) -> date:
        """The day that the sign `@` number `number` of a match stands for."""
        before = self.text[: found.start()].count("@")
        span = self.days[before + number]
        chosen = span.future if self.ahead and span.future is not None else span.past or span.future
        return chosen or self.on  # spans without a day are not laid out

    def count(self, found: re.Match[str], number: int = 0) -> int:
        """The count that the sign `#` number `number` of a match stands for."""
        return int(self.counts[self.text[: found.start()].count("#") + number])

    def season(self, name: str, back: bool = False) -> tuple[date, date]:
        """The season of a name: the one that runs or comes where the question looks ahead, else the last one begun.

        back: "last summer" is one that is over.
        """
        first = (SEASON[name] + (6 if self.northern else 0) - 1) % 12 + 1
        begun = [season_days(year, first) for year in range(self.on.year - 2, self.on.year + 2)]
        if self.ahead:
            return next(s for s in begun if s[1] >= self.on)
        return [s for s in begun if s[0] <= self.on and (not back or s[1] < self.on)][-1]

    def month(self, number: int, last: bool = False) -> tuple[date, date]:
        """The month of a name: the next one where the question looks ahead, else the last one begun."""
        year = self.on.year
        if self.ahead and number < self.on.month:
            year += 1
        elif not self.ahead and (number > self.on.month or (last and number == self.on.month)):
            year -= 1
        return month_days(year, number)


def undated(note: Note, span: DateSpan) -> bool:
    """Whether a span is no whole day: a month by its name."""
    return span.end == span.start + 1 and note.lower[span.start] in MONTHS


def season_days(year: int, first: int) -> tuple[date, date]:
    """First and last day of the three months from month `first` on."""
    last = first + 2
    end_year, end_month = (year, last) if last <= 12 else (year + 1, last - 12)
    return date(year, first, 1), month_days(end_year, end_month)[1]


def month_days(year: int, number: int) -> tuple[date, date]:
    """First and last day of a month."""
    return date(year, number, 1), date(year, number, calendar.monthrange(year, number)[1])


def week_start(on: date) -> date:
    """The Monday of the week of a day."""
    return on - timedelta(days=on.weekday())


def months_on(on: date, months: int) -> tuple[date, date]:
    """First and last day of the month so many months on, or back."""
    count = on.year * 12 + on.month - 1 + months
    return month_days(count // 12, count % 12 + 1)


def ends_of(on: date) -> dict[str, date]:
    """The last day of the running week, month and year."""
    return {
        "week": week_start(on) + timedelta(days=6),
        "month": month_days(on.year, on.month)[1],
        "year": date(on.year, 12, 31),
    }


def edged(line: Line, word: str, first: date, last: date) -> Days:
    """The days that a preposition makes of a stretch: since, before, until it, or in it."""
    if word in ("since", "from"):
        return {"since": first}
    if word == "before":
        return {"until": first - DAY}
    if word in ("until", "till", "by", "to"):
        return {"until": last}
    return {"since": first, "until": last if line.ahead else min(last, line.on)}
