"""The growth model: seeded, fast, balanced, and equal to what can be worked out on paper."""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gloveside.rearing.chance import Prior
from gloveside.rearing.growth import LIMITS, SERIES, grow
from gloveside.rearing.growth_settings import GrowthSettings
from gloveside.rearing.records import OwnRecord, Tally
from gloveside.rearing.sources import PRACTICE

START = date(2026, 11, 1)
BASE = GrowthSettings(START, 40)
CERTAIN = Prior(0.9999, 1e7, PRACTICE)


def test_ten_thousand_runs_of_three_years_within_a_second():
    began = time.process_time()
    growth = grow(BASE)
    assert time.process_time() - began < 1
    assert growth.series["hives"].shape == (36, 10_000)
    assert growth.months[0] == START
    assert growth.months[-1] == date(2029, 10, 1)


def test_the_same_seed_gives_the_same_runs():
    one, two, other = grow(BASE, runs=200, seed=3), grow(BASE, runs=200, seed=3), grow(BASE, runs=200, seed=4)
    assert all(np.array_equal(one.series[n], two.series[n]) for n in SERIES)
    assert not np.array_equal(one.series["hives"], other.series["hives"])


def test_losses_alone_fall_as_a_power():
    lone = replace(
        BASE, hives=1000, rearing_months=frozenset(), winter_loss_a_month=0.01, loss_a_month=0.01, loss_spread=0
    )
    growth = grow(lone, months=24, runs=400)
    for month in (0, 11, 23):
        assert growth.series["hives"][month].mean() == pytest.approx(1000 * 0.99 ** (month + 1), rel=0.01)
    assert growth.binds is None


def test_nothing_random_left_can_be_worked_out_by_hand():
    """4 splits in each of two months, all laying, none lost or sold; each is a hive two months later."""
    plain = GrowthSettings(
        date(2026, 11, 1),
        hives=8,
        rearing_months=frozenset({11, 12}),
        splits_a_hive_a_month=0.5,
        loss_a_month=0,
        winter_loss_a_month=0,
        sell_nucs_share=0,
        feed_kg_a_hive=0,
        feed_kg_a_split=3,
        sugar_price_kg=2,
        cost_a_hive_a_year=0,
        honey_kg_a_hive=0,
        take_prior=CERTAIN,
        ripe_prior=CERTAIN,
        laying_prior=CERTAIN,
    )
    growth = grow(plain, months=6, runs=50)
    median = {n: growth.quantile(n, 0.5).tolist() for n in SERIES}
    assert median["splits"] == [4, 4, 0, 0, 0, 0]
    assert median["hives"] == [8, 8, 12, 16, 16, 16]
    assert median["nucs"] == [4, 8, 4, 0, 0, 0]
    assert median["hive_boxes"] == [20, 20, 16, 12, 12, 12]
    assert median["money"] == [-24, -48, -48, -48, -48, -48]
    assert growth.limits["bees"] == 1
    assert growth.binds == "bees"


SETTINGS = st.builds(
    GrowthSettings,
    start=st.dates(date(2020, 1, 1), date(2030, 1, 1)),
    hives=st.integers(0, 200),
    nucs=st.integers(0, 40),
    spare_hive_boxes=st.integers(0, 60),
    nuc_boxes=st.integers(0, 60),
    rounds_a_month=st.integers(0, 6),
    larvae_a_round=st.integers(0, 60),
    splits_a_hive_a_month=st.floats(0, 2),
    hours_a_month=st.floats(0, 400),
    months_to_hive=st.integers(1, 4),
    loss_a_month=st.floats(0, 0.2),
    sell_nucs_share=st.floats(0, 1),
    nucs_wanted_a_month=st.integers(0, 30).map(float),
    sell_queens_share=st.floats(0, 1),
)


@settings(max_examples=40, deadline=None)
@given(SETTINGS)
def test_colonies_balance_in_every_run(chosen):
    growth = grow(chosen, months=18, runs=40)
    s = growth.series
    stock = s["hives"] + s["nucs"]
    before = np.vstack([np.full(40, chosen.hives + chosen.nucs), stock[:-1]])
    assert np.allclose(stock, before + s["queens"] - s["queens_sold"] - s["losses"] - s["nucs_sold"])
    for name in SERIES:
        assert name == "money" or (s[name] >= -1e-9).all()
    assert (s["queens"] <= s["splits"]).all()
    assert sum(growth.limits.values()) == pytest.approx(1, abs=1e-6) or not any(growth.limits.values())


def test_chance_of_a_target():
    growth = grow(BASE, runs=2000)
    by = date(2028, 6, 15)
    assert growth.index(by) == 19
    chances = [growth.chance(n, by) for n in (1, 40, 60, 80, 500)]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] == 1
    assert chances[-1] == 0
    median = growth.quantile("hives", 0.5)[19]
    assert growth.chance(median, by) >= 0.5
    with pytest.raises(ValueError, match="later date"):
        growth.chance(50, date(2020, 1, 1))


def test_each_limit_can_bind():
    wide = replace(BASE, nuc_boxes=500, hours_a_month=1000, splits_a_hive_a_month=3, larvae_a_round=100)
    assert grow(replace(wide, larvae_a_round=5), runs=200).binds == "cells"
    assert grow(replace(wide, splits_a_hive_a_month=0.1), runs=200).binds == "bees"
    assert grow(replace(wide, nuc_boxes=4), runs=200).binds == "boxes"
    assert grow(replace(wide, hours_a_month=44), runs=200).binds == "time"
    assert set(grow(wide, runs=50).limits) == set(LIMITS)


def test_a_better_record_makes_more_queens():
    rich = replace(BASE, nuc_boxes=200, splits_a_hive_a_month=1)
    good = grow(replace(rich, record=OwnRecord(laying=Tally(95, 100))), runs=500)
    poor = grow(replace(rich, record=OwnRecord(laying=Tally(40, 100))), runs=500)
    assert good.series["queens"].sum() > 1.4 * poor.series["queens"].sum()


@pytest.mark.parametrize(
    ("options", "say"),
    [({"loss_a_month": 2}, "between 0 and 1"), ({"hives": -1}, "counted from 0"), ({"months_to_hive": 0}, "1 to 12")],
)
def test_bad_settings_get_a_sentence(options, say):
    with pytest.raises(ValueError, match=say):
        replace(BASE, **options)


def test_bad_runs_get_a_sentence():
    with pytest.raises(ValueError, match="months"):
        grow(BASE, months=0)
