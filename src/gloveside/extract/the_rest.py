"""What is left of a list once some of it were named: "nucs 1 to 6, 2 and 4 not laying, the rest are"."""

from __future__ import annotations

from gloveside.extract.note import Note
from gloveside.extract.places import PlaceSpan

PHRASES = tuple(
    tuple(words.split())
    for words in (
        "all the rest of them", "the rest of them", "all of the rest", "all the rest", "the rest",
        "all of the others", "all the others", "all the other ones", "the other ones", "the others", "everything else",
        "every other one", "all the other nucs", "the other nucs", "the other hives",
    )
)  # fmt: skip
# A list of fewer is told place by place.
FEWEST = 3


def others(note: Note) -> None:
    """Read "the rest", "the other two" as the places of the last list that were not named again since."""
    out: list[PlaceSpan] = []
    for at in range(1, len(note.lower)):
        end = _phrase(note, at)
        if end == at or any(p.start < end and at < p.end for p in [*note.places, *out]):
            continue
        lists = [p for p in note.places if p.end <= at and len(p.places) >= FEWEST and not p.rivals]
        if not lists:
            continue
        listed = lists[-1]
        note.places = sorted([*note.places, *_numbers(note, listed, at)], key=lambda p: (p.start, -p.end))
        named = [p for p in note.places if listed.end <= p.start and p.end <= at and not p.deictic]
        gone = {name for p in named for name in p.places}
        left = tuple(name for name in listed.places if name not in gone)
        counted = note.numbers.get(end - 1) if note.lower[at : at + 2] == ["the", "other"] else None
        if not gone or not gone < set(listed.places) or (counted is not None and counted.value != len(left)):
            continue
        out.append(PlaceSpan(at, end, left, sort=listed.sort))
        for k in range(at, end):
            for label in ("N", "N1", "ORD"):
                note.lattice.edges[k].pop(label, None)
    note.places = sorted([*note.places, *out], key=lambda p: (p.start, -p.end))


def _numbers(note: Note, listed: PlaceSpan, end: int) -> list[PlaceSpan]:
    """Bare numbers behind a list that name some of it: "of nucs 1 to 4, 1 and 3 are laying"."""
    of_list = {int(n.split(" ")[1]) for n in listed.places if n.split(" ")[1].isdigit()}
    taken = note.of_places() | note.of_dates()
    out: list[PlaceSpan] = []
    for at in range(listed.end, end):
        span = note.numbers.get(at)
        if span is None or span.ordinal or span.value not in of_list or at in taken or span.end >= end:
            continue
        if "counted" in note.lattice.edges[span.end] or note.lower[at - 1] == "other":
            continue
        name = f"{listed.sort} {int(span.value)}"
        if out and all(w in (",", "and", "&") for w in note.lower[out[-1].end : at]):
            out[-1] = PlaceSpan(out[-1].start, span.end, (*out[-1].places, name), sort=listed.sort)
        else:
            out.append(PlaceSpan(at, span.end, (name,), sort=listed.sort))
    return out


def _phrase(note: Note, at: int) -> int:
    """Where such words end that begin at a token; the token itself for none."""
    words = next((w for w in PHRASES if tuple(note.lower[at : at + len(w)]) == w), None)
    if words is not None:
        return at + len(words)
    counted = note.numbers.get(at + 2) if note.lower[at : at + 2] == ["the", "other"] else None
    return counted.end if counted is not None and counted.value > 1 and not counted.ordinal else at
