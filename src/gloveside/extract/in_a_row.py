"""Three or more hives or nucs named in a row without a pause: "oxalic vapour hive 44 hive 45 hive 46 2 grams".

Two in a row may belong to two facts ("queen seen hive 3 hive 4 weak"); three are a list, and get their commas.
"""

from __future__ import annotations

from gloveside.extract.note import Note

FEWEST = 3


def parted(note: Note) -> str | None:
    """The text with commas between places that follow each other with nothing between; None where none do."""
    places = [p for p in note.places if p.sort in ("hive", "nuc") and not p.deictic and not p.rivals]
    cuts: list[int] = []
    run: list[int] = []
    for index, place in enumerate(places):
        before = places[index - 1] if index else None
        if before is not None and before.end == place.start and before.sort == place.sort:
            run.append(place.start)
            continue
        cuts += run if len(run) + 1 >= FEWEST else []
        run = []
    cuts += run if len(run) + 1 >= FEWEST else []
    if not cuts:
        return None
    ends = [*cuts, len(note.lower)]
    return ", ".join(note.text(left, right) for left, right in zip([0, *cuts], ends, strict=True))
