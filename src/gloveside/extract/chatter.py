"""Talk that only sounds like the trade: "banana split for dessert", "the comic strips were funny".

An entry that names no place and no round must stand on words that only the trade says, and more of them than there are
words that nothing knows; else it stays a note.
"""

from __future__ import annotations

from gloveside.extract.draft import Draft
from gloveside.extract.note import Note

# Of whom the cold and the heat are said, and the words between: "I'm freezing", "my hands are getting cold".
PERSONS = {"i", "i'm", "i've", "i'd", "we're", "he", "he's", "you", "you're", "dog"}
SUBJECT_VERBS = {
    "is", "are", "was", "were", "am", "'s", "'re", "'m", "so", "getting", "feeling", "feel", "felt", "absolutely",
    "bloody",
    "all", "still", "been",
}  # fmt: skip

# So many of so many that took: nothing else is counted so.
PAIRS = frozenset(["pair_took", "pair_started"])
FLOW = frozenset(["nectar coming in", "pollen coming in"])


def is_talk(note: Note, draft: Draft, alone: bool) -> bool:
    """Whether the draft rests on everyday words in talk about something else. alone: the note gave no other entry."""
    if "temperature_c" in draft.fields:
        return False
    if set(draft.fields) == {"signs"} and not draft.key and set(draft.fields["signs"]) <= FLOW:
        return True  # "clover's out and the flow is on" is about no hive
    if set(draft.fields) == {"place", "queen_cells"} and set(draft.fields["queen_cells"]) == {"done"}:
        # "not so much as a wing left" says nothing of cells
        return not any({"qcell", "qcell_plain", "cell_word", "cell_type"} & set(edges) for edges in note.lattice.edges)
    if draft.kind.name == "sale" and set(draft.fields) == {"goods"} and not _sold(note, draft):
        return True  # "the queen of the fair was at the sale"
    if draft.kind.name == "weather" and _of_somebody(note, draft.start):
        return True
    if draft.kind.name == "graft" and any("larva" in note.lattice.edges[at] for m in draft.matches for at in m.tokens):
        return False  # grafted larvae are of the trade, whatever is said around them
    if draft.kind.name == "graft" and {"larvae", "bars", "tool"} & set(draft.fields):
        own = {at for m in draft.matches for at in m.tokens}
        verb = any("graft_verb" in note.lattice.edges[at] for at in own)
        ends = [note.numbers[at].end for at in own if at in note.numbers]
        if verb and not any(end < len(note.lower) and note.lattice.unknown[end] for end in ends):
            return False  # "grafted 40 today", but not "grafted 6 apple trees"
    if draft.kind.name == "take" and (note.trade or any(m.rule.id in PAIRS for m in draft.matches)):
        return False  # so many of so many have taken: nothing else is counted so
    weather = draft.kind.name == "weather"
    if weather and not alone:
        # "bit of a breeze, never mind, hive 20 ...": a remark in passing is no weather report
        return True
    if (
        draft.key
        or draft.turn is not None
        or (draft.places and not weather)
        or draft.fields.get("round") is not None
        or draft.fields.get("places")
    ):
        return False
    tokens = {at for match in draft.matches for at in match.tokens}
    if {"price", "to", "count"} <= set(draft.fields):
        return False  # a sale that says how many, to whom and for how much
    priced = "price" in draft.fields or any(name == "price" for name, *_ in draft.clashes)
    if priced and draft.fields.get("goods") in ("nuc", "virgin", "cell"):
        return False  # nobody else sells these
    if any(_counts_something_else(note, at) for at in tokens):
        return True
    trade = len(tokens & note.trade)
    if not trade:
        return not (weather and any(match.rule.id == "noun_tail" for match in draft.matches))
    sentences = {note.sentence[at] for at in tokens}
    last = len(note.lower)
    if any(isinstance(value, int) and not isinstance(value, bool) for value in draft.fields.values()):
        # a remark after a count is another matter: "made 18 splits, and there's not a floorboard left"
        last = next((at for at in range(max(tokens), last) if note.clause[at] != note.clause[max(tokens)]), last)
    unknown = sum(note.lattice.unknown[at] and at not in tokens for at in range(last) if note.sentence[at] in sentences)
    if weather:
        own = {note.clause[at] for at in tokens}
        unknown = sum(note.lattice.unknown[at] and at not in tokens for at in range(last) if note.clause[at] in own)
        return unknown > max(1, trade)
    if draft.kind.place is not None and draft.kind.place_need == "must":
        return unknown >= trade
    return unknown >= 2 and unknown >= trade


def _sold(note: Note, draft: Draft) -> bool:
    """Whether a verb of selling was said, not only "sale"."""
    words = {note.lower[at] for match in draft.matches for at in match.tokens}
    return not words & {"sale", "sales"}


def _of_somebody(note: Note, start: int) -> bool:
    """Whether words of the weather are said of a person: "my ears are freezing", "I'm boiling"."""
    at = start - 1
    while at >= 0 and (note.lower[at] in SUBJECT_VERBS or at in note.filler):
        at -= 1
    before = note.lower[max(0, at - 2) : at + 1]
    return bool(before) and (before[-1] in PERSONS or "my" in before)


def _counts_something_else(note: Note, at: int) -> bool:
    """Whether a number counts what nothing knows: "planted 6 tomatoes"."""
    span = note.numbers.get(at)
    if span is None or span.ordinal or span.end >= len(note.lower):
        return False
    return note.lattice.unknown[span.end] and note.lower[span.end].endswith("s")
