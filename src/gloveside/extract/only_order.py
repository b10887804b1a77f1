"""The order that a whole note is; one that stands among records puts right the note itself, and is none."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

from gloveside.extract import assent, commands, put_right, told_before
from gloveside.extract.models import Order
from gloveside.extract.note import STOPS, Note


def order(note: Note, on: date) -> Order | None:
    """The order that the whole note is, or None. on: the local date on which it was spoken."""
    told = assent.order(note, led=True)
    if told is not None or put_right.is_news(note):
        return told
    told = commands.order(note, on) or told_before.order(note)
    told = told or put_right.order(note, on) or assent.order(note, led=False)
    return None if told is not None and _among_records(note, told) else told


def _among_records(note: Note, told: Order) -> bool:
    """Whether a sentence tells of a place that the order does not name: "no, nuc 6 was laying. Nuc 8, dead"."""
    if told.do != "change":
        return False
    named = " ".join(str(v) for v in (told.said, told.to, told.was) if v is not None).lower()
    for start, end in pairwise([-1, *(at for at, word in enumerate(note.lower) if word in STOPS), len(note.lower)]):
        heads = [p for p in note.places if p.start == start + 1 and p.sort in ("hive", "nuc") and not p.deictic]
        if not heads or heads[0].end >= end:
            continue
        if any(q in named for q in (*heads[0].places, note.text(heads[0].start, heads[0].end).lower())):
            continue  # "hive fourteen, not forty": the place that is put right
        if any(at in note.content and at not in note.soft for at in range(heads[0].end, end)):
            return True
    return False
