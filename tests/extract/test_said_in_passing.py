"""Reasons behind a task, hedges, a "no" in more words, bare numbers of hives, prices of the lot. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries, read, spoken


@pytest.mark.parametrize(
    ("text", "task"),
    [
        ("We'll have to put another super on hive 26 on Saturday, they'll be hanging out the front.",
         "put another super on hive 26"),
        ("I have to split hive 14 on Friday, the cells are ripe by then.", "split hive 14"),
        ("I need to feed hive 22 tomorrow, the last frame is nearly bare.", "feed hive 22"),
        ("We're going to move hive 31 to the Creek on Sunday, the gate will be open.", "move hive 31 to the Creek"),
        ("I must requeen hive 40 on Friday, that old lady has had her day.", "requeen hive 40"),
        ("We need to wash hive 12 on Sunday, nobody has looked at its mites since spring.", "wash hive 12"),
        ("Tomorrow I'm fixing to treat hive 9, my strips came in the post.", "treat hive 9"),
        ("I've got to unite nuc 4 with hive 18 on Friday, those bees won't make it alone.", "unite nuc 4 with hive 18"),
        ("We should check hive 55 on Saturday, its entrance looked awfully quiet.", "check hive 55"),
        ("I need to take the super off hive 33 on Sunday, the combs are all sealed.", "take the super off hive 33"),
    ],
)  # fmt: skip
def test_a_reason_with_its_own_subject_is_no_part_of_a_task(text: str, task: str) -> None:
    assert [(e.kind, e.text) for e in read(text).entries] == [("task", task)]


@pytest.mark.parametrize(
    ("text", "kind", "options"),
    [
        ("I want to say it's nuc 8 that's laying, but it could've been nuc 9.", "mating", ["nuc 8", "nuc 9"]),
        ("I want to say hive 12 had eggs, but it may have been hive 13.", "inspection", ["hive 12", "hive 13"]),
        ("I'd like to say it was hive 41 that got 2 litres of syrup, but it might've been hive 43.", "feed",
         ["hive 41", "hive 43"]),
        ("I believe hive 8 got the syrup, 2 litres, or else it was hive 9.", "feed", ["hive 8", "hive 9"]),
        ("It was hive 20 that was queenless, might have been hive 22 though.", "inspection", ["hive 20", "hive 22"]),
        ("I kind of want to say nuc 11 is laying, though it might be nuc 12.", "mating", ["nuc 11", "nuc 12"]),
        ("I'm inclined to say hive 35 is queenless, but that could have been hive 36.", "inspection",
         ["hive 35", "hive 36"]),
        ("I'm tempted to say nuc 3 is laying, but it may've been nuc 13.", "mating", ["nuc 3", "nuc 13"]),
        ("We put a super on hive 27, though it may have been hive 28.", "box", ["hive 27", "hive 28"]),
        ("i want to say its hive 51 that is queenless but it could have been hive 57", "inspection",
         ["hive 51", "hive 57"]),
    ],
)  # fmt: skip
def test_a_hedge_asks_which_place(text: str, kind: str, options: list[str]) -> None:
    note = read(text)
    assert [e.kind for e in note.entries] == [kind]
    assert [d.options for d in note.doubts if d.field == "place"] == [options]


@pytest.mark.parametrize(
    "text",
    [
        "I may get around to requeening hive 44 in autumn, haven't made up my mind.",
        "I may end up uniting hive 3 with hive 5, we'll see.",
        "I might get around to splitting hive 16, I haven't decided.",
        "We may just treat hive 20, I'm in two minds.",
        "I may yet requeen hive 8.",
        "We may well move hive 29 to the Creek.",
        "I may eventually mark the queen in hive 50.",
        "No sense babying the two of them.",
        "No use pampering the three of them in hive 4.",
        "That's all of them, I'm ready for a sandwich.",
    ],
)
def test_what_may_be_done_or_is_only_talk_makes_no_record(text: str) -> None:
    assert entries(text) == []


@pytest.mark.parametrize(
    ("text", "kind", "on"),
    [
        ("Put a white dot on the queen in hive 17 back on Saturday.", "mark", "2026-11-21"),
        ("Put a super on hive 30 back on Friday.", "box", "2026-11-20"),
        ("I put a frame of honey in nuc 6 back on Sunday.", "feed", "2026-11-22"),
        ("Gave hive 12 two litres of syrup back on Monday.", "feed", "2026-11-23"),
        ("Marked the queen in hive 38 blue back on Thursday.", "mark", "2026-11-19"),
        ("United nuc 2 with hive 9 back on Tuesday.", "unite", "2026-11-24"),
    ],
)
def test_back_on_a_day_behind_work_is_past(text: str, kind: str, on: str) -> None:
    assert [(e["kind"], e.get("on")) for e in entries(text)] == [(kind, on)]


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("I'm pouring 2 litres, no, call it 2.5 litres, of 1 to 1 into nuc 4.",
         {"kind": "feed", "place": "nuc 4", "feed": "syrup 1:1", "amount": 2.5, "unit": "l"}),
        ("Hive 38 got 5 litres, well no, the can only holds 4, so 4 litres of syrup.",
         {"kind": "feed", "place": "hive 38", "feed": "syrup", "amount": 4, "unit": "l"}),
        ("Alcohol wash on hive 51, 9 mites in 300, no sir, 11.",
         {"kind": "mites", "place": "hive 51", "method": "wash", "mites": 11, "bees": 300, "percent": 3.7}),
        ("Sugar shake on hive 6, 4 mites in 300, no ma'am, 5.",
         {"kind": "mites", "place": "hive 6", "method": "sugar shake", "mites": 5, "bees": 300, "percent": 1.7}),
        ("I dabbed the queen in nuc 10 red, no, listen to me, yellow.",
         {"kind": "mark", "place": "nuc 10", "colour": "yellow"}),
        ("Hive 23 has 5 frames of brood, oh no, 6.", {"kind": "inspection", "place": "hive 23", "brood_frames": 6}),
        ("Hive 19 has 8 frames of bees, no mate, 9.", {"kind": "inspection", "place": "hive 19", "bee_frames": 9}),
        ("Fed hive 44 3 litres of syrup, no, let's call it 2.",
         {"kind": "feed", "place": "hive 44", "feed": "syrup", "amount": 2, "unit": "l"}),
        ("Gave hive 15 6 litres, well no, the bucket is 5, so 5 litres of syrup.",
         {"kind": "feed", "place": "hive 15", "feed": "syrup", "amount": 5, "unit": "l"}),
        ("Pulled 12 kilos of honey off hive 48, no, better call it 11.",
         {"kind": "harvest", "place": "hive 48", "amount": 11, "unit": "kg"}),
    ],
)  # fmt: skip
def test_a_no_in_more_words_puts_right(text: str, want: dict[str, Any]) -> None:
    assert entries(text) == [want]


@pytest.mark.parametrize("way", ["other way around", "the other way around", "other way round"])
def test_two_places_the_other_way_round_are_read_as_said_again(way: str) -> None:
    text = f"Hive 24 has 5 frames of brood, hive 25 has 8, no, {way}, 24's got 8 and 25's got 5."
    for said in (text, spoken(text)):
        assert [(e["place"], e["brood_frames"]) for e in entries(said)] == [("hive 24", 8), ("hive 25", 5)]


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("Washed hives 21 and 34, 2 mites in 300 on 21 and 9 mites in 300 on 34.",
         [("hive 21", "mites", 2), ("hive 34", "mites", 9)]),
        ("Washed hive 3 and hive 5, 6 mites in 300 on 3 and 12 mites in 300 on 5.",
         [("hive 3", "mites", 6), ("hive 5", "mites", 12)]),
        ("Hive 8 and hive 9 both looked at, 6 frames of brood in 8 and 4 frames of brood in 9.",
         [("hive 8", "brood_frames", 6), ("hive 9", "brood_frames", 4)]),
        ("Fed hive 3 and hive 4, 2 litres to 3 and 1 litre to 4.", [("hive 3", "amount", 2), ("hive 4", "amount", 1)]),
        ("Opened nuc 2 and nuc 6, 3 frames of bees in 2 and 5 frames of bees in 6.",
         [("nuc 2", "bee_frames", 3), ("nuc 6", "bee_frames", 5)]),
    ],
)  # fmt: skip
def test_figures_belong_to_the_place_named_by_its_number(text: str, want: list[tuple[str, str, int]]) -> None:
    assert [(e["place"], name, e.get(name)) for e, (_, name, _) in zip(entries(text), want, strict=True)] == want


def test_the_day_of_two_places_holds_for_the_figures_of_each() -> None:
    text = (
        "Washed hive 30 and hive 36 yesterday, 4 mites in 300 on 30 and 15 mites in 300 on 36, strips went in 36 today."
    )
    told = [(e["kind"], e["place"], e.get("on")) for e in entries(text)]
    day = "2026-11-24"
    assert told == [("mites", "hive 30", day), ("mites", "hive 36", day), ("treatment", "hive 36", None)]


@pytest.mark.parametrize(
    ("text", "count", "price", "to"),
    [
        ("The club took 5 nucs and paid us $900 for the lot.", 5, 180, "the club"),
        ("Sold Dave 3 queens for $120 the lot.", 3, 40, "Dave"),
        ("The garden centre took 2 nucs and paid me $380 for the pair.", 2, 190, "the garden centre"),
        ("A lady named Ruth bought 2 queens off us at $45 each.", 2, 45, "Ruth"),
        ("A fellow named Otis took 3 nucs at $180 each.", 3, 180, "Otis"),
        ("Sold 4 virgins to Pearl for $60 the lot.", 4, 15, "Pearl"),
    ],
)
def test_the_price_of_a_lot_is_of_each_and_a_buyer_named_so_is_named(
    text: str, count: int, price: float, to: str
) -> None:
    (sale,) = entries(text)
    assert (sale["count"], sale["price"], sale["to"]) == (count, price, to)


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("Split hive 27 this morning, made 4 out of it, nucs 5 through 8.",
         {"kind": "split", "from": "hive 27", "count": 4, "places": ["nuc 5", "nuc 6", "nuc 7", "nuc 8"]}),
        ("Virgins are popping in the incubator, 5 of them emerged this morning, round 4.",
         {"kind": "incubator", "round": 4, "what": "virgins", "count": 5, "step": "emerged"}),
        ("Virgins are hatching in the incubator, 9 of them have emerged, round 2.",
         {"kind": "incubator", "round": 2, "what": "virgins", "count": 9, "step": "emerged"}),
        ("Nuc 3, nothing laying in there yet.", {"kind": "mating", "place": "nuc 3", "result": "not laying"}),
        ("Nobody laying in nuc 7 so far.", {"kind": "mating", "place": "nuc 7", "result": "not laying"}),
        ("Hive 9 has 5 frames of honey put up.", {"kind": "inspection", "place": "hive 9", "honey_frames": 5}),
        ("Hive 13 has 3 frames of honey tucked away.", {"kind": "inspection", "place": "hive 13", "honey_frames": 3}),
        ("Hive 1, the queen's right there.", {"kind": "inspection", "place": "hive 1", "queen": "seen"}),
    ],
)  # fmt: skip
def test_found_in_other_words(text: str, want: dict[str, Any]) -> None:
    assert entries(text) == [want]
