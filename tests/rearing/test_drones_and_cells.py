"""Drones for a round, cells that nobody grafted, and hints about days away, clashes, late builders and weather."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gloveside.rearing.calendar import round_calendar
from gloveside.rearing.drones import MATURE, check_drones, drones_for, first_graft_after_capped_drones
from gloveside.rearing.hints import DayWeather, away_hints, builder_clashes, builder_hints, larva_hints, weather_hints
from gloveside.rearing.natural_cells import emergency_calendar, sealed_cell_calendar

GRAFT = date(2026, 11, 20)


def since(moment: date) -> int:
    return (moment - GRAFT).days


@pytest.mark.published("Drone arithmetic (24 d to emerge + 12-16 d): eggs 14-23 d before the graft, capped G-13 to G-4")
def test_drone_eggs_and_caps_before_the_graft():
    drones = drones_for(GRAFT)
    assert [since(m) for m in (drones.eggs.earliest, drones.eggs.likely, drones.eggs.latest)] == [-23, -20, -14]
    assert [since(m) for m in (drones.capped.earliest, drones.capped.latest)] == [-13, -4]
    assert -1 <= since(drones.emerge.earliest) <= since(drones.emerge.likely) <= 5


@pytest.mark.published("kvbeekeeping.com: drones mature about two weeks after emergence")
def test_drones_mature_in_two_weeks():
    assert MATURE.likely == 14


def test_drones_laid_in_time_or_late():
    calendar = round_calendar(GRAFT)
    assert check_drones(GRAFT - timedelta(days=20), calendar).in_time
    late = check_drones(GRAFT - timedelta(days=10), calendar)
    assert (late.in_time, late.late_days) == (False, 9)


def test_the_seasons_first_graft_from_capped_drones():
    step = first_graft_after_capped_drones(date(2026, 9, 10))
    assert step.earliest == date(2026, 9, 10)
    assert step.latest == date(2026, 9, 20)
    laid_at_the_latest = date(2026, 9, 10) - timedelta(days=10)
    assert check_drones(laid_at_the_latest, round_calendar(step.latest)).in_time


@given(st.dates(date(2000, 1, 1), date(2090, 1, 1)))
def test_drone_steps_are_in_order(graft):
    drones = drones_for(graft)
    for step in (drones.eggs, drones.capped, drones.emerge, first_graft_after_capped_drones(graft)):
        assert step.earliest <= step.likely <= step.latest


@pytest.mark.published("nemnba.org life cycle: queen cells are sealed 8 days; so at most 8 days to emergence")
def test_a_swarm_cell_found_sealed():
    calendar = sealed_cell_calendar(GRAFT)
    step = calendar.get("emergence")
    assert (since(step.earliest), since(step.latest)) == (0, 8)
    narrowed = sealed_cell_calendar(GRAFT, not_sealed_on=GRAFT - timedelta(days=3)).get("emergence")
    assert (since(narrowed.earliest), since(narrowed.latest)) == (4, 8)
    with pytest.raises(ValueError, match="before"):
        sealed_cell_calendar(GRAFT, not_sealed_on=GRAFT)


@pytest.mark.published("Fell & Morse 1984 (abstract) and arithmetic: emergency queen 11.5-15 d after loss, first ~10 d")
def test_emergency_queens():
    plan = emergency_calendar(GRAFT)
    emergence, eggs = plan.calendar.get("emergence"), plan.calendar.get("first eggs")
    assert [since(m) for m in (emergence.earliest, emergence.likely, emergence.latest)] == [10, 13, 15]
    assert 24 <= since(eggs.likely) <= 28
    assert since(plan.cut_out.likely) in (9, 10)


@pytest.mark.published("Collison: laying workers after about 2 weeks; others 3-4 weeks (from memory)")
def test_laying_workers_as_a_range():
    step = emergency_calendar(GRAFT).laying_workers
    assert [since(m) for m in (step.earliest, step.likely, step.latest)] == [14, 21, 28]


@given(st.dates(date(2000, 1, 1), date(2090, 1, 1)), st.integers(0, 9))
def test_natural_cells_are_in_order(on, back):
    plan = emergency_calendar(on, loss_known_to_days=back)
    for step in (*plan.calendar, plan.cut_out, *sealed_cell_calendar(on, not_sealed_on=on - timedelta(days=back + 1))):
        assert step.earliest <= step.likely <= step.latest


def test_a_step_on_a_day_away_gets_another_day_where_there_is_one():
    away = {date(2026, 11, 22), date(2026, 11, 30), date(2026, 11, 19)}
    hints = {h.step: h for h in away_hints(round_calendar(GRAFT), away)}
    assert hints["take check"].free == date(2026, 11, 21)
    assert hints["plant"].free == date(2026, 12, 1)
    assert hints["slide in"].free is None
    assert set(hints) == {"take check", "plant", "slide in"}


def test_two_rounds_in_one_builder():
    rounds = {3: round_calendar(GRAFT), 4: round_calendar(GRAFT + timedelta(days=9))}
    assert builder_clashes(rounds) == [(3, 4, date(2026, 11, 26), date(2026, 11, 30))]
    assert builder_clashes(rounds, incubator=True) == []
    assert builder_clashes({3: rounds[3], 4: round_calendar(GRAFT + timedelta(days=13))}) == []


@pytest.mark.published("Büchler et al. 2013 s. 2.1.2: larvae of 12-24 h")
def test_larvae_over_a_day_old_get_a_word():
    assert larva_hints(GRAFT, 24) == []
    assert [h.kind for h in larva_hints(GRAFT, 36)] == ["larvae"]


def test_a_builder_made_ready_late():
    done = {"excluder in": date(2026, 11, 18), "slide in": date(2026, 11, 19)}
    hints = builder_hints(GRAFT, done, fed_on=date(2026, 11, 19))
    assert [(h.step, h.text) for h in hints] == [
        ("excluder in", "1 day late for this graft"),
        ("feed", "2 days late for this graft"),
    ]


@pytest.mark.published("COLOSS BEEBOOK 13.2: mating flights above 20 °C, low wind")
def test_mating_weather():
    assert DayWeather(21, 10).mating
    assert not DayWeather(20, 10).mating
    calendar = round_calendar(GRAFT)
    cold = {date(2026, 12, 6) + timedelta(days=n): DayWeather(16, 10) for n in range(6)}
    assert [h.step for h in weather_hints(calendar, cold)] == ["mating flights"]
    warm = {d: DayWeather(24, 8) for d in cold}
    assert weather_hints(calendar, warm) == []
