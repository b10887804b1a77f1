"""Breeders: candidate mothers ranked from the record, drawn to the mean where notes are few, with their pedigree."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

Trait = Literal["temper", "brood", "mites", "take", "mating", "honey"]
TRAITS: tuple[Trait, ...] = ("temper", "brood", "mites", "take", "mating", "honey")
LOWER_IS_BETTER: frozenset[Trait] = frozenset({"mites"})
EVEN: dict[Trait, float] = dict.fromkeys(TRAITS, 1.0)
NOTES_TO_TRUST = 4.0
"""Notes on one trait that count as much as the mean of all (used where the spread cannot be told)."""
MOST_NOTES = 50.0
"""The same at most, where the hives differ no more than the notes on one hive do."""
DOMINANT = 0.5
FEW_MOTHERS = 3


@dataclass(frozen=True, slots=True)
class Reason:
    """What one trait adds to a score.

    z: standard deviations above the mean, after drawing to the mean. own: raw mean of the hive's notes; notes: how
    many there are. trust: 0..1, the share of the raw difference that was kept.
    """

    trait: Trait
    z: float
    own: float
    notes: int
    trust: float


@dataclass(frozen=True, slots=True)
class Candidate:
    """One candidate. score: weighted mean of z over the traits (0 is the mean hive); reasons: strongest first."""

    place: str
    score: float
    reasons: tuple[Reason, ...]
    notes: int


def _trust(groups: Sequence[Sequence[float]]) -> tuple[float, float, float]:
    """Overall mean, spread between hives, and notes that count as much as the mean (within / between variance)."""
    means = [sum(g) / len(g) for g in groups]
    every = [v for g in groups for v in g]
    mean = sum(means) / len(means)
    within_df = len(every) - len(groups)
    within = sum((v - m) ** 2 for g, m in zip(groups, means, strict=True) for v in g) / within_df if within_df else 0.0
    of_means = sum((m - mean) ** 2 for m in means) / (len(means) - 1)
    size = len(groups) / sum(1 / len(g) for g in groups)
    if within_df < 3:
        return mean, sqrt(of_means), NOTES_TO_TRUST
    between = max(of_means - within / size, within / MOST_NOTES)
    return mean, sqrt(between), within / between if between > 0 else 0.0


def rank_breeders(
    notes: Mapping[str, Mapping[Trait, Sequence[float]]], *, weights: Mapping[Trait, float] | None = None
) -> list[Candidate]:
    """Rank candidate mothers, best first.

    notes: place -> trait -> one number a note: temper (calm 2, fair 1, hot 0), brood (frames), mites (in 100 bees, less
    is better), take and mating (shares 0..1), honey (kg or boxes). weights: how much each trait counts (default even).
    Each hive's mean is drawn towards the mean of all by n / (n + k), k from the spread of the notes: two notes move a
    hive little, ten a lot. Raises ValueError for fewer than two hives, an unknown trait or no weight at all.
    """
    if len(notes) < 2:
        raise ValueError("Two hives at least must have notes before one can be called better.")
    weights = dict(weights or EVEN)
    unknown = (set(weights) | {t for traits in notes.values() for t in traits}) - set(TRAITS)
    if unknown:
        raise ValueError(f"{sorted(unknown)[0]!r} is no trait. Traits: {', '.join(TRAITS)}.")
    if not any(w > 0 for w in weights.values()) or any(w < 0 for w in weights.values()):
        raise ValueError("At least one trait must count, none less than nothing.")
    found: dict[str, list[Reason]] = {place: [] for place in notes}
    used = 0.0
    for trait in TRAITS:
        groups = {place: list(traits[trait]) for place, traits in notes.items() if traits.get(trait)}
        if len(groups) < 2 or not weights.get(trait):
            continue
        used += weights[trait]
        mean, spread, k = _trust(list(groups.values()))
        sign = -1.0 if trait in LOWER_IS_BETTER else 1.0
        for place, values in groups.items():
            own = sum(values) / len(values)
            trust = len(values) / (len(values) + k)
            z = sign * trust * (own - mean) / spread if spread > 1e-6 else 0.0
            found[place].append(Reason(trait, max(-3.0, min(3.0, z)), own, len(values), trust))
    ranked = []
    for place, reasons in found.items():
        score = sum(weights[r.trait] * r.z for r in reasons) / used if used else 0.0
        ordered = tuple(sorted(reasons, key=lambda r: -abs(weights[r.trait] * r.z)))
        ranked.append(Candidate(place, score, ordered, sum(r.notes for r in reasons)))
    return sorted(ranked, key=lambda c: (-c.score, c.place))


def line_of(place: str, mothers: Mapping[str, str]) -> tuple[str, ...]:
    """The mother line of a queen, herself first: daughter -> mother -> ... ValueError when it runs in a circle."""
    line = [place]
    while line[-1] in mothers:
        mother = mothers[line[-1]]
        if mother in line:
            raise ValueError(f"{mother} cannot be her own foremother: check who was grafted from whom.")
        line.append(mother)
    return tuple(line)


def daughters_of(place: str, mothers: Mapping[str, str]) -> tuple[str, ...]:
    """Daughters of a queen, in order of their names."""
    return tuple(sorted(d for d, m in mothers.items() if m == place))


@dataclass(frozen=True, slots=True)
class Dominance:
    """How the young queens spread over their mothers. share: of the mother with most; warn: too narrow a choice."""

    mother: str
    share: float
    effective_mothers: float
    warn: bool


def dominance(mothers: Mapping[str, str], *, limit: float = DOMINANT) -> Dominance:
    """Whether one mother dominates. effective_mothers: 1 / sum of squared shares.

    The limits (half of all daughters; fewer than 3 effective mothers, from 6 daughters on) are common practice, no
    source. ValueError without daughters.
    """
    if not mothers:
        raise ValueError("No daughter is on record yet: say the mother when you graft.")
    counts = Counter(mothers.values())
    total = sum(counts.values())
    mother, most = min(counts.items(), key=lambda item: (-item[1], item[0]))
    effective = 1 / sum((n / total) ** 2 for n in counts.values())
    warn = total >= 6 and (most / total > limit or effective < FEW_MOTHERS)
    return Dominance(mother, most / total, effective, warn)
