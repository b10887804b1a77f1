"""Entry point of the `gloveside` command. Heavy rooms are imported by the command that needs them."""

from __future__ import annotations

import sys

import typer

from gloveside.cli import (
    chat_commands,
    hear_command,
    keeping_commands,
    rearing_commands,
    season_command,
    take_in_command,
    talk_command,
    tools_commands,
    voice_commands,
)

app = typer.Typer(
    name="gloveside",
    help="The spoken notebook of a beekeeper who raises queens.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
for _module in (
    hear_command,
    talk_command,
    season_command,
    rearing_commands,
    keeping_commands,
    chat_commands,
    take_in_command,
    voice_commands,
    tools_commands,
):
    _module.register(app)


def main() -> None:
    """Run the command line; a known trouble ends with its sentence and exit code 1, not with a stack trace."""
    from gloveside.bot.loading import loading

    with loading():
        from gloveside.bot.settings import SettingsError
        from gloveside.speech.transcript import SpeechError
        from gloveside.storage.errors import StoreError

    try:
        app()
    except (SettingsError, SpeechError, StoreError) as trouble:
        print(trouble, file=sys.stderr)
        raise SystemExit(1) from trouble


if __name__ == "__main__":
    main()
