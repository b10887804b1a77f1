"""Moves, colonies put together, splits of several hives, and a value of which another may be meant. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries as told
from one_reader import read


@pytest.mark.parametrize(
    ("text", "places", "to"),
    [
        ("Hives 8 and 9 were the last, ran them out to the Quarry tonight.", ["hive 8", "hive 9"], "Quarry"),
        ("Loaded hive 14 and shifted it over to the Creek.", ["hive 14"], "Creek"),
        ("Loaded up hives 1 and 2 and drove them to the Orchard.", ["hive 1", "hive 2"], "Orchard"),
        ("Picked up hive 20 from the Quarry and moved it back to the Orchard.", ["hive 20"], "Orchard"),
        ("The last load was hive 30 and hive 31, we ran them down to the Creek.", ["hive 30", "hive 31"], "Creek"),
        ("Hive 12 to the Creek, no, the Quarry.", ["hive 12"], "Quarry"),
        ("Hive 44 to Quarry, no, Creek.", ["hive 44"], "Creek"),
        ("Moved hive 43. To Orchard, no, Quarry.", ["hive 43"], "Quarry"),
        ("Moved hive 30 to Orchard, sorry, Quarry.", ["hive 30"], "Quarry"),
        ("Nuc 4 went to Creek, no wait, Orchard.", ["nuc 4"], "Orchard"),
    ],
)
def test_moved(text: str, places: list[str], to: str) -> None:
    assert told(text) == [{"kind": "move", "places": places, "to": f"yard {to}"}]


@pytest.mark.parametrize(
    "text",
    [
        "Took the supers off hive 3 and carted them to the shed.",
        "Pulled two boxes off hive 9 and ran them down to the house.",
        "Lifted the super off hive 6 and moved it to the truck.",
    ],
)
def test_gear_carried_away_moves_no_hive(text: str) -> None:
    assert "move" not in {e["kind"] for e in told(text)}


@pytest.mark.parametrize(
    ("text", "sources", "into"),
    [
        ("Into hive 12 went nucs 3 and 4.", ["nuc 3", "nuc 4"], "hive 12"),
        ("Into hive 5 I've united nuc 2.", ["nuc 2"], "hive 5"),
        ("Merged nucs 7 and 8 into hive 3.", ["nuc 7", "nuc 8"], "hive 3"),
        ("Combined nucs 5 and 6 into nuc 5.", ["nuc 6"], "nuc 5"),
        ("Hives 20 and 21 are one colony now.", ["hive 20"], "hive 21"),
        ("Put hives 8 and 9 together with newspaper.", ["hive 8"], "hive 9"),
        ("Nuc 1 and nuc 2 have gone together.", ["nuc 1"], "nuc 2"),
        ("Tipped what's left of nuc 6 into hive 10.", ["nuc 6"], "hive 10"),
        ("Shook the remains of hive 14 into hive 15.", ["hive 14"], "hive 15"),
        ("I put what was left of hive 8 in with hive 16.", ["hive 8"], "hive 16"),
        ("Put what remained of hive 50 on top of hive 51, newspaper between.", ["hive 50"], "hive 51"),
    ],
)
def test_put_together(text: str, sources: list[str], into: str) -> None:
    assert told(text) == [{"kind": "unite", "from": source, "into": into} for source in sources]


def test_united_with_a_number() -> None:
    entries = told("Hive 30 is queenless, united it with 31.")
    assert {"kind": "unite", "from": "hive 30", "into": "hive 31"} in entries


@pytest.mark.parametrize(
    ("text", "hives", "fields"),
    [
        ("Took one split off each of hives 12 and 13.", [12, 13], {"count": 1}),
        ("Hives 30 and 31 split, two nucs apiece.", [30, 31], {"count": 2}),
        ("Halved hive 9 and hive 10, a split from each.", [9, 10], {"count": 1}),
        ("Hive 4 and hive 5 both got chopped in half, that's one split from each.", [4, 5], {"count": 1}),
        ("Split hives 40, 41 and 42.", [40, 41, 42], {}),
        ("Three splits each from hives 5 and 6.", [5, 6], {"count": 3}),
        ("Both hive 3 and hive 4 got split today.", [3, 4], {}),
        ("One split each off hives 8 and 20.", [8, 20], {"count": 1}),
        ("A nuc each off hives 20, 21 and 22.", [20, 21, 22], {"count": 1}),
        ("Two nucs each out of hives 23 and 24.", [23, 24], {"count": 2}),
        ("Made two splits from each of hives 3 and 4.", [3, 4], {"count": 2}),
    ],
)
def test_splits_of_several_hives(text: str, hives: list[int], fields: dict[str, Any]) -> None:
    assert told(text) == [{"kind": "split", "from": f"hive {n}", **fields} for n in hives]


@pytest.mark.parametrize(
    ("text", "entry"),
    [
        ("I could see what they were up to in hive 32 so I've taken a split off them.", {"count": 1}),
        ("I saw what was coming in hive 32 and I split it.", {}),
        ("Hive 32 was ready to go so I took a nuc off them.", {"count": 1}),
        ("Hive 32 strong, pulled a split off them into nuc 4.", {"count": 1, "places": ["nuc 4"]}),
        ("I knew what hive 32 was planning, so I've made a split off them.", {"count": 1}),
    ],
)
def test_told_what_they_were_up_to(text: str, entry: dict[str, Any]) -> None:
    assert {"kind": "split", "from": "hive 32", **entry} in told(text)
    assert read(text).questions == []


@pytest.mark.parametrize(
    ("text", "field", "options"),
    [
        ("Fed hive 13 two litres, or was it hive 30.", "place", ["hive 13", "hive 30"]),
        ("I fed a litre of syrup to hive 14, or it might have been hive 40.", "place", ["hive 14", "hive 40"]),
        ("Laying, nuc 6. Or nuc 16. One of the two.", "place", ["nuc 6", "nuc 16"]),
        ("Super on hive 16. Or was it 60?", "place", ["hive 16", "hive 60"]),
        ("Strips in hive 14, could have been 40.", "place", ["hive 14", "hive 40"]),
        ("Six brood in hive 19. Hang on, was that 90?", "place", ["hive 19", "hive 90"]),
        ("Put a super on hive 4. Or was it hive 5, not sure.", "place", ["hive 4", "hive 5"]),
        ("Queen seen in nuc 3, or maybe nuc 4, can't remember which.", "place", ["nuc 3", "nuc 4"]),
        ("Hive 17 is dead. It might have been hive 70, I forget.", "place", ["hive 17", "hive 70"]),
        ("Hive 27 wash, six, might have been eight, in 300.", "mites", [6, 8]),
        ("Mite wash, hive 29, 5, might've been 7, in 300.", "mites", [5, 7]),
        ("mite wash hive 29 five might've been seven in 300", "mites", [5, 7]),
        ("Hive 18 five frames of brood, possibly six.", "brood_frames", [5, 6]),
        ("Gave hive 8 three litres, could have been four.", "amount", [3, 4]),
        ("gave hive 8 three litres could have been four", "amount", [3, 4]),
    ],
)
def test_a_second_value_as_likely_is_asked_about(text: str, field: str, options: list[Any]) -> None:
    doubts = {d.field: list(d.options) for d in read(text).doubts}
    assert doubts.get(field) == options


@pytest.mark.parametrize(
    "text",
    [
        "No eggs in hive 6. Could be queenless.",
        "Queen seen in hive 3 and hive 4.",
        "Hive 9 strong. It was hive 10 that had chalkbrood.",
        "Fed hive 3 a litre. Hive 4 might be light too.",
    ],
)
def test_a_guess_about_another_thing_doubts_no_value(text: str) -> None:
    assert not any(d.options for d in read(text).doubts)
