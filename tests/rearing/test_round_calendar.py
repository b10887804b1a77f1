"""The round calendar against published timetables, its properties, and what really happened shifting what follows."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gloveside.rearing.backwards import plan_back
from gloveside.rearing.calendar import BOARD_STEPS, STEPS, round_calendar, share_in_incubator
from gloveside.rearing.development import CAPPED, EMERGE, PUBLISHED, cool_delay_hours
from gloveside.rearing.moments import day

GRAFT = date(2026, 11, 20)
AUCKLAND = ZoneInfo("Pacific/Auckland")


def at_time(text: str) -> datetime:
    return datetime.fromisoformat(text)


def offset(name: str, **options) -> tuple[int, int, int]:
    step = round_calendar(GRAFT, **options).get(name)
    return tuple((day(m) - GRAFT).days for m in (step.earliest, step.likely, step.latest))


@pytest.mark.published("Mussen et al. 1987; Cornell fact sheet 925; Collison, Bee Culture: 16 / 21 / 24 days")
@pytest.mark.parametrize(("caste", "days_from_egg"), [("queen", 16), ("worker", 21), ("drone", 24)])
def test_development_days_agree_with_three_sources(caste, days_from_egg):
    assert EMERGE[caste].likely == days_from_egg
    rows = [r for r in PUBLISHED if r.caste == caste]
    assert len({r.source.cite for r in rows}) >= 3
    assert all(EMERGE[caste].low <= r.emerge <= EMERGE[caste].high for r in rows)


@pytest.mark.published("nemnba.org life cycle: sealed 8 / 12 / 15 days (queen / worker / drone)")
@pytest.mark.parametrize(("caste", "sealed"), [("queen", 8), ("worker", 12), ("drone", 15)])
def test_cap_plus_sealed_phase_is_emergence(caste, sealed):
    """Sources differ by less than a day: a drone capped at day 10 and sealed for 15 would emerge on day 25."""
    assert CAPPED[caste].likely + sealed == pytest.approx(EMERGE[caste].likely, abs=1)


@pytest.mark.published("Büchler et al. 2013, s. 2.1.2: larvae 12-24 h, ripe cells moved 10-11 days after grafting")
def test_ripe_cells_move_on_day_ten_or_eleven():
    assert offset("plant") == (10, 10, 11)


@pytest.mark.published(
    "Büchler et al. 2013, s. 2.1.4: starter to finisher after about 2 days; Montgomeryshire BKA: 24 h"
)
def test_slide_out_after_one_to_two_days():
    assert offset("slide out") == (1, 1, 2)


@pytest.mark.published("Cushman timesheet: emergence early at G+11, normal at G+12")
def test_emergence_on_day_twelve():
    assert offset("emergence") == (11, 12, 13)


@pytest.mark.published("Cushman timesheet: sealed by G+6; nucs stocked from G+8, cells out at G+10")
def test_sealed_and_splits_within_the_timesheet():
    low, likely, high = offset("sealed")
    assert low <= likely <= high == 6
    assert offset("splits")[0] <= 8 <= offset("splits")[1] == 9


@pytest.mark.published("Montgomeryshire BKA 2014: slide in the day before, cells checked from 24 h")
def test_slide_in_the_day_before_and_take_from_one_day():
    assert offset("slide in") == (-1, -1, -1)
    assert offset("take check") == (1, 2, 2)


@pytest.mark.published("Chuda-Mickiewicz & Samborski 2015: 16 d 1 h at 34.5 °C, 17 d 4 h at 32 °C")
def test_emergence_at_two_temperatures():
    assert cool_delay_hours(34.5) == 0
    assert timedelta(hours=cool_delay_hours(32)) == timedelta(days=17, hours=4) - timedelta(days=16, hours=1)
    at = at_time("2026-11-20T09:00")
    warm = round_calendar(at, incubator_c=34.5).get("emergence").likely
    cool = round_calendar(at, incubator_c=32).get("emergence").likely
    assert cool - warm == timedelta(hours=27)


@pytest.mark.published("Pérez-Sato & Ratnieks 2006: first eggs 12.9 days after emergence on average")
def test_first_eggs_mean():
    at = at_time("2026-11-20T12:00")
    calendar = round_calendar(at)
    assert calendar.get("first eggs").likely == (calendar.get("emergence").likely + timedelta(days=12.9)).date()


@pytest.mark.published("NSW Primefact 828: mating 6-10 days after emergence; Heidinger et al. 2014: within a week")
def test_mating_flights_within_published_days():
    calendar = round_calendar(GRAFT, done={"emergence": date(2026, 12, 2)})
    step = calendar.get("mating flights")
    since = [(m - date(2026, 12, 2)).days for m in (step.earliest, step.likely, step.latest)]
    assert since[0] <= 6
    assert since[1] == 7
    assert since[2] == 10


def test_the_worked_round_of_the_contract():
    likely = {s.step: s.likely for s in round_calendar(GRAFT)}
    assert tuple(likely) == STEPS
    assert likely["excluder in"] == date(2026, 11, 17)
    assert likely["slide in"] == date(2026, 11, 19)
    assert likely["slide out"] == date(2026, 11, 21)
    assert likely["take check"] == date(2026, 11, 22)
    assert likely["splits"] == date(2026, 11, 29)
    assert likely["plant"] == date(2026, 11, 30)
    emergence = round_calendar(GRAFT).get("emergence")
    assert (emergence.earliest, emergence.likely, emergence.latest) == (
        date(2026, 12, 1),
        date(2026, 12, 2),
        date(2026, 12, 3),
    )
    alone = round_calendar(GRAFT).get("leave alone")
    assert (alone.earliest, alone.latest) == (date(2026, 11, 25), date(2026, 11, 29))


def test_json_has_the_fields_of_the_contract():
    steps = round_calendar(GRAFT).to_json()["steps"]
    assert [s["step"] for s in steps] == list(STEPS)
    assert all(list(s) == ["step", "earliest", "likely", "latest", "why", "source"] for s in steps)
    assert all(s["why"] and s["source"] for s in steps)


def test_without_a_board_its_steps_are_absent():
    names = [s.step for s in round_calendar(GRAFT, board=False)]
    assert names == [s for s in STEPS if s not in BOARD_STEPS]
    with pytest.raises(KeyError):
        round_calendar(GRAFT, board=False).get("slide in")


def test_older_larvae_emerge_sooner():
    at = at_time("2026-11-20T12:00")
    young = round_calendar(at, larva_age_h=18).get("emergence").likely
    old = round_calendar(at, larva_age_h=48).get("emergence").likely
    assert young - old == timedelta(hours=30)


def test_a_cool_incubator_for_half_the_sealed_time_costs_half():
    assert cool_delay_hours(32, 0.5) == pytest.approx(13.5)


def test_share_of_the_sealed_time_in_the_incubator():
    plan = round_calendar(GRAFT)
    assert share_in_incubator(plan, date(2026, 11, 24)) == 1
    assert share_in_incubator(plan, date(2026, 11, 30)) == pytest.approx(2 / 7)
    assert share_in_incubator(plan, date(2026, 12, 5)) == 0


@pytest.mark.parametrize("celsius", [20, 31.9, 36, 40])
def test_no_guess_outside_the_measured_temperatures(celsius):
    with pytest.raises(ValueError, match="measured from 32"):
        round_calendar(GRAFT, incubator_c=celsius)


def test_virgins_are_planted_when_they_emerge():
    assert offset("plant", virgins=True) == (11, 12, 14)
    assert offset("splits", virgins=True)[1] == 11


def test_unknown_step_in_done_is_refused():
    with pytest.raises(ValueError, match="excluder in"):
        round_calendar(GRAFT, done={"hatching": GRAFT})


def test_real_emergence_moves_what_follows():
    plan, real = round_calendar(GRAFT), round_calendar(GRAFT, done={"emergence": date(2026, 12, 4)})
    assert real.get("emergence").done
    for name in ("mating flights", "first eggs", "laying check", "write off"):
        assert real.get(name).likely - plan.get(name).likely == timedelta(days=2)
    assert real.get("sealed") == plan.get("sealed")


def test_cells_seen_sealed_early_bring_planting_forward_but_late_sight_does_not_delay_it():
    early = round_calendar(GRAFT, done={"sealed": date(2026, 11, 24)})
    assert early.get("plant").likely == date(2026, 11, 29)
    late = round_calendar(GRAFT, done={"sealed": date(2026, 11, 28)})
    assert late.get("plant").likely == date(2026, 11, 30)


def test_a_real_graft_replaces_the_planned_one():
    assert round_calendar(GRAFT, done={"graft": date(2026, 11, 21)}).get("plant").likely == date(2026, 12, 1)


def test_a_late_excluder_pushes_a_graft_still_to_come():
    late = {"excluder in": date(2026, 11, 19)}
    assert round_calendar(GRAFT, planned=True, done=late).get("graft").likely == date(2026, 11, 22)
    assert round_calendar(GRAFT, done=late).get("graft").likely == GRAFT


def test_a_mating_seen_late_moves_the_eggs():
    real = round_calendar(GRAFT, done={"mating flights": date(2026, 12, 13)})
    assert real.get("first eggs").likely == date(2026, 12, 19)
    assert real.get("laying check").likely >= real.get("first eggs").likely


DATES = st.dates(date(2000, 1, 1), date(2090, 12, 31))
OPTIONS = st.fixed_dictionaries(
    {},
    optional={
        "board": st.booleans(),
        "larva_age_h": st.floats(0, 72),
        "incubator_c": st.floats(32, 35.5),
        "incubator_share": st.floats(0, 1),
        "virgins": st.booleans(),
    },
)
DONE = st.dictionaries(st.sampled_from(STEPS), st.integers(-4, 6), max_size=5)


@given(DATES, OPTIONS, DONE)
def test_earliest_likely_latest_are_in_order(grafted, options, slips):
    plan = round_calendar(grafted, **options)
    done = {name: day(plan.get(name).likely) + timedelta(days=n) for name, n in slips.items() if name in plan}
    for step in round_calendar(grafted, done=done, **options):
        assert step.earliest <= step.likely <= step.latest, step


@given(DATES, OPTIONS)
def test_backwards_then_forwards_returns_the_date(plant, options):
    back = plan_back(plant, **options)
    assert day(round_calendar(back.graft, **options).get("plant").likely) == plant
    assert back.start <= back.graft


ZONES = st.sampled_from(
    ["Pacific/Auckland", "Europe/London", "America/New_York", "America/Santiago", "Australia/Lord_Howe"]
)


@given(st.datetimes(at_time("2020-01-01"), at_time("2035-12-31")), ZONES)
def test_clock_changes_do_not_move_a_date(at, zone):
    naive = round_calendar(at)
    aware = round_calendar(at.replace(tzinfo=ZoneInfo(zone)))
    for one, other in zip(naive, aware, strict=True):
        assert [day(m) for m in (one.earliest, one.likely, one.latest)] == [
            day(m) for m in (other.earliest, other.likely, other.latest)
        ], one.step


@pytest.mark.parametrize("grafted", [at_time("2026-09-15T02:30"), at_time("2027-03-23T02:30")])
def test_both_clock_nights_of_the_yard(grafted):
    """Auckland clocks change on 27 September 2026 (02:00 is skipped) and 4 April 2027."""
    step = round_calendar(grafted.replace(tzinfo=AUCKLAND)).get("emergence")
    assert step.likely.date() == grafted.date() + timedelta(days=12)
    assert step.likely.utcoffset() == step.likely.astimezone(AUCKLAND).utcoffset()


def test_backwards_gives_the_excluder_and_the_drones():
    back = plan_back(date(2026, 11, 30))
    assert back.graft == GRAFT
    assert back.start == date(2026, 11, 17)
    assert back.drones.capped.latest < back.graft
