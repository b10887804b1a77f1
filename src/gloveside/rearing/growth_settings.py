"""The short table of settings that the growth model runs on: everything the operator may know better than we do."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from gloveside.rearing.chance import LAYING_PRIOR, RIPE_PRIOR, TAKE_MANAGED, Prior
from gloveside.rearing.records import OwnRecord


@dataclass(frozen=True, slots=True)
class GrowthSettings:
    """What there is, what is done each month, what it costs. Counts are colonies unless another unit is named.

    Shares are 0..1. Money is in the operation's own currency. Defaults without a source are common practice, to be
    replaced by the operator's own figures. Months are calendar months, 1..12, of a southern operation.
    """

    start: date
    hives: int
    nucs: int = 0
    spare_hive_boxes: int = 20
    nuc_boxes: int = 24
    hive_boxes_bought_a_month: float = 0.0
    rearing_months: frozenset[int] = frozenset({10, 11, 12, 1, 2})
    rounds_a_month: int = 2
    larvae_a_round: int = 30
    splits_a_hive_a_month: float = 0.5
    hours_a_month: float = 160.0
    hours_a_hive: float = 0.75
    hours_a_split: float = 0.5
    hours_a_round: float = 6.0
    months_to_hive: int = 2
    loss_a_month: float = 0.008
    winter_loss_a_month: float = 0.03
    winter_months: frozenset[int] = frozenset({6, 7, 8})
    nuc_loss_factor: float = 1.5
    loss_spread: float = 0.4
    sell_nucs_share: float = 0.3
    nucs_wanted_a_month: float = 10.0
    sell_queens_share: float = 0.0
    nuc_price: float = 250.0
    queen_price: float = 50.0
    honey_kg_a_hive: float = 25.0
    honey_price_kg: float = 8.0
    honey_month: int = 2
    honey_spread: float = 0.5
    feed_kg_a_hive: float = 8.0
    feed_kg_a_split: float = 3.0
    feed_month: int = 4
    sugar_price_kg: float = 1.8
    hive_box_price: float = 120.0
    cost_a_hive_a_year: float = 40.0
    record: OwnRecord = field(default_factory=OwnRecord)
    take_prior: Prior = TAKE_MANAGED
    ripe_prior: Prior = RIPE_PRIOR
    laying_prior: Prior = LAYING_PRIOR

    def __post_init__(self) -> None:
        for name in ("loss_a_month", "winter_loss_a_month", "sell_nucs_share", "sell_queens_share"):
            value = getattr(self, name)
            if not 0 <= value <= 1:
                raise ValueError(f"{name.replace('_', ' ')} is a share between 0 and 1, not {value:g}.")
        for name in (
            "hives",
            "nucs",
            "spare_hive_boxes",
            "nuc_boxes",
            "rounds_a_month",
            "larvae_a_round",
            "hours_a_month",
        ):
            if getattr(self, name) < 0:
                raise ValueError(f"{name.replace('_', ' ')} is counted from 0.")
        if not 1 <= self.months_to_hive <= 12:
            raise ValueError("A nuc takes 1 to 12 months to become a hive.")
        months = self.rearing_months | self.winter_months | {self.honey_month, self.feed_month}
        if not months <= set(range(1, 13)):
            raise ValueError("Months are numbers from 1 to 12.")
