"""A place said again by its number alone: "3 mites in 300 on 11 and 12 mites in 300 on 12, so strips went in 12".

The number is a place only where a place of that number was named in the same note, behind a word that leads to one, and
where nothing is counted by it.
"""

from __future__ import annotations

from gloveside.extract.note import STOPS, Note

LED = frozenset(("on", "in", "for", "into", "from", "off", "to"))
ENDS = frozenset((",", "and", "so", "but", "then", "too", "as", "today", "now", *STOPS))


def filled(note: Note) -> str | None:
    """The text with the noun of the place before such a number; None where none stands alone."""
    known: dict[str, str] = {}
    taken = note.of_places() | note.of_rounds() | note.of_dates()
    starts = {p.start: p for p in note.places}
    days = {d.start for d in note.dates}
    for at in range(len(note.lower)):
        place = starts.get(at)
        if place is not None and place.sort in ("hive", "nuc") and not place.deictic:
            for name in place.places:
                sort, _, number = name.partition(" ")
                # a hive and a nuc of one number are not told apart by it
                known[number] = sort if known.get(number, sort) == sort else ""
        sort = known.get(note.lower[at], "")
        if not sort or at in taken or at not in note.numbers or note.numbers[at].end != at + 1:
            continue
        over = at + 1 >= len(note.lower) or note.lower[at + 1] in ENDS or at + 1 in days
        counted = at > 1 and note.lower[at - 1] == "in" and (at - 2 in note.numbers or _mites(note, at))
        if over and note.lower[at - 1] in LED and not counted and len(known) > 1:
            return f"{note.text(0, at)} {sort} {note.text(at, len(note.lower))}"
    return None


def _mites(note: Note, at: int) -> bool:
    """Whether mites are counted in so many bees: "3 mites in 300"."""
    return note.lower[at - 2] in ("mites", "mite", "varroa")
