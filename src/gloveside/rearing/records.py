"""The operator's own counts, as the arithmetic needs them: how many succeeded of how many."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Tally:
    """`won` successes of `of` tries. Raises ValueError unless 0 <= won <= of."""

    won: int = 0
    of: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.won <= self.of:
            raise ValueError(f"{self.won} of {self.of} cannot be: count again.")

    def __add__(self, other: Tally) -> Tally:
        return Tally(self.won + other.won, self.of + other.of)

    @property
    def rate(self) -> float:
        """Raw share 0..1; 0 when nothing was tried."""
        return self.won / self.of if self.of else 0.0


@dataclass(frozen=True, slots=True)
class OwnRecord:
    """The operator's figures so far.

    take: cells started of larvae grafted. ripe: ripe cells of cells started. laying: laying queens of cells planted.
    """

    take: Tally = field(default_factory=Tally)
    ripe: Tally = field(default_factory=Tally)
    laying: Tally = field(default_factory=Tally)
