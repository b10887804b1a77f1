"""The rules of each kind, read from `data/kinds/*.yaml`, checked and compiled."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

from gloveside.extract.compiled import kept
from gloveside.extract.lexicon import RuleError, concepts, read_yaml
from gloveside.extract.patterns import SPECIAL, Pattern, compile_pattern

KIND_KEYS = {
    "kind",
    "place",
    "place_need",
    "round",
    "merge",
    "needs",
    "parts",
    "anchors",
    "slots",
    "facts",
    "about",
    "ranges",
    "sorts",
    "yields",
}
RULE_KEYS = {"id", "match", "set", "negated", "weight", "where", "modal", "doubt", "with"}
MERGES = {"same", "new", "sum"}
NEEDS = {"must", "must or round", "wish", "no"}


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """One rule of a kind. role: anchor (the kind is talked of), slot (a field, beside an anchor), fact (both).

    sets: fields to values, `$name` takes a capture.  negated: what it sets under a negation (None: does not apply).
    where: only where the place in force is of this sort.  beside: only where one of these labels is in the note.
    modal: also holds in talk of the future.
    """

    kind: str
    id: str
    role: str
    patterns: tuple[Pattern, ...]
    sets: dict[str, Any]
    negated: dict[str, Any] | None
    weight: float
    where: str | None
    modal: bool
    beside: frozenset[str]


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """One kind of entry and how its facts become entries.

    place: field that takes the place in force (one entry for each place when it is a single one), or None.
    place_need: must (ask when missing), must or round, wish, no.  round: takes the round in force.
    merge: what happens when a field is said twice with other values: same (a doubt), new (a new entry).
    needs: the entry stands only with one of these fields; empty: the anchor is enough.
    yields: value -> values that say the same and more ("not seen" yields to "queenless").
    sorts: sort of place -> field, where places in force of that sort do not go into the list.
    ranges: field -> (low, high); a value outside is a doubt.
    """

    name: str
    place: str | None
    place_need: str
    round: bool
    merge: str
    needs: tuple[str, ...]
    rules: tuple[Rule, ...]
    ranges: dict[str, tuple[float, float]]
    sorts: dict[str, str]
    yields: dict[str, tuple[str, ...]]


def _rule(kind: str, role: str, raw: Any, parts: dict[str, str], known: set[str], where: str) -> Rule:
    if not isinstance(raw, dict) or "match" not in raw:
        raise RuleError(f"{where}: a rule under {role}s must be a mapping with `match`")
    unknown = set(raw) - RULE_KEYS
    if unknown:
        raise RuleError(f"{where}: rule {raw.get('id', raw['match'])!r} has unknown keys {sorted(unknown)}")
    sources = raw["match"] if isinstance(raw["match"], list) else [raw["match"]]
    patterns = tuple(compile_pattern(str(s), parts, known, where) for s in sources)
    sets = dict(raw.get("set") or {})
    captured = set().union(*(p.captures for p in patterns))
    for label in raw.get("with") or ():
        if label not in known and label not in SPECIAL and not label.startswith("="):
            raise RuleError(f"{where}: rule {sources[0]!r}: `with` names {label!r}, which nothing defines")
    for value in _references(sets) | _references(raw.get("negated") or {}):
        if value.rstrip("~") not in captured:
            raise RuleError(f"{where}: rule {sources[0]!r} sets ${value}, which no pattern captures")
    return Rule(
        kind=kind,
        id=str(raw.get("id", sources[0])),
        role=role,
        patterns=patterns,
        sets=sets,
        negated=None if "negated" not in raw else dict(raw["negated"] or {}),
        weight=float(raw.get("weight", 0.0)),
        where=raw.get("where"),
        modal=bool(raw.get("modal", False)),
        beside=frozenset(raw.get("with") or ()),
    )


def _references(value: Any) -> set[str]:
    if isinstance(value, str) and "{" in value:
        return set(re.findall(r"\{(\w+)\}", value))
    if isinstance(value, str):
        return {part.strip()[1:] for part in value.split("*") if part.strip().startswith("$")}
    if isinstance(value, dict):
        return set().union(*(_references(v) for v in value.values()), set())
    if isinstance(value, list):
        return set().union(*(_references(v) for v in value), set())
    return set()


def resolve(value: Any, captures: dict[str, Any]) -> Any:
    """A `set` value with its captures put in; None where one is missing. `$a*$b` is a list of b times a."""
    if isinstance(value, str) and value.startswith("$"):
        if "*" in value:
            left, right = (captures.get(part.strip()[1:]) for part in value.split("*"))
            if left is None or right is None:
                return None
            return [left] * int(right) if 0 < right <= 60 else None
        return captures.get(value[1:])
    if isinstance(value, str) and "{" in value:
        names = re.findall(r"\{(\w+)\}", value)
        if any(captures.get(n) is None for n in names):
            return None
        return value.format(**{n: str(captures[n])[:1].upper() + str(captures[n])[1:] for n in names})
    if isinstance(value, dict):
        inner = {k: resolve(v, captures) for k, v in value.items()}
        return {k: v for k, v in inner.items() if v is not None} or None
    if isinstance(value, list):
        return [v for v in (resolve(v, captures) for v in value) if v is not None] or None
    return value


def load_kind(where: str, data: Any, shared: dict[str, str], known: set[str]) -> Kind:
    """One kind from its parsed YAML; unknown keys and contradictions are refused."""
    if not isinstance(data, dict) or "kind" not in data:
        raise RuleError(f"{where}: a rule file needs `kind`")
    unknown = set(data) - KIND_KEYS
    if unknown:
        raise RuleError(f"{where}: unknown keys {sorted(unknown)}")
    merge, need = data.get("merge", "same"), data.get("place_need", "wish")
    if merge not in MERGES:
        raise RuleError(f"{where}: merge {merge!r} is none of {sorted(MERGES)}")
    if need not in NEEDS:
        raise RuleError(f"{where}: place_need {need!r} is none of {sorted(NEEDS)}")
    parts = {**shared, **(data.get("parts") or {})}
    rules = tuple(
        _rule(data["kind"], role, raw, parts, known, where)
        for role in ("anchor", "slot", "fact")
        for raw in data.get(role + "s") or []
    )
    if not any(rule.role != "slot" for rule in rules):
        raise RuleError(f"{where}: a kind needs at least one anchor or fact")
    needs = data.get("needs") or []
    return Kind(
        name=data["kind"],
        place=data.get("place"),
        place_need=need,
        round=bool(data.get("round", False)),
        merge=merge,
        needs=tuple(needs),
        rules=rules,
        ranges={k: (float(v[0]), float(v[1])) for k, v in (data.get("ranges") or {}).items()},
        sorts=dict(data.get("sorts") or {}),
        yields={str(k): tuple(v) for k, v in (data.get("yields") or {}).items()},
    )


@cache
def kinds() -> dict[str, Kind]:
    """All kinds by name, compiled once."""
    return kept("kinds", _compiled)


def _compiled() -> dict[str, Kind]:
    lexicon = concepts()
    known = set(lexicon) | {c for concept in lexicon.values() for c in concept.classes}
    shared: dict[str, str] = {}
    for _where, data in read_yaml("parts"):
        shared.update(data or {})
    out: dict[str, Kind] = {}
    for where, data in read_yaml("kinds"):
        kind = load_kind(where, data, shared, known)
        if kind.name in out:
            raise RuleError(f"{where}: kind {kind.name} is already defined in another file")
        out[kind.name] = kind
    return out
