"""Boxes, feed, honey and strips: one thing each for several hives, fragments, what was not taken. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries as told
from one_reader import read


def each(kind: str, places: str, **fields: Any) -> list[dict[str, Any]]:
    """An entry for each of some hives, "2 3 4", or nucs, "nuc 3 4"."""
    sort = "nuc" if places.startswith("nuc") else "hive"
    return [{"kind": kind, "place": f"{sort} {n}", **fields} for n in places.removeprefix("nuc").split()]


def on(places: str, box: str = "super", **fields: Any) -> list[dict[str, Any]]:
    """A box put on each."""
    return each("box", places, box=box, step="on", **fields)


@pytest.mark.parametrize(
    ("text", "entries"),
    [
        ("Supers on today, one each for hives 2, 3 and 4.", on("2 3 4", count=1)),
        ("A brood box apiece for hive 6 and hive 7.", on("6 7", "brood box", count=1)),
        ("Hives 30, 31 and 32 all got a super each.", on("30 31 32", count=1)),
        ("Hives 14 and 15 have had a super apiece.", on("14 15", count=1)),
        ("Two supers each on hives 9 and 10.", on("9 10", count=2)),
        ("One super each, hives 50 to 52.", on("50 51 52", count=1)),
        ("One more super apiece on hives 5 and 6.", on("5 6", count=1)),
        ("I've supered hive 43 and hive 44, one each.", on("43 44", count=1)),
        ("Hive 26 got a super, hive 27 got two.", on("26", count=1) + on("27", count=2)),
        (
            "Pollen patties, one apiece, hives 4 and 5.",
            each("feed", "4 5", feed="pollen patty", amount=1, unit="patty"),
        ),
        (
            "Patties today, two each for hives 20 and 21.",
            each("feed", "20 21", feed="pollen patty", amount=2, unit="patty"),
        ),
        ("A patty each for nucs 3 and 4.", each("feed", "nuc 3 4", feed="pollen patty", amount=1, unit="patty")),
        ("A litre apiece for nucs 8 and 9, thin syrup.", each("feed", "nuc 8 9", feed="syrup 1:1", amount=1, unit="l")),
        ("Topped the frame feeders in nucs 6 and 7, 2 litres each.", each("feed", "nuc 6 7", amount=2, unit="l")),
        (
            "Hives 11 and 12, two strips apiece.",
            each("treatment", "11 12", product="strips", method="strips", step="in", amount=2),
        ),
        (
            "One strip each for nucs 4 and 5.",
            each("treatment", "nuc 4 5", product="strips", method="strips", step="in", amount=1),
        ),
        (
            "Oxalic vapour hive 21 hive 22 hive 23 two grams each.",
            each("treatment", "21 22 23", product="oxalic acid", method="vapour", step="given", amount=2, unit="g"),
        ),
    ],
)
def test_one_thing_each(text: str, entries: list[dict[str, Any]]) -> None:
    assert told(text) == entries


@pytest.mark.parametrize(
    ("text", "entries"),
    [
        ("Super on hive 12, drawn comb.", on("12")),
        ("super on hive 12 drawn comb this time", on("12")),
        ("Brood box on hive 8, all foundation.", on("8", "brood box")),
        ("Hive 40. Super on. Drawn comb.", on("40")),
        ("Second super on hive 22, wet one.", on("22")),
        ("Super under hive 9.", on("9")),
        ("New brood box for hive 5.", on("5", "brood box")),
        ("Brood box for hive 38, nice drawn frames.", on("38", "brood box")),
        ("Both supers off hive 3.", each("box", "3", box="super", step="off", count=2)),
        ("Put both supers back on hive 3.", on("3", count=2)),
        (
            "Both supers have come off hive 46 so they're down to a single.",
            each("box", "46", box="super", step="off", count=2),
        ),
        (
            "2 supers off hive 50, 1 super off hive 51, none off hive 52.",
            each("box", "50", box="super", step="off", count=2) + each("box", "51", box="super", step="off", count=1),
        ),
    ],
)
def test_a_box_in_few_words(text: str, entries: list[dict[str, Any]]) -> None:
    assert told(text) == entries


@pytest.mark.parametrize(
    "text",
    [
        "The super on hive 6 is drawn out.",
        "Super on hive 6 drawn out already.",
        "The super on hive 6 full already.",
        "The third super on hive 5 looks half empty.",
        "Hive 9 hasn't touched the fondant.",
        "Hive 10 never took the syrup down.",
        "The bees in hive 12 won't take the patty.",
        "Hive 50 wouldn't take the syrup, a litre still there.",
        "No syrup given to hive 4.",
        "Nothing fed to hive 3.",
        "Nothing was fed at hive 4 today.",
        "Still a litre left in hive 8's feeder.",
        "Half the syrup still there in hive 8.",
        "Hive 7 hasn't drunk its two litres yet.",
        "The strips are still in hive 9.",
        "Strips still in at hive 20.",
        "Leaving the strips in hive 5 for another fortnight.",
        "Kept the strips in hives 3 and 4 a bit longer.",
        "Left the amitraz strips in hive 8 another two weeks.",
        "Hive 12 still has its strips in.",
        "Hive 30, strips not out yet.",
    ],
)
def test_what_stands_or_was_not_taken_is_no_work(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize(
    ("text", "entries"),
    [
        ("Two boxes of manuka from hive 8.", each("harvest", "8", amount=2, unit="box")),
        ("Pulled a box of clover off hive 13 today.", each("harvest", "13", amount=1, unit="box")),
        ("Took a super of thistle honey off hive 26.", each("harvest", "26", amount=1, unit="box")),
        ("Off hive 31 came two boxes of rata.", each("harvest", "31", amount=2, unit="box")),
        ("Hive 20, crop, 31 kilos.", each("harvest", "20", amount=31, unit="kg")),
        ("Hive 18: honey, 22 kg.", each("harvest", "18", amount=22, unit="kg")),
        ("Cut 4 frames of comb honey from hive 2.", each("harvest", "2", amount=4, unit="frame")),
        ("Robbed hive 15, one box.", each("harvest", "15", amount=1, unit="box")),
        ("Hive 9 was robbed of two supers of kamahi.", each("harvest", "9", amount=2, unit="box")),
        ("Extracted 44 kilos from hive 30's three boxes.", each("harvest", "30", amount=44, unit="kg")),
        ("Spun out 19 kilos from hive 21's two supers.", each("harvest", "21", amount=19, unit="kg")),
        (
            "Gave hive 46 a frame of honey, they were down to nothing.",
            each("feed", "46", feed="honey frame", amount=1, unit="frame"),
        ),
    ],
)
def test_honey_taken_or_given(text: str, entries: list[dict[str, Any]]) -> None:
    assert told(text) == entries


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("They'd eaten the last patty so I've put another on hive 17.", 1),
        ("The old patty was gone in hive 17, put two more on.", 2),
        ("Patty all eaten in hive 17, gave them another one.", 1),
        ("They'd cleaned up their patty so I put three more on for them, that's hive 17.", 3),
    ],
)
def test_more_of_what_was_eaten(text: str, amount: int) -> None:
    assert told(text) == each("feed", "17", feed="pollen patty", amount=amount, unit="patty")


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("Formic pads on hive 12, two.", 2),
        ("Hive 12, formic pads, three.", 3),
        ("Pads on hive 12, formic, two of them.", 2),
    ],
)
def test_how_many_pads_said_last(text: str, amount: int) -> None:
    entry = told(text)[0]
    assert (entry["kind"], entry["place"], entry["amount"]) == ("treatment", "hive 12", amount)


def test_a_share_for_one_that_got_nothing_is_asked_about() -> None:
    reading = read("Half a litre each for nucs 3 and 4, nothing for nuc 5.")
    assert [e.place for e in reading.entries if e.kind == "feed"] == ["nuc 3", "nuc 4"]
    assert not reading.keep
