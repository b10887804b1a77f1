"""`gloveside talk`: the conversation on the console; type, or give the path of a sound file."""

from __future__ import annotations

import itertools
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from gloveside.cli.options import parse_date

_SOUNDS = frozenset({".ogg", ".oga", ".opus", ".wav", ".mp3", ".m4a", ".flac", ".aac", ".amr", ".3gp", ".webm", ".mp4"})


def talk(
    on: Annotated[str | None, typer.Option("--on", help="Talk as if on this local date (ISO).")] = None,
) -> None:
    """Talk with the notebook here: type a note or a question, or the path of a sound file; an empty line ends it."""
    import sys

    from gloveside.bot.console import show
    from gloveside.bot.messages import Incoming
    from gloveside.bot.wiring import CONSOLE, Workshop

    day = parse_date(on)
    with Workshop.at_home() as workshop:
        zone = workshop.settings.operation.zone
        if day is not None:
            shift = datetime.combine(day, datetime.now(tz=zone).time(), tzinfo=zone) - datetime.now(tz=zone)
            workshop.clock = lambda: datetime.now(tz=UTC) + shift
        numbers = itertools.count(int(datetime.now(tz=UTC).timestamp() * 1000))
        last_buttons: tuple[str, ...] = ()
        if sys.stdin.isatty():
            print("Type a note or a question, or a sound file's path. An empty line ends it.")
        while True:
            try:
                line = input("> " if sys.stdin.isatty() else "").strip()
            except EOFError:
                break
            if not line:
                break
            now = workshop.clock()
            path = Path(line.strip("'\"")).expanduser()
            is_file = len(line) < 1000 and path.suffix.lower() in _SOUNDS and path.is_file()
            tap = last_buttons[int(line[1:]) - 1] if _is_button(line, last_buttons) else None
            said = Incoming(
                chat=CONSOLE,
                user=CONSOLE,
                message_id=next(numbers),
                spoken_at=now,
                received_at=now,
                text=None if is_file or tap else line,
                audio=path if is_file else None,
                tap=tap,
            )
            reply = workshop.conversation.hear(said)
            last_buttons = show(reply, workshop.folder)


def _is_button(line: str, buttons: tuple[str, ...]) -> bool:
    return line.startswith("#") and line[1:].isdigit() and 1 <= int(line[1:]) <= len(buttons)


def register(app: typer.Typer) -> None:
    """Add this command to the app."""
    app.command()(talk)
