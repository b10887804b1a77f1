"""A calendar file (iCalendar, RFC 5545) of rounds and tasks for a phone's own calendar."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from icalendar import Alarm, Calendar, Event

EVENING_BEFORE = timedelta(hours=-5)
MORNING = timedelta(hours=6, minutes=30)
"""From the start of the day, as the reminders in the chat."""
DOMAIN = "gloveside"


@dataclass(frozen=True, slots=True)
class CalendarDay:
    """One entry of a calendar: whole local days, first to last. key: stays the same when the date moves.

    alarm: ring the evening before and on the morning.
    """

    key: str
    title: str
    first: date
    last: date
    details: str = ""
    alarm: bool = False


def calendar_file(name: str, entries: Iterable[CalendarDay], made_at: datetime, version: int = 0) -> bytes:
    """The file's bytes. made_at: aware; version: counts up when dates move, so that new ones replace old ones."""
    calendar = Calendar()
    calendar.add("prodid", "-//Gloveside//rounds//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", name)
    for entry in entries:
        event = Event()
        event.add("uid", f"{entry.key.replace(' ', '-')}@{DOMAIN}")
        event.add("dtstamp", made_at)
        event.add("sequence", version)
        event.add("summary", entry.title)
        event.add("dtstart", entry.first)
        # The end of whole days is the day after the last one (RFC 5545, 3.6.1).
        event.add("dtend", entry.last + timedelta(days=1))
        event.add("transp", "TRANSPARENT")
        if entry.details:
            event.add("description", entry.details)
        if entry.alarm:
            for trigger in (EVENING_BEFORE, MORNING):
                alarm = Alarm()
                alarm.add("action", "DISPLAY")
                alarm.add("description", entry.title)
                alarm.add("trigger", trigger)
                event.add_component(alarm)
        calendar.add_component(event)
    return bytes(calendar.to_ical())
