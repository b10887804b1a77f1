"""`gloveside take-in FOLDER`: recordings from a memory card or a shared folder into the record."""

from __future__ import annotations

import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from gloveside.bot.take_in import Summary, TakeIn
    from gloveside.bot.wiring import Workshop

LOOK_EVERY = 10.0
"""Seconds between looks at a watched folder."""


def take_in(
    folder: Annotated[Path, typer.Argument(help="A folder with sound files, subfolders included.")],
    watch: Annotated[bool, typer.Option("--watch", help="Keep looking for new files until stopped (Ctrl-C).")] = False,
) -> None:
    """Keep every recording of a folder once, dated by its own time, in order; then list the open questions."""
    from gloveside.bot.take_in import TakeIn
    from gloveside.bot.wiring import CONSOLE, Workshop

    with Workshop.at_home() as workshop:
        zone = workshop.settings.operation.zone
        work = TakeIn(workshop.store, workshop.conversation, zone, chat=CONSOLE, user=CONSOLE)
        try:
            _report(workshop, _with_progress(work, folder))
            if watch:
                print(f"Watching {folder}; Ctrl-C ends.", flush=True)
                stopped = threading.Event()
                work.watch(folder, lambda: not stopped.wait(LOOK_EVERY), lambda summary: _report(workshop, summary))
        except NotADirectoryError as trouble:
            print(trouble, file=sys.stderr)
            raise typer.Exit(1) from trouble
        except KeyboardInterrupt:
            print("Stopped. What was not reached is taken in the next time.")


def _with_progress(work: TakeIn, folder: Path) -> Summary:
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, transient=True) as bar:
        task = bar.add_task("looking", total=None)

        def progress(done: int, total: int, name: str) -> None:
            bar.update(task, completed=done, total=total, description=name[-32:] or "done")

        return work.folder(folder, progress)


def _report(workshop: Workshop, summary: Summary) -> None:
    from gloveside.bot.wiring import CONSOLE
    from gloveside.bot.wording.days import day

    zone = workshop.settings.operation.zone
    for recording, reply in summary.taken:
        local = recording.at.astimezone(zone)
        print(f"{recording.path.name} ({day(local)} {local:%H:%M}, by its {recording.dated_by})")
        print("\n".join(f"    {line}" for line in reply.text.splitlines()))
    for path, why in summary.unreadable:
        print(f"{path.name} could not be read: {why}. It is left where it is; copy it again.", file=sys.stderr)
    known = f"; {summary.known} known already" if summary.known else ""
    print(f"{len(summary.taken)} recordings taken in{known}.")
    doubts = workshop.store.notes.waiting(str(CONSOLE))
    if doubts:
        print(f"{len(doubts)} open question{'s' if len(doubts) > 1 else ''}; answer at the desk with: gloveside talk")
        for doubt in doubts:
            print(f"    {doubt.ask}")


def register(app: typer.Typer) -> None:
    """Add this command to the app."""
    app.command("take-in")(take_in)
