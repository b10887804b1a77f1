"""Classes of speech about running hives: what is only named, not done, and what was not found. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import read


@pytest.mark.parametrize(
    "text",
    [
        # another time, another place, or only a name
        "The bees hate the smell of thymol, they're all hanging off the front of hive 3.",
        "Only half the strips left in the packet, enough for hive 10.",
        "Ran out of oxalic before I got to hive 12.",
        # feed that was eaten, has gone off, or was not given
        "No more syrup for hive 50.",
        "They'd chewed through the patty in hive 38.",
        "Fondant's gone hard as a rock on hive 50.",
        "The patties are like cardboard and hive 8 won't look at them.",
        "Dry sugar on newspaper for hive 31.",
        # frames of brood handed over
        "Two frames of brood out of hive 5 into nuc 3.",
        "Took three frames of brood from hive 18 and put them into nuc 11.",
        "Frame of brood from hive 40 over to hive 41.",
        "2 brood frames off hive 9 into hive 10.",
        # looked for and not found
        "Went through every frame in hives 2 to 5 for foulbrood, all clear.",
        "Nothing roped when I tried it in hive 2.",
        "Matchstick test in hive 14 came back clean.",
        "Hive 19 cleared up the chalkbrood by itself.",
        "Hive 23 has got over its chalkbrood.",
        # dead, but not a colony
        "The chooks are eating the dead drones at the front of hive 5.",
        "Smells like a dead fish under the mat of hive 58.",
        # only sounds alike
        "Robbing screens on nucs 39, 30 and 8.",
        "Took two frames out of hive 38 to calm them down.",
        "The lot got chilled in nuc 30.",
        "Undersupered hive 26, empty box beneath the full one.",
        "Sent a sample from hive 1 off to the lab last Friday.",
        "Half the brood in hive 3 is chilled.",
    ],
)
def test_is_no_finding(text: str) -> None:
    assert {e.kind for e in read(text).entries} <= {"note", "box"}


@pytest.mark.parametrize(
    ("text", "kind", "fields"),
    [
        ("Opened hive 5, the bees were calm, I'd left the lid off too long.", "inspection", {"temper": "calm"}),
        ("Six frames of brood in hive 9 and nowhere left to lay.", "inspection", {"brood_frames": 6}),
        ("Left the smoker burning, hive 12 strong.", "inspection", {"strength": "strong"}),
        ("Pulled the super off hive 25 and stacked them in the shed.", "box", {"step": "off"}),
        ("I'd give hive 29 a fair for temper.", "inspection", {"temper": "fair"}),
        ("Small hive beetle in the corners of hive 15, squashed 9.", "inspection", {"signs": ["small hive beetle"]}),
        ("A single egg in each cell in hive 7.", "inspection", {"eggs": True}),
        ("Three eggs to a cell in nuc 57.", "inspection", {"signs": ["several eggs in a cell"]}),
        ("Mite drop on hive 3 is down to 2 a day since the strips went in.", "mites", {"mites": 2, "days": 1}),
        ("Lost the queen in hive 56 after the formic.", "inspection", {"queen": "queenless"}),
        ("Caged her in hive 50 so there's a break before the oxalic.", "queen", {"step": "caged"}),
        ("Rotating away from amitraz, so it's thymol at the Creek yard.", "treatment", {"product": "thymol"}),
        ("Strips out of hive 3 today, they've been in six weeks.", "treatment", {"step": "out"}),
        ("Amitraz strips taken out of hive 34, they'd been in 8 weeks.", "treatment", {"product": "amitraz"}),
        ("The vaporiser ran out of battery after hive 47.", "treatment", {"step": "given"}),
        ("Trickle feeding hive 3 with thin syrup.", "feed", {"feed": "syrup 1:1"}),
        ("Drizzled syrup over the bees in hive 32.", "feed", {"feed": "syrup"}),
        ("Frame of pollen from hive 59 over to nuc 43.", "feed", {"place": "nuc 43", "feed": "pollen frame"}),
        ("2 frames of honey off hive 6 into hive 8.", "feed", {"place": "hive 8", "amount": 2}),
    ],
)
def test_is_read_as_one_entry(text: str, kind: str, fields: dict[str, object]) -> None:
    made = [e.model_dump(by_alias=True) for e in read(text).entries if e.kind != "note"]
    assert [e["kind"] for e in made] == [kind]
    assert {name: made[0].get(name) for name in fields} == fields
    assert not ({"queen_cells"} - set(fields)) & {k for k, v in made[0].items() if v is not None}
