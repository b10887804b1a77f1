"""What an older note said wrongly, put right in any order of words: dates, counts, places, words of any field.

"Hive 41 dying, I have that under Wednesday, it was Tuesday", "the strips in hive 11 went in on the 20th, not the 22nd".
Three things must be there: words that refer to what was told before, words that put it right, and two different values
of one sort, of which the wrong one was told and the right one follows the words that put it right.
"""

from __future__ import annotations

import re

from gloveside.extract.models import Order
from gloveside.extract.note import STOPS, Note
from gloveside.extract.said_values import Value, counted, place_field, values

LONGEST = 44
_TOLD = re.compile(
    r"\b(?:i|we)\s(?:have\s|had\s|'d\s|'ve\s|must\shave\s|also\s)?(?:said|told\syou|put\sdown|put\sit|put\sthat|put\shim|put\sher|"
    r"put\sthem|wrote|noted|recorded|logged|called|entered|reported|gave\syou|mentioned|marked\sdown|told\sthe\sbook)\b"
    r"|\b(?:i|we|you)(?:\s've|'ve|\shave|\shad|'d|\sgot)\s(?:got\s)?(?:it|that|this|them|her|those|these)?\s?"
    r"(?:got\s)?(?:down|noted|written|under|recorded|logged|as|for|at|on)\b"
    r"|\b(?:is|was|are|were|'s|got)\s(?:put\s)?down\s(?:as|for|under|on|at)\b"
    r"|\b(?:my|the|that|your)\s(?:\w+\s)?(?:note|notes|entry|record|book)\b|\bwrong\s(?:date|day|place|hive|nuc|number|count|colour|"
    r"color|figure|yard|mother|round|month)\b|\b(?:like|as|what|which|than)\s(?:i|we)\s(?:said|told\syou|had\sit|put|noted|wrote|gave)\b"
    r"|\b(?:went|go|gone|put|entered|noted)\s(?:in|down)\s(?:under|as|for)\b|\b(?:alter|change|amend|correct|fix|edit|adjust)\b.*"
    r"\b(?:note|entry|record|date|count|number|\w+'s|'s)\b"
    r"|\bit\s(?:has|says|said)\b|\b(?:date|day|count|number|figure|place|colour)\s(?:is|was|for|of|on)\b.*\bwrong\b"
    r"|\bi\s(?:got|had)\b.*\b(?:wrong|down\s(?:as|under|for|on|at))\b|\bi\s(?:told|gave)\syou\b"
)  # fmt: skip
_RIGHT = re.compile(
    r"\b(?:(?:it|that|they|there|she|he|these|those|this|which|and|but|really|actually|in\sfact|truth\sis|really\sit)\s?(?:'s|'d|only|really|actually|also|just)?\s?)?"
    r"(?:was|were|is|are|should\s(?:have\s(?:been|said)|be|say|read)|ought\sto\s(?:have\s(?:been|said)|be|say|read)|"
    r"must\s(?:be|have\sbeen)|has\sto\sbe|went|came|happened|took\splace|did\sit|got\sdone|want(?:s)?\sto\sbe)\b"
    r"|\b(?:make|call|put|change|move|set|correct|fix|read|have)\s(?:it|that|them|this|her)(?:\s(?:down|to|as|on|under|at|back|into|read|say))*\b"
    r"|\bto\s(?:read|say|be)\b|\b(?:so|so\sthat)\s(?:it|they|that)\s(?:reads|read|says|say|is|are|shows)\b"
    r"|\bi\s(?:meant|mean|should\shave\ssaid|ought\sto\shave\ssaid)\b|\bmeant\sto\s(?:say|be)\b|\bit\s's\b|\bit's\b|\bthat's\b|\bthey're\b"
)  # fmt: skip
_ASKED_TO = re.compile(r"\b(?:can|could|would|will)\s(?:you|we|i)\b")


def order(note: Note) -> Order | None:
    """The order to put an older note right that the whole note is, or None."""
    if len(note.lower) > LONGEST:
        return None
    starts, text = _line(note)
    if note.lower[-1] == "?" and not _ASKED_TO.search(text):
        return None
    told = _TOLD.search(text)
    if told is None:
        return None
    said = values(note)
    rights = [m for m in _RIGHT.finditer(text) if m.start() != told.start()]
    for right in reversed(rights):
        after = _token(starts, right.end())
        new = [v for v in said if v.start >= after and not v.denied]
        if not new or (right.start() < told.start() and not any(v.denied for v in said)):
            continue
        made = _made(note, new, [v for v in said if v.start < after or v.denied], after, said)
        if made is not None:
            return made
    return None


def _made(note: Note, new: list[Value], old: list[Value], cut: int, every: list[Value]) -> Order | None:
    """The order for the first of the new values that has a wrong one of its sort before it."""
    for right in new:
        wrong = [v for v in old if v.sort == right.sort and v.value != right.value and v is not right]
        denied = [v for v in wrong if v.denied]
        if not wrong or (right.sort == "date" and len(new) > 1 and any(_pair(v, old) for v in new if v.sort != "date")):
            continue
        chosen = denied[0] if denied else wrong[-1]
        return _order(note, chosen, right, [v for v in every if v not in (chosen, right)], cut)
    return None


def _pair(value: Value, old: list[Value]) -> bool:
    return any(v.sort == value.sort and v.value != value.value for v in old)


def _order(note: Note, wrong: Value, right: Value, rest: list[Value], cut: int) -> Order:
    places = [v.value for v in rest if v.sort == "place" and v.value != right.value]
    days = [v.value for v in rest if v.sort == "date"]
    about = note.text(0, cut).strip(" ,")
    day = days[-1] if days else None
    match right.sort:
        case "date":
            said = " ".join([*dict.fromkeys(places), about])
            return Order(do="change", field="on", to=right.value.isoformat(), said=said, on=wrong.value)
        case "round":
            return Order(
                do="change", field="round", to=right.value, said=f"round {wrong.value}", was=wrong.value, on=day
            )
        case "place":
            field = place_field(note, right)
            return Order(do="change", field=field, to=right.value, said=wrong.value, was=wrong.value, on=day)
        case "number":
            return Order(
                do="change", field=counted(note, wrong.end), to=right.value, said=about, was=wrong.value, on=day
            )
    return Order(do="change", field=right.sort, to=right.value, said=about, was=wrong.value, on=day)


def _line(note: Note) -> tuple[list[int], str]:
    """The tokens as one line without stops, and where each begins in it."""
    starts: list[int] = []
    width = 0
    parts: list[str] = []
    for word in note.lower:
        starts.append(width)
        plain = "" if word in STOPS or word == "," or word in ("um", "er", "uh") else word
        parts.append(plain)
        width += len(plain) + bool(plain)
    return starts, " ".join(p for p in parts if p)


def _token(starts: list[int], place: int) -> int:
    """The first token that begins at or after a place of the line."""
    return next((at for at, start in enumerate(starts) if start >= place), len(starts))
