"""Replies of the rearing arithmetic: never over 40 characters wide or 12 lines long, whatever the figures."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gloveside.bot.wording.rearing import compare as compare_words
from gloveside.bot.wording.rearing import feeding, health, operation, rounds, stock
from gloveside.bot.wording.rearing.fit import MOST, WIDTH, fit
from gloveside.rearing.backwards import plan_back
from gloveside.rearing.breeders import dominance, rank_breeders
from gloveside.rearing.broodless import FIRST_NEW_EGGS, broodless_window, withholding
from gloveside.rearing.calendar import STEPS, round_calendar
from gloveside.rearing.drones import drones_for, first_graft_after_capped_drones
from gloveside.rearing.feed import Look, feeder_runs_dry, syrup_for
from gloveside.rearing.growth import grow
from gloveside.rearing.growth_settings import GrowthSettings
from gloveside.rearing.hints import away_hints, builder_hints
from gloveside.rearing.mating_watch import NucLook, mating_success, mating_watch
from gloveside.rearing.natural_cells import emergency_calendar, sealed_cell_calendar
from gloveside.rearing.odds import odds
from gloveside.rearing.records import OwnRecord, Tally
from gloveside.rearing.season import plan_season
from gloveside.rearing.splits import splits_for
from gloveside.rearing.take_compare import compare_all, group
from gloveside.rearing.varroa import Threshold, daily_drop, judge, mite_count, mite_trend

GRAFT = date(2026, 11, 20)
DATES = st.dates(date(2020, 1, 1), date(2060, 1, 1))


def fits(lines: list[str]) -> bool:
    assert lines
    assert len(lines) <= MOST, lines
    assert all(0 < len(line) <= WIDTH for line in lines), [line for line in lines if len(line) > WIDTH]
    return True


@given(st.lists(st.text(alphabet="abc dé", max_size=120), max_size=30))
def test_fit_never_goes_over(lines):
    out = fit(lines)
    assert len(out) <= MOST
    assert all(len(line) <= WIDTH for line in out)


@given(DATES, st.booleans(), st.sets(st.sampled_from(STEPS)))
def test_a_round(grafted, board, done):
    plan = round_calendar(grafted, board=board)
    real = {name: plan.get(name).likely for name in done if name in plan}
    lines = rounds.calendar_lines(round_calendar(grafted, board=board, done=real))
    assert fits(lines)
    text = " ".join(lines)
    for word in ("Graft", "Splits", "Plant", "Emerge", "First eggs"):
        assert word in text, lines
    for step in plan:
        assert fits(rounds.why_lines(step))


def test_the_round_of_the_contract_as_it_is_read():
    assert rounds.calendar_lines(round_calendar(GRAFT)) == [
        "Excluder in Tue 17 Nov",
        "Slide in 19 Nov, out 21 Nov",
        "Graft Fri 20 Nov",
        "Take check Sun 22 Nov",
        "Sealed Wed 25 Nov (24–26 Nov)",
        "Leave alone 25–29 Nov",
        "Splits Sun 29 Nov",
        "Plant Mon 30 Nov, at latest 1 Dec",
        "Emerge Wed 2 Dec (1–3 Dec)",
        "Mating flights 6–13 Dec",
        "First eggs Tue 15 Dec (9–24 Dec)",
        "Look for eggs 16 Dec, give up 27 Dec",
    ]


@given(DATES)
def test_plans_and_natural_cells(on):
    assert fits(rounds.back_lines(plan_back(on)))
    assert fits(rounds.drone_lines(drones_for(on)))
    assert fits(rounds.first_graft_lines(first_graft_after_capped_drones(on)))
    assert fits(rounds.sealed_cell_lines(sealed_cell_calendar(on)))
    assert fits(rounds.emergency_lines(emergency_calendar(on)))


@given(st.sets(st.integers(-10, 40), min_size=25))
def test_hints(away):
    calendar = round_calendar(GRAFT)
    hints = away_hints(calendar, {GRAFT + timedelta(days=n) for n in away})
    hints += builder_hints(GRAFT, {"excluder in": GRAFT, "slide in": GRAFT}, fed_on=GRAFT)
    assert fits(rounds.hint_lines(hints))


TALLY = st.tuples(st.integers(0, 400), st.integers(0, 400)).map(lambda t: Tally(min(t), max(t)))


RECORDS = st.tuples(st.integers(40, 400), st.integers(0, 400)).map(lambda t: Tally(t[0], sum(t)))


@given(st.integers(1, 400), st.floats(0.05, 0.99), RECORDS, st.none() | st.floats(0.3, 0.95))
def test_odds(queens, sure, laying, fixed):
    assert fits(stock.odds_lines(odds(queens, sure, fixed, OwnRecord(laying=laying, take=laying + Tally(80, 100)))))


@given(st.integers(0, 200), st.booleans())
def test_splits(taken, dated):
    calendar = round_calendar(GRAFT) if dated else None
    assert fits(stock.splits_lines(splits_for(taken, calendar=calendar)))
    assert fits(stock.splits_lines(splits_for(taken, counted=taken // 2, calendar=calendar)))


@settings(max_examples=15, deadline=None)
@given(st.integers(1, 400), st.integers(1, 3), st.integers(1, 200))
def test_a_season(queens, builders, nucs):
    names = [f"hive {n}" for n in range(47, 47 + builders)]
    plan = plan_season(queens, 0.9, date(2026, 9, 20), date(2027, 3, 20), builders=names, nucs=nucs)
    lines = stock.season_lines(plan)
    assert fits(lines)
    assert any("or more:" in line for line in lines)


@settings(deadline=None)
@given(st.lists(TALLY, max_size=7))
def test_comparisons(tallies):
    groups = [group(f"a rather long tool name {i}", t) for i, t in enumerate(tallies) if t.of]
    lines = compare_words.compare_lines(groups, compare_all(groups))
    assert fits(lines)


def test_no_difference_shown_yet_in_those_words():
    groups = [group("top", Tally(11, 15)), group("bottom", Tally(8, 15))]
    lines = compare_words.compare_lines(groups, compare_all(groups))
    assert lines[:3] == ["top 11/15, 73 % (48–89 %)", "bottom 8/15, 53 % (30–75 %)", "No difference shown yet"]
    assert "75 more larvae on each side" in " ".join(lines)


@given(st.integers(0, 300), st.integers(1, 3000), DATES)
def test_mites(mites, bees, on):
    if mites > bees:
        return
    count = mite_count(mites, bees)
    assert fits(health.judgement_lines(judge(count, on, {on.month: Threshold(2.0, "HBHC varroa guide")})))
    assert fits(health.trend_lines(mite_trend([(on, count)], 3.0)))
    assert fits(health.drop_lines(daily_drop(mites, 3)))


@pytest.mark.parametrize("case", FIRST_NEW_EGGS)
def test_broodless(case):
    lines = health.window_lines(broodless_window(GRAFT, case))
    assert fits(lines)
    assert lines[-1] == health.LABEL


def test_withholding():
    assert fits(health.withholding_lines(withholding("oxalic acid", GRAFT, 0, label="label, edition of May 2026")))


@given(st.floats(0.1, 5000), st.floats(0.1, 30), st.integers(0, 9))
def test_feed(litres, given_l, days_):
    assert fits(feeding.syrup_lines(syrup_for(litres, "2:1")))
    looks = [Look(GRAFT, given_l), Look(GRAFT + timedelta(days=days_ + 1), given_l, left=0.0)]
    assert fits(feeding.dry_lines(feeder_runs_dry(looks)))


@pytest.mark.parametrize("hives", [0, 40, 900])
def test_growth(hives):
    result = grow(GrowthSettings(GRAFT, hives), runs=100)
    assert fits(operation.growth_lines(result, date(2029, 1, 1), 60, currency="NZ$"))


def test_breeders():
    notes = {f"hive {n}": {"temper": [n % 3] * 3, "honey": [20.0 + n], "mites": [1.0]} for n in range(10, 30)}
    mothers = {f"nuc {n}": "hive 21" for n in range(10)}
    lines = operation.breeder_lines(rank_breeders(notes), dominance(mothers))
    assert fits(lines)
    assert "add other mothers" in " ".join(lines)


@given(
    st.integers(-3, 40), st.lists(st.tuples(st.integers(-1, 40), st.sampled_from(["laying", "not laying", "missing"])))
)
def test_nucs(age, looks):
    seen = [NucLook(GRAFT + timedelta(days=n), what) for n, what in looks]
    assert fits(operation.watch_lines("Nuc 12", mating_watch(GRAFT, seen, GRAFT + timedelta(days=age))))
    assert fits(operation.success_lines(mating_success(Counter(w for _, w in looks).elements())))
