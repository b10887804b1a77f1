"""The worked examples of the reading contract, exact, typed and as a speech engine writes them."""

from __future__ import annotations

import json
from datetime import date
from functools import cache
from typing import Any

import pytest

from gloveside.extract.models import Reading
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register

ON = date(2026, 11, 20)  # a Friday
BARS = [{"bar": "top", "taken": 11, "of": 15}, {"bar": "bottom", "taken": 8, "of": 15}]
TAKE = {"kind": "take", "round": 3, "bars": BARS, "taken": 19, "of": 30}
GRAFT = {"kind": "graft", "place": "hive 7", "mother": "hive 21", "bars": [20, 20], "larvae": 40}
LOOK = {"kind": "inspection", "place": "hive 14", "queen": "seen", "brood_frames": 8}
FED = {"kind": "feed", "place": "hive 14", "amount": 2, "unit": "l"}
DRONES = {"kind": "inspection", "place": "nuc 9", "eggs": False, "queen": "drone layer"}
WASH = {"kind": "mites", "place": "hive 30", "method": "wash", "mites": 9, "bees": 300, "percent": 3.0}


@cache
def reader() -> Reader:
    return Reader()


def read(text: str, **known: Any) -> Reading:
    return reader().read(text, on=ON, **known)


def entries(text: str, **known: Any) -> list[dict[str, Any]]:
    """Entries without `sure` and without `on` where that is the day of the note."""
    read_out = read(text, **known).model_dump(mode="json", by_alias=True)["entries"]
    return [{k: v for k, v in e.items() if k != "sure" and (k, v) != ("on", ON.isoformat())} for e in read_out]


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("round three, top bar eleven out of fifteen, bottom bar eight out of fifteen", [TAKE]),
        ("Round 3, top bar 11 out of 15, bottom bar 8 out of 15.", [TAKE]),
        ("grafted forty larvae into hive seven from hive twenty one, two bars of twenty", [GRAFT]),
        ("Grafted 40 larvae into Hive 7 from Hive 21, 2 bars of 20.", [GRAFT]),
        ("hive fourteen, saw the queen, eight frames of brood, fed two litres", [LOOK, FED]),
        ("Hive 14, saw the queen, 8 frames of brood, fed 2 litres.", [LOOK, FED]),
        ("no eggs in nuc nine, looks like a drone layer", [DRONES]),
        ("No eggs in Nuc 9. Looks like a drone layer.", [DRONES]),
        ("wash on hive thirty, nine mites in three hundred", [WASH]),
        ("Wash on Hive 30, 9 mites in 300.", [WASH]),
    ],
)
def test_worked_examples(text: str, want: list[dict[str, Any]]) -> None:
    assert entries(text) == want
    assert read(text).keep


def test_a_reminder_is_a_task_on_the_next_friday() -> None:
    [task] = entries("remind me to check round two on Friday")
    assert task == {"kind": "task", "text": "check round two", "due": "2026-11-27", "round": 2}


def test_a_question_about_splits() -> None:
    asked = read("how many splits do I need for round three")
    assert [q.model_dump() for q in asked.questions] == [{"ask": "splits", "round": 3}]
    assert not asked.entries


def test_the_example_of_the_contract_in_json() -> None:
    said = json.loads(read("Hive 12 is queenright, eight frames of brood").to_json())
    [entry] = said["entries"]
    entry.pop("sure")
    assert entry == {
        "kind": "inspection",
        "place": "hive 12",
        "on": "2026-11-20",
        "queen": "queenright",
        "brood_frames": 8,
    }
    assert said["keep"] is True


def test_a_number_said_twice_is_a_doubt_with_both_places() -> None:
    """The doubt of the contract: "hive nineteen ninety"."""
    said = read("hive nineteen ninety, eight frames of brood")
    [doubt] = said.doubts
    assert not said.keep
    assert (doubt.field, doubt.options, doubt.ask) == ("place", ["hive 19", "hive 90"], "Hive 19 or hive 90?")


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("hive nineteen, correction, hive ninety, queenright", "hive 90"),
        ("hive nineteen, I mean hive ninety, queenright", "hive 90"),
        ("hive nineteen, sorry, ninety, queenright", "hive 90"),
    ],
)
def test_a_correction_leaves_only_the_corrected_place(text: str, place: str) -> None:
    assert entries(text) == [{"kind": "inspection", "place": place, "queen": "queenright"}]


def test_a_corrected_number() -> None:
    assert entries("hive 4, five frames of brood, no, make that six") == [
        {"kind": "inspection", "place": "hive 4", "brood_frames": 6}
    ]


def test_a_place_stays_in_force_until_another_is_said() -> None:
    want = [
        {"kind": "inspection", "place": "hive 3", "queen": "queenright", "brood_frames": 6},
        {"kind": "inspection", "place": "hive 4", "queen": "queenless"},
    ]
    assert entries("hive three is queenright, six frames of brood, hive four queenless") == want


def test_several_places_share_what_is_said_of_both() -> None:
    both = entries("hives three and four both queenright")
    assert [e["place"] for e in both] == ["hive 3", "hive 4"]
    assert {e["queen"] for e in both} == {"queenright"}


def test_scratch_that_alone_is_an_order() -> None:
    assert [o.model_dump() for o in read("scratch that").orders] == [{"do": "undo"}]


def test_orders_that_change_the_note_before() -> None:
    [order] = read("hive fourteen, not forty").orders
    assert order.model_dump() == {"do": "change", "field": "place", "to": "hive 14"}


@pytest.mark.parametrize(
    "text", ["if she's laying next week I'll mark her", "I need to feed hive 8", "should split hive 9"]
)
def test_talk_of_the_future_records_nothing_done(text: str) -> None:
    assert {e["kind"] for e in entries(text)} <= {"task", "note"}


def test_days_move_the_entry_back() -> None:
    [fed] = entries("yesterday fed hive 3 two litres of syrup")
    assert fed["on"] == "2026-11-19"


def test_chatter_gives_exactly_one_note_with_its_words() -> None:
    assert entries("my back is sore, and the dog got out again") == [
        {"kind": "note", "text": "my back is sore, and the dog got out again"}
    ]


def test_an_empty_register_takes_places_as_said_and_a_known_one_asks() -> None:
    known = Register(places=frozenset(["hive 14", "hive 40"]))
    assert read("hive 140 is queenright").keep
    said = read("hive 140 is queenright", register=known)
    assert not said.keep
    assert said.doubts[0].options[:2] == ["hive 140", "hive 14"]
