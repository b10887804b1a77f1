"""Takes with the bar behind its count, with grafts for cups, with those that failed beside them. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import entries, read, spoken


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "bars"),
    [
        ("Take for round 3, 12 of 20 top, 15 of 20 bottom.", [("top", 12, 20), ("bottom", 15, 20)]),
        ("Round 4 take, 9 of 15 on the top, 11 of 15 on the bottom.", [("top", 9, 15), ("bottom", 11, 15)]),
        ("Round 5, 14 out of 16 middle and 10 out of 16 bottom took.", [("middle", 14, 16), ("bottom", 10, 16)]),
        (
            "Round 2, top bar 12 of 16, bottom bar 9 of 16, and that was with a cold night.",
            [("top", 12, 16), ("bottom", 9, 16)],
        ),
        ("Round 7 take. Top bar 14 out of 15, bottom, er, 6 out of 15.", [("top", 14, 15), ("bottom", 6, 15)]),
        ("Round 8, upper bar 13 of 15, lower bar 8 of 15.", [("top", 13, 15), ("bottom", 8, 15)]),
    ],
)
def test_by_bar(text: str, bars: list[tuple[str, int, int]], form: str) -> None:
    got = [e for e in entries(text if form == "typed" else spoken(text)) if e["kind"] == "take"]
    assert [[(b["bar"], b["taken"], b["of"]) for b in e["bars"]] for e in got] == [bars]


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "taken", "of"),
    [
        ("The bees accepted 30 out of 36 grafts for round 5.", 30, 36),
        ("Hive 7 accepted 22 of the 30 grafts, round 6.", 22, 30),
        ("Out of 40 grafts 31 were accepted, round 2.", 31, 40),
        ("25 of my 32 grafts have taken, round 3.", 25, 32),
        ("Round 5, 30 have taken, 6 haven't.", 30, 36),
        ("18 were accepted and 7 weren't, round 4.", 18, 25),
        ("21 took, 9 didn't, round 9.", 21, 30),
        ("Two days on from grafting round 5, 30 of the 36 have taken.", 30, 36),
        ("Since grafting round 3, 17 of the 20 have been accepted.", 17, 20),
        ("I looked at round 3 and, sorry to say, only 7 of 20 had taken.", 7, 20),
    ],
)
def test_in_all(text: str, taken: int, of: int, form: str) -> None:
    got = entries(text if form == "typed" else spoken(text))
    assert [(e["kind"], e.get("taken"), e.get("of")) for e in got] == [("take", taken, of)]


def test_cold_beside_a_count_is_no_temperature() -> None:
    assert [e.kind for e in read("Round 2, bottom bar 9 of 16 and cold with it.").entries if e.kind != "note"] == [
        "take"
    ] or not read("Round 2, bottom bar 9 of 16 and cold with it.").keep
