"""A question that waits takes answers only: a note of its own stays a note, and a correction goes to the last note."""

from __future__ import annotations

import pytest
from yard import Yard

DUE = "2026-11-20"
ASKED = "hive seventy seven is queenright"


@pytest.fixture
def asked(registered: Yard) -> Yard:
    registered.on(DUE, "15:00").say(ASKED)
    assert registered.store.notes.waiting("1")
    return registered


@pytest.mark.parametrize("note", ["nuc 4 the cell's been torn down", "hive 12 is packed", "nuc 3, chewed cell"])
def test_a_short_note_of_its_own_is_no_answer(asked: Yard, note: str) -> None:
    before = asked.store.notes.waiting("1")
    asked.on(DUE, "15:05").say(note)
    assert before[0] in asked.store.notes.waiting("1")
    assert not any(getattr(e.entry, "queen", None) == "queenright" for e in asked.store.entries.find())


@pytest.mark.parametrize("words", ["hive seven", "it's hive seven I think", "hive 7 of course"])
def test_an_answer_in_a_few_words_is_one(asked: Yard, words: str) -> None:
    asked.on(DUE, "15:05").say(words)
    assert not asked.store.notes.waiting("1")


def test_a_correction_means_the_note_kept_since(asked: Yard) -> None:
    asked.on(DUE, "15:05").say("hive 12 has 4 swarm cells")
    asked.on(DUE, "15:06").say("actually that was hive 13 not 12")
    places = [getattr(e.entry, "place", None) for e in asked.store.entries.find()]
    assert places == ["hive 13"]
    assert asked.store.notes.waiting("1")


def test_the_open_question_is_not_repeated_in_every_reply(asked: Yard) -> None:
    replies = [asked.on(DUE, f"15:0{k}").say(f"hive {k} has {k} frames of brood") for k in range(1, 5)]
    assert ["Still open" in r for r in replies] == [True, False, False, False]


def test_the_wrong_place_that_is_named_tells_which_note_is_meant(registered: Yard) -> None:
    registered.on(DUE, "15:00").say("hive 12 has 4 swarm cells")
    registered.on(DUE, "15:01").say("hive 20, 6 frames of brood")
    registered.on(DUE, "15:02").say("actually that was hive 13 not 12")
    places = sorted(getattr(e.entry, "place", "") for e in registered.store.entries.find())
    assert places == ["hive 13", "hive 20"]


def test_a_note_of_which_nothing_was_made_can_be_kept_by_a_tap(registered: Yard) -> None:
    registered.on(DUE, "15:00").say("nuc 4 the cell's been torn down")
    registered.on(DUE, "15:01").tap("Keep")
    assert [e.entry.kind for e in registered.store.entries.find()] == ["note"]
