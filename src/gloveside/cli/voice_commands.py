"""`gloveside voice`: the English Vosk model, and the operator's own words."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

voice = typer.Typer(help="What hears: models and the words of one operator.", no_args_is_help=True)


@voice.command()
def get() -> None:
    """Fetch the small English Vosk model into the data folder, checked and all at once."""
    from rich.progress import Progress

    from gloveside.bot.settings import home
    from gloveside.speech.model_download import get_model
    from gloveside.speech.transcript import EngineUnavailable

    try:
        with Progress(transient=True) as bar:
            task = bar.add_task("Fetching the model", total=None)
            folder = get_model(home(), progress=lambda done, total: bar.update(task, completed=done, total=total))
    except EngineUnavailable as trouble:
        print(trouble, file=sys.stderr)
        raise typer.Exit(1) from trouble
    print(f"{folder} is ready. The engine `auto` uses it from now on.")


@voice.command()
def teach(words: Annotated[list[str], typer.Argument(help="Words or names, in their preferred spelling.")]) -> None:
    """Teach words: the prompt and the reader use them at once."""
    from gloveside.bot.wiring import Workshop

    with Workshop.at_home() as workshop:
        for word in words:
            workshop.store.words.add(word)
        print("\n".join(workshop.store.words.all()))


@voice.command()
def words() -> None:
    """List the words taught and what was learnt from corrections."""
    from gloveside.bot.wiring import Workshop

    with Workshop.at_home() as workshop:
        for word in workshop.store.words.all():
            print(word)
        for heard, meant in workshop.store.words.corrections().items():
            print(f"{heard} → {meant}")


@voice.command()
def forget(words: Annotated[list[str], typer.Argument(help="Words taught, or what was misheard.")]) -> None:
    """Forget words and corrections."""
    from gloveside.bot.wiring import Workshop

    with Workshop.at_home() as workshop:
        for word in words:
            known = workshop.store.words.remove(word)
            learnt = workshop.store.words.unlearn(word)
            if not known and not learnt:
                print(f"{word} was not known.", file=sys.stderr)


def register(app: typer.Typer) -> None:
    """Add these commands to the app."""
    app.add_typer(voice, name="voice")
