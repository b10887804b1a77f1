"""Orders that name the note they put right, or that a note follows: the right one changes, or it asks."""

from __future__ import annotations

import pytest
from yard import Yard


@pytest.mark.parametrize(
    ("said", "at"),
    [
        ("Please alter this morning's note, the hive was forty.", "15:00"),
        ("I made a mistake this morning, it was hive forty.", "15:00"),
    ],
)
def test_the_note_of_a_time_of_day_is_put_right(registered: Yard, said: str, at: str) -> None:
    registered.on("2026-11-20", "09:00").say("hive fourteen queenright, six frames of brood")
    registered.on("2026-11-20", "14:00").say("hive twelve queenright")
    reply = registered.on("2026-11-20", at).say(said)
    assert reply.startswith("Put right · hive 40"), reply
    assert {e.place for e in registered.store.entries.find()} == {"hive 40", "hive 12"}


def test_the_kind_of_work_tells_which_note_of_the_day(registered: Yard) -> None:
    registered.on("2026-11-17").say("wash on hive thirty, nine mites in three hundred")
    registered.say("fed hive thirty two litres of syrup")
    reply = registered.on("2026-11-20").say("Amend Tuesday's mite wash, it was twelve mites")
    assert reply.startswith("Put right"), reply
    (wash,) = registered.store.entries.find(kind="mites")
    assert (wash.fields["mites"], wash.fields["percent"]) == (12, 4.0)


def test_several_that_fit_are_offered_and_none_is_changed(registered: Yard) -> None:
    registered.on("2026-11-17", "09:00").say("hive fourteen queenright")
    registered.on("2026-11-17", "10:00").say("hive twelve queenright")
    reply = registered.on("2026-11-18").say("Could you fix yesterday's note, it was hive forty.")
    assert reply.startswith("2 entries fit"), reply
    assert {e.place for e in registered.store.entries.find()} == {"hive 14", "hive 12"}
    assert registered.tap("1").startswith("Put right")
    assert "hive 40" in {e.place for e in registered.store.entries.find()}


def test_nothing_changes_where_no_such_note_is_there(registered: Yard) -> None:
    registered.on("2026-11-17").say("hive fourteen queenright")
    reply = registered.on("2026-11-20").say("Please alter yesterday's note, the hive was forty.")
    assert "Nothing was changed" in reply
    assert registered.store.entries.find(place="hive 14")


def test_a_place_outside_the_register_changes_nothing(registered: Yard) -> None:
    registered.on("2026-11-17").say("hive fourteen queenright")
    reply = registered.on("2026-11-18").say("Please alter yesterday's note, the hive was ninety nine.")
    assert "not in the register" in reply
    assert registered.store.entries.find(place="hive 14")


def test_the_last_note_is_not_changed_when_it_says_nothing_of_what_was_wrong(registered: Yard) -> None:
    registered.say("marked the queen in hive fourteen blue")
    reply = registered.say("Please change yellow to white.")
    assert "nothing was changed" in reply
    (mark,) = registered.store.entries.find(kind="mark")
    assert mark.fields["colour"] == "blue"


def test_the_last_note_about_the_wrong_place_is_changed(registered: Yard) -> None:
    registered.say("hive thirteen queenright")
    registered.say("hive twelve queenright")
    assert registered.say("Hive thirty instead of hive thirteen, please.").startswith("Put right")
    assert {e.place for e in registered.store.entries.find()} == {"hive 30", "hive 12"}


def test_what_follows_an_undo_is_kept_after_it(registered: Yard) -> None:
    registered.say("hive fourteen queenright")
    reply = registered.say("Forget that, hive twelve has six frames of brood.")
    assert "Taken back" in reply
    assert [e.place for e in registered.store.entries.find()] == ["hive 12"]
    registered.say("undo that")
    assert registered.store.entries.find() == []


def test_a_task_after_an_undo_is_a_task(registered: Yard) -> None:
    registered.on("2026-11-17").say("hive fourteen queenright")
    reply = registered.say("Scratch that, I need to feed hive twelve tomorrow.")
    assert "Taken back" in reply
    (task,) = registered.store.entries.find()
    assert task.kind == "task"


def test_an_order_that_does_not_say_what_is_right_asks(registered: Yard) -> None:
    registered.on("2026-11-17").say("hive fourteen queenright")
    reply = registered.on("2026-11-18").say("Please correct yesterday's note about the queen in it.")
    assert "could not tell what to put right" in reply
    assert registered.store.entries.find(place="hive 14")
