"""Chances of counts: binomial and beta-binomial against printed values and SciPy, the nuc table, splits from a take."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from gloveside.rearing.calendar import round_calendar
from gloveside.rearing.chance import (
    LAYING_PRIOR,
    TAKE_MANAGED,
    Beta,
    at_least,
    beta_binomial_at_least,
    beta_binomial_pmf,
    binomial_at_least,
    certainty_words,
    reach_curve,
    tries_needed,
)
from gloveside.rearing.odds import odds
from gloveside.rearing.records import OwnRecord, Tally
from gloveside.rearing.splits import splits_for


@pytest.mark.published("SciPy binomtest example: P(X >= 3 | 15, 0.1) = 0.18406106910639 (from memory, recomputed)")
def test_binomial_tail_of_the_car_safety_example():
    assert binomial_at_least(3, 15, 0.1) == pytest.approx(0.18406106910639, abs=1e-12)


@pytest.mark.published("Laplace's rule of succession: (s + 1) / (n + 2); uniform for Beta(1, 1)")
def test_beta_binomial_identities():
    assert beta_binomial_pmf(4, Beta(1, 1)) == pytest.approx([0.2] * 5)
    for s, n in ((0, 5), (3, 5), (14, 20)):
        assert beta_binomial_at_least(1, 1, Beta(1, 1).given(Tally(s, n))) == pytest.approx((s + 1) / (n + 2))


@pytest.mark.published(
    "Worked beta-binomial (arithmetic): 14 of 20, Beta(1, 1): P(>= 20 of 30) = 0.616123 against 0.730370"
)
def test_an_uncertain_rate_is_less_sure_than_the_raw_one():
    posterior = Beta(1, 1).given(Tally(14, 20))
    assert posterior.mean == pytest.approx(0.6818, abs=5e-5)
    assert 30 * posterior.mean == pytest.approx(20.45, abs=5e-3)
    assert beta_binomial_at_least(20, 30, posterior) == pytest.approx(0.616123, abs=5e-7)
    assert binomial_at_least(20, 30, 0.7) == pytest.approx(0.730370, abs=5e-7)


@pytest.mark.published(
    "Nuc table (binomial arithmetic): 33 nucs for 20 queens at 90 %, p = 0.7, and 17 more cells of it"
)
@pytest.mark.parametrize(
    ("queens", "p", "nucs"),
    [
        (10, 0.7, (16, 18, 19)),
        (20, 0.7, (31, 33, 35)),
        (30, 0.7, (46, 49, 50)),
        (10, 0.8, (14, 15, 16)),
        (20, 0.8, (27, 28, 29)),
        (30, 0.8, (40, 42, 43)),
    ],
)
def test_nuc_table(queens, p, nucs):
    assert tuple(odds(queens, sure, laying=p).nucs for sure in (0.8, 0.9, 0.95)) == nucs


@pytest.mark.published("Pérez-Sato & Ratnieks 2006: 70 % of ripe cells; Büchler et al. 2013 s. 2.1.7: take >= 80 %")
def test_priors_carry_the_published_means():
    assert LAYING_PRIOR.beta.mean == pytest.approx(0.70)
    assert TAKE_MANAGED.beta.mean == pytest.approx(0.80)


@given(st.integers(0, 60), st.integers(0, 60), st.floats(0.2, 50), st.floats(0.2, 50))
def test_beta_binomial_against_scipy(k, n, a, b):
    assert beta_binomial_at_least(k, n, Beta(a, b)) == pytest.approx(
        float(stats.betabinom.sf(k - 1, n, a, b)), abs=1e-8
    )


@given(st.integers(0, 80), st.integers(0, 80), st.floats(0.01, 0.99))
def test_binomial_against_scipy(k, n, p):
    assert binomial_at_least(k, n, p) == pytest.approx(float(stats.binom.sf(k - 1, n, p)), abs=1e-9)


@given(st.integers(1, 60), st.floats(0.05, 0.98), st.floats(0.1, 0.95))
def test_tries_needed_is_the_smallest(k, sure, p):
    n = tries_needed(k, sure, p)
    assert at_least(k, n, p) >= sure - 1e-9
    assert n == k or at_least(k, n - 1, p) < sure


@given(
    st.integers(1, 40),
    st.integers(0, 80),
    st.floats(0.01, 0.99) | st.builds(Beta, st.floats(0.3, 60), st.floats(0.3, 60)),
)
def test_the_curve_over_tries_against_single_tails(k, most, chance):
    curve = reach_curve(k, most, chance)
    assert curve.shape == (most + 1,)
    assert curve == pytest.approx([at_least(k, n, chance) for n in range(most + 1)], abs=1e-9)


TALLY = st.tuples(st.integers(0, 80), st.integers(0, 80)).map(lambda t: Tally(min(t), max(t)))
RECORD = st.builds(OwnRecord, take=TALLY, ripe=TALLY, laying=TALLY)


@given(st.integers(1, 40), st.floats(0.05, 0.95), st.floats(0.05, 0.95), RECORD, st.none() | st.floats(0.3, 0.95))
def test_more_certainty_never_needs_fewer(queens, one, other, record, laying):
    low, high = sorted((one, other))
    less, more = odds(queens, low, laying, record), odds(queens, high, laying, record)
    assert less.nucs <= more.nucs
    assert less.cells <= more.cells
    assert less.larvae <= more.larvae
    assert queens <= less.nucs <= less.larvae


@given(st.integers(1, 39), st.integers(1, 20), st.floats(0.05, 0.95), RECORD, st.none() | st.floats(0.3, 0.95))
def test_more_queens_never_need_fewer(queens, more, sure, record, laying):
    less, many = odds(queens, sure, laying, record), odds(queens + more, sure, laying, record)
    assert less.nucs <= many.nucs
    assert less.larvae <= many.larvae


@given(st.integers(1, 40), st.floats(0.05, 0.95), RECORD)
def test_larvae_and_nucs_reach_the_certainty_together(queens, sure, record):
    result = odds(queens, sure, record=record)
    assert result.overall >= sure - 1e-9


@given(st.integers(1, 40), st.floats(0.05, 0.95), RECORD, st.floats(0.3, 0.95))
def test_with_the_nucs_of_the_table_larvae_reach_what_cells_can(queens, sure, record, laying):
    """The table leaves no room where its chance is the wished one: there larvae stop at a fixed certainty of cells."""
    result = odds(queens, sure, laying, record)
    in_hand = at_least(queens, result.nucs, laying)
    assert result.overall >= min(sure, in_hand * 0.975) - 1e-9


def test_own_record_draws_the_odds_towards_itself():
    poor = odds(20, 0.9, record=OwnRecord(laying=Tally(20, 50)))
    plain = odds(20, 0.9)
    good = odds(20, 0.9, record=OwnRecord(laying=Tally(48, 50)))
    assert good.nucs < plain.nucs < poor.nucs
    assert 0.4 < poor.laying < 0.7 < good.laying < 0.96


def test_an_uncertain_chance_asks_for_more_than_a_fixed_one():
    assert odds(20, 0.9).nucs > odds(20, 0.9, laying=0.7).nucs


def test_overall_chance_against_a_simulation():
    result = odds(20, 0.9, laying=0.7, record=OwnRecord(take=Tally(60, 90), ripe=Tally(50, 60)))
    rng = np.random.default_rng(7)
    n = 60_000
    take = rng.beta(16 + 60, 4 + 30, n)
    ripe = rng.beta(19 + 50, 1 + 10, n)
    cells = np.minimum(rng.binomial(result.larvae, take * ripe), result.nucs)
    simulated = (rng.binomial(cells, 0.7) >= 20).mean()
    assert result.overall == pytest.approx(simulated, abs=0.01)
    assert result.overall >= 0.9


def test_percent_and_share_mean_the_same():
    assert odds(20, 90, laying=70) == odds(20, 0.9, laying=0.7)


@pytest.mark.parametrize(("queens", "sure"), [(0, 0.9), (-3, 0.9), (20, 0), (20, 1), (20, 100), (20, -1)])
def test_impossible_wishes_get_a_sentence(queens, sure):
    with pytest.raises(ValueError, match=r"[Ss]ay"):
        odds(queens, sure)


def test_json_of_the_contract():
    out = odds(20, 0.9, laying=0.7).to_json()
    assert list(out)[:4] == ["nucs", "cells", "larvae", "why"]
    assert out["nucs"] == out["cells"] == 33


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.9, "9 times in 10"),
        (0.95, "19 times in 20"),
        (0.8, "4 times in 5"),
        (0.5, "an even chance"),
        (0.25, "1 time in 4"),
    ],
)
def test_certainty_in_plain_words(share, words):
    assert certainty_words(share) == words


def test_splits_from_a_take():
    result = splits_for(19, calendar=round_calendar(date(2026, 11, 20)))
    assert result.low <= result.make <= result.high <= 19
    assert result.make == 18
    assert str(result.when.likely) == "2026-11-29"


def test_counted_ripe_cells_settle_the_splits():
    assert splits_for(19, counted=17).make == 17
    with pytest.raises(ValueError, match="count again"):
        splits_for(19, counted=20)


@given(st.integers(0, 90), TALLY)
def test_the_band_holds_what_it_says(taken, ripe):
    result = splits_for(taken, ripe=ripe)
    scale = min(1, 100 / max(ripe.of, 1))
    pmf = stats.betabinom.pmf(np.arange(taken + 1), taken, 19 + scale * ripe.won, 1 + scale * (ripe.of - ripe.won))
    assert 0 <= result.low <= result.make <= result.high <= taken
    assert pmf[result.low : result.high + 1].sum() >= 0.8 - 1e-6


def test_dear_empty_splits_mean_fewer_of_them():
    assert splits_for(40, empty_split_cost=5).make < splits_for(40).make < splits_for(40, spare_cell_cost=5).make
