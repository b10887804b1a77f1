"""The watch over mating nucs, rounds laid out over a season, breeders ranked with shrinkage."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gloveside.rearing.breeders import TRAITS, daughters_of, dominance, line_of, rank_breeders
from gloveside.rearing.chance import at_least
from gloveside.rearing.hints import occupied
from gloveside.rearing.mating_watch import CATCH_FROM, CATCH_TO, NucLook, mating_success, mating_watch
from gloveside.rearing.moments import day
from gloveside.rearing.season import CAPACITY, builders_for, plan_season, queens_by

E = date(2026, 12, 2)


def at(n: int) -> date:
    return E + timedelta(days=n)


@pytest.mark.parametrize(
    ("age", "looks", "state"),
    [
        (-1, [], "cell in"),
        (1, [], "cell due to open"),
        (2, [(2, "cell opened")], "leave alone"),
        (8, [], "leave alone"),
        (12, [], "first look due"),
        (15, [(13, "not laying")], "look again"),
        (18, [(13, "not laying")], "look again"),
        (22, [(13, "not laying"), (18, "not laying")], "give up"),
        (40, [], "give up"),
        (14, [(14, "laying")], "laying"),
        (3, [(2, "cell torn down")], "failed"),
        (15, [(15, "drone layer")], "failed"),
    ],
)
def test_states_of_a_nuc(age, looks, state):
    assert mating_watch(E, [NucLook(at(n), seen) for n, seen in looks], at(age)).state == state


def test_next_look_after_one_without_eggs():
    watch = mating_watch(E, [NucLook(at(13), "not laying")], at(13))
    assert (watch.next_from, watch.next_to) == (at(17), at(18))


def test_a_later_look_counts_and_the_future_does_not():
    looks = [NucLook(at(18), "laying"), NucLook(at(13), "not laying")]
    assert mating_watch(E, looks, at(19)).state == "laying"
    assert mating_watch(E, looks, at(14)).state == "look again"


@pytest.mark.published(
    "Rhodes & Somerville 2003 (second-hand): queens caught at 21-35 days survived introduction better"
)
def test_when_to_catch():
    assert (CATCH_FROM, CATCH_TO) == (21, 35)
    assert mating_watch(E, [NucLook(at(14), "laying")], at(15)).catch_from == at(21)


@pytest.mark.published("NSW Primefact 828: mating at E+6 to E+10: no look is ever asked for on those days")
@given(
    st.integers(-3, 60),
    st.lists(st.tuples(st.integers(1, 30), st.sampled_from(["cell opened", "not laying"])), max_size=4),
)
def test_no_look_is_asked_for_on_the_mating_days(age, looks):
    watch = mating_watch(E, [NucLook(at(n), seen) for n, seen in looks], at(age))
    for on in (watch.next_from, watch.next_to):
        assert on is None or not 6 <= (on - E).days <= 10
    if watch.next_from:
        assert watch.next_from <= watch.next_to


def test_mating_success_names_where_the_losses_fall():
    result = mating_success(["laying"] * 14 + ["cell torn down"] * 4 + ["missing"] * 2 + ["virgin seen"])
    assert (result.tally.won, result.tally.of) == (14, 20)
    assert (result.low, result.high) == pytest.approx((0.481, 0.855), abs=5e-4)
    assert result.losses == (("cell torn down", 4), ("missing", 2))
    assert result.expected == pytest.approx(0.70)


@pytest.mark.published(
    "Penn State 2020: 15-20 cells in a dearth, 100+ in a peak flow; Abd Al-Fattah 2011: heavy at ~15"
)
def test_capacity_of_a_builder():
    assert (CAPACITY["dearth"].low, CAPACITY["dearth"].high) == (15, 20)
    assert CAPACITY["flow"].high >= 100
    assert CAPACITY["fair"].low == 15


def test_builders_for_so_many_cells():
    assert builders_for(33, "dearth") == (2, 3)
    assert builders_for(20, "dearth")[0] == 2
    assert builders_for(45, "flow") == (1, 2)


def test_queens_by_a_date():
    mean, safe = queens_by(date(2026, 12, 15))
    assert mean == date(2026, 11, 20)
    assert safe == mean - timedelta(days=9)


def plan(**options):
    return plan_season(60, 0.9, date(2026, 10, 10), date(2027, 3, 1), **options)


def test_a_season_meets_its_wish():
    season = plan()
    assert season.binds is None
    assert season.reached >= 0.9
    assert season.reached == pytest.approx(at_least(60, sum(r.nucs for r in season.rounds), _laying()))
    assert all(r.calendar.get("graft").likely == r.graft for r in season.rounds)


def _laying():
    from gloveside.rearing.chance import LAYING_PRIOR

    return LAYING_PRIOR.beta


@given(
    st.integers(1, 3),
    st.integers(4, 60),
    st.booleans(),
    st.sampled_from(["dearth", "fair", "flow"]),
    st.integers(1, 150),
)
def test_no_builder_and_no_nuc_is_used_twice(builders, nucs, incubator, forage, queens):
    names = [f"hive {n}" for n in range(7, 7 + builders)]
    season = plan_season(
        queens,
        0.8,
        date(2026, 10, 1),
        date(2027, 3, 1),
        builders=names,
        nucs=nucs,
        incubator=incubator,
        forage=dict.fromkeys(range(1, 13), forage),
    )
    for name in names:
        spans = [occupied(r.calendar, incubator=incubator) for r in season.rounds if r.builder == name]
        assert all(a[1] <= b[0] for a, b in pairwise(spans))
    for r in season.rounds:
        assert 1 <= r.cells <= CAPACITY[forage].likely
        split = day(r.calendar.get("splits").likely)
        held = [
            o.nucs
            for o in season.rounds
            if day(o.calendar.get("splits").likely)
            <= split
            < day(o.calendar.get("emergence").likely) + timedelta(days=CATCH_FROM)
        ]
        assert sum(held) <= nucs
    assert (season.reached >= 0.8) == (season.binds is None)


def test_what_binds():
    assert plan(nucs=5).binds == "nucs"
    assert plan(nucs=500, capacity={"dearth": 2, "fair": 2, "flow": 2}).binds == "builders"
    short = plan_season(500, 0.9, date(2026, 10, 10), date(2026, 11, 8), nucs=900)
    assert short.binds == "days"


def test_days_away_are_left_out():
    away = frozenset({date(2026, 10, 10), date(2026, 10, 21)})
    assert plan(away=away).rounds[0].graft == date(2026, 10, 12)


def test_too_late_gets_a_sentence():
    with pytest.raises(ValueError, match="last graft would be on"):
        plan_season(10, 0.9, date(2027, 3, 1), date(2027, 3, 10))


NOTES = {
    "hive 21": {"temper": [2, 2, 2, 1, 2], "mites": [0.5, 0.3, 0.7], "honey": [30]},
    "hive 34": {"temper": [1, 1, 2, 1], "mites": [1.5, 2.0, 1.8], "honey": [28]},
    "hive 9": {"temper": [0, 1, 0, 0], "mites": [3.0, 2.5, 2.8], "honey": [45]},
}


def test_the_best_hive_comes_first_with_its_reasons():
    ranked = rank_breeders(NOTES)
    assert ranked[0].place == "hive 21"
    assert ranked[0].reasons[0].z > 0
    mites = next(r for r in ranked[-1].reasons if r.trait == "mites")
    assert mites.z < 0
    assert {r.trait for r in ranked[0].reasons} == {"temper", "mites", "honey"}


def test_few_notes_are_drawn_to_the_mean():
    steady = {"a": {"temper": [1, 2, 1, 1, 2, 1]}, "b": {"temper": [1, 0, 1, 1, 0, 1]}}
    one = {**steady, "c": {"temper": [2.0]}}
    many = {**steady, "c": {"temper": [2.0] * 12}}
    score = {name: next(c for c in rank_breeders(n) if c.place == "c") for name, n in (("one", one), ("many", many))}
    assert score["one"].reasons[0].trust < score["many"].reasons[0].trust
    assert score["one"].reasons[0].trust < 0.6


def test_notes_that_differ_as_much_within_a_hive_as_between_hives_say_little():
    noise = {f"hive {n}": {"temper": [0.0, 2.0, 1.0, 2.0, 0.0, n % 2 + 0.5]} for n in range(8)}
    assert all(r.trust < 0.2 for c in rank_breeders(noise) for r in c.reasons)
    clear = {f"hive {n}": {"temper": [float(n)] * 4 + [n + 0.1]} for n in range(8)}
    assert all(r.trust > 0.95 for c in rank_breeders(clear) for r in c.reasons)


def test_weights_turn_the_ranking():
    assert rank_breeders(NOTES, weights={"honey": 1.0})[0].place == "hive 9"


@given(
    st.dictionaries(
        st.sampled_from([f"hive {n}" for n in range(6)]),
        st.dictionaries(st.sampled_from(TRAITS), st.lists(st.floats(0, 50), min_size=1, max_size=6), max_size=4),
        min_size=2,
    )
)
def test_ranking_is_total_and_bounded(notes):
    ranked = rank_breeders(notes)
    assert {c.place for c in ranked} == set(notes)
    assert all(-3 <= c.score <= 3 for c in ranked)
    assert all(0 <= r.trust <= 1 for c in ranked for r in c.reasons)
    assert [c.score for c in ranked] == sorted((c.score for c in ranked), reverse=True)


@pytest.mark.parametrize(
    ("notes", "options", "say"),
    [
        ({"a": {}}, {}, "Two hives"),
        ({"a": {"shade": [1]}, "b": {}}, {}, "no trait"),
        (NOTES, {"weights": {"honey": 0.0}}, "must count"),
    ],
)
def test_bad_breeders_get_a_sentence(notes, options, say):
    with pytest.raises(ValueError, match=say):
        rank_breeders(notes, **options)


MOTHERS = {"hive 40": "hive 21", "hive 41": "hive 21", "hive 42": "hive 34", "hive 21": "hive 2"}


def test_pedigree():
    assert line_of("hive 40", MOTHERS) == ("hive 40", "hive 21", "hive 2")
    assert daughters_of("hive 21", MOTHERS) == ("hive 40", "hive 41")
    with pytest.raises(ValueError, match="foremother"):
        line_of("a", {"a": "b", "b": "a"})


def test_one_mother_dominating_is_a_warning():
    many = {f"nuc {n}": "hive 21" for n in range(8)} | {"nuc 9": "hive 34", "nuc 10": "hive 9"}
    result = dominance(many)
    assert (result.mother, result.warn) == ("hive 21", True)
    spread = {f"nuc {n}": f"hive {n % 4}" for n in range(12)}
    assert dominance(spread).effective_mothers == pytest.approx(4)
    assert not dominance(spread).warn
    assert not dominance({"a": "m"}).warn
