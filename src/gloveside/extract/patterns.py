"""The small pattern language of the rule files, compiled to matchers over a lattice of labelled spans.

Grammar (blank = sequence):
    brood            a concept or a class of the lexicon
    'word'           that very word; an apostrophe in it is doubled: 'wouldn''t'
    N  N1  ORD  H    a number; a number or "a"; an ordinal; a number that may name a hive
    P  HP  YP        a place (or list of places); a hive or nuc; a yard
    R  D  W          a round; a date; a name of one to three unknown words
    SIZES            how many cups each of so many bars holds, as a list
    ^  $             start or end of a clause
    name:atom        capture the value of what matched
    (a | b)  x?  x*  alternatives, optional, repeated
    <name>           a named part of the `parts` of the file or of parts.yaml
    !                only soft words may be skipped at this point
Between two elements soft words, commas, rounds, days, a place and up to two unknown words may be skipped.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from gloveside.extract.lexicon import RuleError

_LEX = re.compile(r"\s*(?:(<[\w-]+>)|('(?:[^']|'')*')|([a-z_]\w*):|([A-Za-z_]\w*)|([()|?*+^$!]))")
PLACES = {"P", "HP", "YP"}
# H: a number that may name a hive ("wash on 30"), so neither a couple nor a dozen nor a part; M: one below nought.
SPECIAL = {"H", "M", "N", "N1", "ORD", "P", "HP", "YP", "R", "D", "W", "SIZES"}


@dataclass(frozen=True, slots=True)
class Node:
    """One node of a compiled pattern. op: atom, seq, alt, opt, star, cap, start, end, tight."""

    op: str
    name: str = ""
    items: tuple[Node, ...] = ()


def _parse(text: str, parts: dict[str, str], where: str, depth: int = 0) -> Node:
    if depth > 8:
        raise RuleError(f"{where}: parts refer to each other in a circle: {text!r}")
    tokens: list[tuple[str, str]] = []
    position = 0
    text = text.strip()
    while position < len(text):
        found = _LEX.match(text, position)
        if not found or found.end() == position:
            raise RuleError(f"{where}: cannot read pattern {text!r} at {text[position:]!r}")
        position = found.end()
        for kind, value in zip(("part", "lit", "cap", "name", "sign"), found.groups(), strict=True):
            if value is not None:
                tokens.append((kind, value))
    at = 0

    def peek() -> tuple[str, str] | None:
        return tokens[at] if at < len(tokens) else None

    def alternatives() -> Node:
        nonlocal at
        options = [sequence()]
        while peek() == ("sign", "|"):
            at += 1
            options.append(sequence())
        return options[0] if len(options) == 1 else Node("alt", items=tuple(options))

    def sequence() -> Node:
        out: list[Node] = []
        while (token := peek()) is not None and token not in (("sign", "|"), ("sign", ")")):
            out.append(postfix())
        if not out:
            raise RuleError(f"{where}: empty alternative in {text!r}")
        return out[0] if len(out) == 1 else Node("seq", items=tuple(out))

    def postfix() -> Node:
        nonlocal at
        node = element()
        while (token := peek()) in (("sign", "?"), ("sign", "*"), ("sign", "+")):
            at += 1
            assert token is not None  # noqa: S101 - for the type checker
            if token[1] == "?":
                node = Node("opt", items=(node,))
            elif token[1] == "*":
                node = Node("star", items=(node,))
            else:
                node = Node("seq", items=(node, Node("star", items=(node,))))
        return node

    def element() -> Node:
        nonlocal at
        token = peek()
        if token is None:
            raise RuleError(f"{where}: pattern {text!r} ends too early")
        at += 1
        kind, value = token
        if kind == "cap":
            return Node("cap", value, (element(),))
        if kind == "part":
            name = value[1:-1]
            if name not in parts:
                raise RuleError(f"{where}: unknown part {value} in {text!r}")
            return _parse(parts[name], parts, where, depth + 1)
        if kind == "lit":
            return Node("atom", "=" + value[1:-1].replace("''", "'").lower())
        if kind == "name":
            return Node("atom", value)
        if value == "(":
            node = alternatives()
            if peek() != ("sign", ")"):
                raise RuleError(f"{where}: missing ) in {text!r}")
            at += 1
            return node
        if value in "^$!":
            return Node({"^": "start", "$": "end", "!": "tight"}[value])
        raise RuleError(f"{where}: unexpected {value!r} in {text!r}")

    node = alternatives()
    if at != len(tokens):
        raise RuleError(f"{where}: unexpected {tokens[at][1]!r} in {text!r}")
    return node


def _first(node: Node) -> tuple[frozenset[str], bool]:
    """Labels that can begin a match, and whether the node can match nothing."""
    if node.op == "atom":
        return frozenset([node.name]), False
    if node.op in ("opt", "star"):
        return _first(node.items[0])[0], True
    if node.op == "cap":
        return _first(node.items[0])
    if node.op == "alt":
        found = [_first(i) for i in node.items]
        return frozenset().union(*(f for f, _ in found)), any(e for _, e in found)
    if node.op == "seq":
        labels: frozenset[str] = frozenset()
        for item in node.items:
            more, empty = _first(item)
            labels |= more
            if not empty:
                return labels, False
        return labels, True
    return frozenset(), True  # start, end, tight


def _names(node: Node) -> Iterator[str]:
    if node.op == "atom":
        yield node.name
    for item in node.items:
        yield from _names(item)


def _captures(node: Node) -> Iterator[str]:
    if node.op == "cap":
        yield node.name
    for item in node.items:
        yield from _captures(item)


@dataclass(frozen=True, slots=True)
class Pattern:
    """A compiled pattern.

    first: labels a match can begin with; needs: groups of labels, of each of which a note must hold one.
    """

    source: str
    node: Node
    first: frozenset[str]
    captures: frozenset[str] = field(default_factory=frozenset)
    needs: tuple[frozenset[str], ...] = ()


def _needs(node: Node) -> list[frozenset[str]]:
    """Groups of labels, one of each of which every match of the node holds."""
    if node.op == "atom":
        return [frozenset([node.name])]
    if node.op in ("cap", "seq"):
        return [group for item in node.items for group in _needs(item)]
    if node.op == "alt":
        heads = [_needs(item) for item in node.items]
        return [frozenset().union(*(h[0] for h in heads))] if all(heads) else []
    return []


def compile_pattern(text: str, parts: dict[str, str], known: set[str], where: str) -> Pattern:
    """Compile one pattern. known: names of all concepts and classes; an unknown one is an error."""
    node = _parse(text, parts, where)
    for name in _names(node):
        if not name.startswith("=") and name not in SPECIAL and name not in known:
            raise RuleError(f"{where}: {name!r} in {text!r} is neither a concept, a class nor a mark")
    first, empty = _first(node)
    if empty:
        raise RuleError(f"{where}: pattern {text!r} can match nothing")
    return Pattern(text, node, first, frozenset(_captures(node)), tuple(dict.fromkeys(_needs(node))))


@dataclass(frozen=True, slots=True)
class State:
    """A partial match.

    captures: (name, value, start, end); skipped: soft words and commas passed over; lost: unknown words passed over;
    passed: places passed over, and whether the pattern asked for one; tight: only soft words may be skipped next.
    """

    end: int
    captures: tuple[tuple[str, Any, int, int], ...] = ()
    skipped: tuple[int, ...] = ()
    lost: tuple[int, ...] = ()
    passed: tuple[tuple[Any, int, int, bool], ...] = ()
    tight: bool = False

    @property
    def left_over(self) -> bool:
        """Whether unknown words, or a place that the pattern did not ask for, were passed over."""
        return bool(self.lost) or any(not asked for *_, asked in self.passed)


class Lattice:
    """What a note may mean, token by token: labelled spans that start at each token.

    edges[i]: list of (label -> value, end).  soft: tokens that may be skipped.  unknown: tokens no concept knows.
    starts, ends: clause boundaries.
    """

    def __init__(self, length: int) -> None:
        self.length = length
        self.edges: list[dict[str, list[tuple[int, Any]]]] = [{} for _ in range(length)]
        self.soft = [0] * length  # how many tokens may be skipped from here as one soft thing
        self.comma = [False] * length
        self.unknown = [False] * length
        self.starts = {0}
        self.ends = {length}

    def add(self, start: int, end: int, label: str, value: Any = None) -> None:
        """Note that tokens start..end-1 may be read as `label`."""
        bucket = self.edges[start].setdefault(label, [])
        if (end, value) not in bucket:
            bucket.append((end, value))

    def gaps(self, state: State) -> Iterator[State]:
        """The state itself, then the states after skipping soft words, commas, a place and unknown words."""
        yield state
        at, skipped, lost, passed = state.end, state.skipped, state.lost, state.passed
        for _ in range(6):
            if at >= self.length:
                return
            if self.soft[at]:
                skipped = (*skipped, *range(at, at + self.soft[at]))
                at += self.soft[at]
            elif state.tight:
                return
            elif self.comma[at]:
                skipped = (*skipped, at)
                at += 1
            elif not passed and "P" in self.edges[at]:
                end, place = max(self.edges[at]["P"], key=lambda e: e[0])
                passed = ((place, at, end, False),)
                at = end
            elif "R" in self.edges[at] or "D" in self.edges[at]:
                # "18 of round three's cells", "made on Friday 12 splits": a round or a day holds wherever it is said
                end = max(e for label in ("R", "D") for e, _ in self.edges[at].get(label, ()))
                skipped = (*skipped, *range(at, end))
                at = end
            elif self.unknown[at] and len(lost) < 2:
                lost = (*lost, at)
                at += 1
            else:
                return
            yield State(at, state.captures, skipped, lost, passed)

    def match(self, node: Node, state: State, first: bool = False) -> Iterator[State]:
        """All ways to match a node from a state."""
        op = node.op
        if op == "atom" or (op == "cap" and node.items[0].op == "atom"):
            label = node.name if op == "atom" else node.items[0].name
            for before in [state] if first else self.gaps(state):
                if before.end >= self.length:
                    return
                for end, value in self.edges[before.end].get(label, ()):
                    captures, passed = before.captures, before.passed
                    if op == "cap":
                        captures = (*captures, (node.name, value, before.end, end))
                    elif label in PLACES:
                        # a place that is asked for without a field of its own is the place of the fact
                        passed = (*passed, (value, before.end, end, True))
                    yield State(end, captures, before.skipped, before.lost, passed)
        elif op == "cap":
            for after in self.match(node.items[0], state, first):
                yield replace(after, captures=(*after.captures, (node.name, True, state.end, after.end)))
        elif op == "seq":
            yield from self._sequence(node.items, 0, state, first)
        elif op == "alt":
            for item in node.items:
                yield from self.match(item, state, first)
        elif op == "opt":
            yield from self.match(node.items[0], state, first)
            yield state
        elif op == "star":
            yield from self._star(node.items[0], state, first, 0)
        elif op == "start":
            if state.end in self.starts:
                yield state
        elif op == "end":
            for after in self.gaps(state):
                if after.end in self.ends:
                    yield after
                    return
        elif op == "tight":
            yield replace(state, tight=True)

    def _sequence(self, items: tuple[Node, ...], index: int, state: State, first: bool) -> Iterator[State]:
        if index == len(items):
            yield state
            return
        for after in self.match(items[index], state, first):
            moved = after.end != state.end
            yield from self._sequence(items, index + 1, after, first and not moved)

    def _star(self, item: Node, state: State, first: bool, depth: int) -> Iterator[State]:
        if depth < 12:
            for after in self.match(item, state, first):
                if after.end > state.end:
                    yield from self._star(item, after, False, depth + 1)
        yield state
