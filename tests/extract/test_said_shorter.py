"""What was just said is pointed at or left out, goods of one buyer, and orders beside corrections of the same note.

The sentences are ours; the notes are of Wednesday 25 November 2026.
"""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries, read, spoken

SAYS = pytest.mark.parametrize("say", [str, spoken])


def told(text: str, kind: str) -> list[dict[str, Any]]:
    """Entries of one kind without their kind."""
    return [{k: v for k, v in e.items() if k != "kind"} for e in entries(text) if e["kind"] == kind]


@SAYS
@pytest.mark.parametrize(
    ("text", "count", "number"),
    [
        ("Today 12 capped cells of round 5 have gone into the incubator.", 12, 5),
        ("20 cells of round 2 have been put into the incubator.", 20, 2),
        ("15 sealed cells of round 4 were moved into the incubator this morning.", 15, 4),
        ("9 cells of round 7 were carried over to the incubator.", 9, 7),
        ("This evening 16 cells from round 3 went into the incubator.", 16, 3),
        ("8 capped cells of round 1 are put in the incubator.", 8, 1),
        ("22 cells of round 6 have been brought to the incubator.", 22, 6),
        ("Yesterday 11 capped cells of round 8 were placed in the incubator.", 11, 8),
        ("14 cells of round 9 have now been transferred into the incubator.", 14, 9),
        ("17 capped cells of round 2 were hung in the incubator.", 17, 2),
    ],
)
def test_cells_that_have_gone_into_the_incubator(text: str, count: int, number: int, say: Any) -> None:
    assert {e["kind"] for e in entries(say(text))} == {"incubator"}
    [entry] = told(say(text), "incubator")
    assert (entry["count"], entry["round"], entry["what"], entry["step"]) == (count, number, "cells", "in")


@SAYS
@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("Made 2 splits from hive 9 into nuc 3 and nuc 4, and planted 2 cells of round 5 in them.", [3, 4]),
        ("2 splits went into nuc 11 and nuc 12 from hive 6, then I planted 2 cells of round 1 in them.", [11, 12]),
        ("I have made nuc 5 and nuc 6 from hive 2, and planted 2 ripe cells of round 3 in them.", [5, 6]),
        ("Hive 41 got a ripe cell of round 4.", ["hive 41"]),
        ("Nuc 8 got a ripe cell of round 2 this morning.", [8]),
        ("Nuc 1 and nuc 2 got a ripe cell of round 6.", [1, 2]),
        ("Hive 12 has got a ripe cell of round 3.", ["hive 12"]),
        ("Nuc 14 received a ripe cell of round 5.", [14]),
        ("Nuc 20 has been given a ripe cell of round 7.", [20]),
        ("Hive 30 got a new ripe cell of round 1.", ["hive 30"]),
    ],
)
def test_where_cells_are_planted(text: str, places: list[Any], say: Any) -> None:
    [entry] = told(say(text), "plant")
    assert entry["places"] == [p if isinstance(p, str) else f"nuc {p}" for p in places]


@SAYS
@pytest.mark.parametrize(
    ("text", "taken", "of"),
    [
        ("Of the 40 larvae of round 3 they have taken 31.", 31, 40),
        ("Of the 30 larvae of round 1 they took 22.", 22, 30),
        ("Of 45 cups in round 2 they have accepted 38.", 38, 45),
        ("Out of the 20 larvae of round 5 they have taken only 9.", 9, 20),
        ("Of the 60 grafts of round 4 the bees have accepted 44.", 44, 60),
        ("From the 36 larvae of round 7 they started 28.", 28, 36),
        ("Of the 24 larvae of round 8 they have taken just 12.", 12, 24),
        ("Of those 15 larvae of round 6 they took 13.", 13, 15),
        ("Of the 50 larvae in round 9 they have taken 41.", 41, 50),
        ("Of my 32 larvae of round 2 hive 7 has taken 27.", 27, 32),
    ],
)
def test_so_many_taken_of_the_larvae_of_a_round(text: str, taken: int, of: int, say: Any) -> None:
    assert {e["kind"] for e in entries(say(text))} == {"take"}
    [entry] = told(say(text), "take")
    assert (entry["taken"], entry["of"]) == (taken, of)


@pytest.mark.parametrize(
    ("text", "buyer"),
    [
        ("To Marit I have sold 2 nucs at $220 and 3 queens at $60 each.", "Marit"),
        ("To Pieter I sold 1 queen at $70 and 4 cells at $12 each.", "Pieter"),
        ("Yesterday to Lotte I sold 3 queens at $65 each and 1 nuc at $240.", "Lotte"),
        ("Henk bought 2 nucs at $230 and 5 cells at $10 each.", "Henk"),
        ("To Fiona we have sold 6 cells at $11 each and 2 virgins at $25 each.", "Fiona"),
        ("Today to Bram I sold a nuc at $210 and 2 queens at $55 each.", "Bram"),
        ("Saskia bought 1 queen at $75 and 1 nuc at $250.", "Saskia"),
        ("To Joost I sold 4 queens at $58 each and 2 nucs at $225.", "Joost"),
        ("To Mieke I have sold 1 virgin at $20 and 1 queen at $66.", "Mieke"),
        ("To Wout I sold 10 cells at $9 each and 1 nuc at $235.", "Wout"),
    ],
)
def test_a_buyer_said_first_bought_all_of_it(text: str, buyer: str) -> None:
    sales = told(text, "sale")
    assert len(sales) == 2
    assert {e.get("to") for e in sales} == {buyer}
    assert all("price" in e and "count" in e for e in sales)


@pytest.mark.parametrize(
    ("text", "place", "target"),
    [
        ("Hive 12 was queenless, therefore the queen from nuc 3 has been introduced there.", "nuc 3", "hive 12"),
        ("Hive 30 has no eggs, so the queen of nuc 9 was introduced there.", "nuc 9", "hive 30"),
        ("No queen in hive 8, the queen from nuc 2 has been introduced there.", "nuc 2", "hive 8"),
    ],
)
def test_a_queen_introduced_there_went_to_the_colony_spoken_of(text: str, place: str, target: str) -> None:
    [entry] = told(text, "queen")
    # the colony she came from and the one she went to, or that one alone, where she is now
    assert (entry["place"], entry.get("to")) in ((place, target), (target, None))
    assert entry["step"] == "introduced"


@SAYS
@pytest.mark.parametrize(
    ("text", "steps"),
    [
        (
            "On Monday the excluder was put in on hive 7 and on Tuesday the slide.",
            {("excluder in", "2026-11-23"), ("slide in", "2026-11-24")},
        ),
        (
            "The excluder went into hive 7 on Saturday and on Monday the slide, both for round 3.",
            {("excluder in", "2026-11-21"), ("slide in", "2026-11-23")},
        ),
        (
            "On Friday the excluder was put in hive 7 for round 2 and on Sunday the slide.",
            {("excluder in", "2026-11-20"), ("slide in", "2026-11-22")},
        ),
    ],
)
def test_a_second_thing_with_its_own_day(text: str, steps: set[tuple[str, str]], say: Any) -> None:
    assert {(e["step"], e["on"]) for e in told(say(text), "builder")} == steps


@SAYS
@pytest.mark.parametrize(
    ("text", "do"),
    [
        ("What I have said just now was wrong, please take it away again.", "undo"),
        ("What I said just now was wrong, delete it please.", "undo"),
        ("What I just said is nonsense, take it out.", "undo"),
        ("What I've said last was a mistake, please remove that note.", "undo"),
        ("What I recorded a moment ago was wrong, take it away.", "undo"),
        ("No, that one should not be kept.", "no"),
        ("No, this must not be saved.", "no"),
        ("No, that note should not be stored.", "no"),
        ("No, it doesn't need to be kept.", "no"),
        ("No, that shouldn't be written down.", "no"),
    ],
)
def test_taking_back_and_refusing_in_the_passive(text: str, do: str, say: Any) -> None:
    reading = read(say(text))
    assert [o.do for o in reading.orders] == [do]
    assert not reading.questions


@SAYS
@pytest.mark.parametrize(
    ("text", "field", "value"),
    [
        ("This morning hive 22 has 5 frames of brood, sorry, I mean 6.", "brood_frames", 6),
        ("Today hive 3 has 8 frames of bees, no sorry, 7.", "bee_frames", 7),
        ("Yesterday hive 14 had 4 frames of brood, I mean 5.", "brood_frames", 5),
        ("This afternoon hive 9 has 3 frames of stores, sorry, I mean 2.", "honey_frames", 2),
        ("On Monday hive 31 had 9 frames of brood, sorry, I mean 8.", "brood_frames", 8),
        ("Today there were 6 frames of brood in hive 5, sorry, I mean 7.", "brood_frames", 7),
        ("This morning hive 40 got 3 litres of syrup, sorry, I mean 2.", "amount", 2),
        ("Yesterday hive 17 had 10 frames of bees, no, I mean 9.", "bee_frames", 9),
        ("On Sunday hive 26 had 7 frames of brood, correction, 6.", "brood_frames", 6),
        ("Today hive 50 has 2 frames of pollen, sorry, I mean 3.", "pollen_frames", 3),
    ],
)
def test_a_correction_inside_a_record_is_no_order(text: str, field: str, value: int, say: Any) -> None:
    reading = read(say(text))
    assert not reading.orders
    [entry] = entries(say(text))
    assert entry[field] == value
