"""The pieces of a note by their shape, so that a correction finds what it stands for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from gloveside.extract.lexicon import concepts
from gloveside.extract.note import Note

LONGEST = 8
# Nouns that say in what something is measured, of which one can be put for another.
UNITS = frozenset(["feed_unit", "harvest_unit", "dose_unit"])


@dataclass(frozen=True, slots=True)
class Element:
    """A piece of the note with its shape: P (place), N (number), R (round), D (date), a concept or a plain word."""

    start: int
    end: int
    shape: str
    typed: bool


def element(note: Note, at: int) -> Element:
    """The piece that starts at a token."""
    edges = note.lattice.edges[at]
    for label in ("P", "R", "D", "N", "ORD"):
        if label in edges:
            end = max(e for e, _ in edges[label])
            shape = label
            if label == "P":
                shape = "P"
            return Element(at, end, shape, True)
    groups = [(end, label) for label, found in edges.items() for end, _ in found if label not in ("N1", "W")]
    # a word that names a value before a longer phrase that names none: "caged" before "caged the queen"
    best = max([g for g in groups if g[1] in replaceable()] or groups, key=lambda g: g[0])
    names = sorted(label for end, label in groups if end == best[0] and not label.startswith("="))
    typed = any(label in replaceable() for label in names)
    return Element(at, best[0], "/".join(names) or note.lower[at], typed)


@cache
def replaceable() -> frozenset[str]:
    """Classes whose words can stand in for one another in a correction: all that name values."""
    groups = {group for concept in concepts().values() for group in concept.classes}
    talk = {group for group in groups if group.startswith(("ask", "change", "by_"))}
    return frozenset(
        groups - talk - {"counted", "neg_through", "place_noun", "treat_in", "treat_out", "treat_in_strong"}
    )


def first_comma(note: Note, start: int, stop: int) -> int:
    """The comma that ends what is put in, or `stop`."""
    while start < stop and (note.lattice.comma[start] or start in note.soft):
        start += 1
    return next((k for k in range(start, stop) if note.lower[k] == ","), stop)


def starts(note: Note, at: int) -> bool:
    """Whether a place, number, round or day starts at a token."""
    return bool({"N", "P", "ORD", "R", "D"} & set(note.lattice.edges[at]))


def elements(note: Note, start: int, end: int) -> list[Element]:
    """The pieces of tokens start..end-1, what says nothing left out."""
    out: list[Element] = []
    at = start
    while at < end:
        if note.lattice.comma[at] or (at in note.soft and not starts(note, at)):
            at += max(1, note.lattice.soft[at])
            continue
        piece = element(note, at)
        if piece.end > end:
            piece = Element(at, at + 1, note.lower[at], False)
        out.append(piece)
        at = piece.end
    return out


def same(left: Element, right: Element) -> bool:
    """Whether one piece can stand for the other."""
    if left.shape == right.shape:
        return True
    ours, theirs = set(left.shape.split("/")), set(right.shape.split("/"))
    return bool(ours & theirs & replaceable())


def join(note: Note, ranges: list[tuple[int, int]]) -> str:
    """The words of token ranges as one text."""
    return " ".join(note.text(a, b) for a, b in ranges if b > a)


def alike(before: list[Element], after: list[Element]) -> tuple[int, int] | None:
    """Where in `before` a stretch has the shape of the head of `after`: the latest, of these the longest.

    A single element must be a place, a round, a day or a word that names a value; a lone number is `_number`'s.
    """
    for floor in (2, 1):
        best: tuple[int, int] | None = None
        for length in range(len(after) if floor == 2 else 1, floor - 1, -1):
            part = after[:length]
            if not part or not any(e.typed for e in part) or (length == 1 and part[0].shape == "N"):
                continue
            for at in range(len(before) - length, -1, -1):
                if all(same(a, b) for a, b in zip(before[at : at + length], part, strict=True)):
                    if best is None or at > best[0]:
                        best = (at, length)
                    break
        if best is not None:
            return best
    return None
