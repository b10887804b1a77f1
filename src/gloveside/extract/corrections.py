"""Corrections inside one note: "hive nineteen, correction, hive ninety", "no, make that six", "scratch that"."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from gloveside.extract.annotate import STOPS, Cue, Note
from gloveside.extract.lexicon import concepts

LONGEST = 8


@dataclass(frozen=True, slots=True)
class Element:
    """A piece of the note with its shape: P (place), N (number), R (round), D (date), a concept or a plain word."""

    start: int
    end: int
    shape: str
    typed: bool


def _element(note: Note, at: int) -> Element:
    edges = note.lattice.edges[at]
    for label in ("P", "R", "D", "N", "ORD"):
        if label in edges:
            end = max(e for e, _ in edges[label])
            shape = label
            if label == "P":
                shape = "P"
            return Element(at, end, shape, True)
    groups = [(end, label) for label, found in edges.items() for end, _ in found if label not in ("N1", "W")]
    best = max(groups, key=lambda g: g[0])
    names = sorted(label for end, label in groups if end == best[0] and not label.startswith("="))
    typed = any(label in replaceable() for label in names)
    return Element(at, best[0], "/".join(names) or note.lower[at], typed)


@cache
def replaceable() -> frozenset[str]:
    """Classes whose words can stand in for one another in a correction: all that name values."""
    groups = {group for concept in concepts().values() for group in concept.classes}
    return frozenset(groups - {"counted", "neg_through", "place_noun"})


def _elements(note: Note, start: int, end: int) -> list[Element]:
    out: list[Element] = []
    at = start
    while at < end:
        if note.lattice.comma[at] or at in note.soft and not {"N", "P", "ORD"} & set(note.lattice.edges[at]):
            at += max(1, note.lattice.soft[at])
            continue
        element = _element(note, at)
        if element.end > end:
            element = Element(at, at + 1, note.lower[at], False)
        out.append(element)
        at = element.end
    return out


def _same(left: Element, right: Element) -> bool:
    if left.shape == right.shape:
        return True
    ours, theirs = set(left.shape.split("/")), set(right.shape.split("/"))
    return bool(ours & theirs & replaceable())


def _cues(note: Note) -> list[Cue]:
    cues = [c for c in note.cues if c.scope == "correction"]
    cues = [c for c in cues if not any(o is not c and o.start <= c.start and c.end <= o.end and o.end - o.start > c.end - c.start for o in cues)]
    for at, word in enumerate(note.lower):
        if word == "no" and 0 < at < len(note.lower) - 2 and note.lower[at - 1] in (",", ".", "-"):
            after = at + 2 if note.lower[at + 1] == "," else 0
            if after and ({"N", "P", "R"} | replaceable()) & set(note.lattice.edges[after]):
                cues.append(Cue(at, at + 1, "correction", "fix"))
    merged: list[Cue] = []
    for cue in sorted(cues, key=lambda c: c.start):
        between = note.lower[merged[-1].end : cue.start] if merged else ["x"]
        if merged and all(w in (",", "no", "uh", "um", ".") for w in between):
            last = merged.pop()
            kind = "scratch" if "scratch" in (last.concept, cue.concept) else "fix"
            cue = Cue(last.start, cue.end, "correction", kind)
        merged.append(cue)
    return merged


def _join(note: Note, ranges: list[tuple[int, int]]) -> str:
    return " ".join(note.text(a, b) for a, b in ranges if b > a)


def _start_of_cue(note: Note, cue: Cue) -> int:
    """The cue with the "no" and the commas before it."""
    at = cue.start
    while at > 0 and note.lower[at - 1] in (",", "no", "oh", "uh", "um", "ah", "wait"):
        at -= 1
    return at


def correct_once(note: Note) -> str | None:
    """The text after the first correction in it, or None when there is none to make."""
    for cue in _cues(note):
        left = _start_of_cue(note, cue)
        right = cue.end
        before = _elements(note, 0, left)
        if not before:
            continue
        stop = right
        while stop < len(note.lower) and note.lower[stop] not in STOPS:
            stop += 1
        if stop == right and cue.concept == "fix":
            # "Six frames. Sorry. Seven." heard with full stops
            stop = min(len(note.lower), right + 6)
        after = _elements(note, right, stop)[:LONGEST]
        for length in range(len(after), 0, -1):
            part = after[:length]
            if not any(e.typed for e in part):
                continue
            for at in range(len(before) - length, -1, -1):
                old = before[at : at + length]
                if all(_same(a, b) for a, b in zip(old, part, strict=True)):
                    return _join(
                        note,
                        [(0, old[0].start), (part[0].start, part[-1].end), (old[-1].end, left), (part[-1].end, len(note.lower))],
                    )
        if after and after[0].shape == "N":
            for old in reversed(before):
                if old.shape in ("P", "R"):
                    noun = note.text(old.start, old.end).split()[0]
                    new = note.text(after[0].start, after[0].end)
                    return " ".join(
                        p
                        for p in (note.text(0, old.start), noun, new, note.text(old.end, left), note.text(after[0].end, len(note.lower)))
                        if p
                    )
        if cue.concept == "scratch":
            clause = left - 1
            while clause > 0 and note.lower[clause] in (*STOPS, ","):
                clause -= 1
            while clause > 0 and note.lower[clause - 1] not in (*STOPS, ",", "and", "then"):
                clause -= 1
            return _join(note, [(0, clause), (right, len(note.lower))])
    return None


def contrast(note: Note) -> str | None:
    """The text without the wrong half of "hive fourteen, not forty"; None when there is no such pair."""
    for at, word in enumerate(note.lower):
        if word != "not" or at + 1 >= len(note.lower):
            continue
        wrong = _element(note, at + 1)
        if wrong.shape not in ("N", "P"):
            continue
        left = at - 1 if at and note.lower[at - 1] == "," else at
        before = _elements(note, 0, left)
        if before and before[-1].end == left and before[-1].shape in ("P", "N") and (
            wrong.shape == before[-1].shape or before[-1].shape == "P"
        ):
            follow = note.lattice.edges[wrong.end] if wrong.end < len(note.lower) else {}
            if "counted" in follow and before[-1].shape == "P":
                continue
            return _join(note, [(0, left), (wrong.end, len(note.lower))])
    return None
