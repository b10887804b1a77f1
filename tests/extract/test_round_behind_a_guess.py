"""A round said at the very end, behind a guess or a hope that is no plan. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import entries, read, spoken


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "kind", "number"),
    [
        ("Slid the board into hive 7 last night so they'll think they're on their own, round 2.", "builder", 2),
        ("Shut hive 7 off with the slide, should be feeling queenless by now, round 3.", "builder", 3),
        ("Slide's out of hive 7, they'll have her smell back, round 4.", "builder", 4),
        ("Excluder in hive 7, hopefully she's below it, round 5 that is.", "builder", 5),
        ("18 capped cells, they should be ripe before long, round 6.", "cells", 6),
        ("Top bar 12 of 15, might be the cold, round 7.", "take", 7),
        ("27 of 40 took, I hope it's more next time, round 8.", "take", 8),
        ("Put 12 cells in the incubator, it'll be a squeeze, round 9.", "incubator", 9),
        ("Planted 4 cells in nucs 1 to 4, hopefully they take, round 10.", "plant", 10),
        ("Grafted 30 from hive 21 into hive 7, they should be happy with those, round 11.", "graft", 11),
    ],
)
def test_belongs_to_what_was_done(text: str, kind: str, number: int, form: str) -> None:
    got = entries(text if form == "typed" else spoken(text))
    assert [(e["kind"], e.get("round")) for e in got if e["kind"] != "task"] == [(kind, number)]


@pytest.mark.parametrize(
    "text",
    [
        "Fed hive 7 two litres, I'll plant round 3 tomorrow.",
        "Hive 7 is strong, remind me on Friday to check round 3.",
        "Nuc 4 laying, going to graft round 3 on Sunday.",
    ],
)
def test_of_a_plan_stays_with_the_plan(text: str) -> None:
    assert [e.round for e in read(text).entries if e.kind == "task"] == [3]
    assert all("round" not in e for e in entries(text) if e["kind"] != "task")
