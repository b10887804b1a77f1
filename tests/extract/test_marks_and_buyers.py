"""Dots told of the places that got them, and buyers told by what they paid. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import entries, spoken


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "colour", "places"),
    [
        ("Nucs 4, 5 and 6 all got their blue dots this morning.", "blue", ["nuc 4", "nuc 5", "nuc 6"]),
        ("Hives 8 and 9 have their yellow spots now.", "yellow", ["hive 8", "hive 9"]),
        ("Hive 12 has got her green dot.", "green", ["hive 12"]),
        ("Nucs 1 and 2 were given a white dot each.", "white", ["nuc 1", "nuc 2"]),
        ("The queens in nucs 7 and 8 both wear white dots.", "white", ["nuc 7", "nuc 8"]),
        ("The laying queen in nuc 5 now wears a white dot.", "white", ["nuc 5"]),
        ("Nuc 3 is wearing a red spot as of today.", "red", ["nuc 3"]),
        ("Nucs 10 to 12 each got a blue mark.", "blue", ["nuc 10", "nuc 11", "nuc 12"]),
        ("The girl in hive 34 is sporting a yellow dot.", "yellow", ["hive 34"]),
        ("Hive 21 has had her red dot put on.", "red", ["hive 21"]),
    ],
)
def test_dots(text: str, colour: str, places: list[str], form: str) -> None:
    got = entries(text if form == "typed" else spoken(text))
    assert [(e["kind"], e.get("colour"), e["place"]) for e in got] == [("mark", colour, p) for p in places]


@pytest.mark.parametrize("form", ["typed", "spoken"])
@pytest.mark.parametrize(
    ("text", "goods", "count", "price", "buyer"),
    [
        ("Got $20 each for 2 virgins from Jackie.", "virgin", 2, 20, "Jackie"),
        ("Received 45 dollars each for 3 queens from Hamish.", "queen", 3, 45, "Hamish"),
        ("Jackie paid me $20 each for 2 virgins.", "virgin", 2, 20, "Jackie"),
        ("Hamish paid 200 dollars for a nuc.", "nuc", 1, 200, "Hamish"),
        ("Olive gave me 50 dollars each for 4 queens.", "queen", 4, 50, "Olive"),
        ("Sold 4 queens at 45 apiece, Hamish had them.", "queen", 4, 45, "Hamish"),
        ("3 nucs sold at $210 each, Olive took the lot.", "nuc", 3, 210, "Olive"),
        ("Ten cells sold to Olive, five bucks a cell.", "cell", 10, 5, "Olive"),
        ("Sold 6 queens to Hamish, 40 dollars per queen.", "queen", 6, 40, "Hamish"),
        ("Got 30 bucks each from Olive for 5 virgins.", "virgin", 5, 30, "Olive"),
    ],
)
def test_buyers(text: str, goods: str, count: int, price: float, buyer: str, form: str) -> None:
    got = entries(text if form == "typed" else spoken(text))
    assert [(e["kind"], e.get("goods"), e.get("count"), e.get("price"), e.get("to")) for e in got] == [
        ("sale", goods, count, price, buyer)
    ]


@pytest.mark.parametrize("form", ["typed", "spoken"])
def test_a_sale_behind_a_nuc_is_not_of_that_nuc(form: str) -> None:
    text = "Caged the queen in nuc 2, sold one queen to Callum, sixty dollars."
    got = entries(text if form == "typed" else spoken(text))
    assert [(e["kind"], e.get("goods"), e.get("place")) for e in got] == [
        ("queen", None, "nuc 2"),
        ("sale", "queen", None),
    ]
