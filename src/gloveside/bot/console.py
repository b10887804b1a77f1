"""Replies on a console, as wide as a phone: the text, then the buttons with numbers to type."""

from __future__ import annotations

import textwrap
from pathlib import Path

from gloveside.bot.messages import Reply

WIDTH = 40


def wrapped(text: str, width: int = WIDTH) -> str:
    """The text with lines of at most `width` columns; what goes over is set in by two."""
    return "\n".join(
        "\n".join(textwrap.wrap(line, width, subsequent_indent="  ", break_long_words=False)) if line else ""
        for line in text.splitlines()
    )


def show(reply: Reply, folder: Path) -> tuple[str, ...]:
    """Print a reply; write its pictures and documents into the folder. Returns the data of its buttons, in order."""
    if reply.text:
        print(wrapped(reply.text))
    for name, data in [(p.name, p.png) for p in reply.pictures] + [(d.name, d.data) for d in reply.documents]:
        path = folder / name
        path.write_bytes(data)
        print(f"[{path}]")
    buttons = [b for row in reply.buttons for b in row]
    if buttons:
        print("  ".join(f"[#{number} {b.label}]" for number, b in enumerate(buttons, 1)))
    return tuple(b.data for b in buttons)
