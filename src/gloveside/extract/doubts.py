"""What must be asked before a note is kept: one short question with its options for each doubt."""

from __future__ import annotations

from datetime import date
from typing import Any

from rapidfuzz import process

from gloveside.extract.annotate import Note
from gloveside.extract.assemble import Draft
from gloveside.extract.models import Doubt
from gloveside.extract.places import PlaceSpan
from gloveside.extract.register import Register


def _title(place: str) -> str:
    return place[:1].upper() + place[1:]


def _or(options: list[str]) -> str:
    return _title(" or ".join(str(o) for o in options)) + "?"


def sound_alike(place: str, register: Register) -> list[str]:
    """Known places that a wrong number may have meant: teen for ty, a digit too many, nearly the same."""
    sort, _, name = place.partition(" ")
    known = [p for p in register.places if p.startswith(sort + " ")]
    out: list[str] = []
    if name.isdigit():
        value = int(name)
        for other in (value - 10 + 0 if False else None, _teen_ty(value), *(_cut(value))):
            if other is not None and f"{sort} {other}" in register.places:
                out.append(f"{sort} {other}")
    else:
        out.extend(match for match, score, _ in process.extract(place, known, limit=2) if score >= 70)
    return list(dict.fromkeys(out))[:3]


def _teen_ty(value: int) -> int | None:
    if 13 <= value <= 19:
        return (value - 10) * 10
    if 30 <= value <= 90 and value % 10 == 0:
        return value // 10 + 10
    return None


def _cut(value: int) -> list[int]:
    if value < 100:
        return []
    return [value // 10, value % 100, value // 100]


def place_doubts(note: Note, index: int | None, spans: list[PlaceSpan], register: Register, field: str) -> list[Doubt]:
    """Doubts about the places of one entry."""
    out: list[Doubt] = []
    for span in spans:
        said = note.text(span.start, span.end)
        if span.deictic:
            continue
        if span.rivals:
            options = [*span.places[-1:], *span.rivals]
            out.append(Doubt(entry=index, field=field, said=said, options=options, ask=_or(options)))
            continue
        for place in span.places:
            if not register.knows(place):
                options = sound_alike(place, register)
                ask = _or([place, *options]) if options else f"Add {place}?"
                out.append(Doubt(entry=index, field=field, said=said, options=[place, *options], ask=ask))
    return out


def entry_doubts(note: Note, index: int, draft: Draft, register: Register, on: date, asked: set[str]) -> list[Doubt]:
    """All doubts of one draft. asked: places asked about already in this note."""
    out: list[Doubt] = []
    kind, fields = draft.kind, draft.fields
    spans = [
        s for s in draft.places if not (set(s.places) & asked) and (set(s.places) & _places(fields) or s.rivals or s.deictic)
    ]
    main = kind.place or "place"
    for doubt in place_doubts(note, index, spans, register, main):
        asked.update(str(o) for o in doubt.options)
        out.append(doubt)
    if kind.place and kind.place_need == "must" and kind.place not in fields:
        sort = "nuc" if kind.name in ("mating", "plant") else "hive"
        out.append(Doubt(entry=index, field=main, said="", options=[], ask=f"Which {sort}?"))
    for bar in [*(fields.get("bars") or []), fields] if kind.name == "take" else []:
        if isinstance(bar, dict) and bar.get("taken") is not None and bar.get("of") is not None:
            if bar["taken"] > bar["of"]:
                said = f"{bar['taken']} of {bar['of']}"
                out.append(
                    Doubt(entry=index, field="taken", said=said, options=[], ask=f"{said} can't be: how many took?")
                )
                break
    for name, (low, high) in kind.ranges.items():
        value = _dig(fields, name)
        if isinstance(value, int | float) and not low <= value <= high:
            word = name.replace("_", " ").replace(".", " ")
            out.append(Doubt(entry=index, field=name, said=str(value), options=[], ask=f"{value} {word}: is that right?"))
    number = fields.get("round")
    if kind.round and number is not None and register.rounds and number not in register.rounds:
        if not (kind.name in ("graft", "builder") and number == max(register.rounds) + 1):
            options: list[Any] = sorted(register.rounds)[-3:]
            out.append(
                Doubt(entry=index, field="round", said=f"round {number}", options=options, ask=f"No round {number} yet. Which round?")
            )
    for name, first, second in draft.clashes:
        out.append(
            Doubt(entry=index, field=name, said=f"{first}, {second}", options=[first, second], ask=_or([str(first), str(second)]))
        )
    if draft.future and draft.on is None:
        out.append(Doubt(entry=index, field="on", said="", options=[on.isoformat()], ask="That day is still to come. Done today?"))
    return out


def _places(fields: dict[str, Any]) -> set[str]:
    out: set[str] = set()
    for value in fields.values():
        for item in value if isinstance(value, list) else [value]:
            if isinstance(item, str):
                out.add(item)
    return out


def _dig(fields: dict[str, Any], name: str) -> Any:
    value: Any = fields
    for part in name.split("."):
        if not isinstance(value, dict):
            return None
        value = value.get(part)
    return value
