"""A breath between two places of a walk: "calm. Hang on, hive 13, no eggs" goes on to hive 13.

After "hang on" a place may also put right the one that was said: so where nothing was told of that one ("hive 12, hang
on, hive 13, four frames") and where the words say it ("hang on, that was hive 13"). Where something was told of the
one before and something is told of the next, the walk goes on, and which hive the first words meant is asked.
"""

from __future__ import annotations

from itertools import pairwise

from gloveside.extract.draft import Draft
from gloveside.extract.note import STOPS, Cue, Note
from gloveside.extract.places import PlaceSpan

# The stop that is put after a breath; nobody types it there.
MARK = ";"
BREATHS = frozenset(["hang on", "hold on", "wait", "wait on", "hang on a minute", "hang on a sec", "hold on a minute"])
_FILL = frozenset([",", "um", "er", "uh", "right", "okay", "ok", "so", "now", "oh"])


def _breaths(note: Note) -> list[tuple[Cue, PlaceSpan, PlaceSpan]]:
    """Each breath with the place before it and the next one, where something is told of both."""
    out: list[tuple[Cue, PlaceSpan, PlaceSpan]] = []
    for cue in note.cues:
        words = " ".join(note.lower[cue.start : cue.end])
        if cue.scope != "correction" or words not in BREATHS:
            continue
        at = cue.end
        while at < len(note.lower) and (note.lower[at] in _FILL or note.lower[at] in STOPS):
            at += 1
        then = next((p for p in note.places if p.start == at and p.sort in ("hive", "nuc")), None)
        before = [p for p in note.places if p.end <= cue.start and p.sort in ("hive", "nuc") and not p.deictic]
        if then is None or not before or then.places == before[-1].places or then.deictic:
            continue
        if cue.start and note.lower[cue.start - 1] in ("no", "sorry"):
            continue
        if _told(note, before[-1].end, cue.start) and _told(note, then.end, min(len(note.lower), then.end + 8)):
            out.append((cue, before[-1], then))
    return out


def _denied(note: Note) -> list[tuple[PlaceSpan, PlaceSpan]]:
    """Places right behind a "no" that put nothing right, each with the place before it: "four frames no hive 13"."""
    named = [p for p in note.places if p.sort in ("hive", "nuc") and not p.deictic]
    return [
        (before, then)
        for before, then in pairwise(named)
        if note.lower[then.start - 1] == "no" and before.places != then.places and then.sort == before.sort
    ]


def _told(note: Note, start: int, end: int) -> bool:
    """Whether tokens start..end-1 say something of the trade."""
    apart = note.of_places()
    cued = {k for c in note.cues if c.scope in ("correction", "break") for k in range(c.start, c.end)}
    for at in range(start, end):
        if at in apart:
            return False
        if at in note.content and at not in note.soft and at not in cued:
            return True
    return False


def parted(note: Note) -> str | None:
    """The text with a stop on either side of each breath; None where there is none to part."""
    out: list[str] = []
    last = 0
    for cue, _, _ in _breaths(note):
        after = cue.end
        while after < len(note.lower) and note.lower[after] == ",":
            after += 1
        if note.lower[after : after + 1] and note.lower[after] in STOPS:
            continue
        head = note.text(last, cue.start).rstrip(" ,")
        if head:
            out.append(head if head[-1] in STOPS else head + ".")
        out.append(note.text(cue.start, cue.end) + MARK)
        last = after
    if not out:
        return None
    return " ".join([*out, note.text(last, len(note.lower))])


def ask(note: Note, made: list[Draft]) -> None:
    """Ask of which place it was told, where a breath without a stop behind it led on to the next."""
    pairs = [(b, t) for cue, b, t in _breaths(note) if note.lower[cue.end : cue.end + 1] == [MARK]]
    for before, then in [*pairs, *_denied(note)]:
        if len(before.places) > 1 or len(then.places) > 1:
            continue
        told = [d for d in made if d.key == before.places]
        if told and not any(name == "place" for name, *_ in told[-1].clashes):
            told[-1].clashes.append(("place", before.places[0], then.places[0]))
