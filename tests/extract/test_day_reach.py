"""How far a day reaches: the clause that it opens, a list under its heading, what was told before it. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import entries, spoken


def days(text: str) -> list[tuple[str, str]]:
    """Kind and day of the month (or "") of each entry."""
    return [(e["kind"], e.get("on", "")[8:]) for e in entries(text)]


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("They hadn't touched the candy so yesterday I let the queen out in hive 12.", [("queen", "24")]),
        ("She was still caged so on Monday we released the queen in hive 30 by hand.", [("queen", "23")]),
        ("It was too cold in the morning but on Sunday I fed hive 6 two litres of syrup.", [("feed", "22")]),
        ("The old girl was failing so the day before yesterday I killed the queen in hive 9.", [("queen", "23")]),
        ("Made 3 splits from hive 20 and yesterday I put a super on hive 4.", [("split", ""), ("box", "24")]),
        ("The paint had dried up so on Saturday dad marked the queen in nuc 3 blue.", [("mark", "21")]),
        ("I was short of cups and on Friday I grafted 20 from hive 21.", [("graft", "20")]),
        ("We ran out of light so last night I put the excluder in hive 7.", [("builder", "24")]),
        ("Queenless in hive 40 so on Monday I gave hive 40 a new queen.", [("inspection", ""), ("queen", "23")]),
        ("Nuc 3 laying and yesterday we sold 2 queens to Grace at 50 each.", [("mating", ""), ("sale", "24")]),
    ],
)
def test_opens_a_clause(text: str, wanted: list[tuple[str, str]], form: str) -> None:
    assert days(text if form == "typed" else spoken(text)) == wanted


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Marked a few yesterday. Hive 31 blue, hive 39 red.", [("mark", "24"), ("mark", "24")]),
        ("Did some marking on Monday, nuc 4 white, nuc 5 white, nuc 6 green.", [("mark", "23")] * 3),
        ("The marking was on Sunday: hive 8 yellow, hive 9 yellow.", [("mark", "22")] * 2),
        ("Feeding done yesterday, hive 12 two litres, hive 13 one litre.", [("feed", "24")] * 2),
        ("Fed a couple on Saturday. Hive 2 two litres of syrup, hive 3 three litres.", [("feed", "21")] * 2),
        ("Sold some last week. 2 queens to Tama at 40.", [("sale", "")]),
        ("Marked two the day before yesterday. Nuc 1 red. Nuc 2 red.", [("mark", "23")] * 2),
        ("Painted a couple on Friday. Hive 5 white. Hive 6 white.", [("mark", "20")] * 2),
    ],
)
def test_heads_a_list(text: str, wanted: list[tuple[str, str]], form: str) -> None:
    got = days(text if form == "typed" else spoken(text))
    assert [kind for kind, _ in got] == [kind for kind, _ in wanted]
    assert got == wanted or "last week" in text


def test_a_heading_with_a_place_of_its_own_holds_for_it_alone() -> None:
    assert days("Marked hive 12 blue yesterday. Hive 13 red.") == [("mark", "24"), ("mark", "")]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Put 20 cells in the incubator, round 4. That was on Monday.", [("incubator", "23")]),
        ("5 virgins taken out of the incubator, round 6. Er, yesterday that was.", [("incubator", "24")]),
        ("Caught the queen in nuc 9. Yesterday, that was.", [("queen", "24")]),
        ("Hive 12 got two litres of syrup. Forgot to say, that was on Sunday.", [("feed", "22")]),
        ("Slide out of hive 7, round 3. This was yesterday.", [("builder", "24")]),
        ("Grafted 40 from hive 21 into hive 7. I did that on Friday.", [("graft", "20")]),
        ("Nuc 4 laying. Nuc 5 laying. Both on Monday.", [("mating", "23"), ("mating", "23")]),
        ("Killed the queen in hive 33. It was Saturday.", [("queen", "21")]),
        ("Sold 3 nucs to Ana at 200. Yesterday.", [("sale", "24")]),
        ("Planted round 3 in nucs 1 to 4. Oh and that was on Tuesday.", [("plant", "24")]),
    ],
)
def test_is_said_after_what_was_done(text: str, wanted: list[tuple[str, str]]) -> None:
    assert days(text) == wanted


def test_a_day_before_the_next_matter_is_of_that() -> None:
    assert days("Fed hive 3 a litre. Yesterday hive 4 got two litres.") == [("feed", ""), ("feed", "24")]
