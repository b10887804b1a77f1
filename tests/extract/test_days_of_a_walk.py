"""How far a day reaches in a walk: over all that follows a heading, back over all that was told, over no other hive.

Own walks; what is expected follows from the contract ("`on` is the date of the event").
"""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import ON, read, spoken

TODAY = ON.isoformat()


def days(text: str) -> dict[str, str]:
    """Place -> the day of what is told of it."""
    made: list[Any] = [e for e in read(text).entries if e.kind not in ("note", "task")]
    return {e.place: e.on.isoformat() for e in made}


HEADINGS = [
    ("Sat in the ute, this is all yesterday's.", "2026-11-24"),
    ("Doing yesterday's nucs.", "2026-11-24"),
    ("Everything here is from the day before yesterday.", "2026-11-23"),
    ("Notes for Saturday the 21st.", "2026-11-21"),
    ("Catching up, it was all done on Saturday.", "2026-11-21"),
    ("Friday's visit to the Orchard, only just home with it.", "2026-11-20"),
    ("Two days late with this, it's Monday's work.", "2026-11-23"),
    ("Bit behind, these are all Sunday's.", "2026-11-22"),
    ("Right, what I did on Sunday.", "2026-11-22"),
    ("All of this was yesterday.", "2026-11-24"),
    ("Yesterday's walk round the Quarry.", "2026-11-24"),
    ("This lot's from Sunday.", "2026-11-22"),
    ("Last night before dark.", "2026-11-24"),
]


@pytest.mark.parametrize(("heading", "day"), HEADINGS)
def test_a_heading_dates_every_entry_that_follows(heading: str, day: str) -> None:
    text = f"{heading} Hive 4, strong. Hive 5, super on. Nuc 8, laying."
    want = {"hive 4": day, "hive 5": day, "nuc 8": day}
    assert days(text) == want
    assert days(spoken(text)) == want
    assert not read(text).questions


@pytest.mark.parametrize(
    ("text", "want"),
    [
        (
            "This lot's from yesterday. Hive 4, strong. Now today's. Hive 6, weak.",
            {"hive 4": "2026-11-24", "hive 6": TODAY},
        ),
        (
            "I did the nucs yesterday. Nuc 3, laying. Today I put a super on hive 9.",
            {"nuc 3": "2026-11-24", "hive 9": TODAY},
        ),
    ],
)
def test_another_day_ends_a_heading(text: str, want: dict[str, str]) -> None:
    assert days(text) == want
    assert days(spoken(text)) == want


@pytest.mark.parametrize(
    "closing",
    [
        "All of that was yesterday by the way.",
        "That was yesterday, all of it.",
        "All of this was yesterday, should have said.",
    ],
)
def test_a_closing_day_dates_all_that_was_told(closing: str) -> None:
    text = f"Hive 14, queen seen. Hive 15, fed two litres of syrup. Nuc 3, laying. {closing}"
    want = dict.fromkeys(["hive 14", "hive 15", "nuc 3"], "2026-11-24")
    assert days(text) == want
    assert days(spoken(text)) == want


@pytest.mark.parametrize(
    ("text", "dated"),
    [
        ("Hive 2, strong. Hive 3 I fed yesterday, two litres of syrup. Hive 4, queen seen.", "hive 3"),
        ("Hive 20, five frames of brood, hive 21 got its super yesterday, hive 22 queen seen.", "hive 21"),
        ("Hive 2 is strong, hive 3 I fed yesterday, two litres, and hive 4 has five frames of brood.", "hive 3"),
        ("Hive 14, queen seen. Hive 15, fed two litres. That was yesterday. Nuc 3, laying.", "hive 15"),
        ("Hive 30, queen seen. And hive 31, that was yesterday, super on. Hive 32, calm.", "hive 31"),
        ("Hive 4, strong. Hive 5, super on, that one was yesterday. Hive 6, weak.", "hive 5"),
        ("Fed hive 4 yesterday, a litre. Hive 5, a litre too. Hive 6, queen seen.", "hive 4"),
    ],
)
def test_a_day_said_of_one_hive_does_not_spill_over(text: str, dated: str) -> None:
    for said in (text, spoken(text)):
        assert [p for p, day in days(said).items() if day != TODAY] == [dated], said


@pytest.mark.parametrize(
    "text",
    [
        "Yesterday I fed hive 3 two litres of syrup. Hive 4, super on.",
        "On Monday I put the strips in hive 12. Hive 13, queen seen, six frames of brood.",
        "Yesterday I took a super off hive 8. Then hive 9, weak.",
    ],
)
def test_where_it_is_not_sure_whether_a_day_still_holds_it_is_asked(text: str) -> None:
    reading = read(text)
    asked = [d for d in reading.doubts if d.field == "on"]
    assert not reading.keep
    assert asked
    assert all(TODAY in d.options and len(d.options) == 2 for d in asked)


@pytest.mark.parametrize(
    "text",
    [
        "Hive 4, calm. The next visit is due on Friday. Six frames of brood.",
        "Hive 4, calm, six frames. Requeening is due Monday.",
    ],
)
def test_a_day_when_something_is_due_dates_nothing(text: str) -> None:
    for said in (text, spoken(text)):
        assert set(days(said).values()) == {TODAY}, said


def test_a_day_of_what_was_not_understood_dates_nothing_else() -> None:
    text = (
        "Hive 20. Boards went on yesterday, there's hardly a bee left up there. Two boxes of honey off hive 20. Heavy."
    )
    assert days(text) == {"hive 20": TODAY}
