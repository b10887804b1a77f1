"""Stretches of time that a question names with more than one day: seasons, parts of months, "the next few days".

The words of the sentence are laid out as a line in which a day read elsewhere stands as `@`, a count as `#`, an ordinal
as `#th`; each pattern gives the first and last day, and the tokens that say so. Seasons are those of meteorology (three
whole months; Bureau of Meteorology, Australia, "The seasons"), six months apart in the two hemispheres.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Callable
from datetime import date, timedelta

from gloveside.extract.dates import DateSpan
from gloveside.extract.note import Note

Days = dict[str, date]
DAY = timedelta(days=1)
MONTHS = {name.lower(): index for index, name in enumerate(calendar.month_name) if name}
_MONTH = "(" + "|".join(MONTHS) + ")"
_SEASON = {"summer": 12, "autumn": 3, "fall": 3, "winter": 6, "spring": 9}
"""First month in the southern half of the world."""
_UNITS = {"day": 1, "week": 7, "month": 30, "year": 365}
FEW = 3
"""What "a few" weeks or days back are taken as; the answer names the day it looks back to."""
_WEEKDAYS = "(" + "|".join(name.lower() for name in calendar.day_name) + ")"


class _Line:
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
            if span is not None and span.end <= end and not _undated(note, span):
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
        first = (_SEASON[name] + (6 if self.northern else 0) - 1) % 12 + 1
        begun = [_season(year, first) for year in range(self.on.year - 2, self.on.year + 2)]
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
        return _month(year, number)


def _undated(note: Note, span: DateSpan) -> bool:
    """Whether a span is no whole day: a month by its name."""
    return span.end == span.start + 1 and note.lower[span.start] in MONTHS


def _season(year: int, first: int) -> tuple[date, date]:
    last = first + 2
    end_year, end_month = (year, last) if last <= 12 else (year + 1, last - 12)
    return date(year, first, 1), _month(end_year, end_month)[1]


def _month(year: int, number: int) -> tuple[date, date]:
    return date(year, number, 1), date(year, number, calendar.monthrange(year, number)[1])


def _monday(on: date) -> date:
    return on - timedelta(days=on.weekday())


def _edge(line: _Line, word: str, first: date, last: date) -> Days:
    """The days that a preposition makes of a stretch: since, before, until it, or in it."""
    if word in ("since", "from"):
        return {"since": first}
    if word == "before":
        return {"until": first - DAY}
    if word in ("until", "till", "by", "to"):
        return {"until": last}
    return {"since": first, "until": last if line.ahead else min(last, line.on)}


def _in_season(line: _Line, found: re.Match[str]) -> Days:
    lead = found["lead"] or ""
    first, last = line.season(found["season"], back="last" in lead)
    if found["part"] and found["part"] in ("start", "beginning") and not re.search(r"since|from", lead):
        last = first + timedelta(days=30)
    elif found["part"] == "end":
        return {"until": last} if "since" not in lead else {"since": last + DAY}
    word = next((w for w in ("since", "from", "before", "until", "till", "by") if w in lead.split()), "in")
    return _edge(line, word, first, last)


def _few(line: _Line, found: re.Match[str]) -> Days:
    back = found["way"] in ("last", "past", "previous")
    days = timedelta(days=FEW * _UNITS[found["unit"]])
    return {"since": line.on - days, "until": line.on} if back else {"since": line.on}


def _year_start(line: _Line, found: re.Match[str]) -> Days:
    unit = found["unit"]
    first = {"year": line.on.replace(month=1, day=1), "month": line.on.replace(day=1), "week": _monday(line.on)}[unit]
    if found["lead"] in ("since", "from"):
        return {"since": first}
    return {"since": first, "until": first + timedelta(days={"year": 30, "month": 9, "week": 1}[unit])}


def _christmas(line: _Line, found: re.Match[str]) -> Days:
    lead = (found["lead"] or "").split()
    newyear = found["feast"] != "christmas"
    month, day = (1, 1) if newyear else (12, 25)
    year = line.on.year
    if line.ahead:
        feast = date(year, month, day) if date(year, month, day) >= line.on else date(year + 1, month, day)
    else:
        feast = date(year, month, day) if date(year, month, day) <= line.on else date(year - 1, month, day)
    word = next((w for w in lead if w in ("since", "from", "before", "until", "till", "by")), "in")
    if word == "in":
        return {"since": feast - (0 if newyear else 1) * DAY, "until": feast + (0 if newyear else 7) * DAY}
    return _edge(line, word, feast, feast)


def _two_days(line: _Line, found: re.Match[str]) -> Days:
    first, last = line.day(found), line.day(found, 1)
    if line.ahead and first > last:
        first = line.on if first - line.on >= timedelta(days=7) else last
    return {"since": min(first, last), "until": max(first, last)}


def _ordinal_to_day(line: _Line, found: re.Match[str]) -> Days:
    last = line.day(found)
    number = line.count(found)
    first = last.replace(day=number) if 1 <= number <= last.day else last
    return {"since": first, "until": last}


def _from_now(line: _Line, found: re.Match[str]) -> Days:
    return {"since": line.on, "until": line.day(found)}


def _months(line: _Line, found: re.Match[str]) -> Days:
    first, last = line.month(MONTHS[found["one"]])[0], line.month(MONTHS[found["two"]])[1]
    if first > last:
        first = first.replace(year=first.year - 1)
    return {"since": first, "until": last if line.ahead else min(last, max(line.on, first))}


def _part_of_month(line: _Line, found: re.Match[str]) -> Days:
    first, last = line.month(MONTHS[found["month"]], last=bool(found["last"]))
    part = found["part"]
    lead = (found["lead"] or "").strip()
    if part.startswith("#th week"):
        number = line.count(found)
        span = first + timedelta(days=7 * (number - 1)), min(last, first + timedelta(days=7 * number - 1))
    elif part.startswith("last week"):
        span = last - timedelta(days=6), last
    elif part in ("early", "start", "beginning"):
        span = first, first.replace(day=10)
    elif part in ("mid", "middle"):
        span = first.replace(day=11), first.replace(day=20)
    elif part == "last day":
        span = last, last
    elif part in ("late", "end"):
        span = first.replace(day=21), last
    else:
        span = first, first
    if part == "end" and lead not in ("since", "from"):
        return {"until": last}
    if lead in ("since", "from") and part in ("start", "beginning", "mid", "middle"):
        return {"since": first.replace(day=15) if part in ("mid", "middle") else first}
    return _edge(line, lead, *span)


def _next_or_last(line: _Line, found: re.Match[str]) -> Days:
    """The week, month or year before last or after next."""
    way = 2 if found["way"] == "after next" else -2
    if found["unit"] == "week":
        first = _monday(line.on) + timedelta(days=7 * way)
        return {"since": first, "until": first + timedelta(days=6)}
    if found["unit"] == "year":
        return {"since": date(line.on.year + way, 1, 1), "until": date(line.on.year + way, 12, 31)}
    first, last = _shifted(line.on, way)
    return {"since": first, "until": last}


def _shifted(on: date, months: int) -> tuple[date, date]:
    count = on.year * 12 + on.month - 1 + months
    return _month(count // 12, count % 12 + 1)


def _part_of_week(line: _Line, found: re.Match[str]) -> Days:
    week = {"next": 7, "last": -7, "this": 0}[found["way"]]
    monday = _monday(line.on) + timedelta(days=week)
    part = found["part"]
    if part == "earlier":
        return {"since": monday, "until": line.on}
    if part == "later" and not week:
        return {"since": line.on, "until": monday + timedelta(days=6)}
    if part in ("early", "early in"):
        return {"since": monday, "until": monday + timedelta(days=2)}
    return {"since": monday + timedelta(days=3), "until": monday + timedelta(days=6)}


def _day_of_week(line: _Line, found: re.Match[str]) -> Days:
    monday = _monday(line.on) + timedelta(days={"next": 7, "last": -7, "this": 0}[found["way"]])
    weekday = [name.lower() for name in calendar.day_name].index(found["weekday"])
    day = monday + timedelta(days=weekday)
    lead = (found["lead"] or "").strip()
    return _edge(line, lead, day, day) if lead else {"since": day, "until": day}


def _day_in_week(line: _Line, found: re.Match[str]) -> Days:
    monday = _monday(line.on) + timedelta(days={"next": 7, "last": -7, "this": 0}[found["way"]])
    day = monday + timedelta(days=line.day(found).weekday())
    return {"since": day, "until": day}


def _next_month(line: _Line, found: re.Match[str]) -> Days:
    first, last = _shifted(line.on, 1)
    return (
        {"until": last} if found["lead"] in ("by the end of", "until the end of") else {"since": first, "until": last}
    )


def _end_next_week(line: _Line, found: re.Match[str]) -> Days:
    way = {"next": 7, "last": -7}[found["way"]]
    if found["unit"] == "month":
        return {"until": _shifted(line.on, 1 if way > 0 else -1)[1]}
    return {"until": _monday(line.on) + timedelta(days=way + 6)}


def _before_last(line: _Line, found: re.Match[str]) -> Days:
    day = line.day(found) - timedelta(days=7)
    return {"since": day, "until": day}


def _weekdays_ago(line: _Line, found: re.Match[str]) -> Days:
    weekday = [name.lower() for name in calendar.day_name].index(found["weekday"])
    last = line.on - timedelta(days=(line.on.weekday() - weekday - 1) % 7 + 1)
    day = last - timedelta(days=7 * (line.count(found) - 1))
    return {"since": day, "until": day}


def _years_ago(line: _Line, found: re.Match[str]) -> Days:
    count = line.count(found) if "#" in found.group() else 1
    last = 28 if (line.on.month, line.on.day) == (2, 29) else line.on.day
    day = line.on.replace(year=line.on.year - count, day=last)
    return {"since": day, "until": day}


def _up_to(line: _Line, found: re.Match[str]) -> Days:
    return {"until": line.day(found)}


def _up_to_weekend(line: _Line, _found: re.Match[str]) -> Days:
    return {"since": line.on, "until": _monday(line.on) + timedelta(days=6)}


def _rest(line: _Line, found: re.Match[str]) -> Days:
    last = {"week": _monday(line.on) + timedelta(days=6), "month": _month(line.on.year, line.on.month)[1]}
    return {"since": line.on, "until": last.get(found["unit"], date(line.on.year, 12, 31))}


_LEAD = r"(?:(?P<lead>since|from|before|until|till|by|in|at|on|during|for|over|to|of|around)\s)?(?:the\s)?"
_PATTERNS: tuple[tuple[re.Pattern[str], Callable[[_Line, re.Match[str]], Days], str], ...] = tuple(
    (re.compile(rf"(?<!\S){pattern}(?!\S)"), make, when)
    for pattern, make, when in (
        (
            r"(?P<lead>(?:(?:since|from|before|until|till|by|in|during|over|through|throughout|all|for|of|at|towards|"
            r"after|the|this|last|past|previous|so|far)\s)+)?(?:(?P<part>start|beginning|end|middle)\s+of\s+(?:the\s|last\s)?)?"
            r"(?P<season>winter|summer|autumn|spring)(?:\s+gone|\s+just\s+gone|\s+so\s+far)?",
            _in_season,
            "",
        ),
        (
            r"(?:(?:in|over|during|within|for|of|from)\s)?(?:(?:the|these|this)\s)?(?P<way>last|past|previous|next|coming)\s"
            r"(?:few|couple|several|little)\s(?:of\s)?(?P<unit>day|week|month|year)s?",
            _few,
            "",
        ),
        (r"(?:in\s|over\s|for\s)?(?:the\s|these\s)?(?P<way>coming|next)\s(?P<unit>day|week)s", _few, "ahead"),
        (
            r"(?P<lead>since|from|at|in)\s(?:the\s)?(?:start|beginning|first)\s+of\s+(?:the|this)\s(?P<unit>year|month|week)",
            _year_start,
            "past",
        ),
        (
            r"(?P<lead>(?:(?:since|from|before|until|till|by|in|at|over|during|around|last|this|next)\s)+)?"
            r"(?P<feast>christmas|new\s+year|new\s+year\s+'s|new\s+years)",
            _christmas,
            "",
        ),
        (r"(?:between|from)\s(?:the\s)?#th\s(?:and|to|till|until)\s(?:the\s)?@", _ordinal_to_day, ""),
        (r"(?:between\s|from\s)?(?:now|today|here)\s(?:and|to|till|until|through|up\sto)\s(?:the\s)?@", _from_now, ""),
        (r"(?:between\s|from\s)?now\s(?:and|to|till|until)\s(?:the\s)?weekend", _up_to_weekend, ""),
        (
            r"(?:between|from)\snow\s(?:and|to|till|until)\sthe\send\sof\s(?:the|this)\s(?P<unit>week|month|year)",
            _rest,
            "",
        ),
        (r"(?:for\s)?(?:the\s)?(?:rest|remainder)\sof\s(?:the|this)\s(?P<unit>week|month|year)", _rest, "ahead"),
        (r"(?:between|from)\s(?:the\s)?@\s(?:and|to|till|until|through)\s(?:the\s)?@", _two_days, ""),
        (r"(?:on\s)?@\sor\s(?:on\s)?@", _two_days, ""),
        (
            rf"(?:in\s|from\s|between\s|during\s|over\s)?(?P<one>{_MONTH[1:-1]})\s(?:and|to|till|until|through)\s"
            rf"(?:in\s)?(?P<two>{_MONTH[1:-1]})",
            _months,
            "",
        ),
        (
            rf"{_LEAD}(?P<part>#th\sweek|last\sweek|early|start|beginning|mid|middle|late|end|last\sday)\s(?:of\s|in\s|part\sof\s)*"
            rf"(?:the\s)?(?P<last>last\s)?(?P<month>{_MONTH[1:-1]})",
            _part_of_month,
            "",
        ),
        (
            r"(?:in\s|on\s)?(?:the\s)?(?P<unit>week|month|year)\s(?P<way>before\slast|after\snext)",
            _next_or_last,
            "",
        ),
        (
            r"(?P<part>early|earlier|late|later|early\sin|late\sin)\s(?P<way>this|next|last)\sweek",
            _part_of_week,
            "",
        ),
        (
            rf"(?:(?P<lead>since|before|until|till|by|on|from)\s)?(?P<weekday>{_WEEKDAYS[1:-1]})\s(?:of\s|in\s)?(?P<way>last|next|this)\sweek",
            _day_of_week,
            "",
        ),
        (r"(?P<lead>by\sthe\send\sof|until\sthe\send\sof|in|for|during|over)?\s?next\smonth", _next_month, ""),
        (
            r"(?:by|until|till|before|at|up\sto)\s(?:the\s)?end\sof\s(?P<way>next|last)\s(?P<unit>week|month)",
            _end_next_week,
            "",
        ),
        (r"(?:on\s)?(?:the\s)?@\sbefore\slast", _before_last, "past"),
        (rf"#\s(?P<weekday>{_WEEKDAYS[1:-1]})s\sago", _weekdays_ago, ""),
        (r"(?<!get\s)(?<!got\s)(?<!been\s)up\s(?:to|until|till)\s(?:the\s)?@", _up_to, ""),
        (r"(?:a|one|#)\syears?\sago", _years_ago, "past"),
        (r"(?:on\s)?@\s(?:of\s|in\s)?(?P<way>last|next|this)\sweek", _day_in_week, ""),
    )
)


def find(note: Note, start: int, end: int, on: date, ahead: bool) -> tuple[Days, set[int]]:
    """The first and last day of a stretch named in tokens start..end-1, and the tokens that name it."""
    line = _Line(note, start, end, on, ahead)
    for pattern, make, when in _PATTERNS:
        if when == ("past" if ahead else "ahead"):
            continue
        for found in pattern.finditer(line.text):
            days = make(line, found)
            if days:
                return days, line.within(found.start(), found.end())
    return {}, set()
