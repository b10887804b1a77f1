"""Where the turn of one place ends and that of the next begins, with and without stops, and talk to oneself between.

Own walks; what is expected follows from the contract ("A place that was said stays in force until another is said").
"""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries, read, spoken


def told(text: str) -> dict[str, set[str]]:
    """Place -> the kinds of entry told of it."""
    out: dict[str, set[str]] = {}
    for entry in entries(text):
        out.setdefault(entry.get("place", ""), set()).add(entry["kind"])
    return out


INSPECTED, BOXED, FED, MATED = {"inspection"}, {"box"}, {"feed"}, {"mating"}


def field(text: str, name: str) -> dict[str, Any]:
    return {e.get("place", ""): e[name] for e in entries(text) if name in e}


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("Hive 22, saw her, super on. Hive 23, no sign of her.", {"hive 22": INSPECTED | BOXED, "hive 23": INSPECTED}),
        (
            "Nuc 4, not laying yet. Laying in nuc 5, and I've marked her white.",
            {"nuc 4": MATED, "nuc 5": MATED | {"mark"}},
        ),
        (
            "Hive 4, queen seen. Two litres of syrup to hive 5. Hive 6, weak.",
            {"hive 4": {"inspection"}, "hive 5": FED, "hive 6": INSPECTED},
        ),
        (
            "Hive 8, no eggs. Marked the queen in nuc 6 white. Nuc 9, laying.",
            {"hive 8": {"inspection"}, "nuc 6": {"mark"}, "nuc 9": MATED},
        ),
        (
            "Okay, hive 10, five frames of brood. And then hive 11, I fed them a litre. Next hive 12, queen seen.",
            {"hive 10": {"inspection"}, "hive 11": FED, "hive 12": INSPECTED},
        ),
        (
            "Hive 40, strong. Moving on, hive 41, weak. Then it's hive 42, dead, starved.",
            {"hive 40": {"inspection"}, "hive 41": {"inspection"}, "hive 42": {"loss"}},
        ),
    ],
)
def test_each_place_keeps_its_own(text: str, want: dict[str, set[str]]) -> None:
    assert told(text) == want
    assert told(spoken(text)) == want


MUTTERED = [
    "Where did I put my smoker.",
    "Where was I.",
    "Did I close that gate.",
    "Who's next.",
    "How am I doing for time.",
    "Phew, I need a drink.",
    "What did I do with the smoker.",
    "What else.",
    "Ow, my thumb.",
    "What's the time.",
    "Hang on a sec.",
    "There goes the neighbour's dog.",
]


@pytest.mark.parametrize("mutter", MUTTERED)
def test_talk_to_oneself_between_two_hives_is_no_entry_and_no_question(mutter: str) -> None:
    text = f"Hive 24, five frames of brood. {mutter} Hive 25, queen seen, fed them a litre."
    want = {"hive 24": {"inspection"}, "hive 25": INSPECTED | FED}
    for said in (text, spoken(text)):
        reading = read(said)
        assert told(said) == want, said
        assert (reading.questions, reading.orders) == ([], []), said
        assert field(said, "brood_frames") == {"hive 24": 5}, said


@pytest.mark.parametrize(
    "text",
    [
        "Hive 4, six frames of brood. Next one. Queen seen, eggs.",
        "Hive 4, six frames of brood. Right, on to the next one. Queen seen.",
        "Hive 4, six frames of brood. What have we got here. Queen seen, calm.",
        "Hive 4, six frames of brood. The one next to it, queen seen.",
        "Hive 4, six frames of brood. Who's next. Queen seen.",
    ],
)
def test_a_hive_that_is_not_named_is_asked_about(text: str) -> None:
    for said in (text, spoken(text)):
        reading = read(said)
        assert field(said, "queen") == {"": "seen"}, said
        assert [d.field for d in reading.doubts] == ["place"], said


@pytest.mark.parametrize(
    ("text", "want"),
    [
        (
            "Hive 4, six frames of brood. Next one along, four frames of brood, that's hive 5.",
            {"hive 4": 6, "hive 5": 4},
        ),
        (
            "Hive 4, six frames of brood. What have we got here. Three frames of brood. That's hive 9.",
            {"hive 4": 6, "hive 9": 3},
        ),
        (
            "Hive 4. What have we got here. Three frames of brood. Hive 5, two frames of brood.",
            {"hive 4": 3, "hive 5": 2},
        ),
        ("Hive 4, six frames of brood. Next one. Hive 6. Two frames of brood.", {"hive 4": 6, "hive 6": 2}),
    ],
)
def test_a_place_named_behind_what_was_told_of_it(text: str, want: dict[str, int]) -> None:
    assert field(text, "brood_frames") == want
    assert field(spoken(text), "brood_frames") == want


@pytest.mark.parametrize("breath", ["Hang on", "Wait", "Hold on"])
def test_a_breath_before_the_next_hive_moves_nothing_without_asking(breath: str) -> None:
    text = f"Hive 12, four frames of brood, calm. {breath}, hive 13, no eggs."
    for said in (text, spoken(text)):
        reading = read(said)
        assert field(said, "brood_frames") == {"hive 12": 4}, said
        assert field(said, "eggs") == {"hive 13": False}, said
        assert [d.options for d in reading.doubts] == [["hive 12", "hive 13"]], said


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("Hive 12, hang on, hive 13, four frames of brood.", {"hive 13": 4}),
        (
            "Hive 12, four frames of brood. Hang on, that was hive 13. Hive 14, two frames of brood.",
            {"hive 13": 4, "hive 14": 2},
        ),
        (
            "Hive 30, three frames of brood. Sorry, that was hive 31. Hive 32, five frames of brood.",
            {"hive 31": 3, "hive 32": 5},
        ),
        ("Hive 31, six frames of brood, hang on, wrong hive, it's hive 13.", {"hive 13": 6}),
    ],
)
def test_a_place_put_right_moves_what_was_told(text: str, want: dict[str, int]) -> None:
    assert field(text, "brood_frames") == want
    assert field(spoken(text), "brood_frames") == want


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("Nuc 7, laying. No wait, that was nuc 8 not 7. Nuc 9, missing.", {"nuc 8": "laying", "nuc 9": "missing"}),
        ("Nuc 3, laying. Hang on, that's nuc 4, not nuc 3. Nuc 5, missing.", {"nuc 4": "laying", "nuc 5": "missing"}),
        (
            "Nuc 7, she's laying, and I've marked this one white. Hang on, that was nuc 8, not nuc 7. Nuc 9, missing.",
            {"nuc 8": "laying", "nuc 9": "missing"},
        ),
        (
            "Nuc 11, laying. Nuc 12, missing. I've got those two the wrong way round.",
            {"nuc 12": "laying", "nuc 11": "missing"},
        ),
        (
            "Nuc 1, laying. Nuc 2, laying. Nuc 3, missing. Sorry, I said them the other way round. Nuc 4, laying.",
            {"nuc 1": "laying", "nuc 3": "laying", "nuc 2": "missing", "nuc 4": "laying"},
        ),
    ],
)
def test_places_that_were_mixed_up(text: str, want: dict[str, str]) -> None:
    assert field(text, "result") == want
    assert field(spoken(text), "result") == want
    assert not read(text).orders


def test_a_record_put_right_among_others_is_no_order_that_swallows_them() -> None:
    text = "Nuc 6, not laying. No, wrong, nuc 6 was laying. Nuc 8, dead, wasps."
    assert not read(text).orders
    assert told(text)["nuc 8"]
