"""Grafting tools that a question names."""

from __future__ import annotations

from gloveside.extract.derive import tool_name
from gloveside.extract.note import Note
from gloveside.extract.patterns import State
from gloveside.extract.talk_rules import rules


def tokens(note: Note, start: int, end: int) -> set[int]:
    """The tokens that name tools."""
    found: set[int] = set()
    for pattern in rules().tool:
        for at in range(start, end):
            if pattern.first & set(note.lattice.edges[at]):
                for state in note.lattice.match(pattern.node, State(at), first=True):
                    found.update(range(at, min(state.end, end)))
    return found


def named(note: Note, start: int, end: int) -> list[str]:
    """The tools named, in order, each once."""
    found: list[str] = []
    taken: set[int] = set()
    for pattern in rules().tool:
        for at in range(start, end):
            if at in taken or not pattern.first & set(note.lattice.edges[at]):
                continue
            for state in note.lattice.match(pattern.node, State(at), first=True):
                for name, _held, left, right in state.captures:
                    if name == "tool" and right <= end and not taken & set(range(left, right)):
                        taken.update(range(left, right))
                        found.append(tool_name(note.text(left, right)))
    return list(dict.fromkeys(found))
