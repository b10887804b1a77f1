"""Questions and orders: what is asked of the record, and what is told to the notebook itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from gloveside.extract.annotate import STOPS, Note
from gloveside.extract.lexicon import RuleError, concepts, read_yaml
from gloveside.extract.models import Order, Question
from gloveside.extract.patterns import Pattern, State, compile_pattern
from gloveside.extract.rules import resolve

ASK_KEYS = {"ask", "id", "need", "not", "set", "match", "weight", "slots"}
ORDER_KEYS = {"do", "match", "set"}


@dataclass(frozen=True, slots=True)
class Ask:
    """A question. need: groups of labels, one of each group must be present; never: labels that rule it out."""

    ask: str
    need: tuple[tuple[str, ...], ...]
    never: tuple[str, ...]
    sets: dict[str, Any]
    patterns: tuple[Pattern, ...]
    weight: float


@dataclass(frozen=True, slots=True)
class Command:
    """An order. patterns must cover the whole note."""

    do: str
    sets: dict[str, Any]
    patterns: tuple[Pattern, ...]


def _known() -> set[str]:
    lexicon = concepts()
    return set(lexicon) | {c for concept in lexicon.values() for c in concept.classes}


@cache
def rules() -> tuple[tuple[Ask, ...], tuple[Command, ...], dict[str, tuple[str, ...]]]:
    """Questions, orders and shared slots of `data/talk/*.yaml`."""
    known = _known()
    asks: list[Ask] = []
    commands: list[Command] = []
    slots: dict[str, Any] = {}
    parts: dict[str, str] = {}
    for _where, data in read_yaml("parts"):
        parts.update(data or {})
    for where, data in read_yaml("talk"):
        extra = set(data) - {"asks", "orders", "slots", "parts"}
        if extra:
            raise RuleError(f"{where}: unknown keys {sorted(extra)}")
        here = {**parts, **(data.get("parts") or {})}
        for raw in data.get("asks") or []:
            if set(raw) - ASK_KEYS:
                raise RuleError(f"{where}: question {raw} has unknown keys {sorted(set(raw) - ASK_KEYS)}")
            need = tuple(tuple(g) if isinstance(g, list) else (g,) for g in raw.get("need") or [])
            for label in {x for g in need for x in g} | set(raw.get("not") or []):
                if label not in known and label not in ("P", "R", "D", "N") and not label.startswith("="):
                    raise RuleError(f"{where}: question {raw['ask']}: {label!r} is neither a concept nor a class")
            patterns = tuple(compile_pattern(m, here, known, where) for m in raw.get("match") or [])
            asks.append(
                Ask(
                    raw["ask"],
                    need,
                    tuple(raw.get("not") or []),
                    dict(raw.get("set") or {}),
                    patterns,
                    float(raw.get("weight", 0)),
                )
            )
        for raw in data.get("orders") or []:
            if set(raw) - ORDER_KEYS:
                raise RuleError(f"{where}: order {raw} has unknown keys {sorted(set(raw) - ORDER_KEYS)}")
            patterns = tuple(compile_pattern(m, here, known, where) for m in raw["match"])
            commands.append(Command(raw["do"], dict(raw.get("set") or {}), patterns))
        slots.update(data.get("slots") or {})
    return tuple(asks), tuple(commands), slots


def order(note: Note) -> Order | None:
    """The order that the whole note is, or None."""
    length = len(note.lower)
    ends = {length}
    at = length
    while at > 0 and (note.lower[at - 1] in (*STOPS, ",") or at - 1 in note.soft):
        at -= 1
        ends.add(at)
    start = 0
    starts = [0]
    while start < length and (note.lattice.soft[start] or note.lower[start] in (*STOPS, ",")):
        start += max(1, note.lattice.soft[start])
        starts.append(start)
    for command in rules()[1]:
        for pattern in command.patterns:
            for begin in starts:
                if begin >= length:
                    continue
                for state in note.lattice.match(pattern.node, State(begin), first=True):
                    if state.end in ends and not state.lost:
                        captures = {n: v for n, v, _, _ in state.captures}
                        sets = resolve(command.sets, captures) or {}
                        return Order(do=command.do, **{k: _value(v) for k, v in sets.items()})
    return None


def _value(value: Any) -> Any:
    return getattr(value, "places", (value,))[0] if hasattr(value, "places") else value


def _labels(note: Note, start: int, end: int) -> set[str]:
    return {
        label
        for at in range(start, end)
        for label, found in note.lattice.edges[at].items()
        if any(e <= end for e, _ in found)
    }


def sentences(note: Note) -> list[tuple[int, int]]:
    """Token ranges of the sentences, with their stop."""
    out: list[tuple[int, int]] = []
    start = 0
    for at, word in enumerate(note.lower):
        if word in STOPS:
            if at > start:
                out.append((start, at + 1))
            start = at + 1
    if start < len(note.lower):
        out.append((start, len(note.lower)))
    return out


def _asks(note: Note, start: int, end: int) -> tuple[bool, int]:
    """Whether the sentence sounds like a question, and where the question starts."""
    at = start
    while at < end and (at in note.soft or note.lower[at] in (",", "and", "so", "but")):
        if any(c.start == at and c.scope == "question" for c in note.cues):
            return True, at
        at += 1
    if any(c.start == at and c.scope == "question" for c in note.cues):
        return True, at
    if note.lower[end - 1] == "?":
        return True, start
    later = [c for c in note.cues if c.scope == "question" and start < c.start < end and c.concept != "q_weak"]
    if later:
        return True, later[0].start
    return False, start


def question(note: Note, start: int, end: int) -> tuple[Question, int] | None:
    """The question that a sentence asks and its first token, or None."""
    sounds, begin = _asks(note, start, end)
    if not sounds:
        return None
    labels = _labels(note, begin, end)
    best: tuple[float, Ask, dict[str, Any]] | None = None
    for ask in rules()[0]:
        if any(n in labels for n in ask.never):
            continue
        if not all(any(x in labels for x in group) for group in ask.need):
            continue
        captures: dict[str, Any] = {}
        if ask.patterns:
            state = next(
                (
                    s
                    for p in ask.patterns
                    for at in range(begin, end)
                    if p.first & set(note.lattice.edges[at])
                    for s in note.lattice.match(p.node, State(at), first=True)
                    if s.end <= end
                ),
                None,
            )
            if state is None:
                continue
            captures = {n: v for n, v, _, _ in state.captures}
        score = len(ask.need) + ask.weight + len(ask.patterns) * 0
        if best is None or score > best[0]:
            best = (score, ask, captures)
    if best is None:
        return None
    _, ask, captures = best
    fields: dict[str, Any] = {k: _value(v) for k, v in (resolve(ask.sets, captures) or {}).items()}
    for left, right, number in note.rounds:
        if begin <= left and right <= end:
            fields.setdefault("round", number)
    for place in note.places:
        if begin <= place.start < end and place.places:
            fields.setdefault("place", place.places[0])
    for name, labelled in rules()[2].items():
        for label in labelled:
            for at in range(begin, end):
                for _e, value in note.lattice.edges[at].get(label, ()):
                    fields.setdefault(name, value)
    _dates(note, begin, end, fields)
    return Question(ask=ask.ask, **fields), begin


def _dates(note: Note, start: int, end: int, fields: dict[str, Any]) -> None:
    for span in note.dates:
        if not start <= span.start < end:
            continue
        lead = note.lower[span.start - 1] if span.start else ""
        first: date | None = span.past
        if lead in ("since", "after", "from") or note.lower[span.start] in ("since", "after"):
            fields.setdefault("since", first)
        elif lead in ("until", "till", "before", "by") or note.lower[span.start] in ("until", "till", "before", "by"):
            fields.setdefault("until", span.future or span.past)
    return
