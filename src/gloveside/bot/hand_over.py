"""Pictures and files on request: a round's timeline, the take, a calendar file, all entries as tables."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import dataclass, replace
from typing import Literal

from gloveside.bot.desk import Desk
from gloveside.bot.messages import Document, Picture, Reply
from gloveside.bot.rounds import RoundView
from gloveside.extract import numbers

Wanted = Literal["timeline", "take", "calendar", "tables"]

_POLITE = (
    r"(?:(?:please|now|can you|could you) )?(?:(?:send|show|give|get|make|draw)(?: me| us)? )?(?:a |an |the |my )?"
)
_ROUND = r"(?: (?:of|for) (?:the )?(?P<round>next round|round (?:number )?[\w ]+?|round))?(?: please)?"
_REQUESTS: tuple[tuple[Wanted, re.Pattern[str]], ...] = (
    ("calendar", re.compile(rf"{_POLITE}calendar(?: file| for my phone| for the phone)?{_ROUND}")),
    ("timeline", re.compile(rf"{_POLITE}(?:timeline|chart|picture){_ROUND}")),
    ("take", re.compile(rf"{_POLITE}(?:take chart|chart of (?:the )?takes?){_ROUND}")),
    ("tables", re.compile(rf"{_POLITE}(?:spreadsheets?|tables|csv|all entries)(?: as (?:a )?\w+)?(?: please)?")),
)
_LONGEST = 80
NO_ROUND = "There is no round with dates yet. Say when you grafted, and its chart and calendar follow."


@dataclass(frozen=True, slots=True)
class Request:
    """Something to hand over. round: its number, 0 for the one being prepared, None for all open ones."""

    what: Wanted
    round: int | None = None


def requested(text: str) -> Request | None:
    """What a short text asks to be handed; None for anything else. Only a text that says nothing besides counts."""
    said = " ".join(re.findall(r"[a-z0-9']+", text.lower()))
    if not said or len(said) > _LONGEST:
        return None
    for what, pattern in _REQUESTS:
        if match := pattern.fullmatch(said):
            return Request(what, _round_number(match.groupdict().get("round")))
    return None


def _round_number(said: str | None) -> int | None:
    if said is None:
        return None
    if said == "next round":
        return 0
    found = [span.value for span in numbers.find(said.split()) if not span.ordinal]
    return int(found[0]) if found else None


def hand_over(desk: Desk, request: Request) -> Reply:
    """The reply with what was asked for, or a sentence when there is nothing to show yet."""
    if request.what == "tables":
        return _tables(desk)
    views = _views(desk, request.round)
    if request.round and not views:
        return Reply(f"There is no round {request.round} with dates. Ask “what rounds are open”.")
    if request.what == "take":
        return _take(desk, request.round)
    if not views:
        return Reply(NO_ROUND)
    if request.what == "calendar":
        return _calendar(desk, views)
    return _timeline(desk, views[-1])


def _views(desk: Desk, number: int | None) -> list[RoundView]:
    if number is None:
        return desk.open_rounds()
    view = desk.coming_round() if number == 0 else desk.round(number)
    return [] if view is None else [view]


def _calendar(desk: Desk, views: list[RoundView]) -> Reply:
    from gloveside.bot.calendar_file import calendar_file
    from gloveside.bot.round_days import days_of, described

    made = desk.now
    data = calendar_file(desk.settings.operation.name, days_of(views), made, version=int(made.timestamp()) // 60)
    text = f"For your phone's calendar: {described(views)}.\nOpening it again later moves what has moved."
    return Reply(text, documents=(Document("rounds.ics", data),))


def _timeline(desk: Desk, view: RoundView) -> Reply:
    from gloveside.bot.charts.timeline import round_timeline

    name = f"{view.name[:1].upper()}{view.name[1:]}"
    return Reply(name, pictures=(Picture("timeline.png", round_timeline(view.calendar, name=name, today=desk.today)),))


def _take(desk: Desk, number: int | None) -> Reply:
    from gloveside.bot.charts.take import take_chart
    from gloveside.bot.rearing_record import take_rows
    from gloveside.rearing.take_compare import take_by

    rows = take_rows(desk.store.rounds.all(on=desk.today))
    if number:
        rows = [row for row in rows if row.round == number]
    if not rows:
        return Reply("No take is counted yet. Say, after two days: round three, nineteen of thirty took.")
    groups = {
        "by bar": take_by(rows, "bar"),
        "by mother": take_by(rows, "mother"),
        "by tool": take_by(rows, "tool"),
        "by round": take_by([replace(row, round=f"round {row.round}") for row in rows], "round"),
    }
    return Reply("Take", pictures=(Picture("take.png", take_chart(groups, name="Take")),))


def _tables(desk: Desk) -> Reply:
    from gloveside.storage.exports import Exports

    texts = Exports(desk.store.file, desk.store.entries).csv_texts()
    if not texts:
        return Reply("There is no entry yet to put into a table.")
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in texts.items():
            archive.writestr(name, text)
    kinds = len(texts)
    return Reply(
        f"All entries, {kinds} kind{'s' if kinds > 1 else ''}, one table each.",
        documents=(Document(f"entries-{desk.today}.zip", out.getvalue()),),
    )
