"""What was said of one place and holds for the next: "hive 9 queenright, hive 10 ditto", "same again on 14"."""

from __future__ import annotations

from gloveside.extract.note import PREPOSITIONS, STOPS, Note
from gloveside.extract.places import PlaceSpan

HEADS = frozenset(["and", ",", "plus", "then", "also", "with", "but", "so"])
PAUSES = frozenset([",", ":", "-", "."])
# Said after the place.
AFTER = tuple(
    words.split()
    for words in (
        "the same again", "is the same", "was the same", "are the same", "were the same", "much the same",
        "just the same",
        "exactly the same", "is exactly the same", "is much the same", "same again", "same story", "same thing",
        "is no different", "was no different", "no different", "the same", "same", "ditto", "likewise",
        "as well", "too", "also",
    )
)  # fmt: skip
# Said before it.
AHEAD = tuple(
    words.split()
    for words in (
        "the same again", "same again", "exactly the same", "the same goes", "same goes", "the same story",
        "same story",
        "same thing", "the same", "same", "ditto", "likewise", "so did", "so has", "so is", "so was",
        "so does", "so had", "as did",
        "nor did", "neither did", "neither has", "nor has",
    )
)  # fmt: skip
LINKS = frozenset(["on", "for", "in", "at", "with", "to", "again", "goes"])


def again(note: Note) -> str | None:
    """The text with what was said of one place put for "the same" of the next; None where nothing is."""
    for place in note.places:
        before = [p for p in note.places if p.end <= place.start and p.sort == place.sort and not p.deictic]
        if place.deictic or place.sort not in ("hive", "nuc") or not before:
            continue
        start, end = _clause(note, place, before[-1])
        if start == end:
            continue
        said = _said(note, before[-1], start)
        if said is None:
            continue
        head, tail = said
        name = note.text(place.start, place.end)
        parts = (note.text(0, start), ".", head, name, tail, note.text(end, len(note.lower)))
        return " ".join(p for p in parts if p)
    return None


def _clause(note: Note, place: PlaceSpan, before: PlaceSpan) -> tuple[int, int]:
    """The clause that says no more of a place than that the same holds; empty where it says more."""
    length = len(note.lower)
    said = place.end
    if note.lower[said : said + 1] and note.lower[said] in PAUSES:
        said += 1  # "hive 10, same", "hive 43: ditto"
    end = next((said + len(w) for w in AFTER if note.lower[said : said + len(w)] == w), None)
    start = place.start
    while start > before.end and note.lower[start - 1] in HEADS:
        start -= 1
    opens = start == before.end or note.lower[start - 1] in STOPS or start < place.start
    # talk without stops: "nuc 9 laying nuc 10 the same"
    opens = opens or (start - 1 in note.content and note.lower[start - 1] not in PREPOSITIONS)
    if end is not None and opens and _ends(note, end):
        return start, end
    left = place.start
    while left > before.end and note.lower[left - 1] in LINKS:
        left -= 1
    lead = next((left - len(w) for w in AHEAD if note.lower[max(0, left - len(w)) : left] == w), None)
    if lead is None or lead < before.end or not _ends(note, place.end):
        return length, length
    while lead > before.end and note.lower[lead - 1] in HEADS:
        lead -= 1
    return lead, place.end


def _ends(note: Note, at: int) -> bool:
    return at >= len(note.lower) or note.lower[at] in (*STOPS, ",", "and", "but", "then")


def _said(note: Note, before: PlaceSpan, start: int) -> tuple[str, str] | None:
    """What was said of the place before, as what stands ahead of the place's name and what follows it."""
    stop = start
    while stop > before.end and note.lower[stop - 1] in (*HEADS, *STOPS):
        stop -= 1
    tail = _telling(note, before.end, stop)
    if tail:
        return "", tail
    first = before.start
    while first > 0 and note.lower[first - 1] not in STOPS:
        first -= 1
    head = note.text(first, before.start)
    return (head, "") if head and any(k in note.content for k in range(first, before.start)) else None


def _telling(note: Note, start: int, end: int) -> str:
    """The sentences of a stretch that say something, without asides."""
    out: list[str] = []
    while start < end:
        stop = next((k for k in range(start, end) if note.lower[k] in STOPS), end)
        said = [k for k in range(start, stop) if note.lower[k][:1].isalnum()]
        known = [k for k in said if (k in note.content and k not in note.soft) or k in note.numbers]
        unknown = [k for k in said if note.lattice.unknown[k]]
        if known and len(unknown) <= len(known) + 1:
            out.append(note.text(start, stop).strip(" ,"))
        start = stop + 1
    return ". ".join(s for s in out if s)
