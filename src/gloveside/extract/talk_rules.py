"""The rules of `data/talk`: what asks, what orders, and the words that carry nothing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from spacy.lang.en.stop_words import STOP_WORDS

from gloveside.extract.compiled import kept
from gloveside.extract.lexicon import RuleError, concepts, read_yaml
from gloveside.extract.patterns import SPECIAL, Pattern, compile_pattern

ASK_KEYS = {"ask", "need", "not", "set", "weight", "ahead", "whole"}
ORDER_KEYS = {"do", "match", "set"}
_TELLING = {
    "not", "never", "no", "none", "nobody", "noone", "nothing", "nowhere", "neither", "nor", "without", "except",
    "cannot", "less", "least", "more", "most", "few", "fewer", "top", "bottom", "front", "back", "side", "first",
    "last", "next", "before", "after", "afterwards", "beforehand", "other", "others", "another", "empty", "full",
    "above", "below", "under", "between", "against", "both", "beyond", "serious", "same", "hundred", "n't", "one",
    "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "fifteen", "twenty",
    "forty", "fifty", "sixty", "third", "latter", "former", "amount", "part", "using", "used", "until", "since",
}  # fmt: skip
"""Stop words of English that say something in a question all the same."""
TALK_KEYS = {"asks", "orders", "slots", "parts", "tool", "extras", "small", "also", "own"}


@dataclass(frozen=True, slots=True)
class Ask:
    """A question.

    need: groups of labels, one of each must be present; never: labels that rule it out; whole: patterns that take the
    whole sentence; ahead: days are read forwards.
    """

    ask: str
    need: tuple[frozenset[str], ...]
    never: frozenset[str]
    sets: dict[str, Any]
    weight: float
    ahead: bool
    whole: tuple[Pattern, ...] = ()


@dataclass(frozen=True, slots=True)
class Command:
    """An order. patterns must cover the whole note."""

    do: str
    sets: dict[str, Any]
    patterns: tuple[Pattern, ...]


@dataclass(frozen=True, slots=True)
class Talk:
    """All that `data/talk/*.yaml` holds.

    extras: ask -> slot -> label -> value; tool: how a tool is said; small: words that may be left over.
    """

    asks: tuple[Ask, ...]
    commands: tuple[Command, ...]
    extras: dict[str, dict[str, dict[str, Any]]]
    tool: tuple[Pattern, ...]
    small: frozenset[str]
    own: dict[str, frozenset[str]]
    asking: frozenset[str]


@cache
def rules() -> Talk:
    """Questions and orders, checked and compiled once."""
    return kept("talk", _compiled)


def _compiled() -> Talk:
    lexicon = concepts()
    known = set(lexicon) | {c for concept in lexicon.values() for c in concept.classes}
    asks: list[Ask] = []
    commands: list[Command] = []
    extras: dict[str, dict[str, dict[str, Any]]] = {}
    tools: tuple[Pattern, ...] = ()
    parts: dict[str, str] = {}
    small: set[str] = set()
    own: dict[str, frozenset[str]] = {}
    files = read_yaml("talk")
    also: dict[str, list[str]] = {}
    for _where, data in files:
        for label, more in ((data or {}).get("also") or {}).items():
            also[label] = [*also.get(label, ()), *more]

    def group(labels: Any) -> frozenset[str]:
        named = labels if isinstance(labels, list) else [labels]
        return frozenset(stand_in for label in named for stand_in in (label, *also.get(label, ())))

    for _where, data in read_yaml("parts"):
        parts.update(data or {})
    for where, data in files:
        if set(data) - TALK_KEYS:
            raise RuleError(f"{where}: unknown keys {sorted(set(data) - TALK_KEYS)}")
        here = {**parts, **(data.get("parts") or {})}
        for raw in data.get("asks") or []:
            if set(raw) - ASK_KEYS:
                raise RuleError(f"{where}: question {raw} has unknown keys {sorted(set(raw) - ASK_KEYS)}")
            need = tuple(map(group, raw.get("need") or []))
            whole = tuple(compile_pattern(m, here, known, where) for m in raw.get("whole") or [])
            never = group(list(raw.get("not") or ()))
            for label in never.union(*need):
                if label not in known and label not in SPECIAL and not label.startswith("="):
                    raise RuleError(f"{where}: question {raw['ask']}: {label!r} is neither a concept nor a class")
            weight, ahead = float(raw.get("weight", 0)), bool(raw.get("ahead", False))
            asks.append(Ask(raw["ask"], need, never, dict(raw.get("set") or {}), weight, ahead, whole))
        for raw in data.get("orders") or []:
            if set(raw) - ORDER_KEYS:
                raise RuleError(f"{where}: order {raw} has unknown keys {sorted(set(raw) - ORDER_KEYS)}")
            patterns = tuple(compile_pattern(m, here, known, where) for m in raw["match"])
            commands.append(Command(raw["do"], dict(raw.get("set") or {}), patterns))
        for ask_name, slots in (data.get("extras") or {}).items():
            for slot, table in slots.items():
                wider = {stand_in: value for label, value in table.items() for stand_in in group(label)}
                extras.setdefault(ask_name, {}).setdefault(slot, {}).update(wider)
        tools += tuple(compile_pattern(m, here, known, where) for m in data.get("tool") or [])
        small.update(str(word) for word in data.get("small") or ())
        for name, labels in (data.get("own") or {}).items():
            own[name] = own.get(name, frozenset()) | group(labels)
    asking = frozenset(label for ask in asks for need in ask.need for label in need if label not in SPECIAL)
    asking = frozenset(label for label in asking if not label.startswith(("=", "asks")))
    small |= STOP_WORDS - _TELLING
    return Talk(tuple(asks), tuple(commands), extras, tools, frozenset(small), own, asking)
