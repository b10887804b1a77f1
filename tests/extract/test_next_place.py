"""What holds for the next place of a walk, and what is put right there. Own sentences; expected by the contract."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import read


def entries(text: str) -> list[dict[str, Any]]:
    dumped = (e.model_dump(mode="json", by_alias=True, exclude_none=True) for e in read(text).entries)
    return [{k: v for k, v in d.items() if k not in ("sure", "on")} for d in dumped if d["kind"] != "note"]


def by_place(text: str, field: str) -> dict[str, Any]:
    return {e["place"]: e[field] for e in entries(text) if field in e}


@pytest.mark.parametrize(
    ("text", "field", "want"),
    [
        ("Hive 4, brood on 6. Hive 5, 8.", "brood_frames", {"hive 4": 6, "hive 5": 8}),
        ("Nuc 2 has 3 frames of bees, nuc 3, er, 2.", "bee_frames", {"nuc 2": 3, "nuc 3": 2}),
        ("Hive 9, 5 frames of brood, 3 of honey, hive 10 had 7 and 2.", "honey_frames", {"hive 9": 3, "hive 10": 2}),
        ("Hive 30, seven frames of brood, hive 31 it was 5.", "brood_frames", {"hive 30": 7, "hive 31": 5}),
        ("Hive 20, queenright. Same again on 21.", "queen", {"hive 20": "queenright", "hive 21": "queenright"}),
        ("Hive 20 is weak, 21 likewise.", "strength", {"hive 20": "weak", "hive 21": "weak"}),
        ("Hive 7 got two litres of syrup and so did hive 8.", "amount", {"hive 7": 2, "hive 8": 2}),
        ("Hive 7 got two litres of syrup, 9 got one litre.", "feed", {"hive 7": "syrup", "hive 9": "syrup"}),
        ("Nuc 6 is laying, nuc 7 too.", "result", {"nuc 6": "laying", "nuc 7": "laying"}),
        ("Nuc 6, laying, nuc 7, laying, fed the pair of them a litre each.", "amount", {"nuc 6": 1, "nuc 7": 1}),
        ("Hive 3, calm. Hive 4, hot. Back to 3 for a second, 6 frames of brood.", "brood_frames", {"hive 3": 6}),
        ("Fed hive 22 a litre. Wait. That was hive 23.", "amount", {"hive 23": 1}),
        ("Hive 15, brood on 4 frames, hive 16, 5, no, 6 frames brood.", "brood_frames", {"hive 15": 4, "hive 16": 6}),
        ("2 supers on hive 5, 1 on hive 6, no, back to front, 1 on 5 and 2 on 6.", "count", {"hive 5": 1, "hive 6": 2}),
        ("Hive 6, looked at it on Monday. Hive 8, 5 frames of brood.", "brood_frames", {"hive 8": 5}),
        ("Hive 1. Bees on 8 frames. Brood, hang on, 1, 2, 3, 4, 4 frames of brood.", "brood_frames", {"hive 1": 4}),
    ],
)  # fmt: skip
def test_the_next_place_keeps_what_is_its_own(text: str, field: str, want: dict[str, Any]) -> None:
    assert by_place(text, field) == want


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("2 boxes of honey from hive 40, 1 from hive 41, hive 43 can keep what it has.", ["hive 40", "hive 41"]),
        ("Wash on hive 36, 300 bees. 9. No. 9, and one stuck to the lid, so 10 mites.", ["hive 36"]),
    ],
)
def test_a_number_or_a_place_in_passing_is_no_entry(text: str, places: list[str]) -> None:
    assert [e["place"] for e in entries(text)] == places


@pytest.mark.parametrize(
    "text", ["Make the place hive 21 instead.", "That was hive 21, not hive 22, fix the last one."]
)
def test_the_place_of_the_last_note_is_put_right(text: str) -> None:
    assert [(o.do, o.field, o.to) for o in read(text).orders] == [("change", "place", "hive 21")]


def test_a_day_said_of_something_else_dates_no_other_sentence() -> None:
    got = read("Hive 6, skip it, I did that on Monday. Hive 8, five frames of brood.").entries
    assert {e.on.isoformat() for e in got if e.kind == "inspection"} == {"2026-11-25"}
