"""Several who bought the same each, sales that are none, and work named by its day. Own sentences."""

from __future__ import annotations

from datetime import date

import pytest
from one_reader import read


@pytest.mark.parametrize(
    ("text", "goods", "count", "buyers", "price"),
    [
        ("Anna and Peter bought a nuc each.", "nuc", 1, ["Anna", "Peter"], None),
        ("Ruth and Colin each bought two queens.", "queen", 2, ["Ruth", "Colin"], None),
        ("Sold Moira and Dean a virgin each.", "virgin", 1, ["Moira", "Dean"], None),
        ("sold two nucs each to Trish and Alan", "nuc", 2, ["Trish", "Alan"], None),
        ("Wendy and Frank took three queens each at 50 dollars.", "queen", 3, ["Wendy", "Frank"], 50),
        ("Joan, Terry and Meg bought a queen apiece.", "queen", 1, ["Joan", "Terry", "Meg"], None),
        ("Nigel and Sue picked up one nuc each, 220 dollars.", "nuc", 1, ["Nigel", "Sue"], 220),
        ("Sold two virgins to Hazel. Sold two virgins to Ivan.", "virgin", 2, ["Hazel", "Ivan"], None),
        ("Gary and Lena bought three nucs.", "nuc", 3, ["Gary and Lena"], None),
    ],
)
def test_each_buyer_has_a_sale(text: str, goods: str, count: int, buyers: list[str], price: int | None) -> None:
    entries = read(text).entries
    assert [(e.kind, e.goods, e.count, e.to.title().replace(" And ", " and "), e.price) for e in entries] == [
        ("sale", goods, count, buyer, price) for buyer in buyers
    ]


@pytest.mark.parametrize(
    "text",
    [
        "She is the queen of the cake stall.",
        "He thinks he's the queen of the garage sale",
        "My sister was queen of the bake sale again.",
        "Two queens for sale next week.",
        "There's a plant sale at the hall on Sunday.",
        "Our nucs are not for sale.",
    ],
)
def test_what_is_no_sale(text: str) -> None:
    assert "sale" not in {e.kind for e in read(text).entries}


@pytest.mark.parametrize(
    ("text", "kind", "on"),
    [
        ("Monday's alcohol wash on hive 19, 5 mites in 300.", "mites", date(2026, 11, 23)),
        ("Saturday's sugar roll in hive 11 gave 2 mites in 300", "mites", date(2026, 11, 21)),
        ("Last Thursday's mite count for hive 24 was 14 in 300.", "mites", date(2026, 11, 19)),
        ("Friday's harvest, hive 36, three boxes.", "harvest", date(2026, 11, 20)),
        ("Tuesday's full inspection of hive 44, six frames of brood.", "inspection", date(2026, 11, 24)),
        ("Sunday's graft was 30 larvae into hive 7.", "graft", date(2026, 11, 22)),
        ("yesterday's oxalic treatment on hive 15, 40 mils trickled", "treatment", date(2026, 11, 24)),
        ("Monday's feed for hive 27 was two litres of syrup.", "feed", date(2026, 11, 23)),
    ],
)
def test_work_named_by_its_day(text: str, kind: str, on: date) -> None:
    entry = next(e for e in read(text).entries if e.kind != "note")
    assert (entry.kind, entry.on) == (kind, on)


def test_a_day_of_something_else_dates_nothing() -> None:
    entry = next(e for e in read("Read yesterday's newspaper, fed hive 9 two litres").entries if e.kind == "feed")
    assert entry.on == date(2026, 11, 25)
