"""Work told in the present with a day to come is a plan, never an entry of what was done. Own sentences."""

from __future__ import annotations

from datetime import date

import pytest
from one_reader import read

FRIDAY, SATURDAY, SUNDAY = date(2026, 11, 27), date(2026, 11, 28), date(2026, 11, 29)  # the notes are of a Wednesday


@pytest.mark.parametrize(
    ("text", "task", "due"),
    [
        ("I'm popping a super on hive 16 on Friday", "pop a super on hive 16", FRIDAY),
        ("we're dropping three strips into hive 28 on Saturday", "drop 3 strips into hive 28", SATURDAY),
        ("On Sunday I'm uniting nuc 5 with hive 40.", "unite nuc 5 with hive 40", SUNDAY),
        ("We are taking four boxes off hive 33 this Saturday.", "take 4 boxes off hive 33", SATURDAY),
        ("I'll be grafting 36 larvae from hive 34 on Friday", "graft 36 larvae from hive 34", FRIDAY),
        ("I am giving hive 8 three litres of syrup on Sunday", "give hive 8 3 litres of syrup", SUNDAY),
        ("we shall be moving hive 19 to the Creek on Saturday", "move hive 19 to the Creek", SATURDAY),
        ("Adding a brood box to hive 23 on Friday.", "add a brood box to hive 23", FRIDAY),
        ("We're feeding the cell builder on Friday.", "feed the cell builder", FRIDAY),
        ("I'm just marking the queen in nuc 9 tomorrow", "mark the queen in nuc 9", date(2026, 11, 26)),
        ("I'm splitting hive 27 in ten days", "split hive 27", date(2026, 12, 5)),
        ("we move hives 3 and 4 to the Quarry on Sunday", "move hives 3 and 4 to the Quarry", SUNDAY),
        ("Hive 26 gets its second super on Saturday", "Hive 26 gets its second super", SATURDAY),
        ("The slide is coming out on Friday", "The slide is coming out", FRIDAY),
        ("The honey in hive 44 is coming off on Sunday.", "The honey in hive 44 is coming off", SUNDAY),
        ("I need to bring a mouse guard on Saturday", "bring a mouse guard", SATURDAY),
        ("Must fetch a spare lid on Friday.", "fetch a spare lid", FRIDAY),
    ],
)
def test_present_with_a_day_to_come_is_a_task(text: str, task: str, due: date) -> None:
    entries = read(text).entries
    assert [(e.kind, e.text, e.due) for e in entries] == [("task", task, due)]


@pytest.mark.parametrize(
    ("text", "kind", "place", "task", "due"),
    [
        ("Hive 6 queenright and I'm supering it on Friday", "inspection", "hive 6", "super it", FRIDAY),
        ("Fed hive 17 a litre, and I'm moving it on Sunday.", "feed", "hive 17", "move it", SUNDAY),
        ("Hive 36 is queenless so I'm joining it to nuc 2 on Saturday", "inspection", "hive 36", "join", SATURDAY),
        ("Nuc 11 is weak, so feed it a litre.", "inspection", "nuc 11", "feed it a litre", None),
        ("Hive 52 has four frames of brood, we're splitting it on Sunday.", "inspection", "hive 52", "split", SUNDAY),
    ],
)
def test_a_finding_beside_a_plan_keeps_its_own_day_and_place(
    text: str, kind: str, place: str, task: str, due: date | None
) -> None:
    found, plan = read(text).entries
    assert (found.kind, found.place, found.on) == (kind, place, date(2026, 11, 25))
    assert (plan.kind, plan.due) == ("task", due)
    assert plan.text.startswith(task)


@pytest.mark.parametrize(
    ("text", "kind", "on"),
    [
        ("I was putting a super on hive 16 on Friday", "box", date(2026, 11, 20)),
        ("We fed hive 12 two litres on Saturday", "feed", date(2026, 11, 21)),
        ("I'm feeding hive 6 two litres", "feed", date(2026, 11, 25)),
        ("I'm putting a super on hive 30 today", "box", date(2026, 11, 25)),
        ("I'm feeding hive 9 two litres because the flow stopped on Friday", "feed", None),
        ("Feeding hive 14 a litre of syrup", "feed", date(2026, 11, 25)),
        ("Hive 22 was weak so I fed it a litre", "feed", date(2026, 11, 25)),
    ],
)
def test_what_is_being_done_or_was_done_is_no_plan(text: str, kind: str, on: date | None) -> None:
    entry = next(e for e in read(text).entries if e.kind == kind)
    assert on is None or entry.on == on


@pytest.mark.parametrize(
    "text",
    [
        "I'm not feeding hive 9 on Friday",
        "Two virgins are emerging on Friday",
        "The cells are hatching on Sunday",
        "I'm taking the kids to school on Friday",
        "We're going to town on Saturday",
    ],
)
def test_what_is_no_work_to_come_stays_a_note(text: str) -> None:
    assert {e.kind for e in read(text).entries} == {"note"}


@pytest.mark.parametrize(
    ("text", "due"),
    [
        ("Hive 16 can have a super on Friday.", FRIDAY),
        ("Hive 45 is due its strips out on Sunday.", SUNDAY),
        ("I've a mind to split hive 12 on Saturday.", SATURDAY),
        ("By Sunday I want three supers on hive 30.", SUNDAY),
        ("Tomorrow two strips go in hive 8.", date(2026, 11, 26)),
        ("On Saturday the excluder goes on hive 7.", SATURDAY),
    ],
)
def test_other_ways_to_plan_are_never_done_either(text: str, due: date) -> None:
    assert [(e.kind, e.due) for e in read(text).entries] == [("task", due)]
