"""What is put right, answered or remarked on as it is told; own sentences."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from one_reader import read


def found(text: str) -> list[dict[str, Any]]:
    """The entries of a text but its notes, as mappings."""
    entries = [e.model_dump(mode="json", by_alias=True, exclude_none=True) for e in read(text).entries]
    return [{k: v for k, v in e.items() if k != "sure"} for e in entries if e["kind"] != "note"]


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("Hive 22 got a honey frame, 2 honey frames in fact.", {"kind": "feed", "amount": 2}),
        ("Super on hive 9, 2 frames of brood, 3 frames of brood actually.", {"kind": "inspection", "brood_frames": 3}),
        ("Gave hive 31 one pollen patty, two pollen patties in fact, from the freezer.", {"kind": "feed", "amount": 2}),
        ("Fed hive 6 2 litres, 3 litres to be exact.", {"kind": "feed", "amount": 3}),
        ("Hive 17 is queenless, actually no, there she is, queen seen.", {"kind": "inspection", "queen": "seen"}),
        ("hive 40 looks queenless oh no there she is i saw the queen", {"kind": "inspection", "queen": "seen"}),
        ("take for round 2 is 18 out of 24 no i missed one 19 out of 24", {"kind": "take", "taken": 19, "of": 24}),
        ("round five took 30 out of 36 no that one was a dud 29 out of 36", {"kind": "take", "taken": 29, "of": 36}),
        ("Round 4, sorry to say, only 9 had taken of 30.", {"kind": "take", "taken": 9, "of": 30}),
        ("Hive 12, I'm sorry to say, is queenless.", {"kind": "inspection", "queen": "queenless"}),
    ],
)
def test_the_last_word_stands(text: str, fields: dict[str, Any]) -> None:
    entry = next(e for e in found(text) if e["kind"] == fields["kind"])
    assert {name: entry.get(name) for name in fields} == fields
    assert len([e for e in found(text) if e["kind"] == fields["kind"]]) == 1


@pytest.mark.parametrize(
    ("text", "into", "then"),
    [
        ("United nuc 3 into hive 28 and gave them a litre of syrup.", "hive 28", "feed"),
        ("Combined nuc 9 with hive 14 and put a super on.", "hive 14", "box"),
        ("Joined hive 4 to hive 5, and they have six frames of brood.", "hive 5", "inspection"),
    ],
)
def test_what_follows_a_union_is_of_the_colony_that_is_left(text: str, into: str, then: str) -> None:
    entries = found(text)
    assert next(e for e in entries if e["kind"] == "unite")["into"] == into
    assert next(e for e in entries if e["kind"] == then)["place"] == into


@pytest.mark.parametrize(
    "text",
    [
        "Hive 8 has been put on top of hive 9.",
        "Hive 8 was set straight on top of hive 9, one colony now.",
        "Hive 8 is now sitting on top of hive 9.",
        "Hive 8 was stacked onto hive 9.",
    ],
)
def test_one_hive_put_on_another(text: str) -> None:
    (entry,) = found(text)
    assert (entry["kind"], entry["from"], entry["into"]) == ("unite", "hive 8", "hive 9")


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("18 cells in round 6, and every one of them still open.", {"kind": "cells", "count": 18, "state": "open"}),
        ("22 cells in round 2, all of them capped now.", {"kind": "cells", "count": 22, "state": "capped"}),
        ("Grafted 16 on the top bar and 18 on the bottom one.", {"kind": "graft", "bars": [16, 18], "larvae": 34}),
        ("I grafted 20 on the upper bar and 15 on the lower bar.", {"kind": "graft", "bars": [20, 15], "larvae": 35}),
        ("Hive 19, not a single mite in a wash of 300.", {"kind": "mites", "mites": 0, "bees": 300}),
        ("Hive 33, no mites in a wash of 280 bees.", {"kind": "mites", "mites": 0, "bees": 280}),
        ("I gave hive 16 the vapour last evening, oxalic.", {"kind": "treatment", "on": "2026-11-24"}),
        ("I knocked down 3 swarm cells in hive 30, she's still there.", {"kind": "inspection", "place": "hive 30"}),
    ],
)
def test_is_read_whole(text: str, fields: dict[str, Any]) -> None:
    (entry,) = found(text)
    assert {name: entry.get(name) for name in fields} == fields


@pytest.mark.parametrize(
    "text",
    [
        "The new grafting room has a door at last.",
        "Left my glasses on the grafting bench.",
        "They must have liked the grafting lamp.",
        "Fed hive 9 a litre because I'm grafting later in the week.",
        "Fed hive 9 a litre since we're grafting on Friday.",
    ],
)
def test_no_graft_and_no_task(text: str) -> None:
    assert {e["kind"] for e in found(text)} <= {"feed"}
    assert all(e["on"] == date(2026, 11, 25).isoformat() for e in found(text))
