"""Follow-up questions: "and round four?", "the other one", "and tomorrow?" take the rest from the last question."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from dateutil.relativedelta import relativedelta

from gloveside.bot.desk import Desk
from gloveside.extract import follow
from gloveside.extract.annotate import annotate
from gloveside.extract.models import Question

FRESH = timedelta(hours=2)
"""A question is followed up within this time."""
_AHEAD = frozenset({"due", "ripe", "splits"})
_OF_ROUNDS = frozenset({"ripe", "take", "splits"})
_TIME = ("since", "until", "season")
_STATES = ("queen", "state", "colour")
_OWN = (
    "ask", "other", "loose", "before", "counted", "year_before", "number", "after", "now", "earlier", "listed",
    "narrowed",
)  # fmt: skip
_BACK = {"day": relativedelta(days=1), "week": relativedelta(weeks=1), "month": relativedelta(months=1)}
_HEADS = ("and ", "what about ", "how about ", "same for ", "or ", "the same for ")
_MOST_WORDS = 7
_WHICH = "Which ones do you mean? Ask it whole."


def _key(desk: Desk) -> str:
    return f"asked {desk.chat}"


def last_asked(desk: Desk) -> tuple[Question, Question | None] | None:
    """The question asked last in this chat and the one before it, while they are fresh; else None."""
    found = desk.store.settings.get(_key(desk))
    if not isinstance(found, dict) or not found.get("questions"):
        return None
    if not timedelta(0) <= desk.now - datetime.fromisoformat(found["at"]) <= FRESH:
        return None
    questions = [Question.model_validate(q) for q in found["questions"]]
    return questions[0], questions[1] if len(questions) > 1 else None


def remember(desk: Desk, question: Question) -> None:
    """Keep the question, and the one before it, for what may follow."""
    before = last_asked(desk)
    questions = [question, *([before[0]] if before and before[0] != question else [])]
    value = {"at": desk.now.isoformat(), "questions": [q.model_dump(mode="json") for q in questions]}
    desk.store.settings.put(_key(desk), value, by=desk.user)


def completed(desk: Desk, said: Question) -> Question | str:
    """The whole question that a follow-up means, or a sentence that asks for it."""
    before = last_asked(desk)
    if before is None:
        if said.place is not None and not said.place.startswith("yard "):
            return Question(ask="last", place=said.place)
        if said.round is not None:
            return Question(ask="history", round=said.round)
        return "Which question do you mean? Ask it whole."
    last, earlier = before
    slots: dict[str, Any] = last.model_dump(exclude_none=True)
    new = {k: v for k, v in said.model_dump(exclude_none=True).items() if k not in _OWN}
    extra = said.model_extra or {}
    if extra.get("counted") and last.ask == "list":
        slots["ask"] = "count"
        return Question.model_validate(slots | new)
    if extra.get("listed"):
        if last.ask not in ("count", "list") or _extra(last).get("kind") or _extra(last).get("what") == "larvae":
            return _WHICH
        return Question.model_validate(slots | {"ask": "list"})
    if extra.get("narrowed"):
        clashes = any(slots.get(name, value) != value for name, value in new.items())  # one slot, two states
        if last.ask != "list" or _extra(last).get("kind") or clashes:
            return _WHICH
        return Question.model_validate(slots | new)
    if extra.get("earlier"):
        if new:
            return f"The {extra['earlier']} before what? Ask it whole, with the days."
        return _earlier(desk, last, extra["earlier"])
    if extra.get("year_before"):
        return _year_before(desk, last)
    if extra.get("now") and not new.keys() - {"since", "until"}:
        return Question.model_validate({k: v for k, v in slots.items() if k not in (*_TIME, "days", "compare")})
    if extra.get("after") or extra.get("number") is not None:
        step = _numbered(last, extra.get("number"))
        if step is None:
            return "Which one do you mean? Say the round, the hive or the nuc."
        new |= step
    if "place" in new:
        new.pop("what", None)
    if (said.model_extra or {}).get("before") and last.round is not None:
        new["round"] = last.round - 1
    elif (said.model_extra or {}).get("other") or not new:
        other = _other(desk, last, earlier)
        if other is None:
            return "Which other one? Say its number."
        new |= other
    if any(k in new for k in _TIME):
        for k in _TIME:
            slots.pop(k, None)
        _forwards(desk, last.ask, new)
    if any(k in new for k in _STATES):
        for k in _STATES:
            slots.pop(k, None)
    if "place" in new:
        slots.pop("round", None)
        colonies = last.ask == "count" and (last.model_extra or {}).get("what") in ("hives", "nucs", "queens")
        if not str(new["place"]).startswith("yard ") and (last.ask in ("list", *_OF_ROUNDS) or colonies):
            slots = {"ask": "last"}
    if "round" in new:
        slots.pop("place", None)
        slots.pop("compare", None)
        if last.round is None and last.ask not in ("due", *_OF_ROUNDS):
            slots = {"ask": "history"}
    if (
        "by" in new
        and last.ask != "take"
        and not (last.ask == "count" and (last.model_extra or {}).get("what") == "larvae")
    ):
        slots = {"ask": "take"}
    if new.get("since") is not None and new["since"] > desk.today and last.ask not in _AHEAD:
        slots = {"ask": "due"}
    if "tool" in new:
        slots.pop("by", None)
    if last.ask == "take" and "round" not in new and any(k in new for k in ("by", "tool", *_TIME)):
        for k in ("tool", "compare", "round"):
            slots.pop(k, None)
    return Question.model_validate(slots | new)


def _numbered(last: Question, number: int | None) -> dict[str, Any] | None:
    """The round or place with a number of the sort that was asked about; the next one where none was said."""
    if last.round is not None or (last.ask in _OF_ROUNDS and last.place is None):
        if number is None and last.round is None:
            return None
        return {"round": number if number is not None else (last.round or 0) + 1}
    sort, _, name = (last.place or "").partition(" ")
    if sort not in ("hive", "nuc") or (number is None and not name.isdigit()):
        return None
    return {"place": f"{sort} {number if number is not None else int(name) + 1}"}


def _extra(question: Question) -> dict[str, Any]:
    """The slots of a question beyond those of the contract."""
    return question.model_extra or {}


def _earlier(desk: Desk, last: Question, unit: str) -> Question | str:
    """The last question for the day, week or month before the days it was asked for; whole months stay whole."""
    slots: dict[str, Any] = last.model_dump(exclude_none=True)
    back = _BACK[unit]
    if last.since is None and last.until is None:
        if last.ask not in ("list", "count") or _extra(last).keys() & {"kind", "season", "days", "compare"}:
            return f"The {unit} before what? Ask it whole, with the days."
        slots["since"] = slots["until"] = desk.on - back  # how things stood then
        return Question.model_validate(slots)
    if last.since is None or last.until is None:
        return f"The {unit} before what? Ask it whole, with the days."
    whole = unit == "month" and last.since.day == 1
    slots["since"] = last.since - back
    slots["until"] = last.since - timedelta(days=1) if whole else last.until - back
    return Question.model_validate(slots)


def _year_before(desk: Desk, last: Question) -> Question | str:
    """The last question, for the year or season before the one it was asked for."""
    slots: dict[str, Any] = last.model_dump(exclude_none=True)
    if "season" in slots:
        return Question.model_validate(slots | {"season": slots["season"] + 1})
    if last.since is None and last.until is None:
        year = desk.on.year - 1
        slots |= {
            "since": desk.on.replace(year=year, month=1, day=1),
            "until": desk.on.replace(year=year, month=12, day=31),
        }
        slots.pop("compare", None)
        return Question.model_validate(slots)
    for name in ("since", "until"):
        if (when := slots.get(name)) is not None:
            last_day = 28 if (when.month, when.day) == (2, 29) else when.day
            slots[name] = when.replace(year=when.year - 1, day=last_day)
    return Question.model_validate(slots)


def _forwards(desk: Desk, ask: str, new: dict[str, Any]) -> None:
    """A bare weekday after a question of what is to come means the next one."""
    since, until = new.get("since"), new.get("until")
    if ask in _AHEAD and since is not None and since == until and desk.on - timedelta(days=7) <= since < desk.on:
        new["since"] = new["until"] = since + timedelta(days=7)


def _other(desk: Desk, last: Question, earlier: Question | None) -> dict[str, Any] | None:
    """What "the other one" is: of two open rounds, of two breeders or builders, or the one asked about before."""
    if last.round is not None or last.ask in _OF_ROUNDS:
        asked = last.round
        numbers = [v.number for v in desk.open_rounds() if v.number is not None]
        rest = [n for n in numbers if n != asked]
        if asked is not None and len(rest) == 1:
            return {"round": rest[0]}
        if earlier is not None and earlier.round not in (None, asked):
            return {"round": earlier.round}
        return None
    if last.place is not None:
        if earlier is not None and earlier.place not in (None, last.place):
            return {"place": earlier.place}
        for pair in (desk.register.mothers, desk.register.builders):
            if last.place in pair and len(pair) == 2:
                return {"place": next(p for p in pair if p != last.place)}
    return None


def few_words(desk: Desk, text: str) -> Question | None:
    """A follow-up in a few words that no rule reads by itself ("and tomorrow?"); None where it is none.

    Only words that begin like one, soon after a question, and that name something a question can hold.
    """
    said = " ".join(text.lower().split())
    if not said.startswith(_HEADS) or len(said.split()) > _MOST_WORDS or last_asked(desk) is None:
        return None
    note = annotate(text, desk.on, desk.register)
    return follow.slots(note, 0, len(note.lower), desk.on)
