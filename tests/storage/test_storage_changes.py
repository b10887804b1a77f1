"""Undo, change and amendment: what stood before stays in the history."""

from __future__ import annotations

from datetime import date

import pytest
from sample_entries import NINETEEN, ON, fed, look, standing

from gloveside.extract.models import BarTake, Graft, Mites, Reading, Take
from gloveside.storage.errors import NotFound, Refused


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
