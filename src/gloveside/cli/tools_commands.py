"""`gloveside schema` and `gloveside doctor`: what the programs around us may want to know."""

from __future__ import annotations

import json

import typer


def schema() -> None:
    """Print the JSON Schema of a reading, generated from the models."""
    from gloveside.extract.models import Reading

    print(json.dumps(Reading.model_json_schema(by_alias=True), indent=2))


def doctor() -> None:
    """Say what is installed, which engine and model hear, whether the chat works, free disk, last backup."""
    from gloveside.bot.doctor import findings
    from gloveside.bot.settings import home

    report = findings(home())
    for finding in report:
        print(f"{'ok  ' if finding.fine else 'MEND'} {finding.text}")
    if not all(f.fine for f in report):
        raise typer.Exit(1)


def register(app: typer.Typer) -> None:
    """Add these commands to the app."""
    app.command()(schema)
    app.command()(doctor)
