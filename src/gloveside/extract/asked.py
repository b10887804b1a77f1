"""The question of a sentence: read as it stands, without its hesitations, and without its frame of speech."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from gloveside.extract import asked_places, asking_frames, follow, preambles, talk
from gloveside.extract.annotate import annotate
from gloveside.extract.fluent import fluent
from gloveside.extract.models import Question
from gloveside.extract.note import Note
from gloveside.extract.register import Register

MOST_TRIED = 8
_LASTS = {"until", "till", "by", "before"}
_UNKNOWING = (
    "not sure",
    "don't know",
    "no idea",
    "unsure",
    "can't tell",
    "couldn't tell",
    "not certain",
    "didn't check",
)
"""With "if" after it, such words tell what was not seen at the hive: "not sure if hive twelve is queenright"."""


def sure(question: Question | None) -> bool:
    """Whether there is a reading that accounts for every word."""
    return question is not None and not (question.model_extra or {}).get("unsure")


def question(note: Note, start: int, end: int, on: date, register: Register) -> tuple[Question, int] | None:
    """The question that tokens start..end-1 ask and its first token, or None."""
    found = _question(note, start, end, on, register)
    if found is None:
        return None
    asked, opens = found
    told: dict[str, object] = {}
    if (yard := asked_places.stood_at(note, start, end, asked)) is not None:
        told["place"] = yard
    if asked.ask == "due" and asked.since is None and asked.until is None:
        told.update(_day_meant(note, start, end))
    return (asked.model_copy(update=told) if told else asked), opens


def _day_meant(note: Note, start: int, end: int) -> dict[str, date]:
    """The day on which the speaker says they will be about: "I'm at the Orchard on Saturday, anything due"."""
    begin = max((c.start for c in note.cues if c.scope == "question" and start < c.start < end), default=start)
    for left, right in preambles.here_before(note, start, begin):
        days = [d.future for d in note.dates if left <= d.start < right and d.future is not None and not d.length]
        if preambles.goes(note, left, right) and len(days) == 1 and not _LASTS & set(note.lower[left:right]):
            return {"since": days[0], "until": days[0]}
    return {}


def _question(note: Note, start: int, end: int, on: date, register: Register) -> tuple[Question, int] | None:
    plain = talk.question(note, start, end, on)
    mark = note.lower[end - 1] == "?"
    if plain is not None and not sure(plain[0]) and not asking_frames.could_ask(note, start, end):
        plain = None
    said = " ".join(note.lower[start:end])
    tells = not mark and any(f"{words} {word}" in said for words in _UNKNOWING for word in ("if", "whether"))
    for core, asks in () if tells else _rewritten(note, start, end, on, register, mark or plain is not None):
        if plain is None and not mark and not asks:
            continue
        again = talk.whole(annotate(core, on, register), on)
        if again is None or not sure(again):
            continue
        if plain is not None and sure(plain[0]) and (not asks or talk.says_more(plain[0], again)):
            break
        return again, start if plain is None else min(plain[1], start) if asks else plain[1]
    if plain is None or not sure(plain[0]):
        few = follow.short(note, start, end, on)
        return plain if few is None else (few, start)
    return plain


def _rewritten(
    note: Note, start: int, end: int, on: date, register: Register, hesitant: bool
) -> Iterator[tuple[str, bool]]:
    """The question in other words, with whether the frame that was taken away asks; a few at most."""
    tried: list[tuple[str, bool]] = []
    if hesitant and (plain := fluent(note, start, end)) is not None:
        tried.append((plain, True))
        again = annotate(plain, on, register)
        tried += asking_frames.cores(again, 0, len(again.lower))
    tried += asking_frames.cores(note, start, end)
    return iter(list(dict.fromkeys(tried))[:MOST_TRIED])
