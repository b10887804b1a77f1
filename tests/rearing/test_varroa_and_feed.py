"""Mites, broodless windows and feed against published figures."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from gloveside.rearing.broodless import CAGE_DAYS, FIRST_NEW_EGGS, broodless_window, withholding
from gloveside.rearing.feed import Look, by_volume, feeder_runs_dry, syrup_for, syrup_from_sugar
from gloveside.rearing.varroa import (
    Threshold,
    bees_to_tell,
    daily_drop,
    differ,
    judge,
    mite_count,
    mite_trend,
    starting_table,
)

D0 = date(2026, 6, 1)


@pytest.mark.published("PNW Handbooks: wash of ~300 bees, percent = mites / bees x 100; 9 in 300 is 3 %")
def test_nine_in_three_hundred():
    assert mite_count(9).percent == pytest.approx(3.0)


@pytest.mark.published("Wilson (arithmetic) for 300 bees: 0, 3, 6 and 9 mites")
@pytest.mark.parametrize(("mites", "bounds"), [(0, (0, 1.26)), (3, (0.34, 2.90)), (6, (0.92, 4.29)), (9, (1.59, 5.60))])
def test_interval_of_a_wash(mites, bounds):
    count = mite_count(mites)
    assert (count.low, count.high) == pytest.approx(bounds, abs=5e-3)


def test_one_wash_cannot_tell_two_from_three_percent():
    assert not differ(mite_count(6), mite_count(9))
    assert differ(mite_count(2), mite_count(20))
    assert 3000 < bees_to_tell(2, 3) < 4500


def test_thresholds_are_data_of_the_operator():
    table = {11: Threshold(3.0, "USDA-ARS Tucson")}
    assert judge(mite_count(1), date(2026, 11, 20), table).verdict == "below"
    assert judge(mite_count(9), date(2026, 11, 20), table).verdict == "cannot tell"
    assert judge(mite_count(30), date(2026, 11, 20), table).verdict == "above"
    with pytest.raises(KeyError):
        judge(mite_count(1), date(2026, 5, 1), table)


@pytest.mark.published("Ontario advice (from memory): about 1 % in May, 2-3 % in August and September")
def test_the_starting_table_follows_the_seasons():
    north, south = starting_table(southern=False), starting_table(southern=True)
    assert sorted(north) == sorted(south) == list(range(1, 13))
    assert north[5].percent == 1
    assert 2 <= north[8].percent <= 3
    assert south[11].percent == 1
    assert south[2].percent == north[8].percent


@given(st.integers(0, 400), st.floats(0.5, 30))
def test_daily_drop_against_scipy(mites, days):
    drop = daily_drop(mites, days)
    assert drop.low * days == pytest.approx(stats.chi2.ppf(0.025, 2 * mites) / 2 if mites else 0, abs=1e-6)
    assert drop.high * days == pytest.approx(stats.chi2.ppf(0.975, 2 * mites + 2) / 2, abs=1e-6)


def test_trend_falls_back_on_doubling_each_month_and_learns():
    one = mite_trend([(D0, mite_count(3))], 3.0)
    assert one.doubling_days == pytest.approx(30)
    assert D0 + timedelta(days=40) < one.crosses < D0 + timedelta(days=50)
    fast = mite_trend([(D0 + timedelta(days=14 * i), mite_count(6 * 2**i, 600)) for i in range(5)], 30.0)
    assert 14 <= fast.doubling_days < 20
    falling = mite_trend([(D0 + timedelta(days=30 * i), mite_count(64 // 4**i)) for i in range(3)], 30.0)
    assert falling.rate_a_day < 0
    assert falling.crosses is None
    with pytest.raises(ValueError, match="wash"):
        mite_trend([], 3.0)


@pytest.mark.published("UK VMD SPC: cage >= 25 d; worked: caged 1 June, workers out 22 June, drones out 25 June")
def test_caged_queen():
    window = broodless_window(D0, "caged")
    assert (window.opens, window.opens_all) == (date(2026, 6, 22), date(2026, 6, 25))
    assert D0 + timedelta(days=CAGE_DAYS) == date(2026, 6, 26)
    released = broodless_window(D0, "caged", released=date(2026, 6, 26))
    assert released.closes == date(2026, 7, 3)
    assert released.closes + timedelta(days=1) == date(2026, 7, 4)
    with pytest.raises(ValueError, match="caged"):
        broodless_window(D0, "caged", released=D0 - timedelta(days=1))


@pytest.mark.published("Broodless table (arithmetic from 21 / 24 days and E+12.9), five cases")
@pytest.mark.parametrize(
    ("case", "opens", "closes", "clear_of_drones"),
    [
        ("caged", 21, (32, 32), True),
        ("split with a ripe cell", 21, (21, 22), False),
        ("emergency queen", 21, (31, 35), True),
        ("ripe cell after a week", 21, (28, 28), True),
        ("bees only with a ripe cell", 0, (20, 22), True),
    ],
)
def test_broodless_windows(case, opens, closes, clear_of_drones):
    window = broodless_window(D0, case)
    assert (window.opens - D0).days == opens
    assert closes[0] <= (window.closes - D0).days <= closes[1]
    assert (window.days_all > 0) == clear_of_drones


def test_a_split_with_a_ripe_cell_may_have_no_window():
    window = broodless_window(D0, "split with a ripe cell")
    assert window.days <= 1
    assert window.safe_days == 0
    for early, likely, late in FIRST_NEW_EGGS.values():
        assert early <= likely <= late


def test_withholding_is_what_the_label_says():
    assert withholding("strips", date(2027, 3, 1), 14, label="label of 2026").ends == date(2027, 3, 15)
    with pytest.raises(ValueError, match="label"):
        withholding("strips", date(2027, 3, 1), -1, label="")


@pytest.mark.published("Syrup (density arithmetic; 1.236 in the German BVL text): 1.63 L and 2.25 L; 10 L needs")
def test_syrup_volumes():
    assert syrup_from_sugar(1, "1:1").syrup_l == pytest.approx(1.63, abs=0.005)
    assert syrup_from_sugar(2, "2:1").syrup_l == pytest.approx(2.25, abs=0.005)
    thin, thick = syrup_for(10, "1:1"), syrup_for(10, "2:1")
    assert (thin.sugar_kg, thin.water_l) == pytest.approx((6.15, 6.15), abs=0.005)
    assert (thick.sugar_kg, thick.water_l) == pytest.approx((8.9, 4.4), abs=0.05)
    assert by_volume(1, 1).sugar_share == pytest.approx(0.46, abs=0.005)


@pytest.mark.published("BVL 3.5 % text: 300.15 g water + 300.15 g sucrose + 17.5 g acid = 500 ml, density 1.236")
def test_thin_syrup_weighs_what_the_regulator_prints():
    mix = syrup_from_sugar(0.30015, "1:1")
    assert (mix.sugar_kg + mix.water_l) / mix.syrup_l == pytest.approx(1.236, abs=0.01)
    assert mix.syrup_l < 0.5


@given(st.floats(0.1, 500), st.sampled_from(["1:1", "2:1"]))
def test_recipe_there_and_back(litres, ratio):
    mix = syrup_for(litres, ratio)
    assert syrup_from_sugar(mix.sugar_kg, ratio).syrup_l == pytest.approx(litres)


@pytest.mark.parametrize("amount", [0, -1])
def test_no_syrup_from_nothing(amount):
    with pytest.raises(ValueError, match="above 0"):
        syrup_for(amount)


def test_a_feeder_is_topped_up_before_it_runs_dry():
    looks = [Look(D0, 2.0), Look(D0 + timedelta(days=2), 2.0, left=0.0), Look(D0 + timedelta(days=4), 2.0, left=0.1)]
    dry = feeder_runs_dry(looks)
    assert dry.learnt_from == 2
    assert 0.75 < dry.litres_a_day < 1.0
    assert dry.low < dry.litres_a_day < dry.high
    assert looks[-1].on <= dry.top_up <= dry.earliest <= dry.likely


def test_without_looks_the_usual_use_is_taken():
    dry = feeder_runs_dry([Look(D0, 3.0)])
    assert dry.likely == D0 + timedelta(days=4)
    assert dry.learnt_from == 0


def test_a_feeder_that_nobody_drinks_lasts():
    looks = [Look(D0, 2.0), Look(D0 + timedelta(days=10), 0.0, left=2.0), Look(D0 + timedelta(days=20), 0.0, left=2.0)]
    assert feeder_runs_dry(looks).litres_a_day < 0.2


@pytest.mark.parametrize(
    ("looks", "say"), [([], "litres went in"), ([Look(D0)], "how much"), ([Look(D0, 9.0)], "holds 4 L")]
)
def test_bad_looks_get_a_sentence(looks, say):
    with pytest.raises(ValueError, match=say):
        feeder_runs_dry(looks, capacity_l=4)


LOOKS = st.lists(
    st.builds(
        Look,
        st.integers(0, 60).map(lambda n: D0 + timedelta(days=n)),
        st.floats(0.1, 4),
        st.none() | st.floats(0, 4),
    ),
    min_size=1,
    max_size=8,
)


@given(LOOKS)
def test_dry_days_are_in_order(looks):
    dry = feeder_runs_dry(looks)
    assert dry.low <= dry.litres_a_day <= dry.high
    assert max(look.on for look in looks) <= dry.top_up <= max(dry.top_up, dry.earliest)
    assert dry.earliest <= dry.likely
