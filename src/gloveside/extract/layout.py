"""A note as one line of words in which values and days stand as marks, so that what lies around them can be told."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date

from gloveside.extract import dates
from gloveside.extract.dates import DateSpan
from gloveside.extract.note import STOPS, Note
from gloveside.extract.said_values import Value, values

_LEFT_OUT = {*STOPS, ",", "um", "er", "uh", "erm", ":", "-"}
_IS = (
    r"(?:was|is|'s|were|(?:should|ought|must|needs|has|wants|supposed|meant)(?: to)?(?: have)? (?:be|been|read|say|"
    r"said)|"
    r"should've (?:been|said)|reads?|to be|to read|to say|to)"
)
_NAMED = re.compile(
    rf"\b(hive|nuc|round)(?: number| no)?(?: (?!hive |nuc |round )[^<\s]+){{0,6}}? {_IS} (?:on |"
    rf"in |as )?<(\d+)>"
)
_YARD = r"(?:to |into )?(?:the )?(<\d+>|[a-z]+)(?: yard)?"
_YARDS = re.compile(
    rf"\b(?:to|into) (?:the )?(<\d+>|[a-z]+)(?: yard)? (?:and |but )?(?:not|instead of|"
    rf"rather than) {_YARD} "
)
_WITH_IS = re.compile(r"\b(it|that|she|he|they|there|what|here|this) '(s|re)\b")
_MOVED = re.compile(r"\b(?:moved|shifted|went|taken|took|carted|carried|trucked|move|shift)\b")
_ORDINARY = {"it", "that", "this", "them", "her", "him", "me", "you", "be", "have", "say", "a", "an", "any", "all"}


@dataclass(frozen=True, slots=True)
class Line:
    """The words of a note, lower case, a blank at both ends.

    text: `<k>` stands for values[k], `@k` for days[k].
    """

    text: str
    values: list[Value]
    days: list[DateSpan]

    def parts(self, first: int, second: int) -> tuple[str, str, str]:
        """The words before the first of two values, between them, and after the second."""
        left, right = self.mark(first), self.mark(second)
        return self.text[: left[0]], self.text[left[1] : right[0]], self.text[right[1] :]

    def mark(self, at: int) -> tuple[int, int]:
        """Where the mark of a value stands in the text."""
        start = self.text.index(f"<{at}>")
        return start, start + len(f"<{at}>")


def laid_out(note: Note, on: date) -> Line:
    """The line of a note. on: the day of the note; a day that owns something ("yesterday's") counts as well."""
    days = [d for d in dates.find(note.lower, on) if d.past is not None and not d.length and not d.rough]
    dated = {at for d in days for at in range(d.start, d.end)}
    said: list[Value] = []
    for value in sorted(values(note), key=lambda v: (v.start, -v.end)):
        inside = dated & set(range(value.start, value.end))
        if value.sort != "date" and not inside and not (said and value.start < said[-1].end):
            said.append(value)
    at_value = {v.start: k for k, v in enumerate(said)}
    at_day = {d.start: k for k, d in enumerate(days)}
    parts: list[str] = []
    at = 0
    while at < len(note.lower):
        if at in at_value:
            parts.append(f"<{at_value[at]}>")
            at = said[at_value[at]].end
        elif at in at_day:
            parts.append(f"@{at_day[at]}")
            at = days[at_day[at]].end
        else:
            if note.lower[at] not in _LEFT_OUT:
                parts.append(note.lower[at])
            at += 1
    line = Line(_WITH_IS.sub(r"\1'\2", f" {' '.join(parts)} "), said, days)
    return _with_yards(note, _named(line))


def _named(line: Line) -> Line:
    """Read the number of a sort of place as the place: "the hive was 52", "the round should be 4"."""
    said = list(line.values)
    for found in _NAMED.finditer(line.text):
        value = said[int(found[2])]
        if value.sort == "number" and isinstance(value.value, int):
            said[int(found[2])] = as_named(value, found[1])
    return replace(line, values=said)


def as_named(number: Value, sort: str) -> Value:
    """A number as the place or round of that number."""
    if sort == "round":
        return replace(number, sort="round")
    return replace(number, sort="place", value=f"{sort} {number.value}")


def _with_yards(note: Note, line: Line) -> Line:
    """Read two yards that no register knows: "it went to Creek and not to the Quarry"."""
    found = _YARDS.search(line.text)
    if found is None or not _MOVED.search(line.text) or {found[1], found[2]} & _ORDINARY:
        return line
    said, text = list(line.values), line.text
    for group in (2, 1):
        name = found[group]
        if name.startswith("<"):
            continue
        at = note.lower.index(name)
        said.append(Value(at, at + 1, "place", f"yard {name.capitalize()}", denied=group == 2))
        text = f"{text[: found.start(group)]}<{len(said) - 1}>{text[found.end(group) :]}"
    return replace(line, text=text, values=said)
