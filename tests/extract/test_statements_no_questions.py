"""What tells is no question, and what asks keeps nothing."""

from datetime import date

import pytest

from gloveside.extract.reader import Reader

ON = date(2026, 11, 25)


@pytest.fixture(scope="module")
def read():
    reader = Reader()
    return lambda text: reader.read(text, on=ON)


@pytest.mark.parametrize(
    "text",
    [
        "I need to get the strips out of Hive 5 by the 20th of December.",
        "I want to get the supers off Hive 9 before the rain.",
        "I need to get Hive 4 fed by Friday.",
        "We want to get the excluder back into Hive 7 on Saturday.",
    ],
)
def test_what_has_to_be_done_is_a_task(read, text):
    reading = read(text)
    assert [e.kind for e in reading.entries] == ["task"]
    assert not reading.questions


@pytest.mark.parametrize(
    "text",
    [
        "Go through Hive 13 for natural cells in a week.",
        "Tell me on the 3rd to take the strips out.",
        "Drizzle all afternoon, I only did Hive 42 and called it a day.",
        "Just did Hive 8 and left the rest of them alone today.",
    ],
)
def test_a_statement_asks_nothing(read, text):
    reading = read(text)
    assert not reading.questions
    assert reading.entries


@pytest.mark.parametrize(
    "text",
    [
        "Tell me when to put the slide in for round 3.",
        "Remind me what I fed Hive 12.",
        "How did Hive 12 look last time.",
        "Did I feed Hive 6 yesterday.",
    ],
)
def test_a_question_needs_no_mark(read, text):
    reading = read(text)
    assert len(reading.questions) == 1
    assert not reading.entries


@pytest.mark.parametrize(
    "text",
    [
        "Is there any hive I suspected of foulbrood?",
        "Which hive did I think had EFB?",
        "Was it maybe chalkbrood in Hive 4?",
    ],
)
def test_a_question_of_disease_keeps_no_disease(read, text):
    reading = read(text)
    assert reading.questions
    assert not [e for e in reading.entries if e.kind != "note"]


@pytest.mark.parametrize(
    ("text", "since"),
    [
        ("There's a fellow coming for queens on Friday, how many laying ones can I let him have?", None),
        ("A lady rang wanting one for Friday, how many laying queens have I got?", None),
        ("On Friday, what did I feed?", date(2026, 11, 20)),
    ],
)
def test_the_day_of_a_reason_is_not_the_day_asked_about(read, text, since):
    assert read(text).questions[0].since == since


@pytest.mark.parametrize(
    ("text", "task"),
    [
        ("Would you remind me tomorrow to look at Nuc 9?", "look at Nuc 9"),
        ("Would you please remind me on Monday to feed Hive 3?", "feed Hive 3"),
        ("Need to order more cages before Friday.", "order more cages"),
    ],
)
def test_the_text_of_a_task_is_what_is_to_be_done(read, text, task):
    (entry,) = read(text).entries
    assert (entry.kind, entry.text) == ("task", task)
    assert entry.due is not None
