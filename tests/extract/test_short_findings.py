"""Findings in short labels, in verbs of covering and in words of temper; a hive that begins a clause after "and"."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import read


def found(text: str) -> list[dict[str, Any]]:
    """The entries of a text but its notes, as mappings."""
    entries = [e.model_dump(mode="json", by_alias=True, exclude_none=True) for e in read(text).entries]
    return [{k: v for k, v in e.items() if k not in ("sure", "on")} for e in entries if e["kind"] != "note"]


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("Hive 18. Brood, 4. Honey, none.", {"brood_frames": 4, "honey_frames": 0}),
        (
            "Hive 33. Bees, 9. Brood, 6. Honey, 2. Pollen, nil.",
            {"bee_frames": 9, "honey_frames": 2, "pollen_frames": 0},
        ),
        ("Hive 5, brood seven, honey nil, pollen one", {"brood_frames": 7, "honey_frames": 0, "pollen_frames": 1}),
        ("Hive 41: brood: 3, honey: none.", {"brood_frames": 3, "honey_frames": 0}),
        ("Hive 29. Brood, none. Honey, 4.", {"brood_frames": 0, "honey_frames": 4}),
        ("Hive 12 covers ten frames.", {"bee_frames": 10}),
        ("The cluster in hive 14 fills seven frames", {"bee_frames": 7}),
        ("Hive 53 was covering six frames and calm.", {"bee_frames": 6, "temper": "calm"}),
        ("Bees in hive 20 occupied eight seams.", {"bee_frames": 8}),
        ("Hive 31 was utterly furious today.", {"temper": "hot"}),
        ("Hive 8 were really rather cross", {"temper": "hot"}),
        ("Hive 46, thoroughly calm.", {"temper": "calm"}),
        ("Hive 23, temper awful.", {"temper": "hot"}),
        ("Hive 2 has three frames of honey, I should call it strong.", {"honey_frames": 3, "strength": "strong"}),
    ],
)
def test_what_was_found(text: str, fields: dict[str, Any]) -> None:
    (entry,) = found(text)
    assert entry["kind"] == "inspection"
    assert {name: entry.get(name) for name in fields} == fields


@pytest.mark.parametrize(
    ("text", "first", "second"),
    [
        ("there's a super on hive 15 and hive 16 was moved to the Creek", ("box", "hive 15"), ("move", ["hive 16"])),
        ("five frames of brood in hive 3 and hive 4 is queenless", ("inspection", "hive 3"), ("inspection", "hive 4")),
        ("put a super on hive 27 and hive 28 got two litres", ("box", "hive 27"), ("feed", "hive 28")),
        ("no eggs in nuc 7 and nuc 8 is laying", ("inspection", "nuc 7"), ("mating", "nuc 8")),
        ("strips out of hive 50 and hive 51 has chalkbrood", ("treatment", "hive 50"), ("inspection", "hive 51")),
        ("took two boxes off hive 9 and hive 10 is weak", ("harvest", "hive 9"), ("inspection", "hive 10")),
        ("fed a litre to hive 22 and hive 23 had 5 frames of brood", ("feed", "hive 22"), ("inspection", "hive 23")),
        ("queen seen in hive 35 and hive 36 was queenless", ("inspection", "hive 35"), ("inspection", "hive 36")),
        ("united nuc 4 into hive 12 and hive 13 got a super", ("unite", "hive 12"), ("box", "hive 13")),
    ],
)
def test_a_hive_that_begins_its_clause_after_and(text: str, first: tuple[str, Any], second: tuple[str, Any]) -> None:
    pairs = [(e["kind"], e.get("place") or e.get("places") or e.get("into")) for e in found(text)]
    assert pairs == [first, second]


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("put a super on hive 9 and hive 10", ["hive 9", "hive 10"]),
        ("the queens in nuc 3 and nuc 4 are laying", ["nuc 3", "nuc 4"]),
        ("fed hive 5 and hive 6 two litres", ["hive 5", "hive 6"]),
        ("hive 5 and hive 6 got two litres each", ["hive 5", "hive 6"]),
    ],
)
def test_places_that_share_a_verb_stay_a_list(text: str, places: list[str]) -> None:
    assert [e["place"] for e in found(text)] == places
