"""Notes from arrival to kept entries: reading, asking, undoing, changing and amending. Nothing is ever deleted."""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from gloveside.extract.models import Reading
from gloveside.storage import corrections, revisions
from gloveside.storage.database import RecordFile, fetch, insert, update
from gloveside.storage.errors import Refused
from gloveside.storage.keeping import Keeper
from gloveside.storage.moments import moment_from, moment_text
from gloveside.storage.note_rows import Changed, KeptNote, NoteRow, NoteState, OpenDoubt, note_row, open_doubt
from gloveside.storage.rounds import Rounds

__all__ = ["Changed", "KeptNote", "NoteRow", "NoteState", "Notes", "OpenDoubt"]


class Notes:
    """The notes of one record."""

    def __init__(self, file: RecordFile, rounds: Rounds) -> None:
        self._file = file
        self._keeper = Keeper(file, rounds)

    def add(
        self,
        *,
        chat: str,
        user: str,
        source: str,
        spoken_at: datetime,
        received_at: datetime | None = None,
        text: str | None = None,
        audio_sha256: str | None = None,
        message_id: str | None = None,
    ) -> int:
        """Put a note into the record before any work on it, and return its id. spoken_at: aware.

        The same message of a chat again gives the id of the first one and changes nothing.
        """
        if text is None and audio_sha256 is None:
            raise Refused("A note needs a text or a sound. Send it again.")
        with self._file.writing() as db:
            if message_id is not None:
                old = fetch(db, "SELECT id FROM notes WHERE chat = ? AND message_id = ?", [chat, message_id])
                if old:
                    return int(old[0]["id"])
            row = {
                "chat": chat,
                "user": user,
                "source": source,
                "message_id": message_id,
                "spoken_at": moment_text(spoken_at),
                "received_at": moment_text(received_at or self._file.clock()),
                "state": "new",
                "text": text,
                "audio_sha256": audio_sha256,
            }
            return insert(db, "notes", row)

    def finish(self, note_id: int, reading: Reading, on: date, keep: bool) -> KeptNote:
        """Store what was read in a note and, where nothing is open, keep its entries.

        on: local date on which it was spoken.  keep: False, or a reading with doubts, leaves the note waiting
        (`asked`) and nothing enters the record until `answer_doubt` or `confirm`. A graft without a round gets the next
        number; a step that may belong to several rounds gives a doubt of field `round`. A note that was finished before
        is left as it is (so work can be repeated after a crash); an edited one goes through `amend`.
        """
        with self._file.writing() as db:
            note = self._keeper.note(db, note_id)
            if note["state"] != "new":
                return self._keeper.kept(db, note_id)
            return self._keeper.take_reading(db, note, reading, on, keep, "keep")

    def amend(self, note_id: int, reading: Reading, on: date, keep: bool) -> KeptNote:
        """Replace what was read in a note (its message was edited). The old reading and entries stay in the history.

        Rounds that were given to the old entries are kept for the new ones of the same kind.
        """
        with self._file.writing() as db:
            note = self._keeper.note(db, note_id)
            if note["state"] == "new":
                return self._keeper.take_reading(db, note, reading, on, keep, "keep")
            return self._keeper.take_reading(db, note, reading, on, keep, "amend")

    def confirm(self, note_id: int) -> KeptNote:
        """Keep a waiting note as it was read ("yes"), open doubts and all."""
        with self._file.writing() as db:
            note = self._keeper.waiting(db, note_id)
            self._keeper.close_doubts(db, note_id, "answered", None)
            return self._keeper.keep(db, note, self._keeper.reading(db, note_id), settled=True)

    def set_aside(self, note_id: int) -> KeptNote:
        """Keep nothing of a waiting or new note ("no"); what was heard stays in the history."""
        with self._file.writing() as db:
            note = self._keeper.note(db, note_id)
            if note["state"] not in ("new", "asked"):
                raise Refused("That note is not waiting for an answer. Say: scratch that, to undo it.")
            self._keeper.close_doubts(db, note_id, "void", None)
            self._keeper.end_asking(db, note_id, None)
            self._keeper.state(db, note_id, "dropped")
            return self._keeper.kept(db, note_id)

    def answer_doubt(self, note_id: int, field: str, value: Any, entry: int | None = None) -> KeptNote:
        """Answer the first open doubt about a field (of one entry, where given); the last answer keeps the note.

        value: the one meant, in the form of the contract; None: it stands as it was read. Raises Refused, and leaves
        the doubt open, when the entry cannot hold the value.
        """
        with self._file.writing() as db:
            note = self._keeper.waiting(db, note_id)
            open_doubts = self._keeper.open_doubts(db, note_id)
            asked = [d for d in open_doubts if d.field == field and (entry is None or d.entry == entry)]
            if not asked:
                raise Refused(f"That note does not wait for a {field}.")
            doubt = asked[0]
            reading = self._keeper.reading(db, note_id)
            if value is not None:
                reading = self._keeper.answered(db, note_id, reading, doubt, value)
            # One thing said once is asked about once, though it stands in several entries.
            same = [d for d in asked if d.id == doubt.id or (d.said == doubt.said and d.options == doubt.options)]
            at = moment_text(self._file.clock())
            for closed in same:
                update(
                    db,
                    "doubts",
                    closed.id,
                    {"state": "answered", "answer": json.dumps(value, default=str), "closed_at": at},
                )
                if value is not None and closed.id != doubt.id:
                    reading = self._keeper.answered(db, note_id, reading, closed, value)
            if len(same) < len(open_doubts):
                return self._keeper.kept(db, note_id)
            return self._keeper.keep(db, note, reading, settled=False)

    def change_waiting(self, note_id: int, field: str, to: Any, was: Any = None) -> KeptNote:
        """Put a field right in a note that still waits; doubts about that field are answered by it."""
        with self._file.writing() as db:
            note = self._keeper.waiting(db, note_id)
            reading = self._keeper.reading(db, note_id)
            entries = [corrections.as_fields(entry) for entry in reading.entries]
            for i in corrections.meant_by_change(entries, field, was):
                entries[i] = corrections.with_value(entries[i], field, to, () if was is None else (was,))
            reading = self._keeper.revise(db, note_id, reading, entries)
            open_doubts = self._keeper.open_doubts(db, note_id)
            answered = [doubt for doubt in open_doubts if doubt.field == field]
            at = moment_text(self._file.clock())
            for doubt in answered:
                update(
                    db,
                    "doubts",
                    doubt.id,
                    {"state": "answered", "answer": json.dumps(to, default=str), "closed_at": at},
                )
            if len(answered) < len(open_doubts) or not answered:
                return self._keeper.kept(db, note_id)
            return self._keeper.keep(db, note, reading, settled=False)

    def undo(self, chat: str, user: str | None = None) -> Changed | None:
        """Take back the last thing that was kept, changed, amended or asked in a chat (by one user, where given).

        A kept note goes out of force; a change or amendment gives way to what stood before. Repeated, it goes further
        back. None: there is nothing left to undo.
        """
        with self._file.writing() as db:
            return revisions.undo(db, self._keeper, chat, user)

    def change(
        self,
        field: str,
        to: Any,
        *,
        note_id: int | None = None,
        entry_id: int | None = None,
        was: Any = None,
        by: str | None = None,
    ) -> Changed:
        """Put a field right in one entry, or in all entries of a note that are meant; the old ones stay in the history.

        to: the new value in the form of the contract; was: the wrong value, where it was said; by: the user who changes
        it (default: who spoke the note). A note that still waits goes through `change_waiting`. Raises Refused when the
        entry cannot hold the value or it cannot be told which entry is meant.
        """
        with self._file.writing() as db:
            return revisions.change_entries(
                db, self._keeper, field, to, note_id=note_id, entry_id=entry_id, was=was, by=by
            )

    def get(self, note_id: int) -> NoteRow:
        """One note. Raises NotFound."""
        with self._file.reading() as db:
            return note_row(db, self._keeper.note(db, note_id))

    def kept(self, note_id: int) -> KeptNote:
        """What became of a note so far. Raises NotFound."""
        with self._file.reading() as db:
            self._keeper.note(db, note_id)
            return self._keeper.kept(db, note_id)

    def by_message(self, chat: str, message_id: str) -> NoteRow | None:
        """The note that came with a message, or None."""
        return self._one("SELECT * FROM notes WHERE chat = ? AND message_id = ?", [chat, message_id])

    def by_audio(self, audio_sha256: str) -> NoteRow | None:
        """The first note with exactly this sound, or None."""
        return self._one("SELECT * FROM notes WHERE audio_sha256 = ? ORDER BY id LIMIT 1", [audio_sha256])

    def last(self, chat: str, *, user: str | None = None, place: str | None = None) -> NoteRow | None:
        """The note spoken last in a chat (by one user, about one place, where given) whose entries stand, or None."""
        where, values = "n.chat = ? AND n.state = 'kept'", [chat]
        if user is not None:
            where, values = where + " AND n.user = ?", [*values, user]
        if place is not None:
            where += (
                " AND n.id IN (SELECT e.note_id FROM entries e JOIN entry_places p ON p.entry_id = e.id"
                " WHERE p.place = ? AND e.ended_at IS NULL)"
            )
            values = [*values, place]
        return self._one(f"SELECT n.* FROM notes n WHERE {where} ORDER BY n.spoken_at DESC, n.id DESC LIMIT 1", values)

    def waiting(self, chat: str | None = None) -> list[OpenDoubt]:
        """Doubts that are open, oldest note first."""
        where, values = ("", []) if chat is None else (" AND n.chat = ?", [chat])
        rows = self._file.rows(
            "SELECT d.* FROM doubts d JOIN notes n ON n.id = d.note_id "
            f"WHERE d.state = 'open'{where} ORDER BY d.note_id, d.id",
            values,
        )
        return [open_doubt(row) for row in rows]

    def unfinished(self, chat: str | None = None) -> list[NoteRow]:
        """Notes that were taken in but not read yet, or that wait for an answer, oldest first."""
        where, values = ("", []) if chat is None else (" AND chat = ?", [chat])
        with self._file.reading() as db:
            sql = f"SELECT * FROM notes WHERE state IN ('new', 'asked'){where} ORDER BY id"
            return [note_row(db, row) for row in fetch(db, sql, values)]

    def readings(self, note_id: int) -> list[tuple[datetime, str, Reading]]:
        """Every reading of a note, oldest first: when (UTC), why (`read`, `answer`, `amend`), and what."""
        rows = self._file.rows("SELECT made_at, why, data FROM readings WHERE note_id = ? ORDER BY id", [note_id])
        return [(moment_from(row["made_at"]), row["why"], Reading.model_validate_json(row["data"])) for row in rows]

    def _one(self, sql: str, values: Sequence[Any]) -> NoteRow | None:
        with self._file.reading() as db:
            rows = fetch(db, sql, values)
            return note_row(db, rows[0]) if rows else None
