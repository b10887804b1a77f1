"""Commands on the kept record: `due`, `register`, `export`, `book`, `backup`, `restore`."""

from __future__ import annotations

import sys
from datetime import timedelta
from pathlib import Path
from typing import Annotated

import typer

from gloveside.cli.options import parse_date


def due(
    days: Annotated[int, typer.Option("--days", min=0, max=400, help="How many days ahead.")] = 14,
    on: Annotated[str | None, typer.Option("--on", help="As seen on this local date (ISO).")] = None,
) -> None:
    """List what is due."""
    from gloveside.bot.answers.due import due as due_answer
    from gloveside.bot.console import wrapped
    from gloveside.bot.wiring import Workshop
    from gloveside.extract.models import Question

    with Workshop.at_home() as workshop:
        desk = workshop.desk(parse_date(on))
        question = Question(ask="due", until=desk.today + timedelta(days=days))
        print(wrapped(due_answer(desk, question).text))


def register_places(
    files: Annotated[list[Path], typer.Argument(help="CSV files with a column hive, nuc or yard first.")],
) -> None:
    """Put hives, nucs and yards from CSV files into the register; a file with a bad row registers nothing."""
    from gloveside.bot.wiring import Workshop
    from gloveside.storage.errors import StoreError
    from gloveside.storage.imports import Imports

    with Workshop.at_home() as workshop:
        imports = Imports(workshop.store.file, workshop.store.places)
        for file in files:
            try:
                report = imports.places(file)
            except StoreError as trouble:
                print(f"{file}: {trouble}", file=sys.stderr)
                raise typer.Exit(1) from trouble
            print(f"{file}: {len(report.added)} new, {len(report.known)} known ({report.kind}s)")


def export(
    folder: Annotated[Path, typer.Argument(help="Folder to write into.")],
) -> None:
    """Write the record as CSV (a file a kind), JSON Lines with its schema, and the open rounds as a calendar file."""
    from gloveside.bot.calendar_file import calendar_file
    from gloveside.bot.round_days import days_of
    from gloveside.bot.wiring import Workshop

    with Workshop.at_home() as workshop:
        exports = workshop.store.exports
        try:
            folder.mkdir(parents=True, exist_ok=True)
            written = [*exports.write_csv(folder), *exports.write_json_lines(folder)]
            desk = workshop.desk()
            made = int(desk.now.timestamp()) // 60
            days = days_of(desk.open_rounds())
            name = workshop.settings.operation.name
            (folder / "rounds.ics").write_bytes(calendar_file(name, days, desk.now, version=made))
        except OSError as trouble:
            print(f"{folder} cannot be written: {trouble.strerror}. Name another folder.", file=sys.stderr)
            raise typer.Exit(1) from trouble
        for file in (*written, "rounds.ics"):
            print(folder / file)


def book(
    file: Annotated[Path, typer.Argument(help="The HTML file to write.")],
    since: Annotated[str | None, typer.Option("--since", help="First local date (ISO); default: season start.")] = None,
    until: Annotated[str | None, typer.Option("--until", help="Last local date (ISO); default: today.")] = None,
) -> None:
    """Write the season book: one HTML file with tables and charts that works offline and prints."""
    from gloveside.bot.answers.slots import season_start
    from gloveside.bot.season_book.page import season_book
    from gloveside.bot.wiring import Workshop

    with Workshop.at_home() as workshop:
        desk = workshop.desk()
        last = parse_date(until) or desk.today
        first = parse_date(since) or season_start(last, desk.settings.operation.season_month)
        if first > last:
            print("The first day is after the last one: swap --since and --until.", file=sys.stderr)
            raise typer.Exit(2)
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(season_book(desk, first, last), encoding="utf-8")
    print(f"{file}: {first.isoformat()} to {last.isoformat()}")


def backup(
    target: Annotated[Path, typer.Argument(help="The archive to write, or a folder to write it into.")],
) -> None:
    """Write a verified backup of the record and its sounds."""
    from gloveside.bot.wiring import Workshop
    from gloveside.storage.backup import make_backup
    from gloveside.storage.errors import StoreError

    with Workshop.at_home() as workshop:
        try:
            report = make_backup(workshop.store, target)
        except StoreError as trouble:
            print(trouble, file=sys.stderr)
            raise typer.Exit(1) from trouble
    print(f"{report.archive}: {report.notes} notes, {report.entries} entries, {report.audio_files} sounds, checked.")


def restore(
    archive: Annotated[Path, typer.Argument(help="A backup.")],
    replace: Annotated[bool, typer.Option("--replace", help="Move the record that is there aside first.")] = False,
) -> None:
    """Put a backup back into the data folder. A record that is there is never deleted."""
    from gloveside.bot.settings import home
    from gloveside.storage.backup import restore_backup
    from gloveside.storage.errors import StoreError

    try:
        report = restore_backup(archive, home(), replace=replace)
    except StoreError as trouble:
        print(trouble, file=sys.stderr)
        raise typer.Exit(1) from trouble
    print(f"{home()}: {report.notes} notes, {report.entries} entries, {report.audio_files} sounds.")


def register(app: typer.Typer) -> None:
    """Add these commands to the app."""
    app.command()(due)
    app.command("register")(register_places)
    app.command()(export)
    app.command()(book)
    app.command()(backup)
    app.command()(restore)
