"""Rounds that were not said: numbered on, told apart, or asked about."""

from __future__ import annotations

from datetime import date

from sample_entries import ON

from gloveside.extract.models import Cells, Graft, Take


def test_grafts_without_a_round_are_numbered_on(store, say):
    assert say(Graft(on=date(2026, 11, 1), round=3, place="hive 7", larvae=30)).rounds == ()
    assert say(Graft(on=date(2026, 11, 14), place="hive 7", larvae=30)).rounds == (4,)


def test_an_undone_graft_gives_its_number_back(store, say):
    assert say(Graft(on=date(2026, 11, 1), place="hive 7", larvae=30)).rounds == (1,)
    store.notes.undo("c")
    assert say(Graft(on=date(2026, 11, 2), place="hive 7", larvae=30)).rounds == (1,)


def test_two_mothers_in_one_note_are_one_round_and_two_builders_are_two(store, say):
    day = date(2026, 11, 1)
    kept = say(
        Graft(on=day, place="hive 7", mother="hive 21", larvae=20),
        Graft(on=day, place="hive 7", mother="hive 34", larvae=20),
        Graft(on=day, place="hive 9", mother="hive 34", larvae=20),
    )
    assert [e.round for e in kept.entries] == [1, 1, 2]
    assert store.rounds.get(1).larvae == 40


def test_a_take_goes_to_the_only_round_that_it_can_be_of(store, say):
    say(Graft(on=date(2026, 11, 1), place="hive 7", larvae=30))
    say(Graft(on=date(2026, 11, 14), place="hive 7", larvae=30))
    assert say(Take(on=date(2026, 11, 16), taken=20, of=30)).entries[0].round == 2


def test_a_take_that_can_be_of_two_rounds_is_asked_about(store, say):
    say(Graft(on=date(2026, 11, 13), place="hive 7", larvae=30))
    say(Graft(on=date(2026, 11, 14), place="hive 9", larvae=30))
    waiting = say(Take(on=date(2026, 11, 16), taken=20, of=30))
    assert (waiting.state, waiting.doubts[0].field, waiting.doubts[0].options) == ("asked", "round", (1, 2))
    assert store.notes.answer_doubt(waiting.note_id, "round", 2).entries[0].round == 2
    assert say(Take(on=date(2026, 11, 16), taken=11, of=30)).entries[0].round == 1, "round 2 has its take"


def test_the_number_of_cups_tells_two_rounds_apart(store, say):
    say(Graft(on=date(2026, 11, 13), place="hive 7", larvae=30))
    say(Graft(on=date(2026, 11, 14), place="hive 9", larvae=45))
    assert say(Take(on=date(2026, 11, 16), taken=20, of=45)).entries[0].round == 2


def test_the_cell_builder_tells_two_rounds_apart(store, say):
    say(Graft(on=date(2026, 11, 13), place="hive 7", larvae=30))
    say(Graft(on=date(2026, 11, 13), place="hive 9", larvae=30))
    assert say(Cells(on=date(2026, 11, 22), count=18, state="ripe", place="hive 9")).entries[0].round == 2


def test_without_any_round_a_take_is_kept_without_one(store, say):
    kept = say(Take(on=ON, taken=20, of=30))
    assert (kept.state, kept.entries[0].round) == ("kept", None)


def test_a_round_number_of_an_earlier_season_is_asked_about_once(store, say):
    say(Graft(on=date(2025, 11, 12), round=3, place="hive 7", larvae=30))
    waiting = say(Graft(on=date(2026, 11, 14), round=3, place="hive 7", larvae=40))
    assert (waiting.state, waiting.doubts[0].options) == ("asked", (4, 3))
    assert waiting.doubts[0].ask == "Round 3 was grafted on 12 Nov 2025 already. Is this round 4?"
    assert store.notes.answer_doubt(waiting.note_id, "round", 4).entries[0].round == 4
    again = say(Graft(on=date(2026, 11, 16), round=3, place="hive 7", larvae=10))
    assert store.notes.answer_doubt(again.note_id, "round", 3).state == "kept", "the operator insists"


def test_a_second_graft_of_a_round_within_days_is_not_asked_about(store, say):
    say(Graft(on=date(2026, 11, 12), round=3, place="hive 7", larvae=30))
    assert say(Graft(on=date(2026, 11, 13), round=3, place="hive 7", larvae=10)).state == "kept"
    assert store.rounds.get(3).larvae == 40


def test_which_round_is_not_asked_twice_when_the_operator_does_not_know(store, say):
    say(Graft(on=date(2026, 11, 13), place="hive 7", larvae=30))
    say(Graft(on=date(2026, 11, 14), place="hive 9", larvae=30))
    waiting = say(Take(on=date(2026, 11, 16), taken=20, of=30))
    kept = store.notes.answer_doubt(waiting.note_id, "round", None)
    assert (kept.state, kept.entries[0].round) == ("kept", None)
