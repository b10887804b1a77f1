"""Notes: kept, asked, answered, undone, changed and amended, with the whole history left behind."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from gloveside.extract.models import (
    BarTake,
    Cells,
    Doubt,
    Feed,
    Graft,
    Inspection,
    Mites,
    Note,
    Plant,
    Question,
    Reading,
    Take,
)
from gloveside.storage.errors import NotFound, Refused

ON = date(2026, 11, 20)
NINETEEN = Doubt(
    entry=0, field="place", said="hive nineteen ninety", options=["hive 19", "hive 90"], ask="Hive 19 or hive 90?"
)


def look(place="hive 12", on=ON, **fields):
    return Inspection(on=on, place=place, **fields)


def fed(place="hive 12", on=ON, litres=2):
    return Feed(on=on, place=place, feed="syrup 1:1", amount=litres, unit="l")


def standing(store):
    return [(e.kind, e.place) for e in store.entries.find()]


def test_a_sure_note_is_kept_as_it_was_read(store, say):
    kept = say(look(queen="queenright", brood_frames=8), fed())
    assert kept.state == "kept"
    assert [e.entry for e in kept.entries] == [look(queen="queenright", brood_frames=8), fed()]
    assert store.notes.get(kept.note_id).reading.heard == "as spoken"


def test_absent_fields_stay_absent_in_the_file(store, say):
    say(look(queen="seen"))
    assert set(store.entries.find()[0].fields) == {"kind", "on", "place", "queen", "sure"}


def test_a_doubtful_note_waits_and_nothing_of_it_is_in_the_record(store, say):
    kept = say(look("hive 19"), fed("hive 19"), doubts=[NINETEEN], keep=False)
    assert (kept.state, kept.entries) == ("asked", ())
    assert [d.ask for d in store.notes.waiting("c")] == ["Hive 19 or hive 90?"]
    assert store.entries.find() == []


def test_the_answer_keeps_it_and_carries_to_the_entries_that_shared_the_place(store, say):
    waiting = say(look("hive 19"), fed("hive 19"), look("hive 3"), doubts=[NINETEEN], keep=False)
    kept = store.notes.answer_doubt(waiting.note_id, "place", "hive 90")
    assert kept.state == "kept"
    assert [e.place for e in kept.entries] == ["hive 90", "hive 90", "hive 3"]
    assert store.notes.waiting() == []


def test_an_answer_fills_a_place_that_was_left_absent(store, say):
    waiting = say(look(None), fed(None), doubts=[NINETEEN], keep=False)
    kept = store.notes.answer_doubt(waiting.note_id, "place", "hive 19")
    assert [e.place for e in kept.entries] == ["hive 19", "hive 19"]


def test_two_doubts_need_two_answers(store, say):
    frames = Doubt(entry=0, field="brood_frames", said="for eight", options=[4, 8], ask="4 or 8 frames?")
    waiting = say(look("hive 19", brood_frames=4), doubts=[NINETEEN, frames], keep=False)
    first = store.notes.answer_doubt(waiting.note_id, "brood_frames", 8)
    assert (first.state, len(first.doubts)) == ("asked", 1)
    kept = store.notes.answer_doubt(waiting.note_id, "place", "hive 90")
    assert [e.entry for e in kept.entries] == [look("hive 90", brood_frames=8)]


def test_an_impossible_answer_is_refused_and_the_doubt_stays_open(store, say):
    frames = Doubt(entry=0, field="brood_frames", said="for eight", options=[4, 8], ask="4 or 8 frames?")
    waiting = say(look(), doubts=[frames], keep=False)
    with pytest.raises(Refused, match="brood_frames"):
        store.notes.answer_doubt(waiting.note_id, "brood_frames", "many")
    assert len(store.notes.waiting()) == 1
    assert store.notes.answer_doubt(waiting.note_id, "brood_frames", 8).state == "kept"


def test_an_answer_of_none_lets_it_stand_as_read(store, say):
    more = Doubt(entry=0, field="taken", said="twenty of fifteen", options=[15, 20], ask="20 of 15 taken?")
    waiting = say(Take(on=ON, round=1, taken=20, of=15), doubts=[more], keep=False)
    assert store.notes.answer_doubt(waiting.note_id, "taken", None).entries[0].fields["taken"] == 20


def test_an_answer_for_one_place_of_a_list_leaves_the_others(store, say):
    doubt = Doubt(entry=0, field="places", said="nuc four teen", options=["nuc 4", "nuc 14"], ask="Nuc 4 or nuc 14?")
    waiting = say(Plant(on=ON, round=1, count=2, places=["nuc 1", "nuc 4"]), doubts=[doubt], keep=False)
    kept = store.notes.answer_doubt(waiting.note_id, "places", "nuc 14")
    assert kept.entries[0].fields["places"] == ["nuc 1", "nuc 14"]


def test_a_doubt_about_the_words_themselves_is_answered_without_touching_an_entry(store, say):
    words = Doubt(field="text", said="hive well", options=["hive twelve"], ask="Hive twelve?")
    waiting = say(look(), Note(on=ON, text="hive twelve and so on"), doubts=[words], keep=False)
    kept = store.notes.answer_doubt(waiting.note_id, "text", "hive twelve")
    assert [e.entry for e in kept.entries] == [look(), Note(on=ON, text="hive twelve and so on")]
    only_look = say(look(), doubts=[words], keep=False)
    assert store.notes.answer_doubt(only_look.note_id, "text", "hive twelve").state == "kept"


def test_a_value_that_is_a_list_takes_the_place_of_the_list(store, say):
    bars = Doubt(entry=0, field="bars", said="fifteen fifty", options=[[15, 15], [15, 50]], ask="15, 15 or 15, 50?")
    waiting = say(Graft(on=ON, round=1, place="hive 7", bars=[15, 15], larvae=30), doubts=[bars], keep=False)
    kept = store.notes.answer_doubt(waiting.note_id, "bars", [15, 50])
    assert (kept.entries[0].fields["bars"], kept.entries[0].fields["larvae"]) == ([15, 50], 65)


def test_yes_keeps_a_waiting_note_and_no_sets_it_aside(store, say):
    yes = say(look("hive 19"), doubts=[NINETEEN], keep=False)
    no = say(look("hive 19"), doubts=[NINETEEN], keep=False)
    assert store.notes.confirm(yes.note_id).state == "kept"
    assert store.notes.set_aside(no.note_id).state == "dropped"
    assert standing(store) == [("inspection", "hive 19")]
    assert store.notes.get(no.note_id).reading.entries == [look("hive 19")]
    with pytest.raises(Refused):
        store.notes.answer_doubt(no.note_id, "place", "hive 19")


def test_a_question_keeps_nothing_and_an_unreadable_note_keeps_its_error(store):
    at = datetime(2026, 11, 20, tzinfo=UTC)
    asks = store.notes.add(chat="c", user="u", source="typed", spoken_at=at, text="when is round 3 ripe")
    kept = store.notes.finish(asks, Reading(questions=[Question(ask="ripe", round=3)]), ON, True)
    assert kept.state == "heard"
    noise = store.notes.add(chat="c", user="u", source="n.ogg", spoken_at=at, audio_sha256="0" * 64)
    assert store.notes.finish(noise, Reading(error="Nothing was said."), ON, False).state == "unreadable"
    assert store.notes.get(noise).error == "Nothing was said."


def test_the_same_message_or_finish_again_changes_nothing(store, say):
    kept = say(look())
    again = store.notes.add(
        chat="c", user="u", source="typed", spoken_at=datetime(2026, 1, 1, tzinfo=UTC), text="x", message_id="m1"
    )
    assert again == kept.note_id
    repeated = store.notes.finish(again, Reading(entries=[look("hive 99")]), ON, True)
    assert repeated == kept
    assert standing(store) == [("inspection", "hive 12")]


def test_a_note_without_words_or_sound_and_a_naive_moment_are_refused(store):
    with pytest.raises(Refused):
        store.notes.add(chat="c", user="u", source="x", spoken_at=datetime(2026, 1, 1, tzinfo=UTC))
    with pytest.raises(ValueError, match="time zone"):
        store.notes.add(chat="c", user="u", source="x", spoken_at=datetime(2026, 1, 1), text="x")  # noqa: DTZ001


# -- undo and change -------------------------------------------------------------------------------------


def test_undo_takes_back_the_last_note_and_then_the_one_before(store, say):
    say(look("hive 1"))
    say(look("hive 2"), fed("hive 2"))
    undone = store.notes.undo("c")
    assert (undone.what, [e.place for e in undone.before]) == ("keep", ["hive 2", "hive 2"])
    assert standing(store) == [("inspection", "hive 1")]
    assert store.notes.undo("c").before[0].place == "hive 1"
    assert store.notes.undo("c") is None
    assert standing(store) == []


def test_undo_is_of_its_own_chat_and_user(store, say):
    say(look("hive 1"), chat="group", user="anna")
    say(look("hive 2"), chat="group", user="ben")
    say(look("hive 3"), chat="other", user="anna")
    assert store.notes.undo("group", "anna").before[0].place == "hive 1"
    assert store.notes.undo("group", "anna") is None
    assert store.notes.undo("group").before[0].place == "hive 2"


def test_undo_of_a_waiting_note_drops_it(store, say):
    waiting = say(look("hive 19"), doubts=[NINETEEN], keep=False)
    assert store.notes.undo("c").what == "ask"
    assert store.notes.get(waiting.note_id).state == "dropped"
    assert store.notes.waiting() == []


def test_undo_after_answers_takes_back_the_note_at_once(store, say):
    waiting = say(look("hive 19"), doubts=[NINETEEN], keep=False)
    store.notes.answer_doubt(waiting.note_id, "place", "hive 90")
    assert store.notes.undo("c").what == "keep"
    assert store.notes.undo("c") is None


def test_change_supersedes_and_the_old_entry_stays_in_the_history(store, say):
    kept = say(look("hive 14"), fed("hive 14"))
    changed = store.notes.change("place", "hive 40", note_id=kept.note_id)
    assert [e.place for e in changed.before] == ["hive 14", "hive 14"]
    assert [e.place for e in changed.after] == ["hive 40", "hive 40"]
    assert store.entries.find(place="hive 14") == []
    old, new = store.entries.history(changed.after[0].id)
    assert (old.superseded_by, new.supersedes, old.current, new.current) == (new.id, old.id, False, True)
    assert store.entries.history(old.id) == [old, new]


def test_undo_walks_back_through_changes_to_the_first_wording(store, say):
    kept = say(look("hive 1", brood_frames=5))
    store.notes.change("place", "hive 2", note_id=kept.note_id)
    store.notes.change("place", "hive 3", note_id=kept.note_id)
    assert [store.notes.undo("c").after[0].place for _ in range(2)] == ["hive 2", "hive 1"]
    assert standing(store) == [("inspection", "hive 1")]
    line = store.entries.history(store.entries.find()[0].id)
    assert [e.place for e in line] == ["hive 1", "hive 2", "hive 3", "hive 2", "hive 1"]
    assert [e.current for e in line] == [False] * 4 + [True]
    assert store.notes.undo("c").after == ()
    assert store.notes.get(kept.note_id).state == "undone"


def test_a_change_after_an_undone_change_still_goes_back_cleanly(store, say):
    kept = say(look("hive 1"))
    store.notes.change("place", "hive 2", note_id=kept.note_id)
    store.notes.undo("c")
    store.notes.change("place", "hive 3", note_id=kept.note_id)
    assert standing(store) == [("inspection", "hive 3")]
    store.notes.undo("c")
    assert standing(store) == [("inspection", "hive 1")]
    store.notes.undo("c")
    assert standing(store) == []


def test_a_note_that_somebody_else_changed_goes_out_whole(store, say):
    kept = say(look("hive 1"), user="anna")
    store.notes.change("place", "hive 2", note_id=kept.note_id, by="ben")
    store.notes.undo("c", "anna")
    assert standing(store) == []
    assert store.notes.undo("c", "ben") is None


def test_a_change_says_which_value_was_wrong_when_there_are_several(store, say):
    kept = say(look("hive 14"), look("hive 15"))
    with pytest.raises(Refused, match="hive 14, hive 15"):
        store.notes.change("place", "hive 40", note_id=kept.note_id)
    store.notes.change("place", "hive 40", note_id=kept.note_id, was="hive 14")
    assert standing(store) == [("inspection", "hive 15"), ("inspection", "hive 40")]


@pytest.mark.parametrize(
    ("field", "to"), [("brood_frames", "lots"), ("colour", "red"), ("queen", "purple"), ("on", "someday")]
)
def test_a_change_that_the_entry_cannot_hold_leaves_all_as_it_was(store, say, field, to):
    kept = say(look("hive 14", brood_frames=3))
    with pytest.raises(Refused):
        store.notes.change(field, to, note_id=kept.note_id)
    assert [e.id for e in store.entries.find()] == list(kept.entry_ids)


def test_what_is_computed_follows_a_change(store, say):
    mites = say(Mites(on=ON, place="hive 30", method="wash", mites=9, bees=300, percent=3.0))
    assert store.notes.change("mites", 6, note_id=mites.note_id).after[0].fields["percent"] == 2.0
    graft = say(Graft(on=ON, place="hive 7", bars=[20, 20], larvae=40))
    assert store.notes.change("bars", [20, 15], entry_id=graft.entry_ids[0]).after[0].fields["larvae"] == 35
    take = say(Take(on=ON, round=1, bars=[BarTake(bar="top", taken=11, of=15)], taken=11, of=15))
    bars = [{"bar": "top", "taken": 9, "of": 15}, {"bar": "bottom", "taken": 8, "of": 15}]
    changed = store.notes.change("bars", bars, note_id=take.note_id).after[0].fields
    assert (changed["taken"], changed["of"]) == (17, 30)


def test_a_change_of_date_moves_the_entry(store, say):
    kept = say(look(on=ON))
    store.notes.change("on", date(2026, 11, 17), note_id=kept.note_id)
    assert [e.on for e in store.entries.find()] == [date(2026, 11, 17)]


def test_a_change_in_a_waiting_note_answers_its_doubt(store, say):
    waiting = say(look("hive 19"), doubts=[NINETEEN], keep=False)
    kept = store.notes.change_waiting(waiting.note_id, "place", "hive 29")
    assert (kept.state, kept.entries[0].place) == ("kept", "hive 29")


def test_an_ended_entry_cannot_be_changed_and_unknown_ids_say_so(store, say):
    kept = say(look())
    store.notes.undo("c")
    with pytest.raises(Refused, match="history"):
        store.notes.change("place", "hive 1", entry_id=kept.entry_ids[0])
    for call in (lambda: store.notes.get(99), lambda: store.entries.get(99), lambda: store.entries.history(99)):
        with pytest.raises(NotFound):
            call()


# -- amending --------------------------------------------------------------------------------------------


def test_an_edited_message_replaces_what_was_read_and_keeps_the_old_reading(store, say):
    kept = say(look("hive 12", brood_frames=8))
    store.notes.amend(kept.note_id, Reading(heard="hive 13", entries=[look("hive 13", brood_frames=7)]), ON, True)
    assert standing(store) == [("inspection", "hive 13")]
    assert [(why, r.entries[0].place) for _, why, r in store.notes.readings(kept.note_id)] == [
        ("read", "hive 12"),
        ("amend", "hive 13"),
    ]
    assert store.notes.undo("c").after[0].place == "hive 12"
    assert standing(store) == [("inspection", "hive 12")]


def test_an_amended_graft_keeps_its_round_even_when_later_rounds_exist(store, say):
    first = say(Graft(on=date(2026, 11, 1), place="hive 7", larvae=30))
    second = say(Graft(on=date(2026, 11, 14), place="hive 7", larvae=40))
    assert (first.rounds, second.rounds) == ((1,), (2,))
    amended = Reading(entries=[Graft(on=date(2026, 11, 1), place="hive 7", larvae=33)])
    assert store.notes.amend(first.note_id, amended, date(2026, 11, 1), True).entries[0].round == 1


def test_an_amendment_with_doubts_waits_and_the_old_entries_stand_back(store, say):
    kept = say(look("hive 12"))
    edited = Reading(entries=[look("hive 19")], doubts=[NINETEEN])
    assert store.notes.amend(kept.note_id, edited, ON, False).state == "asked"
    assert standing(store) == []
    store.notes.answer_doubt(kept.note_id, "place", "hive 90")
    assert standing(store) == [("inspection", "hive 90")]
    store.notes.undo("c")
    store.notes.undo("c")
    assert standing(store) == [("inspection", "hive 12")]


# -- rounds that were not said ---------------------------------------------------------------------------


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
