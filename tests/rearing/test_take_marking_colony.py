"""Intervals against printed values, take comparisons against SciPy and statsmodels, marks, strength."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.power import NormalIndPower
from statsmodels.stats.proportion import proportion_confint, proportion_effectsize

from gloveside.rearing.colony import BEES_PER_FRAME, bees_from_frames, cells_per_dm2, steady_brood
from gloveside.rearing.intervals import clopper_pearson, wilson
from gloveside.rearing.marking import colour_of_year, marking_colour, marking_year, possible_birth_years
from gloveside.rearing.records import Tally
from gloveside.rearing.take_compare import TakeRow, cells_each_side, compare, compare_all, fisher, group, take_by

R_BINOM_CONFINT = {
    (18, 20): (0.6989663548, 0.9721335188),
    (4, 20): (0.0806576626, 0.4160174323),
    (4, 200): (0.0078044264, 0.0502870869),
    (190, 200): (0.9104218519, 0.9726173544),
    (1, 30): (0.005908590, 0.16670391),
    (29, 30): (0.8332961, 0.9940914),
    (0, 30): (0, 0.11351339),
    (30, 30): (0.8864866, 1),
}


@pytest.mark.published("R binom.confint, in statsmodels results_proportion.py: Wilson 4/20, 18/20 and six more")
@pytest.mark.parametrize("counted", R_BINOM_CONFINT)
def test_wilson_against_r(counted):
    assert wilson(Tally(*counted)) == pytest.approx(R_BINOM_CONFINT[counted], abs=5e-8)


@pytest.mark.published("Newcombe 1998, Stat. Med. 17:857-872 (values from memory, recomputed): Wilson")
@pytest.mark.parametrize(
    ("counted", "bounds"),
    [((81, 263), (0.2553, 0.3662)), ((15, 148), (0.0624, 0.1605)), ((0, 20), (0, 0.1611)), ((1, 29), (0.0061, 0.1718))],
)
def test_wilson_against_newcombe(counted, bounds):
    assert wilson(Tally(*counted)) == pytest.approx(bounds, abs=5e-5)


@pytest.mark.published("SciPy test_ci_wilson_method: Wilson 0/10 and 10/10")
def test_wilson_at_the_ends():
    assert wilson(Tally(0, 10)) == pytest.approx((0, 0.2775328), abs=5e-8)
    assert wilson(Tally(10, 10)) == pytest.approx((0.7224672, 1), abs=5e-8)


@pytest.mark.published("SciPy proportion_ci docs: exact 7/50; statsmodels: exact 18/20; NIST 7.2.4.1: 4/20 at 90 %")
@pytest.mark.parametrize(
    ("counted", "level", "bounds", "digits"),
    [
        ((7, 50), 0.95, (0.05819170034, 0.26739600250), 5e-11),
        ((18, 20), 0.95, (0.6830172860, 0.9876514728), 5e-10),
        ((4, 20), 0.90, (0.071354, 0.401029), 2e-6),
    ],
)
def test_exact_interval(counted, level, bounds, digits):
    assert clopper_pearson(Tally(*counted), level) == pytest.approx(bounds, abs=digits)


@pytest.mark.published("Wilson (arithmetic): 14/20 48.1-85.5 %, 33/40 68.1-91.3 %, 70/100 60.4-78.1 %")
@pytest.mark.parametrize(
    ("counted", "bounds"), [((14, 20), (0.481, 0.855)), ((33, 40), (0.681, 0.913)), ((70, 100), (0.604, 0.781))]
)
def test_wilson_of_farm_sized_counts(counted, bounds):
    assert wilson(Tally(*counted)) == pytest.approx(bounds, abs=5e-4)


TALLY = st.tuples(st.integers(0, 200), st.integers(1, 200)).map(lambda t: Tally(min(t), max(t)))


@given(TALLY, st.sampled_from([0.8, 0.9, 0.95, 0.99]))
def test_intervals_against_statsmodels(tally, level):
    for ours, method in ((wilson, "wilson"), (clopper_pearson, "beta")):
        theirs = proportion_confint(tally.won, tally.of, alpha=1 - level, method=method)
        assert ours(tally, level) == pytest.approx(tuple(float(x) for x in theirs), abs=1e-9)


def test_nothing_counted_says_nothing():
    assert wilson(Tally()) == clopper_pearson(Tally()) == (0, 1)


def test_eleven_of_fifteen_against_eight_of_fifteen_shows_no_difference_yet():
    result = compare(group("top", Tally(11, 15)), group("bottom", Tally(8, 15)))
    assert result.verdict == "no difference shown yet"
    assert result.better.name == "top"
    assert result.p == pytest.approx(stats.fisher_exact([[11, 4], [8, 7]])[1])
    assert result.more_cells == cells_each_side(11 / 15, 8 / 15) - 15
    assert 70 < result.more_cells < 80


def test_a_real_difference_is_shown():
    result = compare(group("needle", Tally(55, 60)), group("brush", Tally(30, 60)))
    assert result.verdict == "difference shown"
    assert result.more_cells is None


@pytest.mark.published("Fisher's tea tasting, 3 of 4 against 1 of 4: two-sided p = 0.4857 (from memory)")
def test_fisher_on_the_lady_tasting_tea():
    assert fisher(Tally(3, 4), Tally(1, 4)) == pytest.approx(0.4857, abs=5e-5)


TALLY = st.tuples(st.integers(0, 400), st.integers(0, 400)).map(lambda t: Tally(min(t), max(t)))


@given(TALLY, TALLY)
def test_fisher_against_scipy(a, b):
    table = [[a.won, a.of - a.won], [b.won, b.of - b.won]]
    assert fisher(a, b) == pytest.approx(float(stats.fisher_exact(table)[1]), rel=1e-6, abs=1e-12)


@given(st.floats(0.05, 0.95), st.floats(0.05, 0.95))
def test_cells_needed_against_statsmodels(a, b):
    if abs(a - b) < 0.02:
        return
    n = NormalIndPower().solve_power(proportion_effectsize(a, b), alpha=0.05, power=0.8)
    assert cells_each_side(a, b) == pytest.approx(n, abs=1.01)


def test_equal_rates_have_no_difference_to_look_for():
    assert compare(group("a", Tally(8, 10)), group("b", Tally(16, 20))).more_cells is None


def rows():
    return [
        TakeRow(Tally(11, 15), round=3, bar="top", tool="needle"),
        TakeRow(Tally(8, 15), round=3, bar="bottom", tool="needle"),
        TakeRow(Tally(13, 15), round=4, bar="top", tool="brush"),
        TakeRow(Tally(12, 15), round=4, bar="bottom", tool="brush"),
        TakeRow(Tally(5, 9), round=5),
    ]


def test_take_by_bar_and_by_tool():
    bars = take_by(rows(), "bar")
    assert [(g.name, g.tally) for g in bars] == [("top", Tally(24, 30)), ("bottom", Tally(20, 30))]
    tools = take_by(rows(), "tool")
    assert compare(*tools).one_day
    assert not compare(*bars).one_day
    assert take_by(rows(), "mother") == []


def test_several_pairs_are_corrected():
    groups = [group("a", Tally(50, 60)), group("b", Tally(38, 60)), group("c", Tally(40, 60))]
    pairs = [(0, 1), (0, 2), (1, 2)]
    raw = [fisher(groups[i].tally, groups[j].tally) for i, j in pairs]
    assert sorted(c.p for c in compare_all(groups)) == pytest.approx(sorted(multipletests(raw, method="holm")[1]))


@pytest.mark.published("Associations: white 1/6, yellow 2/7, red 3/8, green 4/9, blue 5/0")
@pytest.mark.parametrize(
    ("digits", "colour"),
    [((1, 6), "white"), ((2, 7), "yellow"), ((3, 8), "red"), ((4, 9), "green"), ((5, 0), "blue")],
)
def test_colours_by_year(digits, colour):
    assert {colour_of_year(2020 + d) for d in digits} == {colour}


def test_a_december_queen_by_calendar_and_by_season():
    december, january = date(2026, 12, 3), date(2027, 1, 5)
    assert (marking_colour(december), marking_colour(january)) == ("white", "yellow")
    assert marking_colour(december, "season start") == marking_colour(january, "season start") == "white"
    assert marking_colour(december, "season end") == marking_colour(january, "season end") == "yellow"
    assert marking_year(date(2026, 6, 30), "season end") == 2026
    assert marking_year(january, "season end", season_month=1) == 2027
    assert possible_birth_years("white", december) == [2026, 2021]


@pytest.mark.published("Worker brood balance (arithmetic from 3 / 9 / 21 days): eggs : open : sealed = 3 : 6 : 12")
def test_brood_balance():
    brood = steady_brood(1000)
    assert (brood.eggs, brood.open_larvae, brood.sealed, brood.total) == (3000, 6000, 12000, 21000)


@pytest.mark.published("Betts 1938, Bee World: 2.309 x (cells per dm)^2; 12.8-20 cells a dm give 378-923 on both sides")
def test_cells_of_comb():
    assert 2 * cells_per_dm2(100 / 18.868) == pytest.approx(822, abs=0.5)
    assert cells_per_dm2(5.3) == pytest.approx(411, abs=0.5)
    assert cells_per_dm2(4.9) == pytest.approx(481, abs=0.5)
    assert 2 * cells_per_dm2(5.0) == pytest.approx(923, abs=1)


@pytest.mark.published("Simpson 1969: 1,400 bees on a deep comb; Kauffeld 1975: 1,900")
def test_a_frame_of_bees_is_a_range():
    assert (BEES_PER_FRAME.low, BEES_PER_FRAME.likely) == (1400, 1900)
    assert bees_from_frames(8, 1400) == 11200
