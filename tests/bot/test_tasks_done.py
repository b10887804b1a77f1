"""A kept entry that does what a task names takes it off the list; anything else leaves it there."""

from __future__ import annotations

import pytest
from yard import Yard

SAID, DUE, LATER = "2026-11-17", "2026-11-18", "2026-11-19"


def due_texts(yard: Yard) -> str:
    return yard.say("what's due this week")


@pytest.mark.parametrize(
    ("task", "done", "text"),
    [
        ("Grafting tomorrow.", "grafted thirty larvae into hive seven from hive twenty one", "graft"),
        ("remind me to feed hive nine tomorrow", "fed hive nine two litres of syrup", "feed hive 9"),
        ("remind me to mark the queen in nuc four tomorrow", "marked the queen in nuc four blue", "mark the queen"),
        ("remind me to treat hive five tomorrow", "treated hive five with oxalic acid", "treat hive 5"),
        ("remind me to inspect hive fourteen tomorrow", "hive fourteen saw the queen, six frames of brood", "inspect"),
        (
            "remind me to wash hive twenty for mites tomorrow",
            "hive twenty mite wash six mites in 300 bees",
            "wash hive",
        ),
        ("remind me to put the slide in hive seven tomorrow", "slide is in on hive seven", "put the slide in"),
    ],
)
@pytest.mark.parametrize("day", [DUE, LATER])
def test_the_work_named_takes_the_task_off_the_list(registered: Yard, task: str, done: str, text: str, day: str):
    registered.on(SAID).say(task)
    assert text in due_texts(registered.on(DUE, "07:00"))
    reply = registered.on(day).say(done)
    assert f"Task done: {text}" in reply
    assert text not in due_texts(registered)


@pytest.mark.parametrize(
    ("task", "other", "text"),
    [
        ("remind me to feed hive nine tomorrow", "fed hive ten two litres of syrup", "feed hive 9"),
        ("remind me to feed hive nine tomorrow", "hive nine saw the queen, six frames of brood", "feed hive 9"),
        ("remind me to feed hives nine and ten tomorrow", "fed hive nine two litres", "feed hives 9 and 10"),
        ("remind me to order feed for hive nine tomorrow", "fed hive nine two litres", "order feed"),
        ("remind me to put the slide in hive seven tomorrow", "excluder in on hive seven", "put the slide in"),
        ("remind me to ring the inspector about hive nine tomorrow", "hive nine saw the queen", "ring the inspector"),
    ],
)
def test_other_work_leaves_the_task_on_the_list(registered: Yard, task: str, other: str, text: str):
    registered.on(SAID).say(task)
    reply = registered.on(DUE).say(other)
    assert reply.startswith("Kept")
    assert "Task done" not in reply
    assert text in due_texts(registered)


def test_work_of_the_day_the_task_was_said_is_not_the_work_of_tomorrow(registered: Yard):
    registered.on(SAID, "09:00").say("remind me to feed hive nine tomorrow")
    assert "Task done" not in registered.on(SAID, "10:00").say("fed hive nine two litres")
    assert "feed hive 9" in due_texts(registered)


def test_work_that_was_done_before_the_task_was_said_does_not_do_it(registered: Yard):
    registered.on(DUE, "08:00").say("fed hive nine two litres")
    registered.on(DUE, "09:00").say("remind me to feed hive nine today")
    assert "feed hive 9" in due_texts(registered)
    assert "Task done: feed hive 9" in registered.on(DUE, "17:00").say("fed hive nine one litre")


def test_done_a_day_early_counts_where_it_was_planned_before(registered: Yard):
    registered.on("2026-11-16").say("remind me to feed hive nine on Thursday")
    assert "Task done" not in registered.on("2026-11-17").say("fed hive nine two litres")
    assert "Task done: feed hive 9" in registered.on("2026-11-18").say("fed hive nine two litres")


def test_the_take_of_another_round_does_not_do_the_check(registered: Yard):
    registered.on("2026-11-14").say("grafted thirty larvae into hive seven")
    registered.on("2026-11-15").say("grafted thirty larvae into hive eight")
    registered.on(SAID).say("remind me to check round two tomorrow")
    registered.on(DUE).say("round one, twenty of thirty took")
    assert "check round 2" in due_texts(registered)
    assert "Task done: check round 2" in registered.say("round two, eighteen of thirty took")


def test_the_reminder_of_a_done_task_is_silent_and_comes_back_when_the_note_is_taken_back(registered: Yard):
    registered.on(SAID).say("remind me to feed hive nine on Friday")
    waiting = registered.store.reminders.waiting_subjects("task ")
    assert waiting
    registered.on("2026-11-19", "08:00").say("fed hive nine two litres")
    assert not registered.store.reminders.waiting_subjects("task ")
    registered.say("scratch that")
    assert registered.store.reminders.waiting_subjects("task ") == waiting


def test_a_task_taken_back_rings_no_more(registered: Yard):
    registered.on(SAID).say("remind me to feed hive nine on Friday")
    registered.say("scratch that")
    assert not registered.store.reminders.waiting_subjects("task ")
