"""Cells and virgins into and out of the incubator: who left it, fragments, its thermostat. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import entries, read, spoken


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "what", "count", "step"),
    [
        ("Five virgins left the incubator today, round 4.", "virgins", 5, "out"),
        ("Round 5, 8 cells left the incubator for the nucs.", "cells", 8, "out"),
        ("4 virgins were lifted out of the incubator, round 2.", "virgins", 4, "out"),
        ("9 cells have been moved out of the incubator, round 7.", "cells", 9, "out"),
        ("6 out of the incubator, all virgins, round 2.", "virgins", 6, "out"),
        ("Incubator. Round 2. 12 cells went in on Thursday.", "cells", 12, "in"),
        ("Incubator, round 8, 15 cells have gone in.", "cells", 15, "in"),
        ("Incubator, round 3, 7 cells came out.", "cells", 7, "out"),
        ("Virgins emerged in the incubator: 4, round 6.", "virgins", 4, "emerged"),
        ("Incubator, round 6, virgins emerged 3.", "virgins", 3, "emerged"),
        ("20 cells into the incubator for round 4 and I turned it up half a degree.", "cells", 20, "in"),
        ("9 cells have come out of the incubator for round 5, I dropped it two degrees.", "cells", 9, "out"),
        ("Popped 11 cells in the incubator, round 9, it's running at 34 and a half degrees.", "cells", 11, "in"),
    ],
)
def test_is_one_step(text: str, what: str, count: int, step: str, form: str) -> None:
    got = entries(text if form == "typed" else spoken(text))
    assert [(e["kind"], e.get("what"), e.get("count"), e.get("step")) for e in got] == [
        ("incubator", what, count, step)
    ]


def test_some_into_the_incubator_and_the_others_planted() -> None:
    got = entries("Round 2, 18 ripe cells, so 12 went into the incubator and the other 6 I planted in nucs 13 to 18.")
    assert [(e["kind"], e["count"]) for e in got] == [("cells", 18), ("incubator", 12), ("plant", 6)]


@pytest.mark.parametrize(
    "text",
    ["Turned the incubator down a degree.", "The incubator's running at 35 degrees.", "Incubator went up 2 degrees."],
)
def test_its_thermostat_is_no_weather(text: str) -> None:
    assert [e.kind for e in read(text).entries if e.kind == "weather"] == []
