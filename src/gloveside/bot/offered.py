"""Offering one of several things that an order may mean: a numbered line and a button for each."""

from __future__ import annotations

from collections.abc import Iterable

from gloveside.bot.messages import LONGEST_BUTTON_DATA, Button, Reply

MOST = 3


def one_of(question: str, choices: Iterable[tuple[str, str]], *, further: Iterable[Button] = ()) -> Reply:
    """The question with the first few choices.

    choices: the line and the data of the button for each; one whose data no button can carry is left out.
    further: buttons that stand behind the numbered ones.
    """
    lines, buttons = [question], []
    for number, (line, data) in enumerate(list(choices)[:MOST], 1):
        if len(data.encode()) <= LONGEST_BUTTON_DATA:
            lines.append(f"{number}. {line}")
            buttons.append(Button(str(number), data))
    return Reply("\n".join(lines), ((*buttons, *further),))
