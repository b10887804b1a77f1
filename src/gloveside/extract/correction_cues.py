"""Where a note takes back what it said: words of correction, and a "no" that answers itself."""

from __future__ import annotations

from gloveside.extract.elements import UNITS, element, elements, starts
from gloveside.extract.note import Cue, Note

# Classes of which a bare "no" takes one back ("blue no white"); before other words "no" says that there are none.
BARE_NO = frozenset(
    [
        "builder_step",
        "colour",
        "bar_name",
        "feed_type",
        "goods",
        "strength",
        "temper",
        "box_noun",
        "product",
        "queen_step",
    ]
)


def cues(note: Note) -> list[Cue]:
    """The corrections of a note, those joined that touch."""
    found = [c for c in note.cues if c.scope == "correction"]
    found = [
        c
        for c in found
        if not any(
            o is not c and o.start <= c.start and c.end <= o.end and o.end - o.start > c.end - c.start for o in found
        )
    ]
    for at, word in enumerate(note.lower):
        if word == "no" and 0 < at < len(note.lower) - 1 and _answers_itself(note, at):
            found.append(Cue(at, at + 1, "correction", "fix"))
    merged: list[Cue] = []
    for cue in sorted(found, key=lambda c: c.start):
        between = note.lower[merged[-1].end : cue.start] if merged else ["x"]
        if merged and all(w in (",", "no", "uh", "um", ".") for w in between):
            last = merged.pop()
            kind = "scratch" if "scratch" in (last.concept, cue.concept) else "fix"
            cue = Cue(last.start, cue.end, "correction", kind)
        merged.append(cue)
    return merged


def _answers_itself(note: Note, at: int) -> bool:
    """Whether a "no" takes back what was said just before: "six, no, seven", "blue no white"."""
    after = at + 1
    comma = note.lower[after] == ","
    while after < len(note.lower) and not starts(note, after) and (after in note.soft or note.lower[after] == ","):
        after += 1
    if after >= len(note.lower):
        return False
    new = element(note, after)
    if not new.typed:
        # "to the Quarry, no, the Creek"
        return at > 1 and note.lattice.unknown[after] and _named(note, at - 2 if comma else at - 1)
    if comma and note.lower[at - 1] in (",", ".", "-"):
        return True
    # without a pause only where the same sort of thing was said just before, and nothing is being counted
    last = elements(note, max(0, at - 12), at)[-5:]
    if new.shape == "D" and last and last[-1].shape == "D":
        return True  # "on Monday no Tuesday"
    if new.shape == "P":
        # "from hive twenty, no hive twenty two", "nucs one to four no nucs one to five"
        alike = [e.shape == "P" and note.lower[e.start][:3] == note.lower[new.start][:3] for e in last[-2:]]
        return bool(alike) and (alike[-1] or (alike[0] and note.lattice.unknown[last[-1].start]))
    if new.shape == "N" and new.end < len(note.lower):
        # "five splits no six splits"
        word = note.lower[new.end]
        if any(e.shape == "N" and word in note.lower[e.end : e.end + 2] for e in last):
            return True
        if any(e.shape == "N" for e in last) and UNITS & set(note.lattice.edges[new.end]):
            return True  # "two kilos of syrup no two litres"
    if new.shape == "N" and "counted" not in note.lattice.edges[min(new.end, len(note.lower) - 1)]:
        return any(e.shape in ("N", "P", "R") for e in last[-3:])
    if new.shape == "N" and last and last[-1].shape == "N" and last[-1].end >= at - 1:
        return True  # "eight, no nine frames"
    if last and last[-1].shape == "P":
        return False  # "nuc 2 queen seen, nuc 3 no queen"
    theirs = set(new.shape.split("/")) & BARE_NO
    if theirs == {"goods"}:
        last = last[-1:]  # "honey three, pollen one, no queen seen" takes back no honey
    return any(theirs & set(e.shape.split("/")) for e in last)


def _named(note: Note, at: int) -> bool:
    """Whether a token is a name that something goes to: "to the quarry"."""
    led = note.lower[at - 1] == "to" or (note.lower[at - 1] == "the" and note.lower[at - 2] == "to")
    return note.lattice.unknown[at] and led


def start_of_cue(note: Note, cue: Cue) -> int:
    """The cue with the "no" and the commas before it."""
    at = cue.start
    while at > 0 and note.lower[at - 1] in (",", "no", "oh", "uh", "um", "ah", "wait"):
        at -= 1
    return at
