"""Takes and cells of which the count must be worked out, and parts of what only comes whole. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import entries, read


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
