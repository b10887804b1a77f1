"""Dates and other fields of older notes put right by voice: the entry moves, the old one stays in the history."""

from __future__ import annotations

from datetime import date

import pytest
from yard import Yard


def test_the_date_of_an_older_note_moves(registered: Yard) -> None:
    registered.on("2026-11-18").say("hive fourteen died out")
    reply = registered.on("2026-11-20").say(
        "hive fourteen dying, I've that under Wednesday, it was Tuesday it happened"
    )
    assert reply.startswith("Put right"), reply
    (now,) = registered.store.entries.find(kind="loss")
    assert now.on == date(2026, 11, 17)
    assert [v.on for v in registered.store.entries.history(now.id)] == [date(2026, 11, 18), date(2026, 11, 17)]


def test_what_follows_from_a_graft_moves_with_its_date(registered: Yard) -> None:
    registered.on("2026-11-10").say("grafted thirty larvae into hive seven from hive twenty one, two bars of fifteen")
    before = registered.say("when is round one ripe")
    reply = registered.on("2026-11-12").say("wrong date on the graft of round one, it was on the 9th, not the 10th")
    assert reply.startswith("Put right"), reply
    assert registered.store.rounds.all(on=date(2026, 11, 12))[0].grafted == date(2026, 11, 9)
    after = registered.say("when is round one ripe")
    assert before != after


@pytest.mark.parametrize(
    ("note", "correction", "kind"),
    [
        ("strips in on hive eleven",
         "the strips in hive eleven went in on Monday, not on Tuesday like I said",
         "treatment"),
        ("fed hive nine two litres of syrup", "I told you hive nine was fed on Tuesday, but that was Monday", "feed"),
        ("wash on hive thirty, nine mites in three hundred",
         "we logged the wash on hive thirty under Tuesday and it should be under Monday",
         "mites"),
        ("put the excluder in hive seven",
         "um, the excluder, I said it went in on Tuesday, it was, er, Monday", "builder"),
    ],
)  # fmt: skip
def test_dates_of_all_kinds(registered: Yard, note: str, correction: str, kind: str) -> None:
    registered.on("2026-11-17").say(note)
    reply = registered.on("2026-11-20").say(correction)
    assert reply.startswith("Put right"), reply
    (now,) = registered.store.entries.find(kind=kind)
    assert now.on == date(2026, 11, 16)


def test_of_several_on_that_day_one_is_asked_for(registered: Yard) -> None:
    registered.on("2026-11-17", "09:00").say("fed hive nine two litres of syrup")
    registered.on("2026-11-17", "10:00").say("fed hive ten two litres of syrup")
    reply = registered.on("2026-11-20").say("I said I fed them on Tuesday, it was Monday")
    assert "Which one?" in reply, reply
    assert registered.tap("2").startswith("Put right")
    assert sorted(e.on for e in registered.store.entries.find(kind="feed")) == [date(2026, 11, 16), date(2026, 11, 17)]


def test_nothing_is_changed_where_no_such_entry_is(registered: Yard) -> None:
    registered.on("2026-11-16").say("fed hive nine two litres of syrup")
    reply = registered.on("2026-11-20").say("I told you hive nine was fed on Wednesday, but that was Tuesday")
    assert "Nothing was changed" in reply
    assert "Mon 16 Nov" in reply


def test_a_day_to_come_changes_nothing(registered: Yard) -> None:
    registered.on("2026-11-17").say("fed hive nine two litres of syrup")
    reply = registered.on("2026-11-20").say(
        "the feed on hive nine is down as the 17th of November, it should be the 30th of November"
    )
    assert "Nothing was changed" in reply
    (now,) = registered.store.entries.find(kind="feed")
    assert now.on == date(2026, 11, 17)
