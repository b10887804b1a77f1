"""`gloveside hear`: notes in, readings out, one JSON object a line."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gloveside.cli.options import parse_date

if TYPE_CHECKING:
    from gloveside.extract.models import Reading


def hear(
    files: Annotated[list[Path] | None, typer.Argument(help="Voice notes: any sound file.")] = None,
    text: Annotated[list[str] | None, typer.Option("--text", help="A typed note; may be given several times.")] = None,
    text_file: Annotated[Path | None, typer.Option("--text-file", help="Typed notes, one a line; - for stdin.")] = None,
    on: Annotated[str | None, typer.Option("--on", help="Local date on which the notes were spoken (ISO).")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object a note, one a line.")] = False,
    keep: Annotated[bool, typer.Option("--keep", help="Keep the notes in the record.")] = False,
) -> None:
    """Read voice notes or typed notes. Nothing is stored without --keep."""
    spoken_on = parse_date(on)
    typed = [("text", t) for t in text or ()] + list(_lines_of(text_file))
    if not files and not typed:
        print("Give a sound file, --text or --text-file.", file=sys.stderr)
        raise typer.Exit(2)
    for reading in _readings(files or [], typed, spoken_on, keep):
        print(reading.to_json() if as_json else _for_people(reading), flush=True)


def _lines_of(path: Path | None) -> Iterator[tuple[str, str]]:
    if path is None:
        return
    name = "stdin" if str(path) == "-" else path.name
    try:
        content = sys.stdin.read() if str(path) == "-" else path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as trouble:
        print(f"{path} cannot be read as UTF-8 text ({trouble}). Save it as UTF-8 and try again.", file=sys.stderr)
        raise typer.Exit(1) from trouble
    for number, line in enumerate(content.splitlines(), 1):
        yield f"{name}:{number}", line


def _readings(files: list[Path], typed: list[tuple[str, str]], on: date | None, keep: bool) -> Iterator[Reading]:
    from gloveside.bot.wiring import Workshop

    workshop = Workshop.at_home()
    zone = workshop.settings.operation.zone
    now = datetime.now(tz=zone)
    day = on or now.date()
    spoken_at = now if day == now.date() else datetime.combine(day, time(12), tzinfo=zone)
    with workshop:
        for file in files:
            yield workshop.read_file(file, spoken_at=spoken_at, keep=keep)
        for source, line in typed:
            yield workshop.read_text(line, source=source, spoken_at=spoken_at, keep=keep)


def _for_people(reading: Reading) -> str:
    from gloveside.bot.wording.readings import summary

    return summary(reading)


def register(app: typer.Typer) -> None:
    """Add this command to the app."""
    app.command()(hear)
