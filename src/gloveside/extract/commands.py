"""Orders: what is told to the notebook itself."""

from __future__ import annotations

from datetime import date
from typing import Any

from gloveside.extract import queries
from gloveside.extract.models import Order
from gloveside.extract.note import STOPS, Note
from gloveside.extract.patterns import State
from gloveside.extract.places import PlaceSpan
from gloveside.extract.rules import resolve
from gloveside.extract.talk_rules import Command, rules

COURTESY = {
    "please", "kindly", "would", "could", "can", "you", "so", "just", "then", "mate", "love", "dear", "oh", "bother",
    "sorry",
}  # fmt: skip
WORK = {
    "=slide", "=excluder", "feed_verb", "feed_noun", "feed_type", "graft_verb", "graft_noun", "cell_word", "strip_word",
    "box_noun", "feeder", "=queen", "=queens", "=splits", "=split", "plant_verb", "=builder", "=honey", "product",
    "place_noun",
}  # fmt: skip
# A note is spoken of; what a record tells with.
SPOKEN = {"said", "say", "note", "entry", "record", "told", "recorded", "put", "message", "wrong", "mistake"}
TELLING = {
    "has",
    "have",
    "had",
    "got",
    "took",
    "were",
    "there",
    "holds",
    "with",
    "fed",
    "gave",
    "given",
    "taken",
    "are",
}
EXCUSE = {"i", "i'd", "i'm", "i've", "because", "as", "it", "that", "we", "the", "cause", "since"}


def order(note: Note, on: date) -> Order | None:
    """The order that the whole note is, or None."""
    length = len(note.lower)
    ends = {length}
    at = length
    while at > 0 and (note.lower[at - 1] in (*STOPS, ",") or at - 1 in note.soft):
        at -= 1
        ends.add(at)
    start, starts = 0, [0]
    while start < length and (start in note.soft or note.lower[start] in (*STOPS, ",")):
        start += max(1, note.lattice.soft[start])
        starts.append(start)
    if length <= 16:  # "Er, yes. Yes please."
        note.lattice.comma = [c or w in STOPS for c, w in zip(note.lattice.comma, note.lower, strict=True)]
    asked = note.lower[-1] == "?" or note.lower[0] in ("is", "was", "are", "were")
    for command in rules().commands:
        if asked and command.do == "change":
            continue
        for pattern in command.patterns:
            for begin in starts:
                if begin >= length:
                    continue
                for state in note.lattice.match(pattern.node, State(begin), first=True):
                    if state.end in ends and not state.left_over and not _either(state):
                        told = _order(note, command, state, on)
                        if not _passes_a_day(note, told) and not _of_this_note(note, told):
                            return told
    return None


def wrapped_order(note: Note, on: date) -> tuple[Order, int, int] | None:
    """An order to undo or change with an excuse around it, and its first and last token.

    "I'm a silly old fool, so please change the round to four", "forget that last note, I had my glasses off". The
    caller must see that the rest of the note records nothing.
    """
    length = len(note.lower)
    for command in rules().commands:
        if command.do not in ("undo", "change"):
            continue
        clear = {"undo_phrase", "undo_verb"} if command.do == "undo" else {"change_verb", "should_have"}
        for pattern in command.patterns:
            for begin in range(length):
                if not pattern.first & set(note.lattice.edges[begin]) or not _opens(note, begin):
                    continue
                for state in note.lattice.match(pattern.node, State(begin), first=True):
                    told = clear & queries.labels(note, begin, state.end)
                    if not told or state.left_over or _either(state) or not _closes(note, state.end):
                        continue
                    outside = [*range(begin), *range(state.end, length)]
                    if planned(note, outside):
                        continue
                    if not any({"N", "P", "R"} & set(note.lattice.edges[at]) for at in outside):
                        order_told = _order(note, command, state, on)
                        if not _passes_a_day(note, order_told):
                            return order_told, begin, state.end
    return None


def _passes_a_day(note: Note, told: Order) -> bool:
    """Whether an order to change passes over a day that was said: it would change another note than the one meant."""
    return told.do == "change" and any(d.past is not None and d.past != told.on for d in note.dates)


def _of_this_note(note: Note, told: Order) -> bool:
    """Whether a record puts itself right: "this morning hive 22 has 5 frames, sorry, I mean 6" is no order."""
    if told.do != "change" or not told.said or SPOKEN & set(note.lower):
        return False
    return bool(TELLING & set(told.said.lower().split()))


def planned(note: Note, outside: list[int]) -> bool:
    """Whether the words round an order tell of work still to come: "scrap that, the slide comes out tomorrow"."""
    ahead = any(d.start in outside and d.past is None for d in note.dates) or any(
        c.scope == "future" and c.start in outside and not c.concept.startswith("maybe") for c in note.cues
    )
    return ahead and any(WORK & set(note.lattice.edges[at]) for at in outside)


def _either(state: State) -> bool:
    """Whether one of two places is said: "it was hive 16 or 60" changes nothing before it is known which."""
    return any(isinstance(value, PlaceSpan) and value.rivals for _, value, _, _ in state.captures)


def _opens(note: Note, at: int) -> bool:
    """Whether a clause may begin here, politeness aside."""
    if note.lower[at - 1 : at] in (["so"], ["please"], ["kindly"]):
        return True
    while at not in note.lattice.starts and (at - 1 in note.soft or note.lower[at - 1] in COURTESY):
        at -= 1
    return at in note.lattice.starts


def _closes(note: Note, at: int) -> bool:
    """Whether a clause may end here, politeness aside; without stops an excuse begins with one of a few words."""
    while at not in note.lattice.ends and note.lower[at] in COURTESY:
        at += 1
    return at in note.lattice.ends or note.lower[at] in EXCUSE


def _order(note: Note, command: Command, state: State, on: date) -> Order:
    captures: dict[str, Any] = {}
    for name, value, left, right in state.captures:
        captures[name] = value
        captures[name + "~"] = note.text(left, right)
    sets = {k: _value(v) for k, v in (resolve(command.sets, captures) or {}).items()}
    day = captures.get("day")
    if day is not None:
        sets["on"] = day.past or on
    return Order(do=command.do, **sets)


def _value(value: Any) -> Any:
    if isinstance(value, PlaceSpan):
        return value.places[0] if value.places else None
    return value
