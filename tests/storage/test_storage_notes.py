"""Notes: kept, asked and answered, with what was heard left behind."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sample_entries import NINETEEN, ON, fed, look, standing

from gloveside.extract.models import Doubt, Graft, Note, Plant, Question, Reading, Take
from gloveside.storage.errors import Refused


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
