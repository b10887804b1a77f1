"""What passes between the outside (chat service, console, a folder of recordings) and the conversation."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

LONGEST_BUTTON_DATA = 64
"""Bytes of a button's data that the chat service carries (Bot API, InlineKeyboardButton.callback_data)."""

TAKE_BACK = "u:"
"""Start of the data of a button that takes back the last note: of no use any more once a newer note is answered."""


@dataclass(frozen=True, slots=True)
class Incoming:
    """One thing an operator said, typed or tapped.

    Exactly one of text, audio and tap is set, but for an audio file with a caption (text and audio).
    chat, user, message_id: numbers of the chat service, or numbers that the console and a folder make up.
    spoken_at: when it was said (a forwarded note: when it was first sent; a recorder's file: when it was recorded);
    received_at: when it reached us. Both aware.
    tap: the data of the pressed button. amends: message_id of the earlier message that this is the new wording of.
    """

    chat: int
    user: int
    message_id: int
    spoken_at: datetime
    received_at: datetime
    text: str | None = None
    audio: Path | None = None
    tap: str | None = None
    amends: int | None = None


@dataclass(frozen=True, slots=True)
class Button:
    """A button under a reply. data comes back as `Incoming.tap`; at most 64 bytes of UTF-8."""

    label: str
    data: str

    def __post_init__(self) -> None:
        """Refuse data that the chat service would refuse, where the mistake is made. Raises ValueError."""
        if not 1 <= len(self.data.encode("utf-8")) <= LONGEST_BUTTON_DATA:
            raise ValueError(f"button data must have 1 to {LONGEST_BUTTON_DATA} bytes: {self.data!r}")
        if not self.label.strip():
            raise ValueError("a button needs a label")


@dataclass(frozen=True, slots=True)
class Picture:
    """A chart to show: file name and PNG bytes."""

    name: str
    png: bytes


@dataclass(frozen=True, slots=True)
class Document:
    """A file to hand over: file name (its ending says the type) and bytes."""

    name: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Reply:
    """What goes back. buttons: rows of buttons; note_id: the kept note that this answers, for the record.

    An empty text with no picture, document or voice sends nothing.
    """

    text: str
    buttons: tuple[tuple[Button, ...], ...] = ()
    pictures: tuple[Picture, ...] = ()
    documents: tuple[Document, ...] = ()
    voice: Path | None = None
    note_id: int | None = None
