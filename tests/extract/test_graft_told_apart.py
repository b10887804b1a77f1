"""Grafts told in pieces: bars with their sizes elsewhere, who builds them in a clause of its own. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries, read, spoken


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Grafted 3 bars off hive 34. 15, 15 and 12.", {"mother": "hive 34", "bars": [15, 15, 12], "larvae": 42}),
        ("Grafted two bars from hive 21, 18 and 16.", {"mother": "hive 21", "bars": [18, 16], "larvae": 34}),
        (
            "Two bars grafted, 20 and 14, from hive 21 into hive 7.",
            {"mother": "hive 21", "place": "hive 7", "bars": [20, 14], "larvae": 34},
        ),
        (
            "Grafted three bars out of hive 34 for round 6, 16, 18 and 12.",
            {"mother": "hive 34", "round": 6, "bars": [16, 18, 12], "larvae": 46},
        ),
        (
            "I grafted four bars off hive 21. 10, 10, 12 and 11.",
            {"mother": "hive 21", "bars": [10, 10, 12, 11], "larvae": 43},
        ),
        (
            "Grafting done, hive 34, two bars into hive 7, 19 and 17.",
            {"place": "hive 7", "bars": [19, 17], "larvae": 36},
        ),
        (
            "Hive 21 to hive 7, two bars of 20, grafted this morning.",
            {"mother": "hive 21", "place": "hive 7", "bars": [20, 20], "larvae": 40},
        ),
        (
            "Grafted on Monday. Hive 21 to hive 7, single bar of 18.",
            {"mother": "hive 21", "place": "hive 7", "bars": [18], "larvae": 18},
        ),
        (
            "Grafted 20 larvae out of hive 21 and hive 7 has them.",
            {"mother": "hive 21", "place": "hive 7", "larvae": 20},
        ),
        (
            "30 larvae grafted from hive 34, hive 7's building them.",
            {"mother": "hive 34", "place": "hive 7", "larvae": 30},
        ),
        ("Grafted 24 off hive 21, they're in hive 7 now.", {"mother": "hive 21", "place": "hive 7", "larvae": 24}),
        (
            "Grafted 25 larvae and the larvae are hive 34's, hive 7 is raising them.",
            {"mother": "hive 34", "place": "hive 7", "larvae": 25},
        ),
        ("Grafted 32, 16 on the upper bar and 16 on the lower one.", {"bars": [16, 16], "larvae": 32}),
        (
            "Had a go at grafting, 28 into hive 7, mother was hive 34.",
            {"mother": "hive 34", "place": "hive 7", "larvae": 28},
        ),
    ],
)
def test_is_one_graft(text: str, wanted: dict[str, Any], form: str) -> None:
    got = [e for e in entries(text if form == "typed" else spoken(text)) if e["kind"] != "take"]
    assert [e["kind"] for e in got] == ["graft"]
    assert {k: v for k, v in got[0].items() if k not in ("kind", "on")} == wanted


@pytest.mark.parametrize(
    ("text", "tool"),
    [
        ("Grafted 25 with a brush instead of the hook.", "brush"),
        ("Used the Chinese tool rather than the quill, 30 grafted.", "Chinese tool"),
        ("Grafted 18 with the quill, not the brush.", "quill"),
    ],
)
def test_a_tool_left_at_home_is_none(text: str, tool: str) -> None:
    assert [e.get("tool") for e in entries(text) if e["kind"] == "graft"] == [tool]


@pytest.mark.parametrize(
    "text",
    [
        "The new grafting room is lovely and warm.",
        "Cleaned out the grafting shed.",
        "Two days since grafting and hive 7 is strong.",
        "My grafting light packed up.",
    ],
)
def test_talk_of_grafting_is_no_graft(text: str) -> None:
    assert [e.kind for e in read(text).entries if e.kind == "graft"] == []
