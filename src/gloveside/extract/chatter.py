"""Talk that only sounds like the trade: "banana split for dessert", "the comic strips were funny".

An entry that names no place and no round must stand on words that only the trade says, and more of them than there are
words that nothing knows; else it stays a note.
"""

from __future__ import annotations

from gloveside.extract.assemble import Draft
from gloveside.extract.note import Note


def is_talk(note: Note, draft: Draft, alone: bool) -> bool:
    """Whether the draft rests on everyday words in talk about something else. alone: the note gave no other entry."""
    if "temperature_c" in draft.fields:
        return False
    if draft.kind.name == "graft" and any("larva" in note.lattice.edges[at] for m in draft.matches for at in m.tokens):
        return False  # grafted larvae are of the trade, whatever is said around them
    weather = draft.kind.name == "weather"
    if weather and not alone:
        # "bit of a breeze, never mind, hive 20 ...": a remark in passing is no weather report
        return True
    if (
        draft.key
        or (draft.places and not weather)
        or draft.fields.get("round") is not None
        or draft.fields.get("places")
    ):
        return False
    tokens = {at for match in draft.matches for at in match.tokens}
    trade = len(tokens & note.trade)
    if not trade:
        return True
    sentences = {note.sentence[at] for at in tokens}
    last = len(note.lower)
    if any(isinstance(value, int) and not isinstance(value, bool) for value in draft.fields.values()):
        # a remark after a count is another matter: "made 18 splits, and there's not a floorboard left"
        last = next((at for at in range(max(tokens), last) if note.clause[at] != note.clause[max(tokens)]), last)
    unknown = sum(note.lattice.unknown[at] and at not in tokens for at in range(last) if note.sentence[at] in sentences)
    if weather:
        return unknown > max(1, trade)
    if draft.kind.place is not None and draft.kind.place_need == "must":
        return unknown >= trade
    return unknown >= 2 and unknown >= trade
