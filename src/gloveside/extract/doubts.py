"""What must be asked before a note is kept: one short question with its options for each doubt."""

from __future__ import annotations

from datetime import date
from typing import Any

from rapidfuzz import process

from gloveside.extract.draft import Draft
from gloveside.extract.models import Doubt
from gloveside.extract.note import PREPOSITIONS, Note
from gloveside.extract.register import Register

# A bar that holds so many times what another holds was hardly counted as a bar.
UNEVEN = 4
PLACE_FIELDS = ("place", "places", "mother", "from", "into", "to")


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
        for other in (_teen_ty(value), *_cut(value)):
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


def _said(note: Note, draft: Draft, place: str) -> str:
    for span in draft.places:
        if place in span.places:
            return note.text(span.start, span.end)
    return place


def place_doubts(note: Note, index: int, draft: Draft, register: Register, asked: set[str]) -> list[Doubt]:
    """Doubts about the places of one draft: two that may be meant, or one that the register does not know."""
    out: list[Doubt] = []
    for span in draft.places:
        if span.rivals and not set(span.places) & asked:
            options = [*span.places[-1:], *span.rivals]
            asked.update(options)
            said = note.text(span.start, span.end)
            field = next((n for n, v in draft.fields.items() if _holds(v, span.places[-1])), "place")
            out.append(Doubt(entry=index, field=field, said=said, options=options, ask=_or(options)))
    for name in PLACE_FIELDS:
        value = draft.fields.get(name)
        for place in value if isinstance(value, list) else [value]:
            if not isinstance(place, str) or place in asked or register.knows(place) or not _is_place(place):
                continue
            options = [place, *sound_alike(place, register)]
            asked.update(options)
            ask = _or(options) if len(options) > 1 else f"{_title(place)} is new. Add it?"
            out.append(Doubt(entry=index, field=name, said=_said(note, draft, place), options=options, ask=ask))
    return out


def _holds(value: Any, place: str) -> bool:
    return place in value if isinstance(value, list) else value == place


def _is_place(text: str) -> bool:
    return text.split(" ")[0] in ("hive", "nuc", "yard")


def entry_doubts(note: Note, index: int, draft: Draft, register: Register, on: date, asked: set[str]) -> list[Doubt]:
    """All doubts of one draft. asked: places asked about already in this note."""
    kind, fields = draft.kind, draft.fields
    out = place_doubts(note, index, draft, register, asked)
    main = kind.place or "place"
    needed = kind.place_need == "must" or (kind.place_need == "must or round" and "round" not in fields)
    if kind.place and needed and kind.place not in fields:
        sort = "nuc" if kind.name in ("mating", "plant") else "hive"
        out.append(Doubt(entry=index, field=main, said="", options=[], ask=f"Which {sort}?"))
    pairs = [fields, *(b for b in fields.get("bars") or [] if isinstance(b, dict))] if kind.name == "take" else []
    for pair in pairs:
        taken, of = pair.get("taken"), pair.get("of")
        if taken is not None and of is not None and taken > of:
            said = f"{taken} of {of}"
            ask = f"{said} can't be. How many took?"
            out.append(Doubt(entry=index, field="taken", said=said, options=[of, taken], ask=ask))
            break
    if kind.name == "graft":
        out += _graft_doubts(note, index, draft)
    for name, (low, high) in kind.ranges.items():
        value = _dig(fields, name)
        if isinstance(value, int | float) and not low <= value <= high:
            word = name.replace("_", " ").replace(".", " ")
            out.append(Doubt(entry=index, field=name, said=str(value), options=[value], ask=f"{value} {word}, really?"))
    number = fields.get("round")
    fresh = kind.name in ("graft", "builder") and register.rounds and number == max(register.rounds) + 1
    if number is not None and register.rounds and number not in register.rounds and not fresh:
        options: list[Any] = sorted(register.rounds)[-3:]
        ask = f"There is no round {number}. Which round?"
        out.append(Doubt(entry=index, field="round", said=f"round {number}", options=options, ask=ask))
    for name, first, second in draft.clashes:
        options, said = [first, second], f"{first}, {second}"
        out.append(Doubt(entry=index, field=name, said=said, options=options, ask=_or([str(o) for o in options])))
    if draft.on_unsure and draft.on is not None and draft.on != on:
        days = [draft.on.isoformat(), on.isoformat()]
        ask = f"{_title(fields.get(main) or kind.name)}: on {draft.on:%A} too, or today?"
        out.append(Doubt(entry=index, field="on", said="", options=days, ask=ask))
    if draft.future and draft.on is None:
        ask = "That day is still to come. Done today?"
        out.append(Doubt(entry=index, field="on", said="", options=[on.isoformat()], ask=ask))
    return out


def _bare_hive(note: Note, draft: Draft) -> bool:
    """Whether the one hive of a graft was said without "from" or "into": "grafted 40, Chinese tool, hive 21"."""
    hives = [p for p in note.places if p.sort == "hive" and not p.deictic]
    if "mother" in draft.fields or "place" not in draft.fields or len(hives) != 1:
        return False
    told = any(draft.kind.place in m.sets for m in draft.matches)
    return not told and hives[0].start > draft.start and note.lower[hives[0].start - 1] not in PREPOSITIONS


def _graft_doubts(note: Note, index: int, draft: Draft) -> list[Doubt]:
    """Bars that do not add up or differ too much to be bars, and two hives of which neither is named the mother."""
    bars, larvae = draft.fields.get("bars") or [], draft.fields.get("larvae")
    if bars and larvae is not None and (sum(bars) != larvae or UNEVEN * min(bars) < max(bars)):
        options = list(dict.fromkeys([larvae, sum(bars)]))
        said = ", ".join(str(b) for b in bars)
        ask = f"Bars of {said}, {larvae} larvae in all?"
        return [Doubt(entry=index, field="larvae", said=said, options=options, ask=ask)]
    if _bare_hive(note, draft):
        hive = str(draft.fields["place"])
        ask = f"{hive[:1].upper()}{hive[1:]}: did the larvae come from it, or go into it?"
        return [Doubt(entry=index, field="mother", said=hive, options=[hive], ask=ask)]
    named = list(dict.fromkeys(p for s in note.places for p in s.places if s.sort == "hive" and not s.deictic))
    if "mother" not in draft.fields and "place" in draft.fields and len(named) == 2 and _one_sentence(note):
        ask = f"Which hive did the larvae come from, {named[0]} or {named[1]}?"
        return [Doubt(entry=index, field="mother", said=", ".join(named), options=named, ask=ask)]
    return []


def _one_sentence(note: Note) -> bool:
    return len({note.sentence[p.start] for p in note.places}) == 1


def _dig(fields: dict[str, Any], name: str) -> Any:
    value: Any = fields
    for part in name.split("."):
        if not isinstance(value, dict):
            return None
        value = value.get(part)
    return value
