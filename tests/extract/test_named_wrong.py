"""A wrong value named again before the right one. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import read


@pytest.mark.parametrize(
    ("text", "kind", "fields"),
    [
        ("Five frames of brood in hive 31, sorry, not 5, 6.", "inspection", {"brood_frames": 6}),
        ("five frames of brood in hive thirty one sorry not five six", "inspection", {"brood_frames": 6}),
        ("Gave hive 8 three litres of syrup, not three litres, four litres.", "feed", {"amount": 4}),
        ("Fed hive 17 a litre of fondant, not hive 17, hive 70.", "feed", {"place": "hive 70"}),
        ("Super on hive 13, not hive 13, 30.", "box", {"place": "hive 30"}),
        ("Marked the queen in nuc 6 blue, no, not blue, white.", "mark", {"colour": "white"}),
        ("Round 5, 22 taken of 32, wait, not 22, it was 21.", "take", {"taken": 21, "of": 32}),
        ("Hive 9 went to the Quarry, oh not hive 9 but hive 19.", "move", {"places": ["hive 19"]}),
        ("Hive 41 gave 4 boxes of honey, not four, three.", "harvest", {"amount": 3}),
        ("Wash on hive 26, 7 mites in 300, sorry, not seven but eleven.", "mites", {"mites": 11, "bees": 300}),
    ],
)
def test_the_right_value_stands(text: str, kind: str, fields: dict[str, Any]) -> None:
    (entry,) = (e for e in read(text).entries if e.kind != "note")
    said = entry.model_dump(mode="json", by_alias=True)
    assert said["kind"] == kind
    assert {name: said[name] for name in fields} == fields


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("Hive 22, not 21, has five frames of brood.", {"place": "hive 22", "brood_frames": 5}),
        ("Hive 14 is queenright, not queenless.", {"place": "hive 14", "queen": "queenright"}),
        ("Hive 16, no eggs, not one, three frames of honey.", {"place": "hive 16", "eggs": False, "honey_frames": 3}),
        ("Hive 4, 8 frames of brood, not bad, 7 of honey.", {"place": "hive 4", "brood_frames": 8, "honey_frames": 7}),
    ],
)
def test_what_is_denied_once_puts_nothing_else_right(text: str, fields: dict[str, Any]) -> None:
    (entry,) = (e for e in read(text).entries if e.kind != "note")
    said = entry.model_dump(mode="json", by_alias=True)
    assert {name: said[name] for name in fields} == fields
