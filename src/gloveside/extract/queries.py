"""The period of a question, and what it is about."""

from __future__ import annotations

import calendar
from datetime import date, timedelta
from typing import Any

from gloveside.extract.note import Note

MONTHS = {name.lower(): index for index, name in enumerate(calendar.month_name) if name}
AIMED = {"hives", "hive", "colonies", "queens", "nucs", "virgins", "stocks"}
_WHOLE = {"order_word"}
"""Phrases whose words mean nothing by themselves: "from start to finish" asks of no start."""
_ENDS = tuple((first, unit) for first in ("end", "rest", "remainder", "left") for unit in ("week", "month"))
SINCE = {"since", "after", "from"}
LEADS = {"in", "on", "at", "from", "with", "for", "by", "of"}
UNTIL = {"until", "till", "before", "by", "of"}


def labels(note: Note, start: int, end: int) -> set[str]:
    """All labels of tokens start..end-1."""
    edges = note.lattice.edges
    within: dict[int, int] = {}
    for at in range(start, end):
        for label in _WHOLE & set(edges[at]):
            within.update({k: stop for stop, _ in edges[at][label] if stop - at > 1 for k in range(at, stop)})
    return {
        label
        for at in range(start, end)
        for label, found in edges[at].items()
        if label in _WHOLE or any(e <= end and e > within.get(at, 0) for e, _ in found)
    }


def month(number: int, on: date) -> tuple[date, date]:
    """First and last day of the latest such month that has begun by `on`."""
    year = on.year if number <= on.month else on.year - 1
    return date(year, number, 1), date(year, number, calendar.monthrange(year, number)[1])


def stretch(word: str, unit: str, on: date) -> tuple[date, date] | None:
    """First and last day of "this week", "last month" and the like."""
    back = word == "last"
    if unit == "week":
        monday = on - timedelta(days=on.weekday() + (7 if back else 0))
        return monday, monday + timedelta(days=6)
    if unit == "month":
        first = (on.replace(day=1) - timedelta(days=1)).replace(day=1) if back else on.replace(day=1)
        return first, first.replace(day=calendar.monthrange(first.year, first.month)[1])
    if unit == "year":
        year = on.year - back
        return date(year, 1, 1), date(year, 12, 31)
    return None


DAYS_OF = {"day": 1, "week": 7, "fortnight": 14, "month": 30, "year": 365}


def days(note: Note, start: int, end: int, *, dated: bool = False) -> int | None:
    """A bare length of time in days: "three weeks", "a fortnight"; None without one.

    A length that dates something ("in ten days") counts with `dated` only: "not opened in ten days".
    """
    for at in range(start + 1, end):
        each = DAYS_OF.get(note.lower[at].removesuffix("s"))
        if each is None or (not dated and any(d.start <= at < d.end for d in note.dates)):
            continue
        number = next((n.value for n in note.numbers.values() if n.end == at and n.start >= start), None)
        lead = note.lower[at - 1]
        if number is None and (
            lead in ("a", "an", "one", "past") or (lead == "last" and note.lower[at] == "fortnight")
        ):
            number = 1
        if number is not None:
            return round(number * each)
    return None


def wanted(note: Note, start: int, end: int) -> int | None:
    """The number of hives, queens or nucs that a question aims at: "for forty laying queens", "a hundred hives"."""
    for number in note.numbers.values():
        follows = note.lower[number.end : number.end + 3]
        if start <= number.start < end and not number.ordinal and AIMED & set(follows) and number.value >= 1:
            return int(number.value)
    return None


def _around(note: Note, start: int, end: int, on: date) -> dict[str, date]:
    """The days of "in the last two weeks" or "in the next three days"."""
    words = note.lower
    for at in range(start + 1, end):
        each = DAYS_OF.get(words[at].removesuffix("s"))
        number = next((n for n in note.numbers.values() if n.end == at and n.start > start), None)
        if each is not None and number is None and words[at - 1] == "past":
            return {"since": on - timedelta(days=each), "until": on}
        if each == DAYS_OF["fortnight"] and number is None:
            lead = words[at - 1]
            if lead in ("last", "past", "this"):
                return {"since": on - timedelta(days=each), "until": on}
            if lead in ("next", "coming"):
                return {"since": on, "until": on + timedelta(days=each)}
        if each is not None and number is None and words[at - 1] == "coming":
            return {"since": on, "until": on + timedelta(days=each)}
        if each is None or number is None:
            continue
        before = words[number.start - 1]
        if before in ("last", "past"):
            return {"since": on - timedelta(days=round(number.value * each)), "until": on}
        if before in ("next", "coming"):
            return {"since": on, "until": on + timedelta(days=round(number.value * each))}
    return {}


def _ends(note: Note, start: int, end: int, on: date, ahead: bool) -> dict[str, date]:
    """The days of "this weekend", "by the end of the month" or "for the rest of the week"."""
    words = note.lower[start:end]
    if "weekend" in words:
        saturday = on + timedelta(days=(5 - on.weekday()) % 7)
        if on.weekday() == 6:
            saturday = on - timedelta(days=1)
        elif not ahead and on.weekday() != 5:
            saturday -= timedelta(days=7)
        lead = set(words[max(0, words.index("weekend") - 2) : words.index("weekend")])
        if lead & {"since", "after"}:
            return {"since": saturday if "since" in lead else saturday + timedelta(days=2)}
        if lead & {"before", "by"}:
            return {"until": saturday - timedelta(days=1)}
        return {"since": saturday, "until": saturday + timedelta(days=1)}
    for first, unit in _ENDS:
        if ahead and first in words and unit in words[words.index(first) :]:
            span = stretch("this", unit, on)
            if span is not None:
                return {"until": span[1]} if first == "end" else {"since": on, "until": span[1]}
    return {}


def _between(note: Note, start: int, end: int, ahead: bool) -> dict[str, date]:
    """The days of "between Monday and Thursday"."""
    if "between" not in note.lower[start:end]:
        return {}
    at = note.lower.index("between", start)
    days = [
        d
        for span in sorted(note.dates, key=lambda d: d.start)
        if at < span.start < end and not span.length
        and (d := span.future if ahead and span.future is not None else span.past) is not None
    ]  # fmt: skip
    return {"since": min(days[:2]), "until": max(days[:2])} if len(days) >= 2 else {}


def _year(note: Note, start: int, end: int) -> dict[str, date]:
    """The days of "in 2025" or "since 2024"."""
    for number in note.numbers.values():
        lead = note.lower[number.start - 1] if number.start else ""
        if start < number.start < end and 2000 <= number.value < 2100 and lead in (*SINCE, "in", "during", "for"):
            first, last = date(int(number.value), 1, 1), date(int(number.value), 12, 31)
            return {"since": first} if lead in SINCE else {"since": first, "until": last}
    return {}


def _lead(note: Note, start: int, at: int) -> list[str]:
    """The preposition before a day, articles and the like aside: "by next Friday", but not "by me on Friday"."""
    at -= 1
    while at > start and note.lower[at] in ("the", "about", "around", "last", "next", "this", "um", "er", ","):
        at -= 1
    return [note.lower[at]] if at >= start else []


def _taken_back(note: Note, left: int, right: int) -> bool:
    """Whether what was said before `right` was taken back: "on Saturday, no, on Sunday"."""
    return bool({"no", "sorry", "mean", "meant", "rather", "correction", "wait"} & set(note.lower[left:right]))


_PARTS = {
    "early": "start", "start": "start", "beginning": "start", "first": "start", "late": "end", "end": "end",
    "second": "half", "last": "half", "latter": "half", "middle": "middle", "mid": "middle",
}  # fmt: skip


def _part(note: Note, start: int, at: int) -> str | None:
    """Which part of the month at a token is meant: "the first half of November", "early November"; None for all."""
    lead = note.lower[max(start, at - 4) : at]
    if lead[-2:] == ["half", "of"] and lead[:-2]:
        return {"start": "first half", "half": "second half"}.get(_PARTS.get(lead[-3], ""))
    if lead[-1:] in (["early"], ["late"], ["mid"]):
        return {"early": "start", "late": "end", "mid": "middle"}[lead[-1]]
    if lead[-2:] == ["middle", "of"]:
        return "middle"
    if lead[-3:-1] == ["week", "of"] or (len(lead) >= 3 and lead[-2:] == ["week", "of"]):
        return {"first": "first week", "last": "last week"}.get(lead[-3])
    return None


def _within(part: str, first: date, last: date) -> tuple[date, date]:
    """First and last day of a part of a month; thirds for early, middle and late."""
    days = {
        "first half": (1, 15), "second half": (16, last.day), "start": (1, 10), "middle": (11, 20),
        "end": (21, last.day), "first week": (1, 7), "last week": (last.day - 6, last.day),
    }[part]  # fmt: skip
    return first.replace(day=days[0]), first.replace(day=days[1])


def period(note: Note, start: int, end: int, on: date, ahead: bool) -> dict[str, date]:
    """`since` and `until` of a question. ahead: it asks of what is to come, so days are read forwards."""
    out: dict[str, date] = _around(note, start, end, on) or _ends(note, start, end, on, ahead)
    if out:
        return out
    for at in range(start, end - 1):
        if note.lower[at] in ("this", "last", "next") and note.lower[at + 1] in ("week", "month", "year"):
            base = on + timedelta(days=7) if note.lower[at] == "next" and note.lower[at + 1] == "week" else on
            found = stretch(note.lower[at], note.lower[at + 1], base)
            if found is not None:
                out["since"], out["until"] = found
                if at > start and note.lower[at - 1] == "since":
                    del out["until"]
                return out
    for at in range(start, end):
        number = MONTHS.get(note.lower[at])
        if number is None or any(d.start <= at < d.end and not d.rough for d in note.dates):
            continue
        lead = note.lower[at - 1] if at else ""
        if lead == "this" and note.doc[at].text == "may":
            continue
        if lead not in (
            *SINCE,
            *UNTIL,
            "in",
            "during",
            "for",
            "last",
            "all",
            "this",
            "early",
            "late",
            "mid",
            "over",
            "through",
            "throughout",
            "across",
            "whole",
            "entire",
            "full",
        ) and number in (3, 5):
            continue
        first, last = month(number, on)
        if lead == "last" and number == on.month:
            first, last = month(number, first - timedelta(days=1))
        if ahead and last < on:
            first = first.replace(year=first.year + 1)
            last = (first + timedelta(days=31)).replace(day=1) - timedelta(days=1)
        part = _part(note, start, at)
        if part is not None:
            out["since"], out["until"] = _within(part, first, last)
            return out
        before_of = set(note.lower[max(start, at - 4) : at - 1]) if lead == "of" else set()
        if lead in SINCE or (before_of & {"start", "beginning"} and before_of & SINCE):
            out["since"] = first
        elif lead == "of" and not before_of & {"end", "until", "till", "by"}:
            out["since"], out["until"] = first, last
        elif lead == "before":
            out["until"] = first - timedelta(days=1)
        elif lead in UNTIL:
            out["until"] = last
        else:
            out["since"], out["until"] = first, last
        return out
    for at in range(start, end - 2):
        if note.lower[at : at + 3] == ["week", "before", "last"]:
            monday = on - timedelta(days=on.weekday() + 14)
            return {"since": monday, "until": monday + timedelta(days=6)}
    if between := _between(note, start, end, ahead):
        return between
    if year := _year(note, start, end):
        return year
    before: int | None = None
    for span in note.dates:
        if not start <= span.start < end:
            continue
        if before is not None and _taken_back(note, before, span.start):
            out.clear()
        before = span.end
        words = {note.lower[span.start], *_lead(note, start, span.start)}
        if span.length:
            continue
        if words & SINCE and ahead and span.future is not None:
            out["since"] = span.future
        elif words & SINCE and span.past is not None:
            out["since"] = span.past
        elif words & UNTIL:
            day = span.past if not ahead or span.future is None else span.future
            if day is not None:
                out["until"] = day - timedelta(days=1) if "before" in words else day
        else:
            day = span.future if ahead else span.past
            if ahead and note.lower[span.start] in ("today", "tonight", "now"):
                day = on
            if day is not None and "since" in out and span.start and note.lower[span.start - 1] == "and":
                out["until"] = max(day, out.get("until", day))  # "on Monday and Tuesday"
            if day is not None:
                out.setdefault("since", day)
                out.setdefault("until", day)
    return out


def about(note: Note, start: int, end: int, labels: dict[str, Any]) -> Any:
    """The value of the label (label -> value) that the question names in most words, the first of equals."""
    best: tuple[int, Any] | None = None
    for at in range(start, end):
        for label, value in labels.items():
            for stop, own in note.lattice.edges[at].get(label, ()):
                if note.lower[stop - 1 : stop + 1] == ["right", "now"]:
                    continue  # "without a queen right now" is not queenright
                if stop <= end and (best is None or stop - at > best[0]):
                    best = (stop - at, own if value == "$value" else value)
    return best[1] if best else None
