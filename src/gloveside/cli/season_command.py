"""`gloveside demo`: the demo season from a clean state."""

from __future__ import annotations

import shutil
import sys
import time
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer


def demo(
    folder: Annotated[
        Path | None, typer.Option("--folder", help="Where its record goes (made anew each time).")
    ] = None,
) -> None:
    """Play the demo season: voice notes in, the chat as on the phone, what is due, and a chart."""
    from gloveside.bot import season
    from gloveside.bot.answers.due import due
    from gloveside.bot.charts.timeline import round_timeline
    from gloveside.bot.console import show, wrapped
    from gloveside.bot.messages import Incoming, Reply
    from gloveside.bot.settings import home
    from gloveside.bot.wiring import Workshop
    from gloveside.bot.wording.days import day
    from gloveside.extract.models import Question

    begun = time.monotonic()
    place = folder or home() / "demo"
    _clear(place)
    try:
        settings = season.settings()
        notes = list(season.notes())
    except season.SeasonMissing as trouble:
        print(trouble, file=sys.stderr)
        raise typer.Exit(1) from trouble
    now = notes[0].uploaded_at

    def clock() -> datetime:
        return now

    with Workshop(place, settings, clock) as workshop:
        with workshop.store.together():
            season.fill_register(workshop.store.places)
        print(f"{settings.operation.name}: {len(notes)} voice notes, as the phone shows them.\n")
        today = None
        for number, note in enumerate(notes, 1):
            now = note.uploaded_at
            if now.date() != today:
                today = now.date()
                print(f"———— {day(today)} ————")
            told = f" (spoken {day(note.spoken_at)} {note.spoken_at:%H:%M})" if note.late else ""
            print(f"{now:%H:%M} ▶ {note.name}{told}")
            said = Incoming(1, 1, number, note.spoken_at, now, audio=note.audio)
            reply = workshop.conversation.hear(said)
            heard = workshop.store.notes.by_message("1", str(number))
            if heard is not None and heard.heard:
                print(wrapped(f"“{heard.heard}”"))
            show(Reply(reply.text, reply.buttons), place)
            print()
        desk = workshop.desk(now.date())
        print(f"———— Due, as of {day(now)} ————")
        print(wrapped(due(desk, Question(ask="due", until=None)).text))
        view = desk.round(3)
        if view is not None:
            chart = place / "round-3.png"
            chart.write_bytes(round_timeline(view.calendar, name="Round 3", today=now.date()))
            print(f"\nChart of round 3: {chart}")
    print(f"The record: {place / 'gloveside.db'}  ({time.monotonic() - begun:.0f} s)")


def _clear(folder: Path) -> None:
    """Remove an earlier demo, and nothing that is not one."""
    marker = folder / ".demo"
    if folder.exists() and any(folder.iterdir()) and not marker.exists():
        print(f"{folder} holds something that is no demo; give another --folder.", file=sys.stderr)
        raise typer.Exit(1)
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    marker.touch()


def register(app: typer.Typer) -> None:
    """Add this command to the app."""
    app.command()(demo)
