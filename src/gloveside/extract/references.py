"""Places that are pointed at: "here", "it", "the first one", one of two, and places taken out of a list."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from gloveside.extract import places
from gloveside.extract.lexicon import Concept
from gloveside.extract.note import Note
from gloveside.extract.places import PlaceSpan
from gloveside.extract.register import Register

EXCEPT_TWO = (["apart", "from"], ["except", "for"], ["but", "not"], ["other", "than"])
# Words before a place that is not meant with the others.
EXCEPT = {"except", "bar", "but", "excepting", "excluding", "barring", "minus"}


def one_of_two(note: Note) -> None:
    """Read "hive 16 or hive 60", "maybe hive 30, maybe hive 13" as one place in doubt."""
    out: list[PlaceSpan] = []
    for place in note.places:
        last = out[-1] if out else None
        single = last is not None and len(last.places) == len(place.places) == 1 and last.places != place.places
        pointed = place.deictic or (last is not None and last.deictic)
        if last is not None and single and not pointed and places.either(note.lower, last.end) == place.start:
            out[-1] = replace(last, end=place.end, rivals=(*last.rivals, *place.places, *place.rivals))
            continue
        out.append(place)
    note.places = out


LED = frozenset(("on", "in", "into", "to", "from", "off", "at", "of"))
# Verbs of one hive, and such as begin a clause of their own all the same: "a super on hive 9 and hive 10 got two".
SINGULAR = frozenset(
    ("was", "is", "has", "'s", "needs", "looks", "gets", "wants", "seems", "isn't", "wasn't", "hasn't")
)
EITHER = frozenset(
    ("went", "got", "gave", "had", "took", "lost", "swarmed", "died", "made", "came", "didn't", "yielded")
)


def side_by_side(note: Note) -> list[PlaceSpan]:
    """Places said side by side as one list: "nuc 5 and nuc 6"."""
    out: list[PlaceSpan] = []
    for first, second in pairwise(p for p in note.places if not p.deictic and not p.rivals):
        between = note.lower[first.end : second.start]
        # "nuc 9, nuc 10 and nuc 11", also without stops
        comma = between in ([","], []) and "and" in note.lower[second.end : second.end + 2]
        if between in ([",", "and"], ["and"]) and next_clause(note, first, second):
            continue
        if (comma or between in (["and"], [",", "and"], ["&"])) and first.sort == second.sort != "yard":
            start, places = first.start, first.places
            if out and out[-1].end == first.end:
                start, places = out[-1].start, out[-1].places
            merged = tuple(dict.fromkeys((*places, *second.places)))
            out.append(PlaceSpan(start, second.end, merged, sort=first.sort))
    return out


def next_clause(note: Note, first: PlaceSpan, second: PlaceSpan) -> bool:
    """Whether the second place begins a clause of its own: "2 supers on hive 5, and hive 6 was moved to the Quarry"."""
    if first.start == 0 or second.end >= len(note.lower) or len(second.places) > 1:
        return False
    led, verb = note.lower[first.start - 1] in LED, note.lower[second.end]
    done = any(label.endswith("_verb") for label in note.lattice.edges[first.start - 1])
    return (led and verb in SINGULAR | EITHER) or (done and verb in SINGULAR)


def here(note: Note, found: list[tuple[int, int, Concept]], register: Register) -> None:
    """Add "here", "this one" and "the cell builder" as places where they can be resolved."""
    taken = note.of_places()
    for start, end, concept in found:
        if taken & set(range(start, end)):
            continue
        if concept.name == "this_place":
            place = (register.last_place,) if register.last_place else ()
            note.places.append(PlaceSpan(start, end, place, deictic=True))
        elif concept.name == "builder_noun" and len(register.builders) == 1:
            note.places.append(PlaceSpan(start, end, tuple(register.builders), sort="builder"))


def pronouns(note: Note) -> None:
    """Read "from it", "into it" as the place last said: "hive 21 is queenright, grafted 30 larvae from it"."""
    at_start = {p.start for p in note.places}
    out: list[PlaceSpan] = []
    for at in range(1, len(note.lower)):
        bees = note.lower[at] == "them" and note.lower[at - 1] in ("from", "off")  # "took a split off them"
        if not bees and (
            note.lower[at] not in ("it", "there") or note.lower[at - 1] not in ("from", "off", "of", "into", "with")
        ):
            continue
        before = [p for p in note.places if p.end <= at and not p.deictic and p.sort in ("hive", "nuc")]
        if len(before) > 1 and note.lower[at - 1] == "with" and at - before[-1].end <= 3:
            before.pop()  # "and hive 41 went with it"
        if before and len(before[-1].places) == 1 and not before[-1].rivals and at not in at_start:
            out.append(PlaceSpan(at, at + 1, before[-1].places, sort=before[-1].sort))
    note.places = sorted([*note.places, *out], key=lambda p: (p.start, -p.end))


PAIR = (
    ("the", "pair", "of", "them"),
    ("the", "two", "of", "them"),
    ("them", "both"),
    ("both", "of", "them"),
    ("both",),
)


def pair(note: Note) -> None:
    """Read "both", "the pair of them" as the two places last said: "nuc 1, nuc 2, fed the pair of them"."""
    out: list[PlaceSpan] = []
    taken = note.of_places()
    for at in range(1, len(note.lower)):
        words = next((w for w in PAIR if tuple(note.lower[at : at + len(w)]) == w), None)
        before = [p for p in note.places if p.end <= at and p.sort in ("hive", "nuc") and not p.deictic]
        if words is None or not before or at in taken or any(p.start <= at < p.end for p in out):
            continue
        led = note.lower[at - 1] in (
            "in",
            "fed",
            "gave",
            "for",
            "to",
            "into",
            "on",
            "from",
            "treated",
            "off",
            "of",
            "with",
        )
        listed = before[-1].places if len(before[-1].places) > 1 else tuple(p for b in before[-2:] for p in b.places)
        if led and len(set(listed)) == 2 and before[-1].end < at - 1:
            out.append(PlaceSpan(at, at + len(words), tuple(dict.fromkeys(listed)), sort=before[-1].sort))
    note.places = sorted([*note.places, *out], key=lambda p: (p.start, -p.end))


def in_order(note: Note) -> None:
    """Read "first one", "the other" as a place of the list before: "washed hives 10 and 11, first one 3 in 300"."""
    out: list[PlaceSpan] = []
    for at in range(1, len(note.lower)):
        word = note.lower[at]
        before = [p for p in note.places if p.end <= at and p.sort in ("hive", "nuc")]
        if not before:
            continue
        listed = before[-1].places if len(before[-1].places) > 1 else tuple(p for b in before[-2:] for p in b.places)
        after = note.lower[at + 1] if at + 1 < len(note.lower) else ""
        pointed = note.lower[at - 1] in ("the", ",", "and")
        rank = {"first": 0, "former": 0, "second": 1, "third": 2, "fourth": 3, "latter": 1}.get(word)
        if word == "other" and len(listed) == 2 and note.lower[at - 1] == "the":
            rank = 1
        if rank is None or rank >= len(listed) or len(listed) > 4 or not pointed:
            continue
        if after not in ("one", "hive", "nuc", "was", "is", "has", "had", "got", "came", "gave"):
            continue
        end = at + 2 if after in ("one", "hive", "nuc") else at + 1
        start = at - 1 if note.lower[at - 1] == "the" else at
        if any(p.start < end and start < p.end for p in note.places):
            continue
        out.append(PlaceSpan(start, end, (listed[rank],), sort=before[-1].sort))
        for k in range(start, end):
            for label in ("ORD", "N", "N1", "bar_name"):
                note.lattice.edges[k].pop(label, None)
    note.places = sorted([*note.places, *out], key=lambda p: (p.start, -p.end))


def without_excepted(note: Note) -> None:
    """Take what is excepted out of a list: "nucs 1 to 6 laying bar nuc 4", "nucs one to nine but not five"."""
    for place in list(note.places):
        lead = note.lower[max(0, place.start - 2) : place.start]
        if not EXCEPT & set(lead[-1:]) and lead not in EXCEPT_TWO:
            continue
        for index, listed in enumerate(note.places):
            gone = set(place.places)
            if listed.end <= place.start and gone < set(listed.places):
                note.places[index] = replace(listed, places=tuple(p for p in listed.places if p not in gone))
