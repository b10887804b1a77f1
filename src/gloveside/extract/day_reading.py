"""One day or time at a token, read against the day of the note; the decisions stand in `dates.py`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, time, timedelta

from dateutil.relativedelta import relativedelta

from gloveside.extract import numbers
from gloveside.extract.clock import PARTS_OF_DAY, Clock
from gloveside.extract.day_words import (
    AFTER_A_DAY,
    COUNTED,
    DAY_UNITS,
    LEAD_IN,
    MONTHS,
    SHY_WEEKDAYS,
    VERB_MONTHS,
    VERBS_AFTER,
    WEEKDAYS,
)

ISO = re.compile(r"(\d{4})-(\d{2})-(\d{2})")


@dataclass(frozen=True, slots=True)
class DateSpan:
    """A day and perhaps a time over tokens start..end (end exclusive).

    past: the day if something done is dated by it.  future: the day if something due is.  Either may be None.
    time: local time of day.  rough: a week or a weekend rather than a day.  length: a bare length of time ("3 weeks").
    counted: "in three days", where the number may still count the days of a mite drop.
    """

    start: int
    end: int
    past: date | None
    future: date | None
    time: time | None = None
    rough: bool = False
    length: bool = False
    counted: bool = False


def _word(tokens: Sequence[str], i: int) -> str:
    return tokens[i] if 0 <= i < len(tokens) else ""


class DayReader:
    """Reads dates out of one token list. on: the day of the note."""

    def __init__(self, tokens: Sequence[str], on: date) -> None:
        self.tokens = tokens
        self.on = on
        self.numbers = {span.start: span for span in numbers.find(tokens)}
        self.clock = Clock(tokens, self.numbers)

    def word(self, i: int) -> str:
        """The token at i; an empty text outside the note."""
        return _word(self.tokens, i)

    def day(self, offset: int) -> date:
        """The day so many days after the day of the note."""
        return self.on + timedelta(days=offset)

    def at(self, i: int) -> DateSpan | None:
        """Read the longest date or time that starts at token i."""
        found = [
            span
            for read in (
                self._fixed,
                self._ago,
                self._ahead,
                self._weekday,
                self._week,
                self._month_day,
                self._day_of_month,
                self._iso,
                self._time,
            )
            if (span := read(i)) is not None
        ]
        return max(found, key=lambda span: span.end, default=None)

    # Days named by themselves -----------------------------------------------------------------------------------

    def _fixed(self, i: int) -> DateSpan | None:
        words = [self.word(i + k) for k in range(5)]
        for phrase, past, future in (
            (("the", "day", "before", "yesterday"), -2, None),
            (("day", "before", "yesterday"), -2, None),
            (("the", "night", "before", "last"), -2, None),
            (("the", "day", "after", "tomorrow"), None, 2),
            (("day", "after", "tomorrow"), None, 2),
            (("earlier", "today"), 0, None),
            (("later", "today"), 0, 0),
            (("today",), 0, 0),
            (("tonight",), 0, 0),
            (("last", "night"), -1, None),
            (("last", "evening"), -1, None),
            (("yesterday",), -1, None),
            (("tomorrow",), None, 1),
            (("tomorow",), None, 1),
            (("in", "the", "morning"), 0, 1),
            (("first", "thing", "in", "the", "morning"), 0, 1),
            (("in", "the", "afternoon"), 0, 0),
            (("in", "the", "evening"), 0, 0),
            (("this", "morning"), 0, 0),
            (("this", "afternoon"), 0, 0),
            (("this", "arvo"), 0, 0),
            (("this", "evening"), 0, 0),
        ):
            if tuple(words[: len(phrase)]) == phrase:
                span = DateSpan(
                    i,
                    i + len(phrase),
                    None if past is None else self.day(past),
                    None if future is None else self.day(future),
                )
                if phrase[-1] in ("tomorrow", "tomorow") and self.word(span.end) == "week":
                    return replace(span, end=span.end + 1, future=self.day(8))
                return self._with_part_of_day(span)
        return None

    def _with_part_of_day(self, span: DateSpan) -> DateSpan:
        """Take "morning" or "in the morning" into the day before it."""
        end = span.end + 2 if self.word(span.end) == "in" and self.word(span.end + 1) == "the" else span.end
        return replace(span, end=end + 1) if self.word(end) in PARTS_OF_DAY else span

    # Lengths of time --------------------------------------------------------------------------------------------

    def _length(self, i: int) -> tuple[relativedelta, int, bool] | None:
        """Read "three days", "a week", "a couple of weeks": the length, the token after it, whether it was counted."""
        span = self.numbers.get(i)
        amount: float
        counted = False
        if span and not span.ordinal and span.value >= 0:
            amount, at, counted = span.value, span.end, True
        elif self.word(i) in ("a", "an", "one"):
            amount, at = 1, i + 1
        else:
            return None
        unit = DAY_UNITS.get(self.word(at).removesuffix("'"))
        if unit is None:
            return None
        if unit == "hours":
            return relativedelta(days=0), at + 1, counted
        days = {"days": 1, "weeks": 7, "fortnight": 14}.get(unit)
        if days is None:
            return relativedelta(months=int(amount)), at + 1, counted
        if self.word(at + 1) == "and" and self.word(at + 2) == "a" and self.word(at + 3) == "half" and days == 7:
            return relativedelta(days=round(amount * 7 + 3.5)), at + 4, True
        return relativedelta(days=round(amount * days)), at + 1, counted

    def _ago(self, i: int) -> DateSpan | None:
        length = self._length(i)
        if length is None:
            return None
        delta, end, _ = length
        if self.word(end) in ("ago", "back"):
            end += 1
            if self.word(end) == "today":
                end += 1
            return DateSpan(i, end, self.on - delta, None)
        return None

    def _ahead(self, i: int) -> DateSpan | None:
        start = i + 1 if self.word(i) in ("in", "after", "for") else i
        length = self._length(start)
        if length is None:
            return None
        delta, end, counted = length
        lead = self.word(i) if start > i else ""
        if lead in ("in", "for") and self.word(i - 1) == "been":
            return None  # "they'd been in eight weeks" tells how long
        if self.word(end) == "'":
            end += 1
        if self.word(end) == "time":
            return DateSpan(i, end + 1, None, self.on + delta)
        if self.word(end) == "from" and self.word(end + 1) in ("now", "today"):
            return DateSpan(i, end + 2, None, self.on + delta)
        base_at = end + 1 if self.word(end) in ("from", "after", "on") else end
        then = self._weekday(base_at) or self._fixed(base_at)
        # "a week on Tuesday" counts from it, "in 3 days, on Tuesday" does not: only whole weeks, nothing before.
        whole_weeks = not lead and self.word(base_at - 1) != "after" and delta.months == 0 and delta.days % 7 == 0
        if then and then.future and (whole_weeks or self.word(end) in ("from", "after")):
            return DateSpan(i, then.end, None, then.future + delta)
        if self.word(end) in ("ago", "back", "old"):
            return None
        if lead == "in" and self.word(end) not in ("after", "before", "from"):
            return DateSpan(i, end, None, self.on + delta, counted=counted)
        if lead == "" and counted and self.word(i - 1) not in ("in", "after", "for"):
            return DateSpan(i, end, None, self.on + delta, length=True)
        return None

    # Weekdays and weeks -----------------------------------------------------------------------------------------

    def _weekday(self, i: int) -> DateSpan | None:
        at, lead = i, ""
        if self.word(at) in ("on", "this", "next", "last", "coming"):
            lead = self.word(at)
            at += 1
            if lead == "on" and self.word(at) in ("the", "last", "next", "this"):
                lead = self.word(at) if self.word(at) != "the" else lead
                at += 1
            if lead == "this" and self.word(at) in ("coming", "past", "last"):
                lead = "last" if self.word(at) != "coming" else "this"
                at += 1
        name = self.word(at)
        index = WEEKDAYS.get(name)
        if index is None and name in SHY_WEEKDAYS and (lead or self.word(i - 1) in LEAD_IN):
            index = SHY_WEEKDAYS[name]
        if index is None:
            return None
        back = (self.on.weekday() - index) % 7
        past: date | None = self.day(-back)
        future: date | None = self.day((index - self.on.weekday() - 1) % 7 + 1)
        end = at + 1
        if lead == "last":
            past, future = self.day(-(back or 7)), None
        elif lead in ("next", "coming"):
            past = None
        if self.word(end) == "week" or (self.word(end) == "after" and self.word(end + 1) == "next"):
            past, end = None, end + (1 if self.word(end) == "week" else 2)
            future = future + timedelta(days=7) if future else None
        elif self.word(end) == "gone" or (self.word(end) == "just" and self.word(end + 1) in ("gone", "past")):
            past, future = self.day(-(back or 7)), None
            end += 1 if self.word(end) == "gone" else 2
        span = self._with_part_of_day(DateSpan(i, end, past, future))
        # "Friday the twentieth": the day of the month is the surer of the two.
        dated = self._month_day(span.end) or self._day_of_month(span.end, bare=True)
        return replace(dated, start=i) if dated and lead != "last" else span

    def _week(self, i: int) -> DateSpan | None:
        word = self.word(i)
        at = i + 1 if word in ("the", "over", "at", "on", "during") else i
        at = at + 1 if self.word(at) == "the" else at
        head, noun = self.word(at), self.word(at + 1)
        if head == "week" and self.word(at + 1) in ("before", "after"):
            if self.word(at + 2) == "last":
                return DateSpan(i, at + 3, self.day(-14), None, rough=True)
            if self.word(at + 2) == "next":
                return DateSpan(i, at + 3, None, self.day(14), rough=True)
        to_saturday = (5 - self.on.weekday() - 1) % 7 + 1
        since_saturday = (self.on.weekday() - 5) % 7
        if head in ("weekend", "week-end"):
            return DateSpan(i, at + 1, self.day(-since_saturday), self.day(to_saturday), rough=True)
        if at != i:
            return None
        if noun in ("weekend", "week-end") and head in ("this", "last", "next"):
            past = self.day(-since_saturday) if head != "next" else None
            return DateSpan(i, at + 2, past, self.day(to_saturday) if head != "last" else None, rough=True)
        if noun == "week" and head in ("last", "next", "this"):
            if head == "this":
                return DateSpan(i, at + 2, self.on, self.on, rough=True)
            # "last week" is a week back from today: near enough to be corrected, never a made-up weekday.
            past, future = (self.day(-7), None) if head == "last" else (None, self.day(7))
            return DateSpan(i, at + 2, past, future, rough=True)
        if noun == "month" and head in ("last", "next"):
            past = self.on - relativedelta(months=1) if head == "last" else None
            return DateSpan(i, at + 2, past, self.on + relativedelta(months=1) if head == "next" else None, rough=True)
        return None

    # Days of a month --------------------------------------------------------------------------------------------

    def _in_month(self, day: int, month: int, year: int | None) -> tuple[date | None, date | None] | None:
        """Last and next date of that day and month, or the one date of the given year."""

        def made(of_year: int) -> date | None:
            try:
                return date(of_year, month, day)
            except ValueError:
                return None

        if year is not None:
            exact = made(year)
            if exact is None:
                return None
            return (exact if exact <= self.on else None, exact if exact >= self.on else None)
        # Four years either way reach a 29 February.
        dates = [d for y in range(self.on.year - 4, self.on.year + 5) if (d := made(y)) is not None]
        past = max((d for d in dates if d <= self.on), default=None)
        future = min((d for d in dates if d >= self.on), default=None)
        return (past, future) if dates else None

    def _year(self, i: int) -> tuple[int | None, int]:
        at = i + 1 if self.word(i) == "," else i
        span = self.numbers.get(at)
        if span and not span.ordinal and 2000 <= span.value < 2100:
            return int(span.value), span.end
        second = self.numbers.get(span.end) if span and span.value == 20 else None
        if second and 20 <= second.value < 100:
            return 2000 + int(second.value), second.end
        return None, i

    def _month_day(self, i: int) -> DateSpan | None:
        """Read "20 November", "the twentieth of November", "November the twentieth", "on 20 Nov 2026"."""
        at = i + 1 if self.word(i) == "on" else i
        led = at > i or self.word(i - 1) in LEAD_IN
        with_article = self.word(at) == "the"
        start = at + 1 if with_article else at
        span = self.numbers.get(start)
        if span and float(span.value).is_integer() and 1 <= span.value <= 31:
            month_at = span.end + 1 if self.word(span.end) == "of" else span.end
            month = MONTHS.get(self.word(month_at))
            sure = led or with_article or span.ordinal or month_at > span.end
            if month and (sure or self._month_not_verb(month_at, i)):
                return self._dated(i, int(span.value), month, month_at + 1)
            return None
        month = MONTHS.get(self.word(at))
        if month is None:
            return None
        with_article = self.word(at + 1) == "the"
        span = self.numbers.get(at + 2 if with_article else at + 1)
        if not span or not float(span.value).is_integer() or not 1 <= span.value <= 31:
            return None
        sure = led or with_article or span.ordinal or self.word(at) not in VERB_MONTHS
        if not sure or (not span.ordinal and self.word(span.end) in COUNTED):
            return None
        return self._dated(i, int(span.value), month, span.end)

    def _month_not_verb(self, month_at: int, start: int) -> bool:
        if self.word(month_at) not in VERB_MONTHS:
            return True
        before, after = self.word(start - 1), self.word(month_at + 1)
        return before not in ("hive", "nuc", "hives", "nucs", "round", "yard") and after not in VERBS_AFTER

    def _dated(self, start: int, day: int, month: int, end: int) -> DateSpan | None:
        year, end = self._year(end)
        both = self._in_month(day, month, year)
        return DateSpan(start, end, *both) if both else None

    def _day_of_month(self, i: int, bare: bool = False) -> DateSpan | None:
        """Read "on the twentieth", "the 20th". bare: after a weekday, where "the" may be missing."""
        at = i + 1 if self.word(i) in ("on", "by") else i
        led = at > i or self.word(i - 1) in LEAD_IN
        if self.word(at) == "the":
            at += 1
        elif not bare:
            return None
        span = self.numbers.get(at)
        if not span or not span.ordinal or not 1 <= span.value <= 31:
            return None
        after = self.word(span.end)
        if after in COUNTED or (not bare and not led and span.value < 5):
            return None
        if after == "of":
            if self.word(span.end + 1) != "the" or self.word(span.end + 2) != "month":
                return None
            return self._nearest(i, int(span.value), span.end + 3)
        if not bare and span.value < 5 and after.isalpha() and after not in AFTER_A_DAY:
            return None
        return self._nearest(i, int(span.value), span.end)

    def _nearest(self, start: int, day: int, end: int) -> DateSpan | None:
        def month_with(step: int) -> date | None:
            first = self.on.replace(day=1) + relativedelta(months=step)
            moved = first + timedelta(days=day - 1)
            return moved if moved.month == first.month else None

        months = [d for step in range(-3, 4) if (d := month_with(step)) is not None]
        past = max((d for d in months if d <= self.on), default=None)
        future = min((d for d in months if d > self.on), default=None)
        return DateSpan(start, end, past, future)

    def _iso(self, i: int) -> DateSpan | None:
        at = i + 1 if self.word(i) == "on" else i
        found = ISO.fullmatch(self.word(at))
        if not found:
            return None
        both = self._in_month(int(found[3]), int(found[2]), int(found[1]))
        return DateSpan(i, at + 1, *both) if both else None

    def _time(self, i: int) -> DateSpan | None:
        led = self.word(i) in ("at", "around", "about", "by", "before", "after")
        read = self.clock.read(i + 1 if led else i, led)
        return DateSpan(i, read[1], self.on, self.on, read[0]) if read else None
