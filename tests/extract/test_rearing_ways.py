"""Ways of telling queen rearing that were once read wrong, by class of speech. Own sentences; by the contract."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import read


def entries(text: str) -> list[dict[str, Any]]:
    """Entries without notes, dates and sureness."""
    dumped = (e.model_dump(mode="json", by_alias=True, exclude_none=True) for e in read(text).entries)
    return [{k: v for k, v in d.items() if k not in ("sure", "on")} for d in dumped if d["kind"] != "note"]


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


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("larvae from hive 34 one bar 20 cups into hive 7", {"mother": "hive 34", "place": "hive 7", "larvae": 20, "bars": [20]}),
        ("grafted off hive 34, got 42 in, put them in hive 7", {"mother": "hive 34", "place": "hive 7", "larvae": 42}),
        ("grafted 18 and 16 into hive 7", {"place": "hive 7", "larvae": 34, "bars": [18, 16]}),
        ("grafted 20 larvae from hive 21, all on the one bar", {"mother": "hive 21", "larvae": 20, "bars": [20]}),
        ("a bar of 15 and a bar of 14 grafted, hive 21 for the mother", {"mother": "hive 21", "larvae": 29, "bars": [15, 14]}),
        ("16 on the top bar and 12 on the bottom, all out of hive 38", {"mother": "hive 38", "larvae": 28, "bars": [16, 12]}),
        ("grafted 30 with my little old sable brush", {"larvae": 30, "tool": "sable brush"}),
    ],
)  # fmt: skip
def test_grafts(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [{"kind": "graft", **wanted}]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("round 8, zero out of 20, all cleaned out", {"kind": "take", "round": 8, "taken": 0, "of": 20}),
        ("a flop, only 7 of 38 started", {"kind": "take", "taken": 7, "of": 38}),
        ("half a dozen of the cells in round 5 are still open", {"kind": "cells", "round": 5, "count": 6, "state": "open"}),
        ("round 3 ripe cells, 18, no, count again, 16", {"kind": "cells", "round": 3, "count": 16, "state": "ripe"}),
        ("made hive 23 queenless by lifting the queen into nuc 31", {"kind": "builder", "place": "hive 23", "step": "made queenless"}),
        ("the cells of round 6 came out of the incubator, 14 of them", {"kind": "incubator", "round": 6, "what": "cells", "count": 14, "step": "out"}),
        ("a ripe cell each in nuc 9 nuc 10 and nuc 11", {"kind": "plant", "count": 3, "places": ["nuc 9", "nuc 10", "nuc 11"]}),
        ("they're all laying bar nuc 17", {"kind": "mating", "place": "nuc 17", "result": "not laying"}),
        ("the virgin was walked in through the entrance of nuc 5", {"kind": "queen", "place": "nuc 5", "step": "introduced"}),
        ("hive 12 split, half's in nuc 20", {"kind": "split", "from": "hive 12", "places": ["nuc 20"], "count": 1}),
        ("sold 6 queens, $55 each, to the bloke in Geraldine", {"kind": "sale", "goods": "queen", "count": 6, "price": 55, "to": "the bloke in Geraldine"}),
        ("the club bought six queens at fifty dollars each", {"kind": "sale", "goods": "queen", "count": 6, "price": 50, "to": "the club"}),
        ("sold my first nuc to Kayla for $180", {"kind": "sale", "goods": "nuc", "count": 1, "price": 180, "to": "Kayla"}),
        ("sold four nucs no five to the school at two hundred dollars each", {"kind": "sale", "goods": "nuc", "count": 5, "price": 200, "to": "the school"}),
        ("nuc 12 was sold to Margaret for $220", {"kind": "sale", "goods": "nuc", "count": 1, "price": 220, "to": "Margaret"}),
    ],
)  # fmt: skip
def test_other_work_of_rearing(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [wanted]


@pytest.mark.parametrize(
    ("text", "task"),
    [
        ("Need reminding to requeen hive 33 in a week, she's a shocker.", "requeen hive 33"),
        ("Oh, gotta pick up more foundation tomorrow.", "pick up more foundation"),
        ("Remind me, what was it, to ring the packaging lady on Tuesday.", "ring the packaging lady"),
        ("I'd like reminding tomorrow to check the take.", "check the take"),
        ("I shall put a second super on hive 22 on Saturday, if my back will stand it.", "put a second super on hive 22"),
    ],
)  # fmt: skip
def test_a_task_is_kept_without_what_is_said_round_it(text: str, task: str) -> None:
    assert [(e["kind"], e["text"]) for e in entries(text)] == [("task", task)]


@pytest.mark.parametrize("text", ["there must be a queen in there", "so hive 40 must be queenright after all"])
def test_a_guess_is_no_task(text: str) -> None:
    assert not [e for e in entries(text) if e["kind"] == "task"]


def test_goods_and_boxes_said_once_hold_on() -> None:
    got = entries("8 virgins came out of the incubator and 3 of those were sold to Alan at $20 each")
    assert (got[-1]["goods"], got[-1]["count"]) == ("virgin", 3)
    got = entries("put a super on hive 6 and took one off hive 8")
    assert [(e["box"], e["step"]) for e in got] == [("super", "on"), ("super", "off")]
