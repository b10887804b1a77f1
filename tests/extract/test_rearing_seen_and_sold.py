"""Who was seen about in a nuc, one sold without its article, a mark of earlier, headings of counts. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries, read, spoken


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Nuc 2's virgin is out and about.", {"kind": "mating", "place": "nuc 2", "result": "virgin seen"}),
        ("Nothing in nuc 5 but a virgin.", {"kind": "mating", "place": "nuc 5", "result": "virgin seen"}),
        (
            "The virgin in nuc 9 is running about on the comb.",
            {"kind": "mating", "place": "nuc 9", "result": "virgin seen"},
        ),
        ("That virgin in nuc 6 never did make it back.", {"kind": "mating", "place": "nuc 6", "result": "missing"}),
        ("Nuc 11's got herself a laying queen now.", {"kind": "mating", "place": "nuc 11", "result": "laying"}),
        ("Nuc 12 has a laying queen at last.", {"kind": "mating", "place": "nuc 12", "result": "laying"}),
        ("Found the queen in nuc 12 and she's laying.", {"kind": "mating", "place": "nuc 12", "result": "laying"}),
        (
            "I let her walk into hive 22 through the front door.",
            {"kind": "queen", "place": "hive 22", "step": "introduced"},
        ),
        (
            "Took the queen out of nuc 4 and gave her to hive 17.",
            {"kind": "queen", "place": "nuc 4", "step": "introduced", "to": "hive 17"},
        ),
        (
            "Introduced a mated queen to hive 16, she came from nuc 9.",
            {"kind": "queen", "place": "nuc 9", "step": "introduced", "to": "hive 16"},
        ),
        (
            "The queen in hive 40 was killed by me, she was too old.",
            {"kind": "queen", "place": "hive 40", "step": "killed"},
        ),
        ("Hive 14's queen has been caged for the flow.", {"kind": "queen", "place": "hive 14", "step": "caged"}),
        (
            "Caught the queen in nuc 13 and she's off to hive 57.",
            {"kind": "queen", "place": "nuc 13", "step": "caught", "to": "hive 57"},
        ),
        (
            "Hugh's had two nucs off me, 195 a nuc.",
            {"kind": "sale", "goods": "nuc", "count": 2, "price": 195, "to": "Hugh"},
        ),
        ("Gave nuc 18 a second cell.", {"kind": "plant", "places": ["nuc 18"], "count": 1}),
    ],
)
def test_is_one_entry(text: str, wanted: dict[str, Any], form: str) -> None:
    assert entries(text if form == "typed" else spoken(text)) == [wanted]


@pytest.mark.parametrize(
    "text",
    [
        "The queen in nuc 3 was already marked, red.",
        "She was already clipped in hive 9.",
        "Saw an already marked queen in hive 4.",
    ],
)
def test_a_mark_of_earlier_is_no_marking(text: str) -> None:
    assert [e for e in entries(text) if e["kind"] == "mark"] == []


@pytest.mark.parametrize(
    "text",
    [
        "Round 7 take. Top bar 14 out of 15, bottom bar 6 out of 15.",
        "Round 4, the take. 12 of 20.",
        "Take for round 3. 12 of 20 top, 15 of 20 bottom.",
        "The round 2 take. 30 of 36.",
        "Round 8 take. 14 of 20, hive 7 strong.",
        "Take, round 5. 9 of 16 took.",
        "Round 3 cells. 18 capped.",
    ],
)
def test_a_heading_of_counts_is_no_question(text: str) -> None:
    reading = read(text)
    assert reading.questions == []
    assert reading.entries[0].kind in ("take", "cells")


@pytest.mark.parametrize("text", ["Round 7 take.", "The take for round 3?", "what was the take on round 2"])
def test_a_fragment_with_nothing_after_it_still_asks(text: str) -> None:
    assert [q.ask for q in read(text).questions] == ["take"]


@pytest.mark.parametrize(
    "text",
    ["Grafted 48 larvae, Chinese tool, hive 21.", "40 larvae grafted this morning, hive 34.", "Grafted 30, hive 12."],
)
def test_a_bare_hive_of_a_graft_is_asked_about(text: str) -> None:
    reading = read(text)
    assert not reading.keep
    assert "mother" in {d.field for d in reading.doubts}


@pytest.mark.parametrize(
    "text", ["Grafted 30 into hive 7.", "Grafted 30 from hive 21.", "Grafted 30 out of hive 21 into hive 7."]
)
def test_a_hive_of_a_graft_with_its_preposition_is_not(text: str) -> None:
    assert read(text).keep
