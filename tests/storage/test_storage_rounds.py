"""Rounds worked out from entries: steps, take, matings, and when a round is open."""

# ruff: noqa: PT012 - a unit of work that fails half-way is the thing tested.
from __future__ import annotations

from datetime import date, timedelta

import pytest

from gloveside.extract.models import (
    BarTake,
    Builder,
    Cells,
    Graft,
    Incubator,
    Loss,
    Mating,
    Plant,
    Split,
    Take,
)
from gloveside.storage.errors import NotFound
from gloveside.storage.store import Store

G = date(2026, 11, 20)


def day(n: int) -> date:
    return G + timedelta(days=n)


def a_round(say, *, places=("nuc 1", "nuc 2")):
    """The round of the contract's calendar example: grafted on 20 November with the board."""
    say(Builder(on=day(-3), place="hive 7", step="excluder in"))
    say(Builder(on=day(-1), place="hive 7", step="slide in"))
    say(Graft(on=G, place="hive 7", mother="hive 21", bars=[15, 15], larvae=30, tool="brush"))
    say(Builder(on=day(1), place="hive 7", step="slide out"))
    bars = [BarTake(bar="top", taken=11, of=15), BarTake(bar="bottom", taken=8, of=15)]
    say(Take(on=day(2), round=1, bars=bars, taken=19, of=30))
    say(Cells(on=day(9), round=1, count=18, state="ripe"))
    say(Split(**{"on": day(9), "from": "hive 3", "count": 18}))
    say(Plant(on=day(10), round=1, count=len(places), places=list(places)))


def test_a_round_gathers_what_was_done_whether_its_number_was_said_or_not(store, say):
    a_round(say)
    row = store.rounds.get(1)
    assert [(done.step, done.on) for done in row.done] == [
        ("excluder in", date(2026, 11, 17)),
        ("slide in", date(2026, 11, 19)),
        ("graft", date(2026, 11, 20)),
        ("slide out", date(2026, 11, 21)),
        ("take check", date(2026, 11, 22)),
        ("cells ripe", date(2026, 11, 29)),
        ("splits", date(2026, 11, 29)),
        ("plant", date(2026, 11, 30)),
    ]
    assert (row.builder, row.mother, row.bars, row.larvae, row.board) == ("hive 7", "hive 21", (15, 15), 30, True)
    assert (row.taken, row.of, row.count_ripe, row.planted) == (19, 30, 18, 2)
    assert row.takes_by_bar == (("top", 11, 15), ("bottom", 8, 15))
    assert row.did("slide out") == day(1)


def test_bars_told_one_by_one_add_up_and_a_recount_replaces_its_bar(store, say):
    say(Graft(on=G, round=1, place="hive 7", bars=[15, 15]))
    say(Take(on=day(2), round=1, bars=[BarTake(bar="top", taken=11, of=15)], taken=11, of=15))
    say(Take(on=day(2), round=1, bars=[BarTake(bar="bottom", taken=8, of=15)], taken=8, of=15))
    assert (store.rounds.get(1).taken, store.rounds.get(1).of) == (19, 30)
    say(Take(on=day(3), round=1, bars=[BarTake(bar="top", taken=10, of=15)], taken=10, of=15))
    assert store.rounds.get(1).taken == 18
    assert store.rounds.get(1).larvae == 30, "from the bars, where no total was said"


def test_each_builder_step_goes_to_the_next_graft_at_its_builder(store, say):
    say(Builder(on=day(-3), place="hive 9", step="excluder in"))
    say(Builder(on=day(-2), place="hive 7", step="excluder in"))
    say(Graft(on=G, place="hive 7", larvae=30))
    say(Graft(on=day(1), place="hive 9", larvae=30))
    assert store.rounds.get(1).did("excluder in") == day(-2)
    assert store.rounds.get(2).did("excluder in") == day(-3)


def test_a_round_prepared_by_number_is_the_one_that_is_grafted(store, say):
    say(Graft(on=day(-20), round=3, place="hive 7", larvae=30))
    say(Builder(on=day(-3), place="hive 7", step="excluder in", round=5))
    assert store.rounds.get(5).grafted is None
    assert say(Graft(on=G, place="hive 7", larvae=30)).rounds == (5,)


def test_matings_count_for_the_round_planted_last_in_the_nuc(store, say):
    a_round(say)
    say(Mating(on=day(24), place="nuc 1", result="not laying"))
    say(Mating(on=day(28), place="nuc 1", result="laying"))
    say(Mating(on=day(24), place="nuc 9", result="laying"))
    say(Plant(on=day(30), round=2, count=1, places=["nuc 1"]))
    say(Mating(on=day(55), place="nuc 1", result="missing"))
    row = store.rounds.get(1)
    assert row.matings == (("nuc 1", "laying", day(28)),)
    assert (row.laying, row.did("laying check")) == (1, day(24))
    assert store.rounds.get(2).matings == (("nuc 1", "missing", day(55)),)
    assert store.rounds.all()[0].matings == row.matings


def test_a_round_is_open_until_every_planted_place_has_its_result(store, say):
    a_round(say)
    say(Mating(on=day(24), place="nuc 1", result="laying"))
    assert store.rounds.get(1).open
    say(Loss(on=day(26), place="nuc 2"))
    row = store.rounds.get(1)
    assert (row.open, row.closed_why) == (False, "every planted place has its result")


@pytest.mark.parametrize(("age", "is_open"), [(20, True), (21, False)])
def test_a_round_of_which_nothing_was_planted_closes(store, say, age, is_open):
    say(Graft(on=G, place="hive 7", larvae=30))
    assert store.rounds.get(1, on=day(age)).open is is_open


def test_cells_in_the_incubator_keep_a_round_open_for_longer(store, say):
    say(Graft(on=G, place="hive 7", larvae=30))
    say(Incubator(on=day(5), round=1, what="cells", count=20, step="in"))
    assert store.rounds.get(1, on=day(45)).open
    assert not store.rounds.get(1, on=day(46)).open


def test_nothing_taken_closes_a_round_and_undo_opens_it_again(store, say):
    say(Graft(on=G, place="hive 7", larvae=30))
    say(Take(on=day(2), round=1, taken=0, of=30))
    assert store.rounds.get(1).closed_why == "nothing took"
    store.notes.undo("c")
    assert store.rounds.get(1).open


def test_a_round_is_closed_and_opened_by_hand(store, say):
    a_round(say)
    store.rounds.close(1, "sold the cells")
    assert (store.rounds.get(1).open, store.rounds.get(1).closed_why) == (False, "sold the cells")
    store.rounds.reopen(1)
    assert store.rounds.get(1, on=day(400)).open
    assert [r.number for r in store.rounds.all(open=True, on=day(400))] == [1]


def test_the_time_of_the_graft_is_known_when_it_was_noted_that_day(store, say):
    kept = say(Graft(on=G, place="hive 7", larvae=30))
    assert store.rounds.get(1).grafted_at == store.notes.get(kept.note_id).spoken_at
    say(Graft(on=day(1), round=2, place="hive 7", larvae=30), on=day(2))
    assert store.rounds.get(2).grafted_at is None, "told a day later, so the hour is not known"


def test_what_is_remembered_follows_every_change_and_no_rollback(store, say, folder, clock, speaker_for):
    say(Graft(on=G, place="hive 7", larvae=30))
    assert store.rounds.all()[0].taken is None
    with pytest.raises(ZeroDivisionError), store.together():
        say(Take(on=day(2), round=1, taken=5, of=30))
        assert store.rounds.all()[0].taken == 5
        raise ZeroDivisionError
    assert store.rounds.all()[0].taken is None
    kept = say(Take(on=day(2), round=1, taken=7, of=30))
    assert store.rounds.all()[0].taken == 7
    store.notes.change("taken", 8, note_id=kept.note_id)
    assert store.rounds.all()[0].taken == 8
    with Store.open(folder, clock) as other:
        other.notes.undo("c")
        assert store.rounds.all()[0].taken == 7
        other.rounds.close(1)
        assert not store.rounds.all()[0].open


def test_a_changed_graft_date_moves_the_round(store, say):
    kept = say(Graft(on=G, place="hive 7", larvae=30))
    store.notes.change("on", day(-1), note_id=kept.note_id)
    assert store.rounds.get(1).grafted == day(-1)


def test_a_round_that_does_not_exist_is_not_found(store):
    with pytest.raises(NotFound, match="no round 4"):
        store.rounds.get(4)
    assert store.rounds.all() == []


def test_the_register_knows_every_round_and_which_are_open(store, say, clock):
    say(Graft(on=day(-60), round=1, place="hive 7", mother="hive 21", bars=[20], larvae=20))
    say(Graft(on=day(-60), round=1, place="hive 7", mother="hive 34", bars=[20], larvae=20))
    say(Graft(on=G, round=2, place="hive 7", bars=[15, 15], larvae=30))
    known = store.places.register(clock.now, "c").rounds
    assert {n: (r.grafted, r.bars, r.larvae, r.builder, r.open) for n, r in known.items()} == {
        1: (day(-60), (20, 20), 40, "hive 7", False),
        2: (G, (15, 15), 30, "hive 7", True),
    }
