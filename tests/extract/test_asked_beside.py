"""Questions with what stands beside them, follow-ups that shift or narrow, and general knowledge. All worded here."""

from __future__ import annotations

from typing import Any

import pytest
from asked_slots import holds, slots
from one_reader import read


@pytest.mark.parametrize(
    ("said", "want"),
    [
        ("How many splits for round four, I have boxes to paint?", {"ask": "splits", "round": 4}),
        ("How many splits does round two need, we have frames to wire?", {"ask": "splits", "round": 2}),
        ("when is round three ripe, because my cousin wants to film it", {"ask": "ripe", "round": 3}),
        ("when are the cells of round five ripe, I promised the neighbour some", {"ask": "ripe", "round": 5}),
        ("which hives are queenless, I have spare cells to use up?", {"ask": "list", "queen": "queenless"}),
        ("which hives have swarm cells, because I need boxes ready?", {"ask": "list", "state": "swarm cells"}),
        ("How did round six take, I want to tell the wife?", {"ask": "take", "round": 6}),
        ("how many hives are at the Creek, I need to order lids?", {"ask": "count", "place": "yard Creek"}),
        ("Which hives are weak, I could join a few of the nucs?", {"ask": "list", "state": "weak"}),
        ("What's due tomorrow, I'm loading the smoker and boxes now?", {"ask": "due", "since": "2026-11-26"}),
        ("what did I last say about hive 9, because I'm about to split?", {"ask": "last", "place": "hive 9"}),
        ("How many laying queens are for sale, we have buyers on the phone?", {"ask": "count", "for_sale": True}),
        ("which hives need feed, as I have syrup left in the drum?", {"ask": "list", "state": "hungry"}),
        ("Any hives with strips in that I should know of?", {"ask": "list", "state": "treatment in"}),
        ("Which hives are weak I should keep an eye on?", {"ask": "list", "state": "weak"}),
        ("Any queenless hives I ought to worry about?", {"ask": "list", "queen": "queenless"}),
        ("will I have ripe cells for a customer tomorrow?", {"ask": "ripe", "since": "2026-11-26"}),
        ("when are round two's cells ripe for the neighbour?", {"ask": "ripe", "round": 2}),
        ("How many boxes should I throw in the truck for round three's splits?", {"ask": "splits", "round": 3}),
        ("How many nuc boxes do I load for round four?", {"ask": "splits", "round": 4}),
        ("how many splits must I rustle up for round nine?", {"ask": "splits", "round": 9}),
    ],
)
def test_what_stands_beside_a_question_is_no_part_of_it(said: str, want: dict[str, Any]) -> None:
    holds(said, **want)


@pytest.mark.parametrize(
    "said",
    [
        "which hives with red lids are queenless",
        "how did round three take in the fridge",
        "which hives are not weak",
        "how many queens did I paint for round three in the shed",
    ],
)
def test_words_that_tell_some_apart_stay(said: str) -> None:
    assert "unsure" in slots(said)


@pytest.mark.parametrize(
    ("said", "want"),
    [
        ("and the week before?", {"earlier": "week"}),
        ("And the week before that?", {"earlier": "week"}),
        ("what about a week earlier?", {"earlier": "week"}),
        ("and the previous week", {"earlier": "week"}),
        ("and the month before", {"earlier": "month"}),
        ("what about the month before that?", {"earlier": "month"}),
        ("how about the previous month?", {"earlier": "month"}),
        ("and a month earlier?", {"earlier": "month"}),
        ("and the day before?", {"earlier": "day"}),
        ("and the previous day?", {"earlier": "day"}),
        ("which are they?", {"listed": True}),
        ("Which ones are those?", {"listed": True}),
        ("which hives are they?", {"listed": True}),
        ("and which nucs are those?", {"listed": True}),
        ("which of those are marked?", {"narrowed": True, "state": "marked"}),
        ("Which of those are queenless?", {"narrowed": True, "queen": "queenless"}),
        ("which of these are at the Quarry?", {"narrowed": True, "place": "yard Quarry"}),
        ("are any of those weak?", {"narrowed": True, "state": "weak"}),
        ("any of those with swarm cells?", {"narrowed": True, "state": "swarm cells"}),
        ("which of those are marked blue?", {"narrowed": True, "colour": "blue"}),
    ],
)
def test_a_follow_up_shifts_lists_or_narrows(said: str, want: dict[str, Any]) -> None:
    holds(said, ask="same", **want)


@pytest.mark.parametrize(
    "said",
    [
        "what's the best way to graft",
        "what is the right way to mark a queen",
        "easiest way to find a queen?",
        "is there a trick to finding the queen",
        "how do you graft larvae",
        "how do people treat for mites",
        "how often do you feed a nuc",
        "when do you graft",
        "when should you put the excluder in",
        "when is the best time to graft",
        "when's the right time to split a hive",
        "what is a good time to treat for mites",
        "is it safe to graft in the rain",
        "is it normal to see two queens",
        "how much syrup should I feed",
        "how many larvae should I graft",
        "how many cells should I graft a bar",
        "why do queens swarm",
        "how do I mark a queen",
        "how should I feed a nuc",
        "what's the secret of a good take",
    ],
)
def test_general_knowledge_is_not_answered_from_the_record(said: str) -> None:
    for question in read(said).questions:
        assert (question.model_extra or {}).get("unsure"), question


@pytest.mark.parametrize(
    ("said", "want"),
    [
        ("Which hives got syrup last month?", {"ask": "list", "kind": "feed", "since": "2026-10-01"}),
        ("which nucs had fondant this week", {"ask": "list", "kind": "feed", "what": "nucs"}),
        ("which hives were given feed in October", {"ask": "list", "kind": "feed", "since": "2026-10-01"}),
        ("Which hives got strips in October?", {"ask": "list", "kind": "treatment", "since": "2026-10-01"}),
        ("Did hive seven get its syrup yesterday?", {"place": "hive 7", "kind": "feed", "since": "2026-11-24"}),
        ("Will the round eight queens be laying by Christmas?", {"ask": "due", "round": 8}),
        ("will round two's queens be laying by Friday?", {"ask": "due", "round": 2}),
        ("What price did the queens fetch in October?", {"ask": "count", "kind": "sale", "money": True}),
    ],
)
def test_what_was_given_and_what_is_hoped_for(said: str, want: dict[str, Any]) -> None:
    holds(said, **want)


@pytest.mark.parametrize(
    "said",
    [
        "We let the queen out of her cage in hive 31 this morning, they were pleased to have her.",
        "Nuc 12 is, you know, laying at last, I watched her at it.",
        "I believe I see eggs, yep, nuc 6 is laying, she managed it.",
        "I may, well, graft from hive 34 next week, if I get up early.",
        "Hive 22 is queenless, I was afraid of that.",
        "Hive 9 has five frames of brood, so they are doing well.",
        "Fed hive 3 two litres of syrup yesterday, because they were light.",
        "There are 14 ripe cells in round 5, I could sell a few.",
    ],
)
@pytest.mark.parametrize("stops", [True, False])
def test_what_is_told_is_no_question_without_its_end(said: str, stops: bool) -> None:
    got = read(said if stops else said.replace(",", "").rstrip("."))
    assert not got.questions, got.questions
