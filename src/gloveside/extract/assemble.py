"""From the matches that stand to entries: facts of one kind and place come together, values are put in their fields."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from gloveside.extract.context import Context
from gloveside.extract.derive import DERIVE
from gloveside.extract.frames import Match
from gloveside.extract.note import Note, Unsure
from gloveside.extract.places import PlaceSpan
from gloveside.extract.rules import Kind

PLACE_LISTS = {"places"}
# Lists in which the same value said twice counts twice.
ADDING = {"bars", "more"}
# Kinds of which one amount may be of several hives together.
SHARED = {"harvest"}
# Counts of one kind that add up when each is said with a place of its own.
ADDS = {"plant": "count"}
# With a queen in the sentence these speak of the candy that closes her cage.
CAGE_WORDS = frozenset(["cage", "plug", "tab", "end", "through", "eaten", "chewed", "attendants", "candy"])
# Fields that count whole things.
COUNTED = {"count", "mites", "bees", "taken", "of", "larvae"}


@dataclass(slots=True)
class Draft:
    """An entry in the making. clashes: (field, first value, second value) said without a correction."""

    kind: Kind
    fields: dict[str, Any] = field(default_factory=dict)
    key: tuple[str, ...] = ()
    on: date | None = None
    future: bool = False
    matches: list[Match] = field(default_factory=list)
    places: list[PlaceSpan] = field(default_factory=list)
    round_span: tuple[int, int] | None = None
    clashes: list[tuple[str, Any, Any]] = field(default_factory=list)

    @property
    def start(self) -> int:
        """First token of the entry."""
        return min(m.start for m in self.matches)


def _plain(name: str, value: Any) -> Any:
    """Place spans become canonical strings; a list where the field takes one."""
    if isinstance(value, PlaceSpan):
        if name in PLACE_LISTS:
            return list(value.places)
        if len(value.places) > 1 and name in ("mother", "from", "into"):
            return value
        return value.places[0] if value.places else None
    if isinstance(value, Unsure):
        return value
    if isinstance(value, float) and value == int(value):
        return int(value)
    if isinstance(value, dict):
        return {k: _plain(k, v) for k, v in value.items()}
    if isinstance(value, list):
        return [_plain("", v) for v in value]
    return value


def _unsure(value: Any, name: str = "") -> list[tuple[str, Unsure]]:
    """Numbers in doubt inside a list or mapping, each with its field."""
    if isinstance(value, Unsure):
        return [(name, value)]
    if isinstance(value, dict):
        return [found for key, inner in value.items() for found in _unsure(inner, key)]
    if isinstance(value, list):
        return [found for inner in value for found in _unsure(inner, name)]
    return []


def _corrected(note: Note, left: int, right: int) -> bool:
    return any(c.scope == "correction" and left <= c.start < right for c in note.cues)


def _put(note: Note, draft: Draft, match: Match, sets: dict[str, Any]) -> None:
    for name, value in sets.items():
        if value is None:
            continue
        if isinstance(value, PlaceSpan):
            # two places where one is wanted
            draft.clashes.append((name, value.places[0], value.places[1]))
            value = value.places[0]
        if isinstance(value, Unsure):
            draft.clashes.append((name, value.rivals[0], value.rivals[1]))
            value = int(value)
        elif isinstance(value, list | dict):
            draft.clashes += [(inner or name, n.rivals[0], n.rivals[1]) for inner, n in _unsure(value)]
        old = draft.fields.get(name)
        if old is not None and ADDS.get(draft.kind.name) == name and "places" in sets:
            mine = set(draft.fields.get("places") or [])
            if mine and mine.isdisjoint(sets["places"]) and not _corrected(note, draft.start, match.start):
                draft.fields[name] = old + value
                continue
        if isinstance(old, str) and isinstance(value, str):
            # "didn't see the queen, I'd say queenless": the fuller word stands
            if value in draft.kind.yields.get(old, ()):
                draft.fields[name] = value
                continue
            if old in draft.kind.yields.get(value, ()):
                continue
        if old is None or (old == value and name not in ADDING):
            draft.fields[name] = value
        elif isinstance(old, list) and isinstance(value, list):
            draft.fields[name] = old + [v for v in value if v not in old or name in ADDING]
        elif isinstance(old, dict) and isinstance(value, dict):
            for key, inner in value.items():
                if old.get(key) not in (None, inner) and not _corrected(note, draft.start, match.start):
                    draft.clashes.append((f"{name}.{key}", old[key], inner))
                old[key] = inner
        else:
            if not _corrected(note, draft.start, match.start):
                draft.clashes.append((name, old, value))
            draft.fields[name] = value


def _named(match: Match) -> tuple[str, ...]:
    """The places that a fact names as its own."""
    value = match.sets.get("place")
    return value.places if isinstance(value, PlaceSpan) else ()


def _conflict(draft: Draft, sets: dict[str, Any]) -> bool:
    for name, value in sets.items():
        old = draft.fields.get(name)
        if old is None or value is None or old == value or isinstance(old, list):
            continue
        if isinstance(value, str) and old in draft.kind.yields.get(value, ()):
            continue
        if isinstance(old, str) and isinstance(value, str):
            fuller = draft.kind.yields
            if value in fuller.get(old, ()) or old in fuller.get(value, ()):
                continue  # "syrup, two to one"
        if isinstance(old, dict) and isinstance(value, dict):
            if any(old.get(k) not in (None, v) for k, v in value.items()):
                return True
            continue
        return True
    return False


def drafts(note: Note, matches: list[Match], contexts: dict[int, Context], kinds: dict[str, Kind]) -> list[Draft]:
    """Group the matches into drafts, in the order in which they were said."""
    out: list[Draft] = []
    for index, match in enumerate(matches):
        kind, context = kinds[match.rule.kind], contexts[index]
        sets = {name: _plain(name, value) for name, value in match.sets.items()}
        sets = {name: value for name, value in sets.items() if value is not None}
        spans = context.places
        places = tuple(dict.fromkeys(p for span in spans for p in span.places))
        if kind.place == "places" or kind.place is None:
            keys: list[tuple[str, ...]] = [()]
        elif kind.place == "place" and len(_named(match)) > 1:
            # "put virgins in nucs 3, 4 and 5": one entry for each
            keys = [(p,) for p in _named(match)]
            del sets[kind.place]
        elif isinstance(sets.get(kind.place), str):
            keys = [(str(sets[kind.place]),)]
        else:
            keys = [(p,) for p in places] or [()]
        for key in keys:
            _join(note, out, kind, match, context, dict(sets), key, places)
    _same_step(out)
    whole = [d for d in out if not d.kind.needs or any(n in d.fields for n in d.kind.needs)]
    _method(whole)
    whole = _united(_planted(whole, kinds))
    _cause(whole)
    whole = _cage_food(note, _queenless_nuc(whole))
    whole = [d for d in whole if not _said_in_passing(note, d, whole) and not _queen_lost(note, d)]
    _shared(note, whole)
    cased = any(token.text[:1].isupper() for token in note.doc)
    for draft in whole:
        buyer, total = draft.fields.get("to"), draft.fields.get("total")
        if draft.kind.name in DERIVE:
            DERIVE[draft.kind.name](draft.fields)
        if draft.kind.name == "sale" and isinstance(buyer, str) and cased:
            draft.fields["to"] = buyer  # typed with capitals: "to the school" is no name
        if draft.kind.name == "sale" and total is not None and "price" not in draft.fields:
            # the price is of each one; what the lot fetched is not shared out without asking
            each = round(total / (draft.fields.get("count") or 1), 2)
            draft.clashes.append(("price", _plain("", each), _plain("", total)))
        _whole_numbers(draft)
    # a bar that was named but never counted is no take
    return [d for d in whole if d.kind.name != "take" or d.clashes or "taken" in d.fields or "bars" in d.fields]


def _method(made: list[Draft]) -> None:
    """How mites were counted holds for the hives that follow: "washes today, hive 1, 3 in 300, hive 2, 6 in 300"."""
    method = None
    for draft in (d for d in made if d.kind.name == "mites"):
        method = draft.fields.get("method", method)
        if method is not None:
            draft.fields.setdefault("method", method)


def _same_step(made: list[Draft]) -> None:
    """What was done to a queen holds for those that follow: "caught the queen in nuc 1 and the queen in nuc 2"."""
    step = None
    for draft in (d for d in made if d.kind.name == "queen"):
        again = draft.fields.pop("again", None)
        if again and "step" not in draft.fields and step is not None:
            draft.fields["step"] = step
        step = draft.fields.get("step", step)


def _planted(made: list[Draft], kinds: dict[str, Kind]) -> list[Draft]:
    """Cells counted in a list of nucs were planted there: "18 ripe cells, nucs 1 to 18"."""
    groups: dict[int, list[Draft]] = {}
    for draft in made:
        if draft.kind.name == "cells" and str(draft.fields.get("place", "")).startswith("nuc "):
            groups.setdefault(id(draft.matches[0]), []).append(draft)
    for group in (g for g in groups.values() if len(g) > 1):
        places = [str(d.fields["place"]) for d in group]
        same = next((d for d in made if d.kind.name == "plant"), None)
        if same is None:
            same = group[0]
            same.kind, same.key = kinds["plant"], ()
            same.fields = {k: v for k, v in same.fields.items() if k in ("count", "round")} | {"places": places}
        else:
            same.fields.setdefault("count", group[0].fields.get("count"))
            same.fields.setdefault("places", places)
            same.matches.extend(m for m in group[0].matches if m not in same.matches)
        made = [d for d in made if d is same or d not in group]
    return made


def _united(made: list[Draft]) -> list[Draft]:
    """Two places of one list that were united are one entry: "put hives 30 and 31 together"."""
    halves = [d for d in made if d.kind.name == "unite" and "into" not in d.fields]
    if len(halves) != 2 or halves[0].matches[0] is not halves[1].matches[0]:
        return made
    halves[0].fields["into"] = halves[1].fields["from"]
    return [d for d in made if d is not halves[1]]


def _cause(made: list[Draft]) -> None:
    """A lost colony's queenlessness is why it was lost: "lost hive 12, it had gone queenless"."""
    for draft in [d for d in made if d.kind.name == "loss" and "cause" not in d.fields]:
        for other in list(made):
            only_queen = other.kind.name == "inspection" and set(other.fields) == {"place", "queen"}
            lost_by = other.fields.get("queen") in ("queenless", "laying workers", "drone layer")
            if only_queen and lost_by and other.key == draft.key:
                draft.fields["cause"] = other.fields["queen"]
                draft.matches.extend(other.matches)
                made.remove(other)


def _queenless_nuc(made: list[Draft]) -> list[Draft]:
    """A mating nuc whose queen is missing is no second finding "queenless"."""
    missing = {d.key for d in made if d.kind.name == "mating" and d.fields.get("result") == "missing"}
    return [
        d
        for d in made
        if d.kind.name != "inspection"
        or d.key not in missing
        or set(d.fields) != {"place", "queen"}
        or d.fields["queen"] not in ("queenless", "not seen")
    ]


def _cage_food(note: Note, made: list[Draft]) -> list[Draft]:
    """Candy that closes a queen's cage is no feed: "ran the new queen into hive 12 through the candy"."""
    out = list(made)
    for draft in made:
        if draft.kind.name != "feed" or not set(draft.fields) <= {"place", "feed"}:
            continue
        sentences = {note.sentence[m.start] for m in draft.matches}
        within = [at for at in range(len(note.lower)) if note.sentence[at] in sentences]
        queens = any("queen_noun" in note.lattice.edges[at] or note.lower[at] in ("she", "her") for at in within)
        caged = queens and not CAGE_WORDS.isdisjoint(note.lower[at] for at in within)
        given = any({"feed_verb", "give_verb"} & set(note.lattice.edges[at]) for at in within)
        if draft.fields.get("feed") != "fondant" or given or not caged:
            continue
        queen = next((d for d in made if d.kind.name == "queen"), None)
        if queen is not None:
            queen.matches.extend(draft.matches)
        out.remove(draft)
    return out


def _said_in_passing(note: Note, draft: Draft, made: list[Draft]) -> bool:
    """Whether a strength or temper only colours another entry of the sentence: "builder stocked, heaving"."""
    if draft.kind.name != "inspection" or not set(draft.fields) <= {"place", "strength", "temper"}:
        return False
    sentences = {note.sentence[m.start] for m in draft.matches}
    kinds = {"builder"} if "temper" not in draft.fields else {"loss"} if "strength" not in draft.fields else set()
    return any(
        o.kind.name in kinds and o.key == draft.key and sentences & {note.sentence[m.start] for m in o.matches}
        for o in made
    )


def _queen_lost(note: Note, draft: Draft) -> bool:
    """Whether what reads as a lost colony is said of its queen alone: "hive 50's queen is a goner"."""
    if draft.kind.name != "loss" or len(draft.matches) > 1:
        return False
    inside = {k for p in note.places for k in range(p.start, p.end)}
    at = draft.start - 1
    while at >= 0 and (at in note.soft or at in inside):
        at -= 1
    return at >= 0 and any(
        stop == at + 1 for k in range(max(0, at - 2), at + 1) for stop, _ in note.lattice.edges[k].get("queen_noun", ())
    )


def _shared(note: Note, made: list[Draft]) -> None:
    """Ask where one amount taken was said of several hives: of each, or of all together? "26 kilos out of 3 and 4"."""
    for kind in SHARED:
        groups: dict[int, list[Draft]] = {}
        for draft in made:
            if draft.kind.name == kind and draft.fields.get("amount") is not None:
                groups.setdefault(id(draft.matches[0]), []).append(draft)
        for group in groups.values():
            ends = [note.sentence[m.start] for d in group for m in d.matches]
            said = {w for at, w in enumerate(note.lower) if note.sentence[at] in ends}
            if len(group) < 2 or said & {"each", "apiece", "per"} or len({str(d.fields["amount"]) for d in group}) > 1:
                continue
            amount = group[0].fields["amount"]
            group[0].clashes.append(("amount", _plain("", amount), round(amount / len(group), 2)))


def _whole_numbers(draft: Draft) -> None:
    """Ask about a part of a thing that only comes whole ("half a super on") instead of keeping it."""
    for name in COUNTED & set(draft.fields):
        value = draft.fields[name]
        if isinstance(value, float) and value != int(value) and draft.kind.name != "sale":
            del draft.fields[name]
            draft.clashes.append((name, int(value), int(value) + 1))


def _other_places(draft: Draft, kind: Kind, places: tuple[str, ...], sets: dict[str, Any]) -> bool:
    """Whether the place in force belongs to another entry: another hive is being split."""
    for place in places:
        name = kind.sorts.get(place.split(" ")[0])
        if name is not None and name not in sets and draft.fields.get(name) not in (None, place):
            return True
    return False


def _put_places(draft: Draft, kind: Kind, places: tuple[str, ...]) -> None:
    """Places in force go into the list, or into another field where the kind says so for their sort (`sorts`)."""
    for place in places:
        name = kind.sorts.get(place.split(" ")[0], "places")
        if name == "places":
            if "places" in {n for m in draft.matches for n in m.sets}:
                continue
            known = draft.fields.setdefault("places", [])
            if place not in known:
                known.append(place)
        else:
            first = draft.fields.setdefault(name, place)
            if first != place and name not in {n for m in draft.matches for n in m.sets}:
                draft.clashes.append((name, first, place))


def _join(
    note: Note,
    out: list[Draft],
    kind: Kind,
    match: Match,
    context: Context,
    sets: dict[str, Any],
    key: tuple[str, ...],
    places: tuple[str, ...],
) -> None:
    same = [d for d in out if d.kind is kind]
    if match.rule.role == "slot" and key and kind.place in sets:
        # "hive 21, grafted 30 from it into hive 7": the place that was said for it stands, not the one in force
        for held in same[-1:]:
            if held.key and held.key != key and not any(kind.place in m.sets for m in held.matches):
                held.key = key
                held.fields[kind.place] = key[0]
    if kind.place not in (None, "places"):
        same = [d for d in same if d.key == key or not d.key or not key]
        exact = [d for d in same if d.key == key]
        same = exact or same
    if kind.place == "places" and same and places and _other_places(same[-1], kind, places, sets):
        same = []
    if kind.round and context.round is not None:
        same = [d for d in same if d.fields.get("round") in (None, context.round)]
    draft = same[-1] if same else None
    if draft is not None and kind.merge == "new" and _conflict(draft, sets):
        corrected = _corrected(note, draft.matches[-1].start, match.start)
        draft = draft if corrected else None
    if draft is None:
        draft = Draft(kind)
        out.append(draft)
    draft.matches.append(match)
    _put(note, draft, match, sets)
    if not draft.key and key:
        draft.key = key
    if kind.place == "places":
        if places and "places" not in sets:
            _put_places(draft, kind, places)
    elif kind.place is not None and key:
        draft.fields.setdefault(kind.place, key[0])
    draft.places.extend(s for s in (*context.places, *match.places) if s not in draft.places)
    if kind.round and context.round is not None:
        if isinstance(context.round, Unsure) and "round" not in draft.fields:
            draft.clashes.append(("round", context.round.rivals[0], context.round.rivals[1]))
        draft.fields.setdefault("round", int(context.round))
        draft.round_span = context.round_span
    if context.on is not None:
        draft.on = context.on
    draft.future = draft.future or context.future
