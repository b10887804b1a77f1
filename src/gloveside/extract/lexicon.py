"""The lexicon: concepts of the trade with every form in which they are said, read from `data/lexicon/*.yaml`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import yaml

from gloveside.extract.compiled import kept


class _Loader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
    """Plain YAML in which on, off, yes, no stay words (YAML 1.1 would make them true and false)."""


_Loader.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in resolvers if tag != "tag:yaml.org,2002:bool"]
    for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
_Loader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"^(?:true|false)$"), ["t", "f"])

CONCEPT_KEYS = {"forms", "class", "value", "soft", "light", "scope", "heard", "everyday", "asked"}
SCOPES = {"negation", "future", "condition", "question", "past", "correction", "break"}


class RuleError(ValueError):
    """The data files contradict themselves; the message names the file and the key."""


@dataclass(frozen=True, slots=True)
class Concept:
    """One concept. forms: all ways to say it; heard: usual mishearings, read but never spoken or written.

    classes: groups it belongs to (a pattern may ask for the group).  value: what a capture of it gives.
    soft: may stand anywhere between other words, says nothing.  light: says nothing once its clause is understood.
    scope: what it does to the words after it (negation, future, ...).
    everyday: a word of all talk (took, top, open): by itself no sign that the trade is spoken of.
    asked: counts in questions only; a note that records something reads as if it were not there.
    """

    name: str
    forms: tuple[str, ...]
    heard: tuple[str, ...] = ()
    classes: tuple[str, ...] = ()
    value: Any = None
    soft: bool = False
    light: bool = False
    scope: str | None = None
    everyday: bool = False
    asked: bool = False


def _as_list(value: Any) -> list[str]:
    if value is None:
        return []
    return [str(v) for v in (value if isinstance(value, list) else [value])]


def read_yaml(folder: str) -> list[tuple[str, Any]]:
    """All YAML files of a folder of `data/`, by name. Only plain YAML, never objects."""
    base = resources.files("gloveside.extract") / "data" / folder
    found = sorted((p for p in base.iterdir() if p.name.endswith(".yaml")), key=lambda p: p.name)
    return [(f"{folder}/{p.name}", yaml.load(p.read_text(encoding="utf-8"), _Loader)) for p in found]  # noqa: S506


def _contracted(form: str) -> str | None:
    """A question as it is run together in speech: "what have" -> "what've"; None where it is not."""
    first, _, rest = form.partition(" ")
    second, _, tail = rest.partition(" ")
    ending = {"have": "'ve", "will": "'ll", "did": "'d", "are": "'re", "would": "'d"}.get(second)
    if ending is None or first not in ("what", "when", "where", "how", "who", "which"):
        return None
    return f"{first}{ending} {tail}".strip()


def parse_concept(name: str, raw: Any, where: str) -> Concept:
    """One concept from its YAML form: a list of forms, or a mapping with the keys of CONCEPT_KEYS."""
    if isinstance(raw, list):
        raw = {"forms": raw}
    if not isinstance(raw, dict):
        raise RuleError(f"{where}: concept {name} must be a list of forms or a mapping")
    unknown = set(raw) - CONCEPT_KEYS
    if unknown:
        raise RuleError(f"{where}: concept {name} has unknown keys {sorted(unknown)}")
    if raw.get("scope") is not None and raw["scope"] not in SCOPES:
        raise RuleError(f"{where}: concept {name}: scope {raw['scope']!r} is none of {sorted(SCOPES)}")
    forms = tuple(_as_list(raw.get("forms")))
    if not forms:
        raise RuleError(f"{where}: concept {name} has no forms")
    bad = [f for f in forms if f != f.lower()]
    if bad:
        raise RuleError(f"{where}: concept {name}: forms must be lower case: {bad}")
    if raw.get("scope") == "question":
        forms = (*forms, *(c for f in forms if (c := _contracted(f)) is not None and c not in forms))
    return Concept(
        name=name,
        forms=forms,
        heard=tuple(_as_list(raw.get("heard"))),
        classes=tuple(_as_list(raw.get("class"))),
        value=raw.get("value", name.replace("_", " ")),
        soft=bool(raw.get("soft", False)),
        light=bool(raw.get("light", False)),
        scope=raw.get("scope"),
        everyday=bool(raw.get("everyday", "general" in where)),
        asked=bool(raw.get("asked", "/asked" in where)),
    )


@cache
def concepts() -> dict[str, Concept]:
    """All concepts by name. The same name in two files is an error."""
    return kept("lexicon", _compiled)


def _compiled() -> dict[str, Concept]:
    out: dict[str, Concept] = {}
    for where, data in read_yaml("lexicon"):
        for name, raw in (data or {}).items():
            if name in out:
                raise RuleError(f"{where}: concept {name} is already defined in another file")
            out[name] = parse_concept(name, raw, where)
    classes = {c for concept in out.values() for c in concept.classes}
    clash = classes & set(out)
    if clash:
        raise RuleError(f"these names are both a concept and a class: {sorted(clash)}")
    return out
