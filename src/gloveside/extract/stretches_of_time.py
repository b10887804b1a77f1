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

from gloveside.extract.note import Note
from gloveside.extract.queries import MONTHS
from gloveside.extract.stretch_line import (
    DAY,
    FEW,
    MONTH,
    UNITS,
    WEEKDAYS,
    Days,
    Line,
    edged,
    ends_of,
    months_on,
    week_start,
)


def _in_season(line: Line, found: re.Match[str]) -> Days:
    lead = found["lead"] or ""
    first, last = line.season(found["season"], back="last" in lead)
    if found["part"] and found["part"] in ("start", "beginning") and not re.search(r"since|from", lead):
        last = first + timedelta(days=30)
    elif found["part"] == "end":
        return {"until": last} if "since" not in lead else {"since": last + DAY}
    word = next((w for w in ("since", "from", "before", "until", "till", "by") if w in lead.split()), "in")
    return edged(line, word, first, last)


def _few(line: Line, found: re.Match[str]) -> Days:
    back = found["way"] in ("last", "past", "previous")
    days = timedelta(days=FEW * UNITS[found["unit"]])
    return {"since": line.on - days, "until": line.on} if back else {"since": line.on}


def _year_start(line: Line, found: re.Match[str]) -> Days:
    unit = found["unit"]
    first = {"year": line.on.replace(month=1, day=1), "month": line.on.replace(day=1), "week": week_start(line.on)}[
        unit
    ]
    if found["lead"] in ("since", "from"):
        return {"since": first}
    return {"since": first, "until": first + timedelta(days={"year": 30, "month": 9, "week": 1}[unit])}


def _christmas(line: Line, found: re.Match[str]) -> Days:
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
    return edged(line, word, feast, feast)


def _two_days(line: Line, found: re.Match[str]) -> Days:
    first, last = line.day(found), line.day(found, 1)
    if line.ahead and first > last:
        first = line.on if first - line.on >= timedelta(days=7) else last
    return {"since": min(first, last), "until": max(first, last)}


def _ordinal_to_day(line: Line, found: re.Match[str]) -> Days:
    last = line.day(found)
    number = line.count(found)
    first = last.replace(day=number) if 1 <= number <= last.day else last
    return {"since": first, "until": last}


def _from_now(line: Line, found: re.Match[str]) -> Days:
    return {"since": line.on, "until": line.day(found)}


def _months(line: Line, found: re.Match[str]) -> Days:
    first, last = line.month(MONTHS[found["one"]])[0], line.month(MONTHS[found["two"]])[1]
    if first > last:
        first = first.replace(year=first.year - 1)
    return {"since": first, "until": last if line.ahead else min(last, max(line.on, first))}


def _part_of_month(line: Line, found: re.Match[str]) -> Days:
    first, last = line.month(MONTHS[found["month"]], last=bool(found["last"]))
    part = found["part"]
    lead = (found["lead"] or "").strip()
    if part.startswith("#th week"):
        number = line.count(found)
        span = first + timedelta(days=7 * (number - 1)), min(last, first + timedelta(days=7 * number - 1))
    elif part.endswith("fortnight"):
        span = (
            (last - timedelta(days=13), last)
            if part[0] == "l" or line.count(found) > 1
            else (first, first.replace(day=14))
        )
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
    return edged(line, lead, *span)


def _next_or_last(line: Line, found: re.Match[str]) -> Days:
    """The week, month or year before last or after next."""
    way = 2 if found["way"] == "after next" else -2
    if found["unit"] == "week":
        first = week_start(line.on) + timedelta(days=7 * way)
        return {"since": first, "until": first + timedelta(days=6)}
    if found["unit"] == "year":
        return {"since": date(line.on.year + way, 1, 1), "until": date(line.on.year + way, 12, 31)}
    first, last = months_on(line.on, way)
    return {"since": first, "until": last}


def _part_of_week(line: Line, found: re.Match[str]) -> Days:
    week = {"next": 7, "last": -7, "this": 0}[found["way"]]
    monday = week_start(line.on) + timedelta(days=week)
    part = found["part"]
    if part == "earlier":
        return {"since": monday, "until": line.on}
    if part == "later" and not week:
        return {"since": line.on, "until": monday + timedelta(days=6)}
    if part in ("early", "early in"):
        return {"since": monday, "until": monday + timedelta(days=2)}
    return {"since": monday + timedelta(days=3), "until": monday + timedelta(days=6)}


def _day_of_week(line: Line, found: re.Match[str]) -> Days:
    monday = week_start(line.on) + timedelta(days={"next": 7, "last": -7, "this": 0}[found["way"]])
    weekday = [name.lower() for name in calendar.day_name].index(found["weekday"])
    day = monday + timedelta(days=weekday)
    lead = (found["lead"] or "").strip()
    return edged(line, lead, day, day) if lead else {"since": day, "until": day}


def _day_in_week(line: Line, found: re.Match[str]) -> Days:
    monday = week_start(line.on) + timedelta(days={"next": 7, "last": -7, "this": 0}[found["way"]])
    day = monday + timedelta(days=line.day(found).weekday())
    return {"since": day, "until": day}


def _next_month(line: Line, found: re.Match[str]) -> Days:
    first, last = months_on(line.on, 1)
    return (
        {"until": last} if found["lead"] in ("by the end of", "until the end of") else {"since": first, "until": last}
    )


def _end_next_week(line: Line, found: re.Match[str]) -> Days:
    way = {"next": 7, "last": -7}[found["way"]]
    if found["unit"] == "month":
        return {"until": months_on(line.on, 1 if way > 0 else -1)[1]}
    return {"until": week_start(line.on) + timedelta(days=way + 6)}


def _before_last(line: Line, found: re.Match[str]) -> Days:
    day = line.day(found) - timedelta(days=7)
    return {"since": day, "until": day}


def _weekdays_ago(line: Line, found: re.Match[str]) -> Days:
    weekday = [name.lower() for name in calendar.day_name].index(found["weekday"])
    last = line.on - timedelta(days=(line.on.weekday() - weekday - 1) % 7 + 1)
    day = last - timedelta(days=7 * (line.count(found) - 1))
    return {"since": day, "until": day}


def _years_ago(line: Line, found: re.Match[str]) -> Days:
    count = line.count(found) if "#" in found.group() else 1
    last = 28 if (line.on.month, line.on.day) == (2, 29) else line.on.day
    day = line.on.replace(year=line.on.year - count, day=last)
    return {"since": day, "until": day}


def _days_back(line: Line, found: re.Match[str]) -> Days:
    """Since so many days or weeks ago: "since ten days"."""
    each = {**UNITS, "fortnight": 14}[found["unit"]]
    count = line.count(found) if "#" in found.group() else 1
    return {"since": line.on - timedelta(days=each * count)}


def _to_feast(line: Line, found: re.Match[str]) -> Days:
    month, day = (12, 25) if found["feast"] == "christmas" else (1, 1)
    feast = date(line.on.year, month, day)
    return {"since": line.on, "until": feast if feast >= line.on else feast.replace(year=line.on.year + 1)}


def _ordinals(line: Line, found: re.Match[str]) -> Days:
    """From one ordinal to another ("10th to 24th"): days of this month, else of the one beside it."""
    first, last = line.count(found), line.count(found, 1)
    way = 0 if line.ahead or last <= line.on.day or first <= line.on.day else -1
    way = 1 if line.ahead and last < line.on.day else way
    begins, ends = months_on(line.on, way)
    if not 1 <= first <= last <= ends.day:
        return {}
    return {"since": begins.replace(day=first), "until": begins.replace(day=last)}


def _as_of_ordinal(line: Line, found: re.Match[str]) -> Days:
    number = line.count(found)
    begins, ends = months_on(line.on, 0 if number <= line.on.day else -1)
    return {"until": begins.replace(day=number)} if 1 <= number <= ends.day else {}


def _weekend_before_last(line: Line, _found: re.Match[str]) -> Days:
    saturday = line.on - timedelta(days=(line.on.weekday() - 5) % 7 or 7) - timedelta(days=7)
    return {"since": saturday, "until": saturday + DAY}


def _week_of(line: Line, found: re.Match[str]) -> Days:
    first = line.day(found)
    first = week_start(first) if found["of"] == "of" else first
    return {"since": first, "until": first + timedelta(days=6)}


def _and_day_after(line: Line, found: re.Match[str]) -> Days:
    return {"since": line.day(found), "until": line.day(found) + DAY}


def _by_end(line: Line, found: re.Match[str]) -> Days:
    unit = found["unit"] or found["own"]
    return {"until": ends_of(line.on)[unit]}


def _this_time(line: Line, found: re.Match[str]) -> Days:
    if found["unit"] == "year":
        return _years_ago(line, found)
    day = line.on - timedelta(days=7)
    if found["unit"] == "month":
        begins, ends = months_on(line.on, -1)
        day = begins.replace(day=min(line.on.day, ends.day))
    return {"since": day, "until": day}


def _up_to(line: Line, found: re.Match[str]) -> Days:
    return {"until": line.day(found)}


def _up_to_weekend(line: Line, _found: re.Match[str]) -> Days:
    return {"since": line.on, "until": week_start(line.on) + timedelta(days=6)}


def _rest(line: Line, found: re.Match[str]) -> Days:
    return {"since": line.on, "until": ends_of(line.on)[found["unit"]]}


_LEAD = r"(?:(?P<lead>since|from|before|until|till|by|in|at|on|during|for|over|to|of|around)\s)?(?:the\s)?"
_PATTERNS: tuple[tuple[re.Pattern[str], Callable[[Line, re.Match[str]], Days], str], ...] = tuple(
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
            r"(?:between|from)\s(?:now|today)\s(?:and|to|till|until)\s(?P<feast>christmas|new\syear)(?:\s's)?",
            _to_feast,
            "",
        ),
        (
            r"(?P<lead>(?:(?:since|from|before|until|till|by|in|at|over|during|around|last|this|next)\s)+)?"
            r"(?P<feast>christmas|new\s+year|new\s+year\s+'s|new\s+years)",
            _christmas,
            "",
        ),
        (r"(?:between|from)\s(?:the\s)?#th\s(?:and|to|till|until)\s(?:the\s)?@", _ordinal_to_day, ""),
        (r"(?:on\s)?(?:the\s)?#(?:th)?\s(?:to|till|until|through|-)\s(?:the\s)?@", _ordinal_to_day, ""),
        (
            r"(?:(?:from|between)\s)?(?:the\s)?#th\s(?:to|till|until|through|-|and)\s(?:the\s)?#th",
            _ordinals,
            "",
        ),
        (r"as\s(?:of|at)\s(?:the\s)?#th", _as_of_ordinal, "past"),
        (r"since\s(?:about\s|some\s)?(?:#|a)\s(?P<unit>day|week|fortnight|month|year)s?", _days_back, "past"),
        (r"(?:on\s|over\s|at\s|in\s)?(?:the\s)?weekend\sbefore\slast", _weekend_before_last, "past"),
        (
            r"(?:in\s|during\s|for\s|over\s)?(?:the\s)?week\s(?P<of>of|starting|beginning|commencing|from)\s(?:on\s)?"
            r"(?:the\s)?@",
            _week_of,
            "",
        ),
        (r"(?:on\s)?@\s(?:and|or)\s(?:on\s)?(?:the\s)?day\safter", _and_day_after, ""),
        (
            r"(?:by|before|until|till|up\sto)\s(?:the\s)?(?:end\sof\s(?:the|this)\s(?P<unit>week|month|year)|"
            r"(?P<own>week|month|year)\s's\send)",
            _by_end,
            "ahead",
        ),
        (r"(?:at\s)?this\stime\slast\s(?P<unit>year|month|week)", _this_time, "past"),
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
            rf"(?:in\s|from\s|between\s|during\s|over\s)?(?P<one>{MONTH[1:-1]})\s(?:and|to|till|until|through)\s"
            rf"(?:in\s)?(?P<two>{MONTH[1:-1]})",
            _months,
            "",
        ),
        (
            rf"{_LEAD}(?P<part>#th\sweek|last\sweek|#th\sfortnight|last\sfortnight|early|start|beginning|mid|middle|late|end|last\sday)\s(?:of\s|in\s|part\sof\s)*"
            rf"(?:the\s)?(?P<last>last\s)?(?P<month>{MONTH[1:-1]})",
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
            rf"(?:(?P<lead>since|before|until|till|by|on|from)\s)?(?P<weekday>{WEEKDAYS[1:-1]})\s(?:of\s|in\s)?(?P<way>last|next|this)\sweek",
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
        (rf"#\s(?P<weekday>{WEEKDAYS[1:-1]})s\sago", _weekdays_ago, ""),
        (r"(?<!get\s)(?<!got\s)(?<!been\s)up\s(?:to|until|till)\s(?:the\s)?@", _up_to, ""),
        (r"(?:a|one|#)\syears?\sago", _years_ago, "past"),
        (r"(?:on\s)?@\s(?:of\s|in\s)?(?P<way>last|next|this)\sweek", _day_in_week, ""),
    )
)


def find(note: Note, start: int, end: int, on: date, ahead: bool) -> tuple[Days, set[int]]:
    """The first and last day of a stretch named in tokens start..end-1, and the tokens that name it."""
    line = Line(note, start, end, on, ahead)
    for pattern, make, when in _PATTERNS:
        if when == ("past" if ahead else "ahead"):
            continue
        for found in pattern.finditer(line.text):
            days = make(line, found)
            if days:
                return days, line.within(found.start(), found.end())
    return {}, set()
