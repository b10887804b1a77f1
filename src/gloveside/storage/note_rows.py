"""Notes, doubts and what became of a note, as the rest of the program sees them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Literal

import sqlite_utils

from gloveside.extract.models import Reading
from gloveside.storage.database import Row, fetch
from gloveside.storage.entries import KeptEntry
from gloveside.storage.moments import date_from, moment_from

NoteState = Literal["new", "asked", "kept", "heard", "dropped", "undone", "unreadable"]
"""new: not read yet · asked: waits for answers · kept: its entries stand · heard: it held nothing to keep (a question,
an order) · dropped: the operator said no · undone · unreadable: the reading has an error."""


@dataclass(frozen=True, slots=True)
class NoteRow:
    """A note as it stands. spoken_at, received_at: UTC; spoken_on: local date. reading: the one that holds, if any."""

    id: int
    chat: str
    user: str
    source: str
    message_id: str | None
    spoken_at: datetime
    received_at: datetime
    spoken_on: date | None
    state: NoteState
    text: str | None
    audio_sha256: str | None
    heard: str | None
    error: str | None
    reading: Reading | None


@dataclass(frozen=True, slots=True)
class OpenDoubt:
    """A question that a note waits for. entry: index into the entries of its reading, or None for the whole note."""

    id: int
    note_id: int
    entry: int | None
    field: str
    said: str
    options: tuple[Any, ...]
    ask: str
    asked_at: datetime


@dataclass(frozen=True, slots=True)
class KeptNote:
    """What became of a note. entries: those that stand now; rounds: the numbers given to grafts; doubts: still open."""

    note_id: int
    state: NoteState
    entries: tuple[KeptEntry, ...] = ()
    rounds: tuple[int, ...] = ()
    doubts: tuple[OpenDoubt, ...] = ()

    @property
    def entry_ids(self) -> tuple[int, ...]:
        """Ids of the entries that stand."""
        return tuple(entry.id for entry in self.entries)


@dataclass(frozen=True, slots=True)
class Changed:
    """A change or an undo. before: entries that no longer stand; after: those in their stead (maybe none)."""

    act_id: int
    what: Literal["ask", "keep", "change", "amend"]
    note_id: int
    said: str
    before: tuple[KeptEntry, ...]
    after: tuple[KeptEntry, ...]


def note_row(db: sqlite_utils.Database, row: Row) -> NoteRow:
    """A row of `notes` with the reading that holds."""
    data = fetch(db, "SELECT data FROM readings WHERE note_id = ? AND superseded_at IS NULL", [row["id"]])
    return NoteRow(
        id=row["id"],
        chat=row["chat"],
        user=row["user"],
        source=row["source"],
        message_id=row["message_id"],
        spoken_at=moment_from(row["spoken_at"]),
        received_at=moment_from(row["received_at"]),
        spoken_on=date_from(row["spoken_on"]),
        state=row["state"],
        text=row["text"],
        audio_sha256=row["audio_sha256"],
        heard=row["heard"],
        error=row["error"],
        reading=Reading.model_validate_json(data[0]["data"]) if data else None,
    )


def open_doubt(row: Row) -> OpenDoubt:
    """A row of `doubts`."""
    return OpenDoubt(
        id=row["id"],
        note_id=row["note_id"],
        entry=row["entry_index"],
        field=row["field"],
        said=row["said"],
        options=tuple(json.loads(row["options"])),
        ask=row["ask"],
        asked_at=moment_from(row["asked_at"]),
    )
