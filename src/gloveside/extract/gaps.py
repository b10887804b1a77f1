"""What is left unsaid the second time: "two supers to hive nine and one to hive ten" says supers once.

The rules read each half by itself, so the noun is put back in: "two supers to hive nine and one super to hive ten".
"""

from __future__ import annotations

from gloveside.extract.note import STOPS, Note

HEADS = {"and", ",", "plus", "then", "also", "with"}
PREPOSITIONS = {"to", "on", "onto", "into", "in", "from", "off", "for", "at", "out"}
ANOTHER = {"another", "one"}
SUMS = (["all", "told"], ["in", "all"], ["in", "total"], ["all", "up"])
# Words of a counted phrase between its number and its preposition: "two full supers of honey off".
LONGEST_NOUN = 5


def _counts(note: Note, at: int) -> int | None:
    """Where a count that starts at a token ends; None when none does."""
    span = note.numbers.get(at)
    if span is not None:
        return None if span.ordinal else span.end
    return at + 1 if note.lower[at] in ANOTHER else None


def _noun(note: Note, at: int, end: int) -> tuple[int, int] | None:
    """The counted phrase after the last number before `end`, up to its preposition and place."""
    places = {p.start for p in note.places}
    inside = {k for p in note.places for k in range(p.start, p.end)}
    found = None
    for start in range(at, end):
        first = note.numbers[start].end if start in note.numbers else start + 1
        article = start not in note.numbers and note.lower[start] in ("a", "an", "one")
        if start in inside or not (article or (start in note.numbers and not note.numbers[start].ordinal)):
            continue
        stop = first
        while stop < end and stop - first <= LONGEST_NOUN and note.lower[stop] not in PREPOSITIONS:
            if note.lower[stop] == "," or note.lower[stop : stop + 2] in SUMS or note.lower[stop] == "altogether":
                break  # "fed 6 litres all told, 3 to hive 1"
            stop += 1
        # "two supers went on hive 4": the verb is said with the noun
        phrase = range(first, stop)
        step = stop
        while step < end and note.lower[step] in (*PREPOSITIONS, "of", "the", "top"):
            step += 1
        counted = any("counted" in note.lattice.edges[k] for k in phrase)
        if counted and (step in places or any(note.lower[k] in PREPOSITIONS for k in range(stop, step))):
            found = (first, stop)
    return found


def filled(note: Note) -> str | None:
    """The text with one thing left unsaid put back in; None when nothing is."""
    places = {p.start for p in note.places}
    for at in range(1, len(note.lower) - 2):
        if note.lower[at - 1] not in HEADS:
            continue
        end = _counts(note, at)
        if end is None or end >= len(note.lower) - 1 or note.lower[end] not in PREPOSITIONS:
            continue
        step = end
        while step < len(note.lower) and note.lower[step] in (*PREPOSITIONS, "of", "the", "top"):
            step += 1
        bare = step in note.numbers and (
            step + 1 >= len(note.lower)
            or note.lower[note.numbers[step].end : note.numbers[step].end + 1] in ([], ["."], [","], ["and"])
        )
        if step not in places and not bare:
            continue
        start = at - 1
        while start > 0 and note.lower[start - 1] not in STOPS:
            start -= 1
        noun = _noun(note, start, at - 1)
        if noun is None or (bare and step not in places and not any(start <= p < at for p in places)):
            continue
        number = note.text(at, end)
        words = note.text(*noun)
        if step not in places and any("mite_word" in note.lattice.edges[k] for k in range(*noun)):
            continue  # "not one mite in the wash from hive 33, 0 in 300"
        place = ""
        if step not in places:
            sort = [p.sort for p in note.places if p.start < at and p.sort in ("hive", "nuc")]
            place = f"{sort[-1]} " if sort else ""
            if not place:
                continue
        parts = (note.text(0, at), number, words, note.text(end, step), place + note.text(step, len(note.lower)))
        return " ".join(p for p in parts if p)
    return None
