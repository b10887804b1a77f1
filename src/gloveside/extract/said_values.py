"""The values that a note says, with their sorts: days, places, rounds, numbers and words of a field."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from gloveside.extract import asked_places
from gloveside.extract.everyday import is_everyday
from gloveside.extract.note import Note

_LABELS = {
    "colour": ("colour", "colour"), "feed": ("feed_type", "feed"), "strength": ("strength", "strength"),
    "temper": ("temper", "temper"), "queen": ("ask_queen", "queen"),
}  # fmt: skip
_QUEENS = {
    "queenright",
    "queenless",
    "drone layer",
    "laying workers",
    "virgin",
    "seen",
    "not seen",
    "laying",
    "not laying",
}
_COUNTED: tuple[tuple[tuple[str, ...], str], ...] = (
    (("mite_word", "mite_way", "=mites", "=wash"), "mites"),
    (("=brood",), "brood_frames"),
    (("=larvae", "=grubs"), "larvae"),
    (("take_noun", "=took", "=taken", "=started", "=accepted", "=take"), "taken"),
    (("sell_verb", "sold_said", "=nucs", "=queens", "=virgins", "=splits", "=sold"), "count"),
    (("=litres", "=litre", "=kilos", "=kilo", "=grams", "=ml", "feed_type", "=syrup"), "amount"),
    (("=bees", "=seams"), "bee_frames"),
    (("=honey", "=stores"), "honey_frames"),
    (("graft_verb", "graft_noun"), "larvae"),
    (("=cells", "=ripe", "=capped", "=supers", "=boxes"), "count"),
    (("=dollars", "=bucks", "=price"), "price"),
)
"""What a number counts, by the words of its note; the first that is said decides, those right after it before all."""
_MOST_FRAMES = 40
_OF_MOVES = {"move_verb", "moved_word", "=taken", "=moved", "=shifted", "=took", "=went"}
_OF_MOTHERS = {"mother_word", "=mother", "=breeder", "=off", "=from", "=larvae"}


@dataclass(frozen=True, slots=True)
class Value:
    """A value said in a note: its tokens, its sort, and whether "not" stands before it."""

    start: int
    end: int
    sort: str
    value: Any
    denied: bool


def values(note: Note) -> list[Value]:
    """All values of the note, in order."""
    found: list[Value] = []
    named = note.of_rounds() | note.of_places() | note.of_dates()
    for span in note.dates:
        day = span.past
        if day is not None and not span.length and not span.rough:
            found.append(Value(span.start, span.end, "date", day, _denied(note, span.start)))
    for place in note.places:
        if place.places and len(place.places) == 1:
            found.append(Value(place.start, place.end, "place", place.places[0], _denied(note, place.start)))
    for number in note.numbers.values():
        if number.start not in named and not number.ordinal:
            found.append(Value(number.start, number.end, "number", number.value, _denied(note, number.start)))
    for sort, (label, _) in _LABELS.items():
        for at, edges in enumerate(note.lattice.edges):
            for stop, value in edges.get(label, ())[:1]:
                heard_red = note.lower[at] == "read"  # "amend that to read hive 22"
                if (sort != "queen" or value in _QUEENS) and not heard_red:
                    found.append(Value(at, stop, sort, value, _denied(note, at)))
    found += _yards(note)
    for left, end, value in note.rounds:
        found.append(Value(left, end, "round", int(value), _denied(note, left)))
    for at, word in enumerate(note.lower):
        if word == "eggs":
            without = bool({"no", "not", "n't", "without", "any"} & set(note.lower[max(0, at - 3) : at]))
            found.append(Value(at, at + 1, "eggs", not without, denied=False))
    return sorted(found, key=lambda v: v.start)


def _yards(note: Note) -> list[Value]:
    """Yards that no register knows, where something was moved: "taken to Creek, they went to the Quarry"."""
    if not any(_OF_MOVES & set(edges) for edges in note.lattice.edges):
        return []
    named = note.of_places()
    return [
        Value(at, at + 1, "place", f"yard {word.capitalize()}", _denied(note, at))
        for at, word in enumerate(note.lower)
        if at not in named
        and "W" in note.lattice.edges[at]
        and word not in asked_places.NO_YARDS
        and (note.lower[at - 1 : at] == ["to"] or note.lower[max(0, at - 2) : at] in (["to", "the"], ["not", "the"]))
        and not is_everyday(word)
    ]


def _denied(note: Note, at: int) -> bool:
    """Whether "not" stands before a value: "the 20th, not the 22nd", "not on Wednesday"."""
    lead = [
        w for w in note.lower[max(0, at - 4) : at] if w not in ("on", "the", "at", "in", "from", "off", "hive", "with")
    ]
    return lead[-1:] == ["not"] or lead[-2:] == ["instead", "of"] or lead[-2:] == ["rather", "than"]


def counted(note: Note, after: int, *, far: bool = True) -> str:
    """The field of a number of an older note: by the words after it, else (far) by all; `figure` where none tells."""
    for at in (*range(after, min(after + 4, len(note.lower))), *([None] if far else [])):
        labels = set().union(*(set(e) for e in note.lattice.edges)) if at is None else set(note.lattice.edges[at])
        if at == after and "=bees" in labels and at > 0 and _many(note.lower[at - 1]):
            return "bees"
        for words, field in _COUNTED:
            if labels & set(words):
                return field
    return "figure"


def _many(word: str) -> bool:
    """Whether a number counts single bees, as in a wash, rather than frames of them."""
    return word.isdigit() and int(word) > _MOST_FRAMES


def place_field(note: Note, right: Value) -> str:
    """The field of a place of an older note: where something went, the mother of larvae, or the place itself."""
    labels = set().union(*(set(e) for e in note.lattice.edges))
    if str(right.value).startswith("yard ") and labels & _OF_MOVES:
        return "to"
    grafted = labels & {"=larvae", "=grafted", "=graft", "=grafts", "=mother", "=breeder"}
    return "mother" if grafted and labels & _OF_MOTHERS else "place"
