"""Frames and slots compete for the words of a note: candidate matches of all rules, and the best set of them."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Collection
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from gloveside.extract.note import PREPOSITIONS, Note
from gloveside.extract.patterns import Pattern, State
from gloveside.extract.places import PlaceSpan
from gloveside.extract.rules import Kind, Rule, resolve

SKIP_GAIN = 0.15
LOST_COST = 0.9
PASS_COST = 0.3
BARE_PASS_COST = 0.6
SLOT_REACH = 45
# In a note of more tokens than this the words that a rule asks for must stand within so many sentences.
LONG = 60
AROUND = 2
# What a hive or nuc said between a slot and its anchor adds to their distance.
ELSEWHERE = 12
MATCHES_PER_START = 24


@dataclass(frozen=True, slots=True)
class Match:
    """A rule that fits tokens start..end-1.

    sets: fields it gives; lost: unknown words inside it that stay unclaimed; places: spans it captured; score: for the
    competition, higher is better; lead: by how much the best reading that says something else of these words is worse.
    """

    rule: Rule
    start: int
    end: int
    sets: dict[str, Any]
    score: float
    negated: bool = False
    lost: tuple[int, ...] = ()
    passed: tuple[PlaceSpan, ...] = ()
    places: tuple[PlaceSpan, ...] = ()
    spans: dict[str, tuple[int, int]] = field(default_factory=dict)
    lead: float = math.inf

    @property
    def tokens(self) -> set[int]:
        """Tokens it claims."""
        held = set(range(self.start, self.end)) - set(self.lost)
        return held.difference(*(range(p.start, p.end) for p in self.passed))


def _fits(note: Note, rule: Rule, start: int, state: State, present: set[str]) -> bool:
    """Whether the conditions `where` and `with` of a rule hold for a match."""
    if rule.beside and not present & rule.beside:
        return False
    if rule.beside and len(note.lower) > LONG and not _near(note, rule.beside, start):
        return False
    if rule.where is None:
        return True
    if rule.where == "no place":
        said = (p for p in note.places if p.end <= start and p.sort != "yard" and note.lower[p.start] != "here")
        return all(note.sentence[p.start] != note.sentence[start] for p in said)
    held = [v.sort for _, v, _, _ in state.captures if isinstance(v, PlaceSpan)] + [p.sort for p, *_ in state.passed]
    if held:
        return rule.where in held
    return _sort_in_force(note, start, state.end) in (rule.where, None)


def _near(note: Note, labels: Collection[str], start: int) -> bool:
    """Whether a label stands in the sentences around a token; a round may be anywhere."""
    here = note.sentence[start]
    head = note.sentence[min((p.start for p in note.places), default=0)]
    return any(
        (label == "R" or note.sentence[at] < head or abs(note.sentence[at] - here) <= AROUND) and label in edges
        for at, edges in enumerate(note.lattice.edges)
        for label in labels
    )


def _sort_in_force(note: Note, start: int, end: int) -> str | None:
    """The sort of place (hive, nuc) that tokens start..end-1 most likely speak of; None when none was said."""
    before = [p for p in note.places if p.end <= start and p.sort != "yard"]
    after = [
        p for p in note.places if p.start >= end and p.sort != "yard" and note.sentence[p.start] == note.sentence[start]
    ]
    if after and any(
        w in ("in", "on", "at", "into", "for", "of") for w in note.lower[max(0, after[0].start - 2) : after[0].start]
    ):
        gap = after[0].start - end
        if gap <= 3:
            return after[0].sort
    if before:
        return before[-1].sort
    return after[0].sort if after else None


def _candidate(note: Note, rule: Rule, start: int, state: State) -> Match | None:
    end = state.end
    if not rule.modal and any(at in note.blocked for at in range(start, end)):
        return None
    inside = set(state.skipped)
    cues = [c for c in note.cues if c.scope == "negation"]
    # The last word of a cue may begin a match: "couldn't *find* the queen".
    negated = (start in note.negated and note.negated[start].end <= start) or any(
        c.start in inside or c.start < start < c.end for c in cues
    )
    captures: dict[str, Any] = {}
    spans: dict[str, tuple[int, int]] = {}
    places: list[PlaceSpan] = []
    for name, value, left, right in state.captures:
        spans[name] = (left, right)
        if isinstance(value, PlaceSpan):
            places.append(value)
        captures[name] = note.text(left, right) if value is True else value
        captures[name + "~"] = note.text(left, right).lower()
    if negated:
        if rule.negated is None:
            return None
        sets = resolve(rule.negated, captures) or {}
    else:
        sets = resolve(rule.sets, captures) or {}
    content = end - start - len(state.skipped) - len(state.lost)
    score = content + SKIP_GAIN * len(state.skipped) - LOST_COST * len(state.lost)
    for _, left, right, asked in state.passed:
        if asked:
            continue
        content_free = right - left
        bare = note.lower[left - 1] not in PREPOSITIONS
        score -= content_free + (BARE_PASS_COST if bare else PASS_COST)
    if any(p.start < end < p.end and p.start >= start for p in note.places):
        return None  # "four, nucs 1 to 4": the noun is the places', not the number's
    passed = tuple(p for p, *_ in state.passed)
    score += rule.weight - 0.1
    return Match(rule, start, end, sets, score, negated, state.lost, passed, tuple(places), spans)


@lru_cache(maxsize=8)
def _index(kinds: tuple[Kind, ...]) -> dict[str, list[tuple[Rule, Pattern]]]:
    """The patterns by the labels that they can begin with."""
    out: dict[str, list[tuple[Rule, Pattern]]] = {}
    for kind in kinds:
        for rule in kind.rules:
            for pattern in rule.patterns:
                for label in pattern.first:
                    out.setdefault(label, []).append((rule, pattern))
    return out


def candidates(note: Note, kinds: dict[str, Kind]) -> list[Match]:
    """All matches of all rules. One rule keeps its best match for each pair of start and end."""
    by_label = _index(tuple(kinds.values()))
    best: dict[tuple[int, int, int, str], Match] = {}
    present = {label for edges in note.lattice.edges for label in edges}
    able: dict[str, list[tuple[Rule, Pattern]]] = {}
    for start in range(note.lattice.length):
        seen: set[int] = set()
        for label in note.lattice.edges[start]:
            if label not in able:
                able[label] = [
                    (rule, pattern)
                    for rule, pattern in by_label.get(label, ())
                    if not any(present.isdisjoint(group) for group in pattern.needs)
                ]
            for rule, pattern in able[label]:
                if id(pattern) in seen:
                    continue
                seen.add(id(pattern))
                count = 0
                for state in note.lattice.match(pattern.node, State(start), first=True):
                    count += 1
                    if count > MATCHES_PER_START:
                        break
                    if state.end <= start or not _fits(note, rule, start, state, present):
                        continue
                    match = _candidate(note, rule, start, state)
                    if match is None:
                        continue
                    key = (id(rule), start, state.end, repr(match.sets))
                    if key not in best or match.score > best[key].score:
                        best[key] = match
    return list(best.values())


def _distance(note: Note, slot: int, anchor: int, topics: list[int]) -> int:
    """Tokens between a slot and an anchor; a sentence between costs 8, another sentence with its own place more."""
    apart = abs(note.sentence[slot] - note.sentence[anchor])
    low, high = sorted((slot, anchor))
    between = bisect_right(topics, high) - bisect_right(topics, low) if apart else 0
    far = high - low + 8 * apart + ELSEWHERE * between
    if apart and topics and anchor < topics[0]:
        return min(far, SLOT_REACH - 5)  # "wash day" at the head of a note holds for all its hives
    return far


def with_anchors(note: Note, found: list[Match]) -> list[Match]:
    """Drop slots that have no anchor of their kind near; the nearer the anchor, the stronger the slot."""
    anchors: dict[str, list[int]] = {}
    for start, kind in sorted({(m.start, m.rule.kind) for m in found if m.rule.role != "slot"}):
        anchors.setdefault(kind, []).append(start)
    topics = [p.start for p in note.places]
    out: list[Match] = []
    for match in found:
        if match.rule.role != "slot":
            out.append(match)
            continue
        starts = anchors.get(match.rule.kind)
        if not starts:
            continue
        place = bisect_right(starts, match.start)
        near = starts[max(0, place - 3) : place + 3]
        distance = min(_distance(note, match.start, at, topics) for at in near)
        if distance <= SLOT_REACH:
            out.append(replace(match, score=match.score - 0.02 * distance))
    return out


def compete(found: list[Match]) -> list[Match]:
    """The set of matches without overlap that has the highest sum of scores (weighted interval scheduling)."""
    found = sorted((m for m in found if m.score > 0), key=lambda m: (m.end, m.start))
    if not found:
        return []
    ends = [m.end for m in found]
    best: list[float] = [0.0]
    take: list[bool] = []
    before: list[int] = []
    for index, match in enumerate(found):
        previous = bisect_right(ends, match.start, 0, index)
        before.append(previous)
        with_it = best[previous] + match.score
        take.append(with_it > best[-1])
        best.append(max(with_it, best[-1]))
    chosen: list[Match] = []
    index = len(found)
    while index > 0:
        if take[index - 1]:
            chosen.append(found[index - 1])
            index = before[index - 1]
        else:
            index -= 1
    return chosen[::-1]


def _says_else(match: Match, rival: Match) -> bool:
    """Whether a rival for the same words would say something else: another kind, or another value of a field."""
    if rival.rule.kind != match.rule.kind:
        return rival.rule.role != "slot" and bool(rival.sets) and bool(match.sets)
    return any(name in rival.sets and rival.sets[name] != value for name, value in match.sets.items())


def with_leads(found: list[Match], chosen: list[Match]) -> list[Match]:
    """The chosen matches, each with its lead over the best set in which a rival takes its place."""
    found = [m for m in found if m.score > 0]
    starts = sorted(chosen, key=lambda m: m.start)
    out: list[Match] = []
    for match in starts:
        lead = math.inf
        for rival in found:
            if rival.start < match.end and match.start < rival.end and _says_else(match, rival):
                ousted = sum(m.score for m in chosen if rival.start < m.end and m.start < rival.end)
                lead = min(lead, ousted - rival.score)
        out.append(replace(match, lead=max(0.0, lead)))
    return out


def _holds_anchor(slot: Match, found: list[Match]) -> bool:
    """Whether a slot takes in the words that say its kind: "round eight is ripe now, a dozen"."""
    return any(
        m.rule.role != "slot" and m.rule.kind == slot.rule.kind and slot.start <= m.start and m.end <= slot.end
        for m in found
    )


def understand(note: Note, kinds: dict[str, Kind]) -> list[Match]:
    """The matches that stand: competition, then slots that lost their anchor are dropped and it is held again."""
    found = with_anchors(note, candidates(note, kinds))
    chosen = compete(found)
    for _ in range(3):
        alive = {m.rule.kind for m in chosen if m.rule.role != "slot" or _holds_anchor(m, found)}
        orphans = [m for m in chosen if m.rule.role == "slot" and m.rule.kind not in alive]
        if not orphans:
            break
        dead = {m.rule.kind for m in orphans}
        found = [m for m in found if m.rule.role != "slot" or m.rule.kind not in dead]
        chosen = compete(found)
    return with_leads(found, chosen)
