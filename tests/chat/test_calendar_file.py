"""The calendar file is what RFC 5545 asks for, read back by the library."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from icalendar import Calendar

from gloveside.bot.calendar_file import CalendarDay, calendar_file

MADE = datetime(2026, 11, 20, 3, 0, tzinfo=UTC)
SPLITS = CalendarDay(
    "round 3 splits", "Round 3: make 18 splits", date(2026, 11, 29), date(2026, 11, 29), "why; source", True
)
ALONE = CalendarDay("round 3 leave alone", "Round 3: leave alone", date(2026, 11, 25), date(2026, 11, 28))


def read(data: bytes) -> Calendar:
    return Calendar.from_ical(data)


def test_whole_days_end_the_day_after_the_last() -> None:
    splits, alone = read(calendar_file("Marrow Hill Bees", [SPLITS, ALONE], MADE)).walk("VEVENT")
    assert (splits.decoded("dtstart"), splits.decoded("dtend")) == (date(2026, 11, 29), date(2026, 11, 30))
    assert (alone.decoded("dtstart"), alone.decoded("dtend")) == (date(2026, 11, 25), date(2026, 11, 29))
    assert splits["dtstart"].params["VALUE"] == "DATE"


def test_what_cannot_wait_rings_the_evening_before_and_in_the_morning() -> None:
    splits, alone = read(calendar_file("x", [SPLITS, ALONE], MADE)).walk("VEVENT")
    triggers = [alarm.decoded("trigger") for alarm in splits.walk("VALARM")]
    assert triggers == [timedelta(hours=-5), timedelta(hours=6, minutes=30)]
    assert alone.walk("VALARM") == []


def test_a_date_that_moves_replaces_the_old_one_in_the_phone() -> None:
    first = read(calendar_file("x", [SPLITS], MADE)).walk("VEVENT")[0]
    moved = CalendarDay(SPLITS.key, SPLITS.title, date(2026, 12, 1), date(2026, 12, 1))
    second = read(calendar_file("x", [moved], MADE, version=2)).walk("VEVENT")[0]
    assert first["uid"] == second["uid"]
    assert second["sequence"] > first["sequence"]


@pytest.mark.published
def test_the_form_is_that_of_rfc_5545() -> None:
    """RFC 5545: CRLF line ends, lines of at most 75 octets (3.1); PRODID and VERSION (3.7); UID and DTSTAMP (3.8)."""
    long = CalendarDay(
        "k", "Round 3: " + "écloserie " * 30, date(2026, 1, 1), date(2026, 1, 1), "line one\nline; two, three"
    )
    data = calendar_file("x", [long], MADE)
    assert data.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert max(len(line) for line in data.split(b"\r\n")) <= 75
    calendar = read(data)
    assert calendar["version"] == "2.0"
    assert calendar["prodid"]
    event = calendar.walk("VEVENT")[0]
    assert event["uid"]
    assert event.decoded("dtstamp") == MADE
    assert str(event["description"]) == "line one\nline; two, three"
