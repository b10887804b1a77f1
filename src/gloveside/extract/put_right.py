"""Orders to put one value of a kept note right, in any order of words: which value is right, and which note is meant.

Two values of one sort are a pair when the words around them tell the wrong one from the right one ("not 9 but 12",
"change 9 to 12", "I said 9 by mistake, it was 12"). Without a pair one value after words that put right is enough where
the note names what it puts right ("alter this morning's note, the hive was 52"). What fits none of this is no order.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from gloveside.extract import amend_words as said
from gloveside.extract.layout import Line, as_named, laid_out
from gloveside.extract.models import Order
from gloveside.extract.note import STOPS, Note
from gloveside.extract.said_values import Value, counted, place_field

LONGEST = 44
_OFTEN = frozenset({"place", "round", "number", "colour", "queen", "strength", "temper", "eggs"})
"""Sorts that are put right without saying that a note is meant; "change the syrup to fondant" is work."""
_BETWEEN = {
    "and",
    "but",
    "not",
    "instead",
    "of",
    "rather",
    "than",
    "to",
    "into",
    "with",
    "for",
    "it",
    "was",
    "is",
    "it's",
    "that's",
    "should",
    "be",
    "been",
    "have",
    "the",
    "number",
}
"""What may stand between a place and a bare number that is to be the same sort of place."""
_COUNTS = re.compile(
    r" (?:open |capped |ripe |more )*(?:frames?|litres?|cells?|mites?|bees|larvae|kilos?|nucs?|boxes|supers?)\b"
)
_HEDGED = re.compile(r"\b(?:or|maybe|perhaps|might|could be|not sure|unsure|either)\b")
_ASKS = re.compile(r"^ (?:what|when|which|who|how|why|where|is|was|are|were|did|does|do|has|have) ")
_ASKED_NOW = re.compile(r"\b(?:said|told|just|right|please|by) (?:you )?(?:now|today)$")
_INSTEAD = re.compile(
    rf" (?:{said.COURTESY.pattern} )*(?:make|put|call|have|read|write|say|use) (?:it |"
    rf"that )?(?:@\d+ 's )?{said.GLUE}<\d+> "
)
_OPINION = re.compile(r" (?:i|we|i'd|we'd) (?:put|call|have|read|write|use)\b")
_SO_THAT = re.compile(
    r" (?:it|that|this|them) (?:(?:so|so that) (?:it|that) (?:says|reads|is|shows|said)|(?:to|"
    r"into|as)) $"
)
_WE_WILL = re.compile(r"\b(?:tomorrow|tonight|next|later)\b")
_UNPAIRED = re.compile(
    rf" (?P<subject>{said.SUBJECT}) (?:really |actually |only |just |in fact |in truth )*(?P<be>{said.SHOULD}|"
    rf"{said.BE}) {said.GLUE}$"
)
_JOINED = re.compile(
    rf" (?:it's|that's|they're|she's|he's|make it|make that|call it) (?:really |actually |only |"
    rf"just )*{said.GLUE}$"
)
_OUGHT = re.compile(rf" {said.SHOULD} {said.GLUE}$")
_INTO = re.compile(rf" (?:to|into|say|read|as|show) {said.GLUE}$")
_MEANT = re.compile(rf"\b(?:i|we) (?:meant|mean|should|should've|ought)\b|{said.SHOULD}")
_TOLD_THEN = re.compile(
    rf" (?:but |and |when |though |whereas |while )*(?:{said.SUBJECT}) (?:really |actually |only |just |"
    rf"in fact )*(?:{said.SHOULD}|{said.BE}) "
    rf"{said.GLUE}$| (?:{said.SHOULD}) {said.GLUE}$|(?: it's| that's| she's| they're) (?:really |"
    rf"actually )?{said.GLUE}$"
    rf"| (?:i|we) (?:actually|really|only|in fact) \w+ {said.GLUE}$"
)


@dataclass(frozen=True, slots=True)
class Amended:
    """What is put right: the right value, the wrong one where it was said."""

    right: Value
    wrong: Value | None


def order(note: Note, on: date) -> Order | None:
    """The order to put a kept note right that a whole note is, or None. on: the day of the note."""
    if not 2 < len(note.lower) <= LONGEST:
        return None
    line = laid_out(note, on)
    if not line.values or _ASKS.search(line.text) or any(p.rivals for p in note.places):
        return None
    made = _pair(line) or _alone(line)
    if made is None:
        return None
    if _HEDGED.search(line.text) or any(d.past is not None and d.past > on for d in line.days):
        return None
    return _order(note, line, made)


def sounds(note: Note, on: date) -> bool:
    """Whether a note speaks of a note that was kept and wants it changed, though it may not say to what."""
    if len(note.lower) > LONGEST:
        return False
    text = laid_out(note, on).text
    verb = said.CHANGE.search(text)
    named = said.NOTE_REF.search(text)
    if verb is None or named is None or _ASKS.search(text):
        return False
    leads = not said.COURTESY.sub(" ", text[: verb.start()]).strip() or named.start() < verb.start()
    notes = re.search(r"\b(?:note|entry|record|message)\b", named.group())
    return bool(
        leads and notes and verb["verb"] in said.ONLY_OF_NOTES and not said.PLANNED.search(text[: verb.start()])
    )


def is_news(note: Note) -> bool:
    """Whether a note ends with what is so by now: "my note says hive 12 was strong, it's weak today"."""
    words = [w for w in note.lower if w not in STOPS]
    ends_now = len(words) > 4 and words[-1] in ("now", "today", "present", "moment")
    return ends_now and not _ASKED_NOW.search(" ".join(words))


# -- two values -------------------------------------------------------------------------------------------------------
def _pair(line: Line) -> Amended | None:
    for first in range(len(line.values)):
        for second in range(len(line.values)):
            if first != second and line.mark(first) < line.mark(second) and (made := _of_two(line, first, second)):
                return made
    return None


def _of_two(line: Line, first: int, second: int) -> Amended | None:
    """Which of two values is right, when the words tell, and tell that a kept note is meant."""
    before, between, after = line.parts(first, second)
    a, b = _alike(line.values[first], line.values[second], between, after)
    if b is not line.values[second] and any(v.sort == "number" for v in line.values[:first]):
        return None  # "put 2 supers on hive 12 instead of 1"
    if a.sort != b.sort or a.value == b.value:
        return None
    if any(line.values[int(k)].sort in (a.sort, "number") for k in re.findall(r"<(\d+)>", between)):
        return None
    plain = re.sub(r"<\d+> ?", "", between)
    if said.ALIKE_BEFORE.search(before) and said.CONTRASTED.search(plain):
        return Amended(b, a) if _of_note(line, a.sort, first, second) else None
    if said.DENIED.search(plain):
        return Amended(a, b) if _of_note(line, a.sort, first, second) else None
    if _changed(line, a, before, plain):
        return Amended(b, a)
    if said.WRONG_AFTER.search(plain) and _TOLD_THEN.search(plain):
        return Amended(b, a)
    noted = said.MISTAKE.search(plain) or (said.MISTAKE.search(before) and re.search(said.SHOULD, plain))
    plainly = re.fullmatch(rf" (?:(?:on |in |from )?@\d+ )?{said.SHOULD} {said.GLUE}", plain)
    if (noted or plainly) and line.days and _TOLD_THEN.search(plain):
        return Amended(b, a)
    told = list(said.TOLD.finditer(before))
    mistaken = said.MISTAKE.search(before + plain + after) is not None
    if told and len(before[told[-1].end() :].split()) <= 8:
        if said.RIGHT_AFTER.search(after):
            return Amended(b, a)
        if _TOLD_THEN.search(plain) and (mistaken or line.days or _MEANT.search(plain)):
            return Amended(b, a)
    later = said.TOLD.search(plain)
    if (
        later
        and (mistaken or " but " in plain or said.RECALLED.search(line.text))
        and len(plain[later.end() :].split()) <= 6
    ):
        return Amended(a, b)
    return None


def _alike(first: Value, second: Value, between: str, after: str) -> tuple[Value, Value]:
    """The two values in one sort: "hive 16, not 60", "change hive 12 to 20"."""
    if first.sort in ("place", "round") and second.sort == "number" and isinstance(second.value, int):
        sort = "round" if first.sort == "round" else str(first.value).split()[0]
        bare = set(between.split()) <= _BETWEEN and not _COUNTS.match(after)
        if bare and sort in ("hive", "nuc", "round"):
            return first, as_named(second, sort)
    return first, second


def _of_note(line: Line, sort: str, first: int, second: int) -> bool:
    """Whether a contrast puts a kept note right, rather than being the news: by what stands beside it."""
    text = line.text
    start = line.mark(first)[0]
    if said.RECALLED.search(text) or said.NOTE_REF.search(text) or said.CLEFT.search(text):
        return True
    rest = text.replace(f"<{first}>", " ").replace(f"<{second}>", " ")
    ends = said.TAIL.search(text[line.mark(second)[1] :]) is not None
    if _INSTEAD.match(text) and ends and "<" not in rest and sort in ("place", "round") and not _OPINION.match(text):
        return True
    if said.NOT_SO.search(text) and ends and "<" not in rest and sort in ("place", "round", "number", "colour"):
        return True
    mistake = said.MISTAKE.search(text)
    if mistake and (mistake.start() < start or not said.COURTESY.sub("", text[:start]).strip()):
        return not re.search(r"<\d+>", text[: mistake.start()]) or mistake.start() > start
    rest = re.sub(
        r"\b(?:not|instead of|rather than|but|and|as opposed to|that's|it's|was|is|it|wasn't|isn't|be|"
        r"one|last|should|have|been|this|that)\b",
        " ",
        rest,
    )
    bare = not said.COURTESY.sub(" ", said.CHANGE.sub(" ", said.RIGHTING.sub(" ", rest))).strip(" ")
    return bare and sort in ("place", "round")


def _changed(line: Line, wrong: Value, before: str, between: str) -> bool:
    """Whether a verb of change takes the first value to the second."""
    verbs = [v for v in said.CHANGE.finditer(before) if v["verb"] != "put"]
    if not verbs or not said.FOR_NEW.search(between):
        return False
    verb = verbs[-1]
    named = said.NOTE_REF.search(line.text) is not None
    if named:
        return True
    leads = not said.COURTESY.sub(" ", re.sub(r"@\d+ 's \w+", " ", before[: verb.start()])).strip()
    kept = verb["verb"] in said.ONLY_OF_NOTES and wrong.sort in _OFTEN
    return leads and kept and not said.PLANNED.search(before[: verb.start()]) and not _WE_WILL.search(line.text)


# -- one value --------------------------------------------------------------------------------------------------------
def _alone(line: Line) -> Amended | None:
    """The right value alone, last in the note, after words that put a named note right."""
    last = max(range(len(line.values)), key=line.mark)
    value = line.values[last]
    start, end = line.mark(last)
    before, after = line.text[:start], line.text[end:]
    if value.denied or not said.TAIL.search(after):
        return None
    others = [v for k, v in enumerate(line.values) if k != last]
    if any(v.sort not in ("place", "round") for v in others):
        return None
    clause = _UNPAIRED.search(before) or _JOINED.search(before)
    lead = before[: clause.start() + 1] if clause else before
    planned = bool(line.days) is False
    changes = [v for v in said.CHANGE.finditer(before) if not (planned and said.PLANNED.search(before[: v.start()]))]
    righted = said.RIGHTING.search(lead)
    named = said.NOTE_REF.search(line.text)
    mistake = said.MISTAKE.search(lead)
    ought = _OUGHT.search(before)
    if clause and (righted or (changes and (named or said.LAST_NOTE.search(lead)))) and _little_else(lead):
        return Amended(value, None)
    if clause and mistake and not re.search(r"<\d+>", lead[: mistake.start()]) and _little_else(lead):
        return Amended(value, None)
    if (
        clause
        and not ought
        and re.match(
            rf" (?:{said.COURTESY.pattern} )*(?:in |on |"
            rf"about )?{said.NOTE_REF.pattern}",
            line.text,
        )
    ):
        return Amended(value, None) if _little_else(lead) and (line.days or others) else None
    ref = said.OF_REF.match(line.text)
    if ref is not None and re.fullmatch(rf"(?:{said.SHOULD}|{said.BE}) {said.GLUE}", before[ref.end() :]):
        return Amended(value, None)
    if ought:
        stem = said.COURTESY.sub(" ", before[: ought.start() + 1])
        last_note = said.LAST_NOTE.search(before)
        if named or last_note or said.RECALLED.search(line.text) or (clause and said.LABEL.search(f" {stem.strip()} ")):
            return Amended(value, None)
        if re.match(r" (?:i|we) ", ought.group()) and not stem.strip():
            return Amended(value, None)
        if re.fullmatch(r"\s*(?:it|that|this|that one|this one)\s*", stem):
            return Amended(value, None)
    into = _INTO.search(before)
    if changes and into and (named or said.LAST_NOTE.search(before)) and _little_else(before[: into.start()]):
        return Amended(value, None)
    first = changes[0] if changes else None
    if first is None or said.COURTESY.sub(" ", before[: first.start()]).strip():
        return None
    if first["verb"] in ("make", "have") and re.search(
        rf"{said.LAST_NOTE.pattern}(?: say| read|"
        rf" be)? {said.GLUE}$",
        before,
    ):
        return Amended(value, None)
    if first["verb"] not in said.ONLY_OF_NOTES:
        return None
    if _SO_THAT.fullmatch(before[first.end() :]):
        return Amended(value, None)
    if (
        into
        and not re.sub(
            rf"@\d+|\b(?:'s|from|on|of|the|in|my|for|{said.KINDS}|"
            rf"{said.LABELS})(?= )",
            "",
            before[first.end() : into.start() + 1],
        ).strip()
    ):
        return Amended(value, None)
    return None


def _little_else(text: str) -> bool:
    """Whether hardly a word is left beside the note that is named, the mistake and the courtesies."""
    for pattern in (said.RIGHTING, said.NOTE_REF, said.LAST_NOTE, said.MISTAKE, said.TOLD, said.CHANGE, said.COURTESY):
        text = pattern.sub(" ", text)
    left = re.sub(
        r"@\d+|<\d+>|\b(?:about|with|from|of|on|in|at|a|an|my|the|that|this|'s|it|was|"
        r"as)\b",
        " ",
        text,
    ).split()
    return len(left) <= 3


# -- the order --------------------------------------------------------------------------------------------------------
def _order(note: Note, line: Line, made: Amended) -> Order | None:
    right, wrong = made.right, made.wrong
    field = _field(note, right, wrong)
    if field is None:
        return None
    day = next((d.past for d in line.days if d.past is not None), None)
    named = said.NOTE_REF.search(line.text)
    about = named is not None and not _only_last(line.text, named)
    older = bool(line.days) or about or bool(said.RECALLED.search(line.text) or said.EARLIER.search(line.text))
    was = None if wrong is None else wrong.value
    if not older:
        return Order(do="change", field="count" if field == "figure" else field, to=right.value, was=was)
    if wrong is None:
        words = f"{note.text(0, right.start)} {note.text(right.end, len(note.lower))}".strip(" ,.")
        return Order(do="change", field=field, to=right.value, about=words, on=day)
    told = note.text(0, len(note.lower)).strip(" ,.")
    if right.sort == "place":
        told = str(wrong.value)
    elif right.sort == "round":
        told = f"round {wrong.value}"
    return Order(do="change", field=field, to=right.value, said=told, was=was, on=day)


def _only_last(text: str, named: re.Match[str]) -> bool:
    """Whether the note that is named is the last one."""
    return bool(said.LAST_NOTE.search(text)) or bool(
        re.fullmatch(
            r"(?:the|that|this) (?:note|entry|record|"
            r"message)(?: (?:to|in|it))?",
            named.group(),
        )
    )


def _field(note: Note, right: Value, wrong: Value | None) -> str | None:
    """The field of the record that the value belongs to; None where a bare number could be anything."""
    if right.sort == "place":
        return place_field(note, right)
    if right.sort != "number":
        return right.sort
    spoken = [
        str(value)
        for at in range(max(0, right.start - 6), right.start)
        for label in ("change_field",)
        for _, value in note.lattice.edges[at].get(label, ())
    ]
    beside = counted(note, right.end)
    if wrong is not None:
        near = next((f for v in (right, wrong) if (f := counted(note, v.end, far=False)) != "figure"), None)
        beside = near or beside
    elif spoken:
        beside = counted(note, right.end, far=False)
        beside = spoken[-1] if beside == "figure" else beside
    return None if beside == "figure" and wrong is None else beside
