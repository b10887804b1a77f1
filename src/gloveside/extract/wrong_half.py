"""The wrong place named beside the right one where a place is put right: "no wait, that was nuc 8 not 7"."""

from __future__ import annotations

from gloveside.extract.note import STOPS, Note

POINTING = ("that was", "it was", "that's", "that 's", "it's", "it 's", "this was", "this is")


def dropped(note: Note) -> str | None:
    """The text with the right place in the stead of the wrong one; None where no place is put right so."""
    for at in range(2, len(note.lower) - 1):
        if note.lower[at] != "not":
            continue
        left = at - 1 if note.lower[at - 1] == "," else at
        right = next((p for p in note.places if p.end == left and p.sort in ("hive", "nuc")), None)
        if right is None or not " ".join(note.lower[max(0, right.start - 2) : right.start]).endswith(POINTING):
            continue
        number = note.numbers.get(at + 1)
        place = next((p for p in note.places if p.start == at + 1), None)
        if place is not None and len(place.places) == 1:
            name, end = place.places[0].split(" ")[-1], place.end
        elif number is not None and not _counts(note, number.end):
            name, end = str(number.value), number.end
        else:
            continue
        wrong = (f"{right.sort} {name}",)
        old = next((p for p in reversed(note.places) if p.end <= right.start and p.places == wrong), None)
        if old is None:
            continue
        head = _head(note, right.start)
        told = note.text(old.end, head).rstrip(" ,.;")
        rest = note.text(end, len(note.lower)).lstrip(" ,.;")
        return f"{note.text(0, old.start)} {note.text(right.start, right.end)} {told}. {rest}".strip()
    return None


def _head(note: Note, at: int) -> int:
    """Where the words begin that put a place right: "oh hang on, that was nuc 8"."""
    at -= 1 if note.lower[at - 1] in ("that's", "it's") else 2
    cued = {k for c in note.cues if c.scope == "correction" for k in range(c.start, c.end)}
    while at > 0 and (at - 1 in cued or note.lower[at - 1] in (",", "oh", "no", "wait", "sorry", *STOPS)):
        at -= 1
    return at


def _counts(note: Note, at: int) -> bool:
    """Whether a number before a token counts things: "not 7 frames"."""
    return at < len(note.lower) and "counted" in note.lattice.edges[at]
