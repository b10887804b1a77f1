"""Lists and ranges that are put right inside a note, and notes that are no orders. Sentences from our own scenario."""

from __future__ import annotations

from datetime import date

import pytest

from gloveside.extract.hearing import read_text
from gloveside.extract.models import Reading
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register

ON = date(2026, 11, 25)


@pytest.fixture(scope="module")
def reader() -> Reader:
    return Reader()


def _read(text: str, reader: Reader) -> Reading:
    return read_text(text, reader, on=ON, register=Register())


def _places(reading: Reading) -> list[str]:
    """All places of the entries; an entry that is only a note must not be there."""
    out: list[str] = []
    for entry in reading.entries:
        assert entry.kind != "note", entry
        place = getattr(entry, "place", None)
        out += [place] if place else getattr(entry, "places", None) or []
    return out


@pytest.mark.parametrize(
    ("text", "sort", "numbers"),
    [
        ("Made 3 splits from Hive 36 into Nucs 19 to 21, sorry, 20 to 22.", "nuc", [20, 21, 22]),
        ("Planted cells in nucs 7, 8 and 10, no, 7, 8 and 9.", "nuc", [7, 8, 9]),
        ("Nucs 1 and 2 are laying, no, 1 and 3.", "nuc", [1, 3]),
        ("Put cells in nucs 3, 4 and 6, sorry, 3, 4 and 5.", "nuc", [3, 4, 5]),
        ("Nucs 2, 5 and 9 are queenright, wait, 2, 6 and 9.", "nuc", [2, 6, 9]),
        ("I fed hives 8 and 9, no, 8 and 19, two litres each.", "hive", [8, 19]),
        ("Made 4 splits from hive 12 into nucs 1 to 4, correction, 5 to 8.", "nuc", [5, 6, 7, 8]),
        ("Marked the queens in nucs 10 through 12 blue, no, sorry, 11 through 13.", "nuc", [11, 12, 13]),
        ("Planted cells in nucs 15, 16, 17 and 18, I mean 14, 15, 16 and 17.", "nuc", [14, 15, 16, 17]),
        ("Strips went into hives 40 to 44, no wait, 41 to 44.", "hive", [41, 42, 43, 44]),
        ("Hives 1 and 2 are queenless, no, 1 and 4.", "hive", [1, 4]),
        ("Treated hives 30, 31 and 32 with oxalic, make that 30, 31 and 33.", "hive", [30, 31, 33]),
        ("Put supers on hives 5, 6 and 7, sorry, 5 and 6.", "hive", [5, 6]),
    ],
)
def test_the_corrected_list_stands_whole(text: str, sort: str, numbers: list[int], reader: Reader) -> None:
    assert _places(_read(text, reader)) == [f"{sort} {n}" for n in numbers]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Hive 9, 1, 2, 3, 4, 5, 5 frames of brood.", 5),
        ("Hive 9, brood, hang on, 1, 2, 3, 4 frames of brood.", 4),
    ],
)
def test_counting_aloud_is_still_no_list(text: str, count: int, reader: Reader) -> None:
    reading = _read(text, reader)
    assert [(e.kind, e.place, e.brood_frames) for e in reading.entries] == [("inspection", "hive 9", count)]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("Nuc 5's queen is not laying, oh, hang on, wrong nuc, that's Nuc 6, she's laying.", "nuc 6"),
        ("Hive 12 got two litres, no wait, wrong hive, that was hive 13.", "hive 13"),
        ("Hive 31 is queenless, hang on, wrong hive, it's hive 13, she's queenright.", "hive 13"),
    ],
)
def test_a_wrong_name_caught_at_once_is_no_order(text: str, place: str, reader: Reader) -> None:
    reading = _read(text, reader)
    assert not reading.orders
    assert _places(reading) == [place]


@pytest.mark.parametrize(
    ("text", "options"),
    [
        ("It was hive 16 or 60 I put the queen in.", ["hive 16", "hive 60"]),
        ("It was nuc 3 or nuc 13 the queen went in.", ["nuc 3", "nuc 13"]),
    ],
)
def test_one_of_two_places_is_asked_about_not_ordered(text: str, options: list[str], reader: Reader) -> None:
    reading = _read(text, reader)
    assert not reading.orders
    assert [d.options for d in reading.doubts] == [options]


@pytest.mark.parametrize(
    "text",
    [
        "Scrap that, the slide comes out first thing tomorrow, not before.",
        "Forget that, I'll feed the builder tomorrow night.",
        "Scratch that, the feeder goes on tomorrow.",
    ],
)
def test_work_to_come_beside_an_undo_is_kept(text: str, reader: Reader) -> None:
    reading = _read(text, reader)
    assert reading.doubts or any(e.kind == "task" for e in reading.entries)
    assert reading.entries


@pytest.mark.parametrize(
    ("text", "do"),
    [
        ("Forget that last note, I had my glasses off.", "undo"),
        ("Scrap that.", "undo"),
        ("I had that down under hive 4, wrong hive, it was hive 5.", "change"),
        ("Hive 4 was the wrong hive, it should be hive 5.", "change"),
    ],
)
def test_orders_stay_orders(text: str, do: str, reader: Reader) -> None:
    assert [o.do for o in _read(text, reader).orders] == [do]


@pytest.mark.parametrize(
    ("text", "due"),
    [
        ("I'm grafting on Friday.", date(2026, 11, 27)),
        ("I'm splitting hive 12 on Sunday.", date(2026, 11, 29)),
    ],
)
def test_what_one_is_doing_on_a_day_is_a_plan(text: str, due: date, reader: Reader) -> None:
    assert [(e.kind, e.due) for e in _read(text, reader).entries] == [("task", due)]


def test_what_one_was_doing_on_a_day_is_done(reader: Reader) -> None:
    assert [(e.kind, e.on) for e in _read("I was grafting on Friday.", reader).entries] == [
        ("graft", date(2026, 11, 20))
    ]


@pytest.mark.parametrize(
    ("text", "on", "moved"),
    [
        ("There are 2 supers on Hive 5, and Hive 6 was moved to the Quarry.", "hive 5", ["hive 6"]),
        ("I put a super on hive 14, and hive 40 was moved to the Creek.", "hive 14", ["hive 40"]),
    ],
)
def test_a_place_that_begins_its_own_clause_joins_no_list(text: str, on: str, moved: list[str], reader: Reader) -> None:
    entries = {e.kind: e for e in _read(text, reader).entries}
    assert getattr(entries["box"], "place", None) == on
    assert getattr(entries["move"], "places", None) == moved


@pytest.mark.parametrize(
    "text",
    [
        "Had a look in hive 44, 9 frames of brood and 2 frames of pollen.",
        "Had a proper look through hive 44, 9 frames of brood and 2 frames of pollen.",
        "Had a quick peek into hive 44, 9 frames of brood and 2 frames of pollen.",
    ],
)
def test_whoever_had_a_look_fed_nothing(text: str, reader: Reader) -> None:
    entries = _read(text, reader).entries
    assert [(e.kind, getattr(e, "pollen_frames", None)) for e in entries] == [("inspection", 2)]
