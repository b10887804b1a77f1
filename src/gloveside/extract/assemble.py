"""From the matches that stand to entries: facts of one kind and place come together, values are put in their fields."""

from __future__ import annotations

from typing import Any

from gloveside.extract import colours, siblings
from gloveside.extract.context import Context
from gloveside.extract.derive import DERIVE, named
from gloveside.extract.draft import Draft, corrected, plain, unsure
from gloveside.extract.frames import Match
from gloveside.extract.note import Note, Unsure
from gloveside.extract.places import PlaceSpan
from gloveside.extract.rules import Kind

# Lists in which the same value said twice counts twice.
ADDING = {"bars", "more"}
# Counts of one kind that add up when each is said with a place of its own.
ADDS = {"plant": "count"}
# Fields that count whole things.
COUNTED = {"count", "mites", "bees", "taken", "of", "larvae"}
# Fields that hold such counts.
INSIDE = {"bars", "queen_cells"}


def _put(note: Note, draft: Draft, match: Match, sets: dict[str, Any]) -> None:
    mine = set(draft.fields.get("places") or [])
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
            draft.clashes += [(inner or name, n.rivals[0], n.rivals[1]) for inner, n in unsure(value)]
        old = draft.fields.get(name)
        adds = old is not None and ADDS.get(draft.kind.name) == name and "places" in sets
        if adds and mine and mine.isdisjoint(sets["places"]) and not corrected(note, draft.start, match.start):
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
                if old.get(key) not in (None, inner) and not corrected(note, draft.start, match.start):
                    draft.clashes.append((f"{name}.{key}", old[key], inner))
                old[key] = inner
        else:
            if not corrected(note, draft.start, match.start):
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


def _has_source(note: Note, matches: list[Match], match: Match) -> bool:
    """Whether the clause of a fact says where it came from: "4 cells left in hive 2, and made 3 splits off hive 4"."""
    return "from" not in match.sets and any(
        o.rule.kind == match.rule.kind and o.sets.get("from") and note.clause[o.start] == note.clause[match.start]
        for o in matches
    )


def drafts(note: Note, matches: list[Match], contexts: dict[int, Context], kinds: dict[str, Kind]) -> list[Draft]:
    """Group the matches into drafts, in the order in which they were said."""
    out: list[Draft] = []
    for index, match in enumerate(matches):
        kind, context = kinds[match.rule.kind], contexts[index]
        sets = {name: plain(name, value) for name, value in match.sets.items()}
        sets = {name: value for name, value in sets.items() if value is not None}
        spans = context.places
        places = tuple(dict.fromkeys(p for span in spans for p in span.places))
        if kind.sorts and _has_source(note, matches, match):
            places = tuple(p for p in places if p.split(" ")[0] not in kind.sorts)
        if kind.place == "places" or kind.place is None:
            keys: list[tuple[str, ...]] = [()]
        elif kind.place == "place" and len(_named(match)) > 1:
            # "put virgins in nucs 3, 4 and 5": one entry for each
            keys = [(p,) for p in _named(match)]
            del sets[kind.place]
        elif kind.name == "unite" and isinstance(sets.get("from"), PlaceSpan) and sets["from"].sort != "yard":
            # "merged nucs 5 and 6 into hive 30"
            keys = [(p,) for p in sets.pop("from").places if p != sets.get("into")]
        elif isinstance(sets.get(kind.place), str):
            keys = [(str(sets[kind.place]),)]
        else:
            keys = [(p,) for p in places] or [()]
        for key in keys:
            _join(note, out, kind, match, context, dict(sets), key, places)
    siblings.same_step(out)
    siblings.same_box(out)
    out = siblings.put_back(note, siblings.left_single(out))
    siblings.same_goods(note, out)
    whole = [d for d in out if not d.kind.needs or any(n in d.fields for n in d.kind.needs)]
    whole = [d for d in whole if d.kind.name != "box" or "box" in d.fields]
    # "somebody has pinched my grafting tool" tells of no graft
    whole = [d for d in whole if d.kind.name != "graft" or not set(d.fields) <= {"tool"}]
    whole = siblings.sealed_bars(note, siblings.whole_incubator(whole))
    siblings.method(whole)
    siblings.same_feed(note, whole)
    whole = siblings.united(siblings.planted(whole, kinds))
    siblings.planted_the_lot(whole)
    siblings.cause(whole)
    whole = colours.coloured(note, whole)
    whole = siblings.cage_food(note, siblings.laying_seen(siblings.queenless_nuc(whole)))
    whole = [d for d in whole if not siblings.said_in_passing(note, d, whole) and not siblings.queen_lost(note, d)]
    siblings.shared(note, whole)
    cased = any(token.text[:1].isupper() for token in note.doc)
    for draft in whole:
        buyer, total = draft.fields.get("to"), draft.fields.get("total")
        if draft.kind.name in DERIVE:
            DERIVE[draft.kind.name](draft.fields)
        if draft.kind.name == "sale" and isinstance(buyer, str) and cased:
            # typed with capitals: "to the school" is no name
            draft.fields["to"] = named("the " + buyer[4:] if buyer.startswith("The ") else buyer)
        if draft.kind.name == "sale" and total is not None and "price" not in draft.fields:
            # the price is of each one; what the lot fetched is not shared out without asking
            each = round(total / (draft.fields.get("count") or 1), 2)
            draft.clashes.append(("price", plain("", each), plain("", total)))
        _whole_numbers(draft)
    # a bar that was named but never counted is no take
    return [d for d in whole if d.kind.name != "take" or d.clashes or "taken" in d.fields or "bars" in d.fields]


def _whole_numbers(draft: Draft) -> None:
    """Ask about a part of a thing that only comes whole ("half a super on") instead of keeping it."""
    for name in COUNTED & set(draft.fields):
        value = draft.fields[name]
        if _part(value):
            del draft.fields[name]
            draft.clashes.append((name, int(value), int(value) + 1))
    for name in INSIDE & set(draft.fields):
        draft.fields[name] = _floored(draft, name, draft.fields[name])


def _part(value: Any) -> bool:
    """Whether a value is no whole number."""
    return isinstance(value, float) and value != int(value)


def _floored(draft: Draft, name: str, value: Any) -> Any:
    """A list or mapping with its numbers whole; one that was not is in doubt."""
    if isinstance(value, list):
        return [_floored(draft, name, inner) for inner in value]
    if isinstance(value, dict):
        return {key: _floored(draft, f"{name}.{key}", inner) for key, inner in value.items()}
    if _part(value):
        draft.clashes.append((name, int(value), int(value) + 1))
        return int(value)
    return value


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


def _says_nothing(note: Note, match: Match, later: Match) -> bool:
    """Whether a fact of an earlier sentence sets no field."""
    return match.rule.role == "fact" and not match.sets and note.sentence[match.start] != note.sentence[later.start]


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
        # "next one, queen seen": of a hive that was not named
        same = [d for d in same if d.turn == context.turn or (d.key and d.key == key)]
    if kind.place == "places" and same and places and _other_places(same[-1], kind, places, sets):
        same = []
    if kind.name == "weather":
        # "dry as a bone" ten sentences on says nothing of the day
        same = [d for d in same if note.sentence[match.start] - note.sentence[d.matches[-1].start] <= 1]
    if kind.round and context.round is not None:
        same = [d for d in same if d.fields.get("round") in (None, context.round)]
    draft = same[-1] if same else None
    if draft is not None and kind.merge == "new" and _conflict(draft, sets):
        draft = draft if corrected(note, draft.matches[-1].start, match.start) else None
    if draft is not None and kind.name == "sale" and match.rule.role == "anchor" and "to" in draft.fields:
        # "sold two nucs to Anna. Sold two nucs to Peter": the same to another buyer
        draft = draft if note.sentence[draft.matches[-1].start] == note.sentence[match.start] else None
    if draft is None:
        draft = Draft(kind, turn=context.turn)
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
    earlier = draft.matches[:-1]
    if context.on is not None and (match.sets or not any(m.sets for m in earlier)):
        draft.on, draft.on_unsure = context.on, context.on_unsure
    elif context.on is None and match.sets and earlier and all(_says_nothing(note, m, match) for m in earlier):
        draft.on = None  # "boards went on yesterday, hardly a bee up there. Hive 20, heavy"
    draft.future = draft.future or context.future
