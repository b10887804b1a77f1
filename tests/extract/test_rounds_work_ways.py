"""Ways of telling the work of a round: grafts, takes, cells, incubator, board, nucs made. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries


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
        ("hive 12 split, half's in nuc 20", {"kind": "split", "from": "hive 12", "places": ["nuc 20"], "count": 1}),
    ],
)
def test_work_of_rounds(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [wanted]


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
    ],
)
def test_more_work_of_rounds(text: str, wanted: list[dict[str, Any]]) -> None:
    assert entries(text) == wanted


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
        (
            "Made one nuc with three frames from hive 12, that's nuc 9.",
            {"kind": "split", "from": "hive 12", "count": 1, "places": ["nuc 9"]},
        ),
    ],
)
def test_further_work_of_rounds(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [wanted]


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
