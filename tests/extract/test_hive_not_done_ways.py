"""Work that was wished, nearly done, needed or done elsewhere is not recorded as done today. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries as told


@pytest.mark.parametrize(
    "text",
    [
        # nearly, or under a condition
        "Nearly put a super on hive 8 but thought better of it.",
        "I almost split hive 9 then saw the forecast.",
        "Almost fed hive 10, they still had some.",
        "Could split hive 40.",
        "We could unite hive 12 with hive 13.",
        "I'd unite hive 33 with hive 34 if it weren't raining.",
        "I'd feed hive 6 if I had any sugar.",
        "Hive 39 isn't ready to split.",
        "Hive 56 is hardly strong enough to split.",
        "Hive 7 is fit to split any day.",
        "It's too late to split hive 8.",
        # needed, bought or lying about
        "Need three more strips for hive 22.",
        "Ordered strips for hives 16 to 20.",
        "Need another super for hive 6.",
        "Bought two pollen patties for hive 3.",
        "Strips for hive 21 are in the ute.",
        # there already, or yet to come off
        "Hive 23's had its strips in for six weeks.",
        "Hive 24 has had two strips in for a month.",
        "Hive 29 has three frames of honey to come off.",
        "Hive 30 has two boxes ready to take off.",
        "Took the super off hive 3 to look underneath and put it back.",
        "Lifted the super off hive 4, had a look and popped it back on.",
        "Swapped the brood box on hive 20 for a clean one.",
        "Moved the super from hive 6 to hive 7.",
        "Hive 7 is eating the fondant.",
        "Hive 8's still taking its syrup.",
        # other days, other people's
        "Last year hive 25 made 40 kilos.",
        "Hive 25 gave 40 kilos last season.",
        "My neighbour fed his hive two litres.",
        "AFB scare at the neighbour's, hive 45 looks clean.",
        "AFB inspector is coming to see hive 45.",
        "Hive 51 used to be hot.",
        "Forecast is 25 and windy.",
        "They're predicting 30 degrees.",
        "The cricket was rained off at lunch.",
        "Caught a swarm and put it in hive 54.",
        "Checkerboarded hive 43.",
        "Hive 38 is cross combed.",
    ],
)
def test_is_not_recorded_as_done(text: str) -> None:
    assert {e["kind"] for e in told(text)} <= {"task"}


@pytest.mark.parametrize(
    ("text", "entries"),
    [
        ("Hive 11's got a good laying queen.", [{"kind": "inspection", "place": "hive 11", "queen": "queenright"}]),
        ("Hive 12 has got a lovely queen.", [{"kind": "inspection", "place": "hive 12", "queen": "queenright"}]),
        ("Hive 34 is getting robbed by wasps.", [{"kind": "inspection", "place": "hive 34", "signs": ["robbing"]}]),
        ("Hive 35's being robbed.", [{"kind": "inspection", "place": "hive 35", "signs": ["robbing"]}]),
        ("Hive 8 is down to one frame of honey.", [{"kind": "inspection", "place": "hive 8", "honey_frames": 1}]),
        (
            "Hive 57 has hardly any brood but there are eggs.",
            [{"kind": "inspection", "place": "hive 57", "eggs": True}],
        ),
        (
            "Took one of the two supers off hive 31.",
            [{"kind": "box", "place": "hive 31", "box": "super", "step": "off", "count": 1}],
        ),
        (
            "To hive 8 I gave two kilograms of fondant.",
            [{"kind": "feed", "place": "hive 8", "feed": "fondant", "amount": 2, "unit": "kg"}],
        ),
        ("Into hive 9 I put three litres.", [{"kind": "feed", "place": "hive 9", "amount": 3, "unit": "l"}]),
        ("The colony in hive 5 is dead, it has starved.", [{"kind": "loss", "place": "hive 5", "cause": "starved"}]),
        ("Hive 19 onto hive 20. Paper.", [{"kind": "unite", "from": "hive 19", "into": "hive 20"}]),
        ("Hive 14, second brood box.", [{"kind": "box", "place": "hive 14", "box": "brood box", "step": "on"}]),
        ("Hive 18 tested at three percent.", [{"kind": "mites", "place": "hive 18", "percent": 3.0}]),
        (
            "Wash, hive 18, eleven, three hundred.",
            [{"kind": "mites", "place": "hive 18", "method": "wash", "mites": 11, "bees": 300, "percent": 3.7}],
        ),
        (
            "Hive 12 strong, super on, two litres.",
            [
                {"kind": "inspection", "place": "hive 12", "strength": "strong"},
                {"kind": "box", "place": "hive 12", "box": "super", "step": "on"},
                {"kind": "feed", "place": "hive 12", "amount": 2, "unit": "l"},
            ],
        ),
    ],
)
def test_is_what_was_found_or_done(text: str, entries: list[dict[str, Any]]) -> None:
    assert told(text) == entries


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("Hive 9, super on. Hive 10, same.", ["hive 9", "hive 10"]),
        ("Hive 42: super on. Hive 43: ditto.", ["hive 42", "hive 43"]),
        ("Super on hive 5. Hive 6. Same again.", ["hive 5", "hive 6"]),
        ("Put a super on hive 7. Hive 8, likewise.", ["hive 7", "hive 8"]),
        ("Took the strips out of hives 3 and 4 and put a super on each.", ["hive 3", "hive 4"]),
    ],
)
def test_a_super_on_the_next_as_well(text: str, places: list[str]) -> None:
    assert [e["place"] for e in told(text) if e["kind"] == "box"] == places


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("Wash on hive 31 was 3 in 300, hive 32 was 9 and hive 33 none.", {31: 3, 32: 9, 33: 0}),
        ("Alcohol washes: hive 1, 4 in 300, hive 2, 7, hive 3, 11.", {1: 4, 2: 7, 3: 11}),
        ("Washed three today, hive 5, 2 out of 300, hive 6, 8.", {5: 2, 6: 8}),
    ],
)
def test_mites_of_the_next_hives_in_figures_alone(text: str, counts: dict[int, int]) -> None:
    found = {e["place"]: e["mites"] for e in told(text) if e["kind"] == "mites"}
    assert found == {f"hive {n}": mites for n, mites in counts.items()}
