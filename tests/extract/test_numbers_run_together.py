"""Numbers that run together where no pause was heard; own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import read


@pytest.mark.parametrize(
    ("text", "kind", "fields"),
    [
        ("round two top bar nine nine out of twelve", "take", {"taken": 9, "of": 12}),
        ("take on round five twenty six twenty six out of thirty", "take", {"round": 5, "taken": 26, "of": 30}),
        ("hive 30 has six six frames of brood and eggs", "inspection", {"brood_frames": 6}),
        ("fed the builder um hive 7 three three litres of syrup", "feed", {"place": "hive 7", "amount": 3}),
        ("emergency cells in hive sixteen nine of them kept", "inspection", {"place": "hive 16"}),
        ("hive nine nine frames of brood", "inspection", {"place": "hive 9", "brood_frames": 9}),
        ("wash on hive 14 seven in three hundred two strips in", "mites", {"mites": 7, "bees": 300}),
        ("wash on hive 26 five in three hundred one super on", "mites", {"mites": 5, "bees": 300}),
        ("wash on hive 3 four in three hundred two bees", "mites", {"mites": 4, "bees": 302}),
        ("hive thirty eight three amitraz strips in", "treatment", {"place": "hive 38", "amount": 3}),
        ("hive thirty nine four thymol strips in no three", "treatment", {"place": "hive 39", "amount": 3}),
    ],
)
def test_each_number_counts_its_own(text: str, kind: str, fields: dict[str, Any]) -> None:
    (entry,) = (e for e in read(text).entries if e.kind == kind)
    said = entry.model_dump(mode="json")
    assert {name: said.get(name) for name in fields} == fields


def test_the_cells_of_a_colony_keep_their_count() -> None:
    (entry,) = read("swarm cells in hive 41, 6 of them knocked down").entries
    assert entry.queen_cells.model_dump() == {"count": 6, "type": "swarm", "done": "knocked down"}
