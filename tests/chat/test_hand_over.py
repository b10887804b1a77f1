"""Charts, calendar and tables on request, by typed word, command or voice."""

from __future__ import annotations

import io
import zipfile
from datetime import UTC, datetime
from pathlib import Path

import pytest
from icalendar import Calendar
from knowing_ear import KnowingEar

from gloveside.bot.hand_over import Request, requested
from gloveside.bot.messages import Incoming, Reply
from gloveside.bot.settings import Settings
from gloveside.bot.wiring import Workshop
from gloveside.extract.reader import Reader

NOW = datetime(2026, 11, 20, 3, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Send me the calendar.", Request("calendar")),
        ("calendar file for round three", Request("calendar", 3)),
        ("calendar for my phone, please", Request("calendar")),
        ("chart", Request("timeline")),
        ("Show me the chart of round 12", Request("timeline", 12)),
        ("timeline of the next round", Request("timeline", 0)),
        ("can you send the take chart", Request("take")),
        ("chart of the take for round two", Request("take", 2)),
        ("send me the spreadsheet", Request("tables")),
        ("all entries", Request("tables")),
    ],
)
def test_what_is_asked_to_be_handed_over(text: str, expected: Request) -> None:
    assert requested(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "", "hive twelve is queenright", "chart the queens of hive seven", "the calendar says splits on friday",
        "graft of round three", "picture frames in hive nine", "took a picture of hive four", "tables in hive two",
        "round three nineteen of thirty took", "send the nucs to the quarry", "give hive 7 a frame", "x" * 500,
    ],
)  # fmt: skip
def test_a_note_is_no_request(text: str) -> None:
    assert requested(text) is None


class Talk:
    def __init__(self, folder: Path) -> None:
        self.workshop = Workshop(folder, Settings(), lambda: NOW)
        self.workshop.__dict__["ear"] = KnowingEar(self.workshop.settings, folder, {}, Reader())
        self.number = 0

    def say(self, text: str) -> Reply:
        self.number += 1
        return self.workshop.conversation.hear(Incoming(501, 501, self.number, NOW, NOW, text=text))


@pytest.fixture
def talk(tmp_path: Path):
    made = Talk(tmp_path)
    yield made
    made.workshop.close()


def test_before_any_round_there_is_nothing_to_show_and_that_is_said(talk: Talk) -> None:
    for text in ("chart", "calendar"):
        reply = talk.say(text)
        assert "no round" in reply.text
        assert not reply.pictures
        assert not reply.documents
    assert "no entry" in talk.say("all entries").text
    assert "No take" in talk.say("take chart").text


def test_charts_calendar_and_tables_of_a_round(talk: Talk) -> None:
    talk.say("grafted forty larvae into hive seven from hive twenty one, two bars of twenty")
    (timeline,) = talk.say("chart of round one").pictures
    assert timeline.png.startswith(b"\x89PNG")
    (file,) = talk.say("calendar").documents
    events = {str(e["summary"]): e.decoded("dtstart") for e in Calendar.from_ical(file.data).walk("VEVENT")}
    splits = next(start for title, start in events.items() if "split" in title)
    plant = next(start for title, start in events.items() if "plant" in title)
    assert (splits.isoformat(), plant.isoformat()) == ("2026-11-29", "2026-11-30")
    talk.say("round one, top bar eleven out of twenty, bottom bar eight out of twenty")
    (take,) = talk.say("take chart").pictures
    assert take.png.startswith(b"\x89PNG")
    (tables,) = talk.say("all entries").documents
    with zipfile.ZipFile(io.BytesIO(tables.data)) as archive:
        assert {"graft.csv", "take.csv"} <= set(archive.namelist())
        assert b"hive 21" in archive.read("graft.csv")
    assert "round 9" in talk.say("chart of round nine").text
