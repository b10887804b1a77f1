"""Roundabout, elliptic and hesitant questions, follow-ups, and readings that cannot be meant."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from gloveside.extract.hearing import read_text
from gloveside.extract.models import Reading
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register

ON = date(2026, 11, 25)


@pytest.fixture(scope="module")
def reading() -> Any:
    """The reading of a text."""
    reader = Reader()
    return lambda text: read_text(text, reader, on=ON, register=Register())


def slots(reading: Reading) -> dict[str, Any]:
    """The slots of the only question of a reading."""
    (question,) = reading.questions
    found: dict[str, Any] = question.model_dump(mode="json")
    return found


@pytest.mark.parametrize(
    ("said", "held"),
    [
        ("I'm at the shed counting boxes, so how many splits do I want for round six?", {"ask": "splits", "round": 6}),
        ("My neighbour wants two nucs, how many nucs do I have to sell?", {"ask": "count", "for_sale": True}),
        ("While the kettle boils, which hives have too many mites?", {"ask": "list", "state": "mites high"}),
        ("this may take a while, what did I feed in October?", {"ask": "history", "since": "2026-10-01"}),
        ("The cells of round three, um, when would they be ripe?", {"ask": "ripe", "round": 3}),
        ("In which nucs is there, um, a, a virgin?", {"ask": "list", "queen": "virgin"}),
        ("Fed in November, what?", {"ask": "history", "kind": "feed", "until": "2026-11-30"}),
        ("Splits, round two?", {"ask": "splits", "round": 2}),
        ("Quarry jobs tomorrow?", {"ask": "due", "place": "yard Quarry", "until": "2026-11-26"}),
        ("How long until the feeder on hive nine is dry?", {"ask": "due", "what": "feeder", "place": "hive 9"}),
        ("In which hives didn't I see the queen?", {"ask": "list", "queen": "not seen"}),
        ("Do I get a better take with the brush or with the needle?", {"ask": "take", "by": "tool"}),
        ("What happened with nuc two in the first half of October?", {"since": "2026-10-01", "until": "2026-10-15"}),
        ("What's come up with hive nine since the middle of October?", {"ask": "history", "since": "2026-10-15"}),
        ("What wants doing by me on Friday?", {"ask": "due", "since": "2026-11-27", "until": "2026-11-27"}),
        ("last Friday, which hives were queenless?", {"ask": "list", "until": "2026-11-20"}),
        ("Since October, how many queens did I sell?", {"ask": "count", "since": "2026-10-01"}),
        ("Lovely, now do me the same for the Creek.", {"ask": "same", "place": "yard Creek"}),
        ("Thanks, and next week?", {"ask": "same", "since": "2026-11-30"}),
        ("How many would that be?", {"ask": "same", "counted": True}),
        ("Fair enough, and what was it the year before that?", {"ask": "same", "year_before": True}),
    ],
)
def test_is_read(reading: Any, said: str, held: dict[str, Any]) -> None:
    found = slots(reading(said))
    assert {name: found.get(name) for name in held} == held
    assert "unsure" not in found


@pytest.mark.parametrize(
    "said",
    [
        "How many boxes do I need for the cells of round three?",
        "Is there a nuc that I should be singing to today?",
    ],
)
def test_what_cannot_be_meant_is_offered(reading: Any, said: str) -> None:
    assert all((q.model_extra or {}).get("unsure") for q in reading(said).questions)


def test_a_record_before_a_question_is_kept(reading: Any) -> None:
    read = reading("I grafted forty larvae this morning, so when are they ripe?")
    assert [e.kind for e in read.entries] == ["graft"]
    assert slots(read)["ask"] == "ripe"


@pytest.mark.parametrize(
    "said", ["The larvae that I've, um, grafted with the needle, how many?", "Laying queens to sell, how many?"]
)
def test_the_head_of_a_question_is_no_record(reading: Any, said: str) -> None:
    read = reading(said)
    assert {e.kind for e in read.entries} <= {"note"}
    assert slots(read)["ask"] == "count"
