"""Talk that only sounds like the trade: "banana split for dessert", "the comic strips were funny".

An entry that names no place and no round must stand on words that only the trade says, and more of them than there are
words that nothing knows; else it stays a note.
"""

from __future__ import annotations

from gloveside.extract.annotate import Note
from gloveside.extract.assemble import Draft


def is_talk(note: Note, draft: Draft) -> bool:
    """Whether the draft rests on everyday words in talk about something else."""
    if draft.key or draft.places or draft.fields.get("round") is not None or draft.fields.get("places"):
        return False
    tokens = {at for match in draft.matches for at in match.tokens}
    trade = len(tokens & note.trade)
    if not trade:
        return True
    sentences = {note.sentence[at] for at in tokens}
    unknown = sum(
        note.lattice.unknown[at] and at not in tokens
        for at in range(len(note.lower))
        if note.sentence[at] in sentences
    )
    if draft.kind.place is not None and draft.kind.place_need == "must":
        return unknown >= trade
    return unknown >= 2 and unknown >= trade
