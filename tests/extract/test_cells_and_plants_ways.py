"""Cells that a hive carries, nucs as ranges in other words, the lot that was planted. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import entries, spoken


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "number", "count", "state"),
    [
        ("Hive 7's sitting on 24 open cells, round 2.", 2, 24, "open"),
        ("Hive 7 is carrying 18 capped cells for round 3.", 3, 18, "capped"),
        ("Hive 7 has got 22 open cells on the go, round 2.", 2, 22, "open"),
        ("Hive 7 is nursing 20 open cells at the minute, round 3.", 3, 20, "open"),
        ("Hive 7 holds 15 sealed cells of round 5.", 5, 15, "capped"),
        ("Hive 7's looking after 17 capped cells, round 6.", 6, 17, "capped"),
        ("Still open, round 7, 21 of them in hive 7.", 7, 21, "open"),
        ("Capped now, round 8, 13 of them in hive 7.", 8, 13, "capped"),
        ("20 cells in hive 7 in round 4 and every one of them still open.", 4, 20, "open"),
        ("Hive 7 has 16 cells for round 9, every one of them sealed.", 9, 16, "capped"),
    ],
)
def test_cells_that_a_hive_carries(text: str, number: int, count: int, state: str, form: str) -> None:
    got = entries(text if form == "typed" else spoken(text))
    assert [(e["kind"], e.get("round"), e.get("count"), e.get("state"), e.get("place")) for e in got] == [
        ("cells", number, count, state, "hive 7")
    ]


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("10 cells planted, round 7, that's every nuc from 15 through to 24.", 15, 24),
        ("Planted 6 cells of round 4 in nucs 7 right through to 12.", 7, 12),
        ("Planted 8 cells of round 2, nucs 1 up to 8.", 1, 8),
        ("5 cells of round 6 went into nucs 20 all the way to 24.", 20, 24),
        ("Planted 4 cells, round 3, nucs from 3 through to 6.", 3, 6),
        ("Planted 14 cells of round 1 in every nuc from 1 up to 14.", 1, 14),
        ("Round 9, 3 cells planted in nucs 10 thru to 12.", 10, 12),
        ("Made 3 splits out of hive 20 and planted 3 cells from round 3, nucs 16 to 18.", 16, 18),
        ("Round 5 cells went into nucs 13 to 18 yesterday, all 6.", 13, 18),
        ("14 cells came out of the incubator for round 6 and I planted the lot in nucs 1 to 14.", 1, 14),
        ("6 cells out of the incubator and straight into nucs 1 to 6, round 8.", 1, 6),
        ("Took 5 cells from the incubator and put them all in nucs 2 to 6, round 2.", 2, 6),
        ("8 ripe cells in round 4, so I set them out in nucs 11 to 18.", 11, 18),
        ("Planted. Round 3. 14 cells. Nucs 1 to 14.", 1, 14),
    ],
)
def test_planted_in_a_range(text: str, first: int, last: int, form: str) -> None:
    got = [e for e in entries(text if form == "typed" else spoken(text)) if e["kind"] == "plant"]
    nucs = [f"nuc {n}" for n in range(first, last + 1)]
    assert [(e.get("count"), e.get("places")) for e in got] == [(len(nucs), nucs)]


def test_a_cell_each_told_nuc_by_nuc_adds_up() -> None:
    got = entries("Nuc 4 got a cell, nuc 5 got a cell, round 2.")
    assert [(e["count"], e["places"]) for e in got] == [(2, ["nuc 4", "nuc 5"])]


@pytest.mark.parametrize("form", ["typed", "spoken"])
def test_splits_are_planted_in_the_nucs_said_after(form: str) -> None:
    text = "I made 3 splits out of hive 20 yesterday and this morning I planted them from round 3, nucs 16, 17 and 18."
    got = entries(text if form == "typed" else spoken(text))
    nucs = ["nuc 16", "nuc 17", "nuc 18"]
    assert [(e["kind"], e["places"]) for e in got] == [("split", nucs), ("plant", nucs)]
