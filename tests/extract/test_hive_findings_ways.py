"""Mites, looks into hives, losses and the weather in other orders of words and few of them. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries as told

DROP, WASH, SHAKE = "drop", "wash", "sugar shake"


@pytest.mark.parametrize(
    ("text", "hive", "method", "mites", "bees", "days"),
    [
        ("Sugar roll on hive 14, 9 off 250.", 14, SHAKE, 9, 250, None),
        ("Four mites off three hundred bees, alcohol wash on hive 22.", 22, WASH, 4, 300, None),
        ("Sugar shook hive 18, six off two hundred.", 18, SHAKE, 6, 200, None),
        ("Hive 31 wash, not a single mite out of 300.", 31, WASH, 0, 300, None),
        ("Washed hive 5, 320 bees, no mites.", 5, WASH, 0, 320, None),
        ("Washed hive 25. 310 bees, not one mite.", 25, WASH, 0, 310, None),
        ("Washed 300 from hive 9 and not one mite came out.", 9, WASH, 0, 300, None),
        ("Hive 8, 14 mites, alcohol wash, out of 290.", 8, WASH, 14, 290, None),
        ("Alcohol wash today, hive 17, out of 300, six mites.", 17, WASH, 6, 300, None),
        ("9 mites, hive 34, alcohol wash, out of 300. Tell a lie, 310.", 34, WASH, 9, 310, None),
        ("Hive 21 read nil on the wash.", 21, WASH, 0, None, None),
        ("Hive 40 came back clean on the sugar roll.", 40, SHAKE, 0, None, None),
        ("Six mites on hive 3's board after four days.", 3, DROP, 6, None, 4),
        ("Counted 9 mites on hive 11's drop board after 2 days.", 11, DROP, 9, None, 2),
        ("Rolled 300 bees from hive 6 in icing sugar and 7 mites dropped.", 6, SHAKE, 7, 300, None),
        ("Nine in three hundred, that's hive 28's alcohol wash.", 28, WASH, 9, 300, None),
    ],
)
def test_mites_counted(text: str, hive: int, method: str, mites: int, bees: int | None, days: int | None) -> None:
    said = {"kind": "mites", "place": f"hive {hive}", "method": method, "mites": mites}
    said |= {"bees": bees, "percent": round(100 * mites / bees, 1)} if bees else {}
    said |= {"days": days} if days else {}
    assert told(text) == [said]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Not a single queen cell in hive 26.", {"queen_cells": {"count": 0}}),
        ("Not one swarm cell in hive 26.", {"queen_cells": {"count": 0, "type": "swarm"}}),
        ("Hive 26, not a queen cell anywhere.", {"queen_cells": {"count": 0}}),
        ("I don't like the look of hive 26, only one frame of brood.", {"brood_frames": 1}),
        ("Not happy with hive 26, two frames of brood.", {"brood_frames": 2}),
        ("Not keen on hive 26 at all, one frame of brood.", {"brood_frames": 1}),
        ("Hive 26, brood in seven of the ten frames.", {"brood_frames": 7}),
        ("Brood on six of the eight frames in hive 26.", {"brood_frames": 6}),
        ("Brood: 5. Bees: 8. Stores: 2. Hive 26.", {"brood_frames": 5, "bee_frames": 8, "honey_frames": 2}),
        ("Hive 26. Bees: 9. Brood: 6. Pollen: 1.", {"brood_frames": 6, "bee_frames": 9, "pollen_frames": 1}),
        ("Queen marked green in hive 26 seen on frame two.", {"queen": "seen"}),
        ("Saw the white queen in hive 26.", {"queen": "seen"}),
        ("Saw the red marked queen in hive 26.", {"queen": "seen"}),
    ],
)
def test_found_in_a_hive(text: str, found: dict[str, Any]) -> None:
    assert told(text) == [{"kind": "inspection", "place": "hive 26", **found}]


@pytest.mark.parametrize(
    "text",
    [
        "Had a look in hive 9 on Sunday, six frames of brood.",
        "Had a proper look through hive 9 on Sunday, brood on six.",
        "I had a quick look at hive 9 on Sunday and found six frames of brood.",
        "We had a look in hive 9 on Sunday: six frames of brood.",
        "Took a look in hive 9 on Sunday, six brood.",
    ],
)
def test_a_look_on_a_day_is_no_plan(text: str) -> None:
    assert told(text) == [{"kind": "inspection", "place": "hive 9", "brood_frames": 6, "on": "2026-11-22"}]


@pytest.mark.parametrize(
    "text",
    [
        "Thought hive 9 was dead till I lifted the lid.",
        "I was sure hive 12 had died but they're flying.",
        "Feared hive 3 had starved but they've come right.",
        "We figured nuc 8 was lost, then found her.",
        "Hive 6 looked dead but there's a cluster in there.",
        "Assumed hive 7 had absconded until I saw them flying.",
        "I thought hive 6 was dead but it's fine.",
        "Worried hive 14 had died but it's humming.",
        "Hive 15 seemed dead but they're only quiet.",
        "I thought I'd lost hive 20 but they're in there.",
    ],
)
def test_feared_lost_is_not_lost(text: str) -> None:
    assert "loss" not in {e["kind"] for e in told(text)}


@pytest.mark.parametrize(
    "text",
    [
        "I've lost hive 4, starved, with honey two frames away from them.",
        "Hive 4 starved, with honey two frames away from them.",
        "Hive 4 is dead, starved with three frames of honey across from them.",
        "Hive 4 starved with two frames of honey out of reach.",
    ],
)
def test_honey_out_of_reach_is_no_finding(text: str) -> None:
    assert told(text) == [{"kind": "loss", "place": "hive 4", "cause": "starved"}]


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("Minus four on the ute this morning.", -4),
        ("It was minus one at daybreak.", -1),
        ("Minus two overnight.", -2),
        ("Three below overnight.", -3),
        ("Four below zero last night.", -4),
        ("One below freezing at dawn.", -1),
        ("Got down to minus three overnight.", -3),
        ("Two below this morning.", -2),
        ("Zero degrees at dawn.", 0),
        ("It's minus five out there.", -5),
    ],
)
def test_below_nought(text: str, degrees: int) -> None:
    entry = told(text)[0]
    assert (entry["kind"], entry["temperature_c"]) == ("weather", degrees)


@pytest.mark.parametrize(
    ("text", "words"),
    [("31 degrees. Hot.", "hot"), ("Cold. Eight degrees.", "cold"), ("Phew, 30 in the shade. Hot.", "hot")],
)
def test_a_word_of_the_weather_apart(text: str, words: str) -> None:
    entry = told(text)[0]
    assert (entry["kind"], entry["words"]) == ("weather", words)


@pytest.mark.parametrize(
    ("text", "suspect"),
    [
        ("Twisted yellow larvae in hive 44, European I think.", "European foulbrood"),
        ("Hive 44, sunken cappings, American I reckon.", "American foulbrood"),
    ],
)
def test_the_name_of_a_foulbrood_in_short(text: str, suspect: str) -> None:
    assert told(text)[0]["suspect"] == suspect
