"""What the entries of one note say of each other: steps that hold on, halves of one, a cause, candy of a cage."""

from __future__ import annotations

from gloveside.extract.draft import Draft, plain
from gloveside.extract.note import Note
from gloveside.extract.rules import Kind

# Kinds of which one amount may be of several hives together.
SHARED = {"harvest"}


# With a queen in the sentence these speak of the candy that closes her cage.
CAGE_WORDS = frozenset(["cage", "plug", "tab", "end", "through", "eaten", "chewed", "attendants", "candy"])
# How bees are wetted, not fed: "ran her in with a squirt of sugar water".
SPRAYED = frozenset(
    ["squirt", "squirted", "spritz", "spritzed", "spray", "sprayed", "mist", "misted", "dab", "smear", "splash"]
)
# Of a queen's cage alone, whoever is spoken of.
CAGE = frozenset(["cage", "cages", "plug", "tab"])
# What a queen is called by one who has killed her for her temper: "grumpy cow of a thing".
NAMES = frozenset(
    ["cow", "bitch", "piece", "thing", "madam", "witch", "bugger", "old", "so", "creature", "mare", "sow"]
)


def method(made: list[Draft]) -> None:
    """How mites were counted holds for the hives that follow: "washes today, hive 1, 3 in 300, hive 2, 6 in 300"."""
    said = {d.fields["method"] for d in made if d.kind.name == "mites" and "method" in d.fields}
    method = said.pop() if len(said) == 1 else None  # "3 in 300 from hive 12, 18 in 300 from hive 13, same wash"
    for draft in (d for d in made if d.kind.name == "mites"):
        method = draft.fields.get("method", method)
        if method is not None:
            draft.fields.setdefault("method", method)


def same_feed(note: Note, made: list[Draft]) -> None:
    """What was fed holds for the amounts that follow: "hive 8 got two litres of syrup, 9 got one litre"."""
    last: Draft | None = None
    for draft in (d for d in made if d.kind.name == "feed"):
        near = last is not None and 0 <= note.sentence[draft.start] - note.sentence[last.start] <= 2
        if last is not None and near and last.fields.get("unit") == draft.fields.get("unit"):
            draft.fields.setdefault("feed", last.fields["feed"])
        if "feed" in draft.fields and "amount" in draft.fields:
            last = draft


def same_step(made: list[Draft]) -> None:
    """What was done to a queen holds for those that follow: "caught the queen in nuc 1 and the queen in nuc 2"."""
    step = None
    for draft in (d for d in made if d.kind.name == "queen"):
        again = draft.fields.pop("again", None)
        if again and "step" not in draft.fields and step is not None:
            draft.fields["step"] = step
        step = draft.fields.get("step", step)


def same_box(made: list[Draft]) -> None:
    """A box said once holds for the next place: "a super on hive 6 and took one off hive 8"."""
    box = None
    for draft in (d for d in made if d.kind.name == "box"):
        box = draft.fields.get("box", box)
        if box is not None:
            draft.fields.setdefault("box", box)


BACK = (["it", "back"], ["them", "back"], ["her", "back"], ["that", "back"])


def put_back(note: Note, made: list[Draft]) -> list[Draft]:
    """A box that was lifted to look and put back is neither off nor on: "took the super off hive 3 and put it back"."""
    out = []
    for draft in made:
        end = max(m.end for m in draft.matches)
        ahead = [k for k in range(end, len(note.lower) - 1) if note.sentence[k] == note.sentence[draft.start]]
        if draft.kind.name == "box" and _off(draft) and any(note.lower[k : k + 2] in BACK for k in ahead):
            continue
        out.append(draft)
    return out


def left_single(made: list[Draft]) -> list[Draft]:
    """That a colony is down to one box after its supers came off takes no brood box off: "they're down to a single"."""
    supers = {d.key for d in made if d.kind.name == "box" and d.fields.get("box") == "super" and _off(d)}
    out = []
    for draft in made:
        only_state = all(m.rule.id in ("down_to_single", "box_to_single") for m in draft.matches)
        if draft.kind.name == "box" and _off(draft) and only_state and draft.key in supers:
            first = next(d for d in made if d.key == draft.key and d.fields.get("box") == "super" and _off(d))
            first.matches.extend(draft.matches)
            continue
        out.append(draft)
    return out


def _off(draft: Draft) -> bool:
    return draft.fields.get("step") == "off"


def same_goods(note: Note, made: list[Draft]) -> None:
    """What was sold may be said before: "8 virgins out of the incubator, 3 of those were sold to Alan"."""
    for draft in (d for d in made if d.kind.name == "sale" and "goods" not in d.fields):
        inside = note.of_places()
        said = [
            value
            for at in range(draft.start)
            for _, value in note.lattice.edges[at].get("goods", ())
            if value != "honey" and at not in inside
        ]
        if said and ("count" in draft.fields or "to" in draft.fields):
            draft.fields["goods"] = said[-1]


def whole_incubator(made: list[Draft]) -> list[Draft]:
    """Beside a step of the incubator what has no step is talk round it: "the cells were a day ahead"."""
    steps = any(d.kind.name == "incubator" and "step" in d.fields for d in made)
    return [d for d in made if d.kind.name != "incubator" or "step" in d.fields or not steps]


def sealed_bars(note: Note, made: list[Draft]) -> list[Draft]:
    """Bars of cells that are counted sealed were not grafted: "2 bars with 13 on each, every one of them sealed"."""
    cells = [d for d in made if d.kind.name == "cells" and "state" in d.fields]
    words = {"graft_verb", "graft_act", "larva", "mother_word", "tool_noun"}
    told = any(words & set(edges) for edges in note.lattice.edges)
    out = []
    for draft in made:
        bare = draft.kind.name == "graft" and not told and not {"place", "mother"} & set(draft.fields)
        same = [c for c in cells if note.sentence[c.start] == note.sentence[draft.start]]
        if bare and same:
            same[0].matches.extend(draft.matches)
            continue
        out.append(draft)
    return out


def planted(made: list[Draft], kinds: dict[str, Kind]) -> list[Draft]:
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
        elif same.fields.get("count", group[0].fields.get("count")) != group[0].fields.get("count"):
            # "20 ripe cells, planted 8 in nucs 1 to 8"
            group[0].fields.pop("place", None)
            group[0].key = ()
            made = [d for d in made if d is group[0] or d not in group]
            continue
        else:
            same.fields.setdefault("count", group[0].fields.get("count"))
            same.fields.setdefault("places", places)
            same.matches.extend(m for m in group[0].matches if m not in same.matches)
        made = [d for d in made if d is same or d not in group]
    return made


def laying_seen(made: list[Draft]) -> list[Draft]:
    """A queen of a mating nuc that was seen is told by what was found of her: "saw her running about, a virgin"."""
    out = list(made)
    for draft in made:
        if (
            draft.kind.name != "inspection"
            or draft.fields.get("queen") != "seen"
            or set(draft.fields) > {"place", "queen"}
        ):
            continue
        if not str(draft.fields.get("place", "")).startswith("nuc "):
            continue
        mating = next((d for d in made if d.kind.name == "mating" and d.key == draft.key), None)
        if mating is not None and mating.fields.get("result") in ("laying", "virgin seen"):
            mating.matches.extend(draft.matches)
            out.remove(draft)
    return out


def planted_the_lot(made: list[Draft]) -> None:
    """Cells of which the lot was planted are as many as were just counted: "14 came out, the lot went into 1 to 14"."""
    counted: Draft | None = None
    for draft in made:
        places = draft.fields.get("places") or []
        if draft.kind.name in ("incubator", "cells") and draft.fields.get("what") != "virgins":
            counted = draft
        lot = draft.kind.name == "plant" and draft.fields.get("whole") and counted is not None
        if lot and counted is not None and counted.fields.get("count") == len(places):
            draft.fields.setdefault("count", len(places))


def united(made: list[Draft]) -> list[Draft]:
    """Two places of one list that were united are one entry: "put hives 30 and 31 together"."""
    halves = [d for d in made if d.kind.name == "unite" and "into" not in d.fields]
    if len(halves) != 2 or halves[0].matches[0] is not halves[1].matches[0]:
        return made
    halves[0].fields["into"] = halves[1].fields["from"]
    return [d for d in made if d is not halves[1]]


def cause(made: list[Draft]) -> None:
    """A lost colony's queenlessness is why it was lost: "lost hive 12, it had gone queenless"."""
    for draft in [d for d in made if d.kind.name == "loss" and "cause" not in d.fields]:
        for other in list(made):
            only_queen = other.kind.name == "inspection" and set(other.fields) == {"place", "queen"}
            lost_by = other.fields.get("queen") in ("queenless", "laying workers", "drone layer")
            if only_queen and lost_by and other.key == draft.key:
                draft.fields["cause"] = other.fields["queen"]
                draft.matches.extend(other.matches)
                made.remove(other)


def queenless_nuc(made: list[Draft]) -> list[Draft]:
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


def cage_food(note: Note, made: list[Draft]) -> list[Draft]:
    """Candy that closes a queen's cage is no feed: "ran the new queen into hive 12 through the candy"."""
    out = list(made)
    for draft in made:
        if draft.kind.name != "feed" or not set(draft.fields) <= {"place", "feed"}:
            continue
        sentences = {note.sentence[m.start] for m in draft.matches}
        within = [at for at in range(len(note.lower)) if note.sentence[at] in sentences]
        queens = any("queen_noun" in note.lattice.edges[at] or note.lower[at] in ("she", "her") for at in within)
        said = {note.lower[at] for at in within}
        stepped = any(d.kind.name == "queen" and sentences & {note.sentence[m.start] for m in d.matches} for d in made)
        caged = (queens and (stepped or not CAGE_WORDS.isdisjoint(said))) or not CAGE.isdisjoint(said)
        giving = {"feed_verb"} if stepped else {"feed_verb", "give_verb"}
        given = any(giving & set(note.lattice.edges[at]) for at in within) or not {"gave", "give", "given"}.isdisjoint(
            said
        )
        sprayed = not SPRAYED.isdisjoint(said) and str(draft.fields.get("feed")).startswith("syrup")
        if not sprayed and (draft.fields.get("feed") != "fondant" or given or not caged):
            continue
        queen = next((d for d in made if d.kind.name == "queen"), None)
        if queen is not None:
            queen.matches.extend(draft.matches)
        out.remove(draft)
    return out


def said_in_passing(note: Note, draft: Draft, made: list[Draft]) -> bool:
    """Whether a strength or temper only colours another entry of the sentence: "builder stocked, heaving"."""
    if draft.kind.name != "inspection" or not set(draft.fields) <= {"place", "strength", "temper"}:
        return False
    if set(draft.fields) <= {"place", "temper"} and _of_the_queen(note, draft, made):
        return True
    sentences = {note.sentence[m.start] for m in draft.matches}
    kinds = {"builder"} if "temper" not in draft.fields else {"loss"} if "strength" not in draft.fields else set()
    return any(
        o.kind.name in kinds and o.key == draft.key and sentences & {note.sentence[m.start] for m in o.matches}
        for o in made
    )


def _of_the_queen(note: Note, draft: Draft, made: list[Draft]) -> bool:
    """Whether a temper is said of a queen that was killed for it: "squished the queen in hive 33, grumpy cow"."""
    for other in (d for d in made if d.kind.name == "queen" and d.fields.get("step") == "killed"):
        end = max(m.end for m in other.matches)
        last = max(m.end for m in draft.matches)
        if other.key == draft.key and end <= draft.start and note.sentence[end - 1] == note.sentence[draft.start]:
            return not NAMES.isdisjoint(note.lower[last : last + 2])
    return False


def queen_lost(note: Note, draft: Draft) -> bool:
    """Whether what reads as a lost colony is said of its queen alone: "hive 50's queen is a goner"."""
    if draft.kind.name != "loss" or len(draft.matches) > 1:
        return False
    inside = {k for p in note.places for k in range(p.start, p.end)}
    at = draft.start - 1
    while at >= 0 and (at in note.soft or at in inside):
        at -= 1
    if at >= 0 and note.lower[at + 1 : draft.start] and note.lower[at + 1] in ("she", "she's", "her"):
        return True  # "she was done for"
    return at >= 0 and any(
        stop == at + 1 for k in range(max(0, at - 2), at + 1) for stop, _ in note.lattice.edges[k].get("queen_noun", ())
    )


def shared(note: Note, made: list[Draft]) -> None:
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
            group[0].clashes.append(("amount", plain("", amount), round(amount / len(group), 2)))
