"""What was not done, only looked at, or done to something that merely sounds alike. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import read


@pytest.mark.parametrize(
    "text",
    [
        "Haven't put the slide in hive 7 yet.",
        "I did not pull the slide out of hive 7.",
        "Slide still in on hive 7.",
        "Removed the excluder from hive 7.",
        "Excluder out of hive 7, round done.",
        "The queen is below the excluder in hive 7.",
        "Pulled the bottom board out of hive 12.",
        "Put a clearer board in hive 12.",
        "Took the landing board off hive 3.",
        "Didn't put any cells in nuc 9.",
        "Haven't put cells in nucs 4 to 6.",
        "Didn't mark her, hive 3.",
        "The queen in hive 11 is unmarked.",
        "Nearly squashed the queen in hive 12.",
        "Didn't introduce the queen to hive 8.",
        "Didn't unite hives 5 and 6.",
        "Didn't give hive 12 any syrup.",
        "Boosted hive 12 with nuc 9.",
    ],
)
def test_is_no_work(text: str) -> None:
    assert {e.kind for e in read(text).entries} == {"note"}


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("Introduced a queen to hive 12 with a bit of candy.", {"queen"}),
        ("Sprayed the queen with syrup and ran her into hive 12.", {"queen"}),
        ("Cells have gone into nucs 3, 4 and 5.", {"plant"}),
        ("Found the queen dead in the cage, hive 12.", {"queen"}),
        ("Queen in hive 44 killed by the workers.", {"queen"}),
        ("Nuc 4 virgin lost.", {"mating"}),
        ("Two of the 24 cells are small, round 4, all ripe.", {"cells", "note"}),
        ("We've got 26 cells drawn from 30 grafts, round 2.", {"take"}),
        ("Hive 31 was weak so I put it in with hive 32.", {"inspection", "unite"}),
    ],
)
def test_is_no_entry_of_another_kind(text: str, kinds: set[str]) -> None:
    assert {e.kind for e in read(text).entries} <= kinds


@pytest.mark.parametrize(
    ("text", "options"),
    [("18 to 20 ripe cells in round 3", {18, 20}), ("between 18 and 20 cells ripe, round 3", {18, 20})],
)
def test_a_rough_count_is_asked_about(text: str, options: set[int]) -> None:
    reading = read(text)
    assert not reading.keep
    assert {o for d in reading.doubts for o in d.options} == options


def test_a_place_named_for_two_and_not_understood_is_asked_about() -> None:
    assert not read("Did the usual with hives 4 and 5 and round 3.").keep


def test_every_queen_of_a_row_is_caught() -> None:
    got = read("Caught the queen in nuc 1 and the queen in nuc 2 and the queen in nuc 3.").entries
    assert [(e.place, e.step) for e in got if e.kind == "queen"] == [(f"nuc {n}", "caught") for n in (1, 2, 3)]


def test_the_bottom_one_is_no_count() -> None:
    got = read("Round 4, top bar 12 of 15, and the bottom one 11 of 15.").entries
    assert [(b.bar, b.taken, b.of) for e in got if e.kind == "take" for b in e.bars or []] == [
        ("top", 12, 15),
        ("bottom", 11, 15),
    ]
