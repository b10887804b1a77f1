"""A question filled in: what a rule of asking finds in the sentence for each of its slots."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from gloveside.extract import asked_places, asked_time, preambles, queries, stretches_of_time, tools
from gloveside.extract.models import Question
from gloveside.extract.note import Note
from gloveside.extract.talk_rules import Ask, rules

OF_YEARS = {"growth", "plan", "broodless"}
"""Questions that take a season of the year as it is said."""
WITH_TOOLS = {"take", "count", "same"}
_COUNTED = {"odds": "queens", "plan": "queens", "growth": "target", "list": "top"}
"""Slots of questions that hold a number: queens wanted, hives aimed at, how many of a ranking."""
_TOLD_APART = {"state", "queen", "daughters", "round", "colour", "kind", "rank", "most", "of"}
_WHERE = {"where", "where's", "yard", "apiary", "site", "whereabouts", "location", "located"}
_STANDS = {"yard_asked", "whose_place", "live_word", "standing_said"}
_FEW_DAYS = 7
"""So many days are "the next few"."""
_AND_ROUND = {"and", "or", ",", "to", "with", "against", "versus"}


def filled(note: Note, ask: Ask, start: int, begin: int, end: int, on: date) -> Question:
    """The question that a rule reads in tokens start..end-1, with its slots; begin: where it starts to ask."""
    talk = rules()
    fields: dict[str, Any] = {}
    for left, right, number in note.rounds:
        if start <= left and right <= end:
            fields["round"] = number
    numbers = list(dict.fromkeys(_rounds(note, start, end)))
    if len(numbers) > 1:
        fields["rounds"] = numbers
    own = preambles.own_words(note, start, begin)
    where = asked_places.place(note, own, end)
    if where is None and (told := asked_places.place(note, start, own)) and not told.startswith("yard "):
        where = told
    if where is not None:
        fields["place"] = where
    # "which hives, I mean nucs": what was put right last is meant
    right_of = max((c.end for c in note.cues if c.scope == "correction" and start < c.start < end), default=start)
    for name, table in {**talk.extras.get("all", {}), **talk.extras.get(ask.ask, {})}.items():
        value = queries.about(note, right_of, end, table)
        if value is None and right_of > start:
            value = queries.about(note, start, end, table)
        if value is not None:
            fields[name] = value
    if ask.ask in ("growth", "plan") and (year := _season_of_year(note, start, end)):
        fields["season_said"] = year
    named_tools = tools.named(note, start, end)
    if len(named_tools) > 1 and ask.ask in WITH_TOOLS:
        fields["by"] = "tool"
    elif named_tools and fields.get("by") != "tool":
        fields["tool"] = named_tools[0]
    if (wanted := queries.wanted(note, start, end)) is not None and ask.ask in _COUNTED:
        fields[_COUNTED[ask.ask]] = wanted
    quiet = "not looked at" in (fields.get("state"), ask.sets.get("state"))
    days = queries.days(note, start, end, dated=quiet)
    ahead = ask.ahead or ask.sets.get("state", fields.get("state")) == "to look at"
    from_day = preambles.days_from(note, start, begin, ahead)
    span = {} if quiet and days else _span(note, ask, from_day, end, on, ahead)
    if span and _year_named(note, start, end):
        fields.pop("season", None)
    if days is not None and not span:
        fields["days"] = days
    fields.update(span)
    fields.update(ask.sets)
    if len(named_tools) > 1 and fields.get("by") == "tool":
        fields.pop("compare", None)
    if "by" not in fields and "round" not in fields and _mothers(note, ask, start, end):
        fields["by"] = "mother"
        for name in ("place", "compare"):
            fields.pop(name, None)
    _settled(fields, note.lower[begin : begin + 5])
    if fields.get("what") == "nucs" and "lost_queen_said" in queries.labels(note, start, end):
        fields["queen"] = "missing"  # of a mating nuc
    if ask.ask == "list" and where is not None and _told_hive(note, start, own, end) == where:
        fields["daughters"] = True
    stands = ask.ask in ("list", "count") and not fields.get("kind")
    if fields.get("compare") or fields.get("days") or (stands and asked_time.after_season(note, start, end)):
        fields.pop("since", None)
        fields.pop("until", None)
    if ask.ask == "due" and span == {"since": on}:
        fields["days"] = _FEW_DAYS
    if fields.get("days") and fields.get("state") == "not looked at":
        fields["until"] = on - timedelta(days=fields["days"])
    if ask.ask == "ripe" and "round" in fields:  # "it's not ripe till December, is it": the day is what is asked
        fields.pop("since", None)
        fields.pop("until", None)
    if ask.ask == "last" and note.lower[begin : begin + 1] == ["when"]:  # "when did I last look, a week ago?"
        fields.pop("since", None)
        fields.pop("until", None)
    one_hive = fields.get("place", "yard ").split()[0] != "yard" and not fields.keys() & _TOLD_APART
    if ask.ask == "list" and one_hive and _asks_where(note, start, end):
        kept = {name: fields[name] for name in ("place", "since", "until") if name in fields}
        return Question(ask="last", about="yard", **kept)
    stood = ask.ask in ("list", "count") and "kind" not in fields and len(span) == len(("since", "until"))
    if stood and {"start", "beginning"} & set(note.lower[start:end]):
        fields["until"] = fields["since"]  # "at the start of September": how it stood on that day
    if ask.ask == "age" and "place" in fields:
        return Question(ask="last", about="age", place=fields["place"])
    return Question(ask=ask.ask, **fields)


def _asks_where(note: Note, start: int, end: int) -> bool:
    """Whether it is asked where a hive stands."""
    return bool(_WHERE & set(note.lower[start:end]) or _STANDS & queries.labels(note, start, end))


def _told_hive(note: Note, start: int, own: int, end: int) -> str | None:
    """The hive told of before a question that asks what is from it: "a buyer likes hive 21, which are out of her"."""
    words = note.lower[own:end]
    of_her = any(a in ("of", "from", "off", "to") and b in ("her", "hers") for a, b in pairwise(words))
    told = asked_places.place(note, start, own) if own > start and of_her else None
    return told if told is not None and not told.startswith("yard ") else None


def _mothers(note: Note, ask: Ask, start: int, end: int) -> bool:
    """Whether two hives are set side by side as mothers: "do grafts from 21 take better than grafts from 34"."""
    joined = {"or", "than", "and", "with", "against", "versus", "between"} & set(note.lower[start:end])
    if ask.ask != "take" or not joined:
        return False
    hives = {p.places[0] for p in note.places if start <= p.start < end and p.places and p.sort == "hive"}
    named = note.of_places() | note.of_rounds() | note.of_dates()
    bare = {n.value for n in note.numbers.values() if start <= n.start < end and n.start not in named and not n.ordinal}
    return len(hives) + len(bare) == 2 and "take_count_of" not in queries.labels(note, end - 1, end)


def _settled(fields: dict[str, Any], asked: list[str]) -> None:
    """Slots that say the same twice, or that another slot takes in, are left to the one that says it.

    asked: the first words of the question, which say what is counted.
    """
    if fields.get("state") == "swarm cells" and fields.get("what") == "cells" and "cells" not in asked:
        fields.pop("what")  # "how many have swarm cells" counts hives
    if fields.get("queen") == "cell" and fields.get("state") == "swarm cells":
        fields.pop("queen")
    if fields.get("by") == "tool":
        fields.pop("tool", None)
    if fields.get("queen") and fields.get("kind") == "loss":
        fields.pop("kind")  # what was lost is the queen
    if fields.get("what") == "matings":
        for name in ("queen", "state"):
            fields.pop(name, None)
    if fields.get("colour") and fields.get("queen") in ("queenright", "seen"):
        fields.pop("queen")


def _span(note: Note, ask: Ask, start: int, end: int, on: date, ahead: bool) -> dict[str, date]:
    """The first and last day asked about, as far as they were named."""
    if ask.ask not in OF_YEARS and (named := stretches_of_time.find(note, start, end, on, ahead)[0]):
        return named
    return queries.period(note, start, end, on, ahead)


def _year_named(note: Note, start: int, end: int) -> bool:
    """Whether a season of the year is named, which is no season of the work."""
    return any("year_seasons" in note.lattice.edges[at] for at in range(start, end))


def _season_of_year(note: Note, start: int, end: int) -> str | None:
    """The words that name a season of the year: "next spring"."""
    found = [
        (stop - at, note.text(at, stop).lower())
        for at in range(start, end)
        for stop, _ in note.lattice.edges[at].get("year_seasons", ())
        if stop <= end
    ]
    return max(found)[1] if found else None


def _rounds(note: Note, start: int, end: int) -> list[int]:
    """All rounds named: "rounds two and three" are two."""
    found: list[int] = []
    for left, right, number in sorted(note.rounds, key=lambda r: r[0]):
        if not (start <= left and right <= end):
            continue
        found.append(number)
        at = right
        while at + 1 < end and note.lower[at] in _AND_ROUND and at + 1 in note.numbers and note.lower[left] == "rounds":
            found.append(int(note.numbers[at + 1].value))
            at = note.numbers[at + 1].end
    return found
