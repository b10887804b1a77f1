"""Ways of telling what became of queens, who marked and who bought them, by class of speech. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("they're all laying bar nuc 17", {"kind": "mating", "place": "nuc 17", "result": "not laying"}),
        (
            "the virgin was walked in through the entrance of nuc 5",
            {"kind": "queen", "place": "nuc 5", "step": "introduced"},
        ),
        (
            "sold 6 queens, $55 each, to the bloke in Geraldine",
            {"kind": "sale", "goods": "queen", "count": 6, "price": 55, "to": "the bloke in Geraldine"},
        ),
        (
            "the club bought six queens at fifty dollars each",
            {"kind": "sale", "goods": "queen", "count": 6, "price": 50, "to": "the club"},
        ),
        (
            "sold my first nuc to Kayla for $180",
            {"kind": "sale", "goods": "nuc", "count": 1, "price": 180, "to": "Kayla"},
        ),
        (
            "sold four nucs no five to the school at two hundred dollars each",
            {"kind": "sale", "goods": "nuc", "count": 5, "price": 200, "to": "the school"},
        ),
        (
            "nuc 12 was sold to Margaret for $220",
            {"kind": "sale", "goods": "nuc", "count": 1, "price": 220, "to": "Margaret"},
        ),
    ],
)
def test_work_of_queens(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [wanted]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (
            "the nuc 2 queen's been caught and is now introduced to hive 56",
            [{"kind": "queen", "place": "nuc 2", "step": "introduced", "to": "hive 56"}],
        ),
        (
            "the old queen from hive 40 is caught and boxed up in nuc 24",
            [{"kind": "queen", "place": "hive 40", "step": "caught", "to": "nuc 24"}],
        ),
        (
            "all 3 are caged ready, the queens of nuc 4, nuc 5 and nuc 6",
            [{"kind": "queen", "place": f"nuc {n}", "step": "caged"} for n in (4, 5, 6)],
        ),
        ("White on nucs 1 and 2.", [{"kind": "mark", "place": f"nuc {n}", "colour": "white"} for n in (1, 2)]),
        ("Blue on the one in nuc 18.", [{"kind": "mark", "place": "nuc 18", "colour": "blue"}]),
        (
            "I could only spare 3 nucs, Tama took them for $230 each",
            [{"kind": "sale", "goods": "nuc", "count": 3, "price": 230, "to": "Tama"}],
        ),
        ("let him have a nuc for $180", [{"kind": "sale", "goods": "nuc", "count": 1, "price": 180}]),
        (
            "not a trace of an egg in nuc 7",
            [{"kind": "inspection", "place": "nuc 7", "eggs": False}],
        ),
    ],
)
def test_more_work_of_queens(text: str, wanted: list[dict[str, Any]]) -> None:
    assert entries(text) == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("The virgin in nuc 3 hasn't started yet.", {"kind": "mating", "place": "nuc 3", "result": "not laying"}),
        ("Nuc 10's queen never came home.", {"kind": "mating", "place": "nuc 10", "result": "missing"}),
        ("The clip's off the queen in hive 21.", {"kind": "queen", "place": "hive 21", "step": "released"}),
        (
            "Sent the queen of nuc 8 to hive 30.",
            {"kind": "queen", "place": "nuc 8", "step": "introduced", "to": "hive 30"},
        ),
        ("The queen I put in hive 9 was balled.", {"kind": "queen", "place": "hive 9", "step": "killed"}),
        (
            "The nucs are sold, four of them, 240 each, to the Hendersons.",
            {"kind": "sale", "goods": "nuc", "count": 4, "price": 240, "to": "the Hendersons"},
        ),
    ],
)
def test_further_work_of_queens(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [wanted]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("killed the grumpy old queen in hive 19", "hive 19"),
        ("Squished the queen in hive 33, nasty piece of work.", "hive 33"),
        ("culled that hot queen in hive 8, good riddance", "hive 8"),
        ("Pinched the old queen in hive 52, she's dead now.", "hive 52"),
    ],
)
def test_a_temper_is_the_killed_queens(text: str, place: str) -> None:
    assert entries(text) == [{"kind": "queen", "place": place, "step": "killed"}]


def test_a_temper_of_the_colony_stands_beside_a_killed_queen() -> None:
    got = entries("killed the queen in hive 12, they're hot")
    assert [e["kind"] for e in got] == ["queen", "inspection"]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Released her in hive 26, the candy had gone like concrete.", ["queen"]),
        ("the queen cage is in hive 9, candy end up", []),
        ("nuc 1 was hard on her and she was done for", ["queen"]),
        ("put her back in nuc 16 before I lost her", []),
        ("lost sight of her in hive 3", []),
    ],
)
def test_a_queens_cage_and_end_are_hers(text: str, wanted: list[str]) -> None:
    assert [e["kind"] for e in entries(text) if e["kind"] != "inspection"] == wanted


@pytest.mark.parametrize(
    "text",
    [
        "cell in nuc 48's hatched",
        "the cells in nucs 5 to 9 had all emerged",
        "the cell in nuc 7 is cold and dead",
        "nuc 31 had built its own cell",
        "that queen's too good to sell, nuc 16",
        "larvae from hive 16 were a touch too big",
        "flipped one larva over by mistake",
        "dropped the bar, 17 larvae gone",
        "that makes 88 larvae grafted this month",
        "we were 3 splits short",
        "patch of emerging brood in hive 30",
        "the incubator's holding at 34.5 degrees",
    ],
)
def test_is_no_record(text: str) -> None:
    assert [e for e in entries(text) if e["kind"] != "inspection"] == []


def test_goods_and_boxes_said_once_hold_on() -> None:
    got = entries("8 virgins came out of the incubator and 3 of those were sold to Alan at $20 each")
    assert (got[-1]["goods"], got[-1]["count"]) == ("virgin", 3)
    got = entries("put a super on hive 6 and took one off hive 8")
    assert [(e["box"], e["step"]) for e in got] == [("super", "on"), ("super", "off")]


def test_nucs_but_one_are_laying() -> None:
    got = entries("All of nucs 1 to 4 are laying except nuc 3.")
    assert [(e["place"], e["result"]) for e in got] == [(f"nuc {n}", "laying") for n in (1, 2, 4)]


def test_virgins_given_out_are_queens() -> None:
    got = entries("Six virgins from the incubator, one each to nucs 1 to 6.")
    assert [(e["kind"], e.get("place")) for e in got if e["kind"] == "queen"] == [
        ("queen", f"nuc {n}") for n in range(1, 7)
    ]


def test_no_eggs_between_two_places_correct_nothing() -> None:
    got = entries("nuc 40 has two frames of bees, no eggs, nuc 17 queenright")
    assert [(e["place"], e.get("eggs"), e.get("bee_frames")) for e in got] == [
        ("nuc 40", False, 2),
        ("nuc 17", None, None),
    ]
