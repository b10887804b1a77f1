"""What is left unsaid, said again, planned or only half understood. Own sentences; expected by the contract."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import read


def entries(text: str) -> list[dict[str, Any]]:
    dumped = (e.model_dump(mode="json", by_alias=True, exclude_none=True) for e in read(text).entries)
    return [{k: v for k, v in d.items() if k not in ("sure", "on")} for d in dumped]


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("two supers to hive nine and one to hive ten", {"hive 9": 2, "hive 10": 1}),
        ("popped two supers on hive 4 and another on 5", {"hive 4": 2, "hive 5": 1}),
    ],
)
def test_a_noun_said_once_counts_for_the_next_place(text: str, counts: dict[str, int]) -> None:
    assert {e["place"]: e["count"] for e in entries(text)} == counts


def test_honey_from_two_places_in_one_breath() -> None:
    got = entries("two supers of honey off hive 12 and one off hive 13")
    assert [(e["kind"], e["place"], e["amount"]) for e in got] == [("harvest", "hive 12", 2), ("harvest", "hive 13", 1)]


def test_the_same_again_is_said_of_the_next_hive() -> None:
    got = entries("hive 9, 6 frames of brood and eggs, hive 10 ditto")
    assert [(e["place"], e["brood_frames"], e["eggs"]) for e in got] == [("hive 9", 6, True), ("hive 10", 6, True)]


def test_first_and_second_one_are_places_of_the_list() -> None:
    got = entries("Washed hives 10 and 11, first one 3 in 300, second one 8 in 300.")
    assert [(e["place"], e["mites"]) for e in got if "mites" in e] == [("hive 10", 3), ("hive 11", 8)]


def test_one_amount_from_two_hives_is_asked_about() -> None:
    """ "26 kilos out of hives 3 and 4" may be of each or of both: never saved silently."""
    reading = read("26 kilos out of hives 3 and 4")
    assert not reading.keep
    assert reading.doubts[0].field == "amount"
    assert set(reading.doubts[0].options) == {26, 13}


def test_what_the_lot_fetched_is_no_price_of_each_one() -> None:
    """The price is that of one: 30 for ten cells is 3 each; what leaves no whole cents is asked about."""
    assert read("Sold 10 cells to Dave for 30 the lot.").entries[0].price == 3
    reading = read("Sold 3 nucs to Dave for 500 the lot.")
    assert not reading.keep
    assert reading.doubts[0].field == "price"
    assert reading.entries[0].price is None


def test_what_is_said_of_a_place_of_its_own_is_kept() -> None:
    got = entries("hives 3, 4 and 5 strong, nuc 2 is empty")
    assert {"kind": "note", "text": "nuc 2 is empty", "place": "nuc 2"} in got


@pytest.mark.parametrize(
    "text",
    [
        "should've put a super on hive 9",
        "I was going to graft today but it rained off",
        "no need to feed hive 12",
        "never got to hive 18",
        "didn't get round to feeding hive 12",
    ],
)
def test_what_was_not_done_is_no_record(text: str) -> None:
    reading = read(text)
    assert not reading.orders
    assert {e.kind for e in reading.entries} <= {"note", "task", "weather"}


@pytest.mark.parametrize(
    ("text", "task"),
    [
        ("Remind me to ring Dave on Friday, there's a good lad.", "ring Dave"),
        ("I must ask you to remind me to order jars, or I'll forget.", "order jars"),
        ("Remind me tomorrow to, like, check the feeder on hive 15.", "check the feeder on hive 15"),
    ],
)
def test_a_task_is_kept_without_its_courtesies(text: str, task: str) -> None:
    got = entries(text)
    assert [(e["kind"], e["text"]) for e in got] == [("task", task)]


@pytest.mark.parametrize(
    "text",
    [
        "Requeened hive 12, 7 more of those gizmos to fit.",
        "Twiddled the queen in hive 9 about with 3 fingers.",
    ],
)
def test_words_that_nothing_accounts_for_ask(text: str) -> None:
    reading = read(text)
    assert not reading.keep
    assert reading.doubts[0].ask.startswith("I made nothing of")


def test_a_record_that_accounts_for_everything_is_kept() -> None:
    reading = read("Hive 12, queen seen, 8 frames of brood, fed 2 litres of syrup.")
    assert reading.keep
    assert all(e.sure > 0.9 for e in reading.entries)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("How about that, 28 of 30 took in round 4.", "take"),
        ("Which leaves 16 ripe cells in round 3.", "cells"),
        ("Did hive 12, eggs and 5 frames of brood.", "inspection"),
    ],
)
def test_what_tells_an_amount_is_no_question(text: str, kind: str) -> None:
    reading = read(text)
    assert [e.kind for e in reading.entries] == [kind]
    assert not reading.questions


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("hive 55, 4 frames of brood, 5, sorry", {"place": "hive 55", "brood_frames": 5}),
        ("nuc 10, queen not seen, eggs though", {"place": "nuc 10", "queen": "not seen", "eggs": True}),
        ("found laying workers in nuc 4", {"place": "nuc 4", "queen": "laying workers"}),
        (
            "caught a wash on 30, 7 out of 300",
            {"place": "hive 30", "method": "wash", "mites": 7, "bees": 300, "percent": 2.3},
        ),
        (
            "hive 9 has had a frame of honey from hive 10",
            {"place": "hive 9", "feed": "honey frame", "amount": 1, "unit": "frame"},
        ),
        ("off came the super on hive 4", {"place": "hive 4", "box": "super", "step": "off"}),
    ],
)
def test_ways_of_saying_that_once_were_read_wrong(text: str, wanted: dict[str, Any]) -> None:
    got = [{k: v for k, v in e.items() if k != "kind"} for e in entries(text) if e["kind"] != "note"]
    assert got == [wanted]
