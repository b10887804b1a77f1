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
        (
            "larvae from hive 34 one bar 20 cups into hive 7",
            {"mother": "hive 34", "place": "hive 7", "larvae": 20, "bars": [20]},
        ),
        ("grafted off hive 34, got 42 in, put them in hive 7", {"mother": "hive 34", "place": "hive 7", "larvae": 42}),
        ("grafted 18 and 16 into hive 7", {"place": "hive 7", "larvae": 34, "bars": [18, 16]}),
        ("grafted 20 larvae from hive 21, all on the one bar", {"mother": "hive 21", "larvae": 20, "bars": [20]}),
        (
            "a bar of 15 and a bar of 14 grafted, hive 21 for the mother",
            {"mother": "hive 21", "larvae": 29, "bars": [15, 14]},
        ),
        (
            "16 on the top bar and 12 on the bottom, all out of hive 38",
            {"mother": "hive 38", "larvae": 28, "bars": [16, 12]},
        ),
        ("grafted 30 with my little old sable brush", {"larvae": 30, "tool": "sable brush"}),
    ],
)
def test_grafts(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [{"kind": "graft", **wanted}]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("round 8, zero out of 20, all cleaned out", {"kind": "take", "round": 8, "taken": 0, "of": 20}),
        ("a flop, only 7 of 38 started", {"kind": "take", "taken": 7, "of": 38}),
        (
            "half a dozen of the cells in round 5 are still open",
            {"kind": "cells", "round": 5, "count": 6, "state": "open"},
        ),
        ("round 3 ripe cells, 18, no, count again, 16", {"kind": "cells", "round": 3, "count": 16, "state": "ripe"}),
        (
            "made hive 23 queenless by lifting the queen into nuc 31",
            {"kind": "builder", "place": "hive 23", "step": "made queenless"},
        ),
        (
            "the cells of round 6 came out of the incubator, 14 of them",
            {"kind": "incubator", "round": 6, "what": "cells", "count": 14, "step": "out"},
        ),
        (
            "a ripe cell each in nuc 9 nuc 10 and nuc 11",
            {"kind": "plant", "count": 3, "places": ["nuc 9", "nuc 10", "nuc 11"]},
        ),
        ("they're all laying bar nuc 17", {"kind": "mating", "place": "nuc 17", "result": "not laying"}),
        (
            "the virgin was walked in through the entrance of nuc 5",
            {"kind": "queen", "place": "nuc 5", "step": "introduced"},
        ),
        ("hive 12 split, half's in nuc 20", {"kind": "split", "from": "hive 12", "places": ["nuc 20"], "count": 1}),
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
def test_other_work_of_rearing(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [wanted]


@pytest.mark.parametrize(
    ("text", "task"),
    [
        ("Need reminding to requeen hive 33 in a week, she's a shocker.", "requeen hive 33"),
        ("Oh, gotta pick up more foundation tomorrow.", "pick up more foundation"),
        ("Remind me, what was it, to ring the packaging lady on Tuesday.", "ring the packaging lady"),
        ("I'd like reminding tomorrow to check the take.", "check the take"),
        (
            "I shall put a second super on hive 22 on Saturday, if my back will stand it.",
            "put a second super on hive 22",
        ),
    ],
)
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


@pytest.mark.parametrize(
    ("text", "taken", "of"),
    [
        ("all but 4 of the 32 took in round 5", 28, 32),
        ("round 6, all but one of the 20 have been accepted", 19, 20),
        ("two thirds of the 36 took, round 8", 24, 36),
        ("three quarters of 20 took in round 2", 15, 20),
        ("only half of the 44 were accepted in round 1", 22, 44),
        ("we lost just the 3 out of 30 on the take, round 2", 27, 30),
    ],
)
def test_takes_by_arithmetic(text: str, taken: int, of: int) -> None:
    got = entries(text)
    assert [(e["kind"], e["taken"], e["of"]) for e in got] == [("take", taken, of)]


def test_a_fraction_that_is_no_whole_number_is_asked_about() -> None:
    reading = read("two thirds of the 31 took in round 4")
    assert not reading.keep
    assert {o for d in reading.doubts for o in d.options} == {20, 21}


@pytest.mark.parametrize(
    ("text", "count", "state"),
    [
        ("all but 3 of the 24 cells are capped, round 3", 21, "capped"),
        ("7 and 9, 16 capped, round 7", 16, "capped"),
        ("18 out of 20 ripe in round 10", 18, "ripe"),
        ("of the 20 capped cells I'm down to 17, round 3", 17, "capped"),
        ("2 bars with 12 on each, so 24, every one of them sealed, round 5", 24, "capped"),
        ("I need 8 for the yard and I've 11, all ripe, round 2", 11, "ripe"),
    ],
)
def test_cells_by_arithmetic(text: str, count: int, state: str) -> None:
    got = [e for e in entries(text) if e["kind"] != "task"]
    assert [(e["kind"], e["count"], e["state"]) for e in got] == [("cells", count, state)]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (
            "The stuff in hive 21 was past it, so I went to hive 34 instead and got 30 into the cups.",
            {"mother": "hive 34", "larvae": 30},
        ),
        (
            "Round 8 is under way, 20 on the top bar and 18 on the bottom, hive 7, mother hive 34.",
            {"round": 8, "place": "hive 7", "mother": "hive 34", "bars": [20, 18], "larvae": 38},
        ),
        ("grafted 1 bar of 14 and 1 of 16, from hive 21", {"mother": "hive 21", "bars": [14, 16], "larvae": 30}),
        ("2 lots of 15 grafted into hive 7, hive 34's babies", {"place": "hive 7", "mother": "hive 34", "larvae": 30}),
        ("got 3 bars grafted, 16, 16 and 12, into hive 7", {"place": "hive 7", "bars": [16, 16, 12], "larvae": 44}),
        ("did another graft and forgot to say, round 5, 3 dozen larvae", {"round": 5, "larvae": 36}),
        ("only the 1 bar today, 15 larvae from hive 34", {"mother": "hive 34", "bars": [15], "larvae": 15}),
    ],
)
def test_grafts_told_after_other_words(text: str, wanted: dict[str, Any]) -> None:
    got = [e for e in entries(text) if e["kind"] == "graft"]
    assert len(got) == 1
    assert {k: got[0].get(k) for k in wanted} == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("so the excluder's gone into hive 7", [{"kind": "builder", "place": "hive 7", "step": "excluder in"}]),
        (
            "the slide was stuck solid but it's out now, hive 7",
            [{"kind": "builder", "place": "hive 7", "step": "slide out"}],
        ),
        (
            "ready for tomorrow's graft, the slide is shut in hive 7",
            [{"kind": "builder", "place": "hive 7", "step": "slide in"}],
        ),
        (
            "2 supers each lifted onto hive 12 and hive 13",
            [{"kind": "box", "place": f"hive {n}", "box": "super", "step": "on", "count": 2} for n in (12, 13)],
        ),
        (
            "20 capped cells of round 4 into the incubator",
            [{"kind": "incubator", "round": 4, "what": "cells", "count": 20, "step": "in"}],
        ),
        (
            "it has been given a second cell, nuc 5, round 4",
            [{"kind": "plant", "round": 4, "count": 1, "places": ["nuc 5"]}],
        ),
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
def test_more_work_of_rearing(text: str, wanted: list[dict[str, Any]]) -> None:
    assert entries(text) == wanted


@pytest.mark.parametrize(
    ("text", "task", "due"),
    [
        ("Wants a new floor, hive 44. Remind me on Saturday.", "Wants a new floor, hive 44", "2026-11-28"),
        ("Remind me to pay Bernard. Tomorrow.", "pay Bernard", "2026-11-26"),
        ("Remind me on Friday. Put the lid strap back on hive 31.", "Put the lid strap back on hive 31", "2026-11-27"),
        ("Remind me tomorrow to test, sorry, to change the battery.", "change the battery", "2026-11-26"),
    ],
)
def test_a_day_that_stands_apart_from_its_task(text: str, task: str, due: str) -> None:
    assert [(e["kind"], e["text"], e["due"]) for e in entries(text)] == [("task", task, due)]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("That hive needs bees, so I stocked hive 7 with nurse bees.", "builder"),
        ("Meant to graft on Monday but it rained, did it Tuesday, 33 larvae.", "graft"),
        ("I'd better on hand, so I did away with the queen in hive 16.", "queen"),
        ("The feeder must have helped, top bar 14 of 15, round 6.", "take"),
    ],
)
def test_what_was_done_after_its_reason_is_no_task(text: str, kind: str) -> None:
    assert [e["kind"] for e in entries(text)] == [kind]


def test_a_date_that_limits_dates_no_work() -> None:
    reading = read("Not laying yet in nuc 14, give her till the weekend.")
    assert [e.on.isoformat() for e in reading.entries if e.kind == "mating"] == ["2026-11-25"]


@pytest.mark.parametrize(
    "text",
    [
        "grafted a full bar of 18 and a half bar of 9 off hive 34",
        "top bar 12.5 of 15, round 3",
        "sold 2 and a half nucs to Dave",
        "2.5 swarm cells in hive 4",
    ],
)
def test_a_part_of_what_only_comes_whole_is_asked_about(text: str) -> None:
    assert not read(text).keep


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (
            "Two bars, the first with 17 and the second with 19, all from hive 21, grafted today.",
            {"kind": "graft", "mother": "hive 21", "bars": [17, 19], "larvae": 36},
        ),
        (
            "Put 15 grafts on each bar, four bars, mum's 34.",
            {"kind": "graft", "mother": "hive 34", "bars": [15] * 4, "larvae": 60},
        ),
        ("Dave grafted 12 and I did 18.", {"kind": "graft", "bars": [12, 18], "larvae": 30}),
        (
            "30 cups went to hive 7 out of breeder 34.",
            {"kind": "graft", "place": "hive 7", "mother": "hive 34", "larvae": 30},
        ),
        ("New round, number 13, three bars of 14.", {"kind": "graft", "round": 13, "bars": [14] * 3, "larvae": 42}),
        (
            "Round 7's take is in, 17 and 14, both bars of 20.",
            {
                "kind": "take",
                "round": 7,
                "bars": [{"bar": 1, "taken": 17, "of": 20}, {"bar": 2, "taken": 14, "of": 20}],
                "taken": 31,
                "of": 40,
            },
        ),
        ("Of the 40 we put in, 31 are drawn, round 6.", {"kind": "take", "round": 6, "taken": 31, "of": 40}),
        ("14 good cells and two duds in round 4.", {"kind": "cells", "round": 4, "count": 14}),
        ("I gave nuc 12 the spare cell.", {"kind": "plant", "places": ["nuc 12"], "count": 1}),
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
        (
            "Made one nuc with three frames from hive 12, that's nuc 9.",
            {"kind": "split", "from": "hive 12", "count": 1, "places": ["nuc 9"]},
        ),
        ("Got to make 12 splits tomorrow.", {"kind": "task", "text": "make 12 splits", "due": "2026-11-26"}),
    ],
)
def test_phrasings_of_a_further_sitting(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [wanted]


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
