"""What an answer is: its lines, and the entries of the record that it rests on."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gloveside.bot.messages import LONGEST_BUTTON_DATA, Button
from gloveside.bot.wording.days import day, span
from gloveside.storage.entries import KeptEntry

WIDTH, MOST = 40, 12
"""What a lock screen shows: columns and lines."""
_DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer to one question. rests_on: ids of entries, the weightiest first; known: False where there is none.

    asks_back: the question was understood but lacks something; `lines` says what.
    """

    lines: tuple[str, ...]
    rests_on: tuple[int, ...] = ()
    known: bool = True
    asks_back: bool = False

    @property
    def text(self) -> str:
        """The lines, cut to what a lock screen shows."""
        return "\n".join(trim(self.lines))


def told(*lines: str, rests_on: Iterable[int] = ()) -> Answer:
    """An answer from the record."""
    return Answer(lines, tuple(dict.fromkeys(i for i in rests_on if i)))


def nothing(*lines: str) -> Answer:
    """The record has no answer."""
    return Answer(lines, known=False)


def ask_back(*lines: str) -> Answer:
    """Something is missing in the question."""
    return Answer(lines, known=False, asks_back=True)


def height(line: str) -> int:
    """How many lines of a phone a line takes."""
    return max(1, len(textwrap.wrap(line, WIDTH, subsequent_indent="  ")))


def trim(lines: Sequence[str], most: int = MOST) -> list[str]:
    """The lines that fit on `most` lines of a phone; where some are left out, the last one says how many."""
    if sum(map(height, lines)) <= most:
        return list(lines)
    out: list[str] = []
    used = 0
    for line in lines:
        used += height(line)
        if used > most - 1:
            break
        out.append(line)
    return [*out, f"… and {len(lines) - len(out)} more"]


def basis(entries: Sequence[KeptEntry]) -> str:
    """`From 1 note, Fri 20 Nov 2026` or `From 14 notes, 3–20 Nov 2026`."""
    if not entries:
        return "From no notes"
    dates = sorted(e.on for e in entries)
    notes = len({e.note_id for e in entries})
    if dates[0] == dates[-1]:
        when = f"{day(dates[0])} {dates[0].year}"
    elif dates[0].year == dates[-1].year:
        when = f"{span(dates[0], dates[-1])} {dates[-1].year}"
    else:
        when = f"{dates[0].strftime('%b %Y')}–{dates[-1].strftime('%b %Y')}"
    return f"From {notes} {'note' if notes == 1 else 'notes'}, {when}"


def notes_button(ids: Sequence[int]) -> Button | None:
    """A button that shows the notes an answer rests on; their ids travel in it, so it works as long as the record."""
    data = "s:"
    for number in ids:
        more = data + ("," if data != "s:" else "") + _base36(number)
        if len(more) > LONGEST_BUTTON_DATA:
            break
        data = more
    return None if data == "s:" else Button("Show notes", data)


def ids_of(data: str) -> list[int]:
    """The ids in a button's data."""
    return [int(part, 36) for part in data.split(",") if part.isalnum()]


def _base36(number: int) -> str:
    text = ""
    while True:
        number, digit = divmod(number, 36)
        text = _DIGITS[digit] + text
        if not number:
            return text
