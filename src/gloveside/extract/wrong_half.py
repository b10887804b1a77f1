"""The wrong place named beside the right one where a place is put right: "no wait, that was nuc 8 not 7"."""

from __future__ import annotations

from gloveside.extract.note import STOPS, Note

POINTING = ("that was", "it was", "that's", "that 's", "it's", "it 's", "this was", "this is")


def dropped(note: Note) -> str | None:
    """The text without the wrong place behind the right one; None where there is none."""
    for at in range(2, len(note.lower) - 1):
        if note.lower[at] != "not":
            continue
        left = at - 1 if note.lower[at - 1] == "," else at
        right = next((p for p in note.places if p.end == left and p.sort in ("hive", "nuc")), None)
        if right is None or not " ".join(note.lower[max(0, right.start - 2) : right.start]).endswith(POINTING):
            continue
        said = {
            q.split(" ")[-1] for p in note.places if p.end <= right.start and p.sort == right.sort for q in p.places
        }
        number = note.numbers.get(at + 1)
        place = next((p for p in note.places if p.start == at + 1), None)
        if place is not None and len(place.places) == 1 and place.places[0].split(" ")[-1] in said:
            end = place.end
        elif place is None and number is not None and str(number.value) in said and not _counts(note, number.end):
            end = number.end
        else:
            continue
        rest = note.text(end, len(note.lower))
        stop = "" if rest[:1] in (*STOPS, ",", "") else "."
        return f"{note.text(0, left)}{stop} {rest}".strip()
    return None


def _counts(note: Note, at: int) -> bool:
    """Whether a number before a token counts things: "not 7 frames"."""
    return at < len(note.lower) and "counted" in note.lattice.edges[at]
