"""Notes from arrival to kept entries: reading, asking, undoing, changing and amending. Nothing is ever deleted."""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Literal

import sqlite_utils

from gloveside.extract.models import Doubt, Reading
from gloveside.storage import corrections
from gloveside.storage.database import RecordFile, Row, fetch, insert
from gloveside.storage.entries import KeptEntry, by_ids, end_entries, entry_adapter, write_entry
from gloveside.storage.errors import NotFound, Refused
from gloveside.storage.moments import date_from, moment_from, moment_text
from gloveside.storage.rounds import Rounds

NoteState = Literal["new", "asked", "kept", "heard", "dropped", "undone", "unreadable"]
"""new: not read yet · asked: waits for answers · kept: its entries stand · heard: it held nothing to keep (a question, an
order) · dropped: the operator said no · undone · unreadable: the reading has an error."""


@dataclass(frozen=True, slots=True)
class NoteRow:
    """A note as it stands. spoken_at, received_at: UTC; spoken_on: local date. reading: what was read last, if it was."""

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
    """A change or an undo. before: entries that no longer stand; after: those that stand in their stead (maybe none)."""

    act_id: int
    what: Literal["ask", "keep", "change", "amend"]
    note_id: int
    said: str
    before: tuple[KeptEntry, ...]
    after: tuple[KeptEntry, ...]


class Notes:
    """The notes of one record."""

    def __init__(self, file: RecordFile, rounds: Rounds) -> None:
        self._file = file
        self._rounds = rounds

    # -- arrival ------------------------------------------------------------------------------------------------

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
            note = self._note(db, note_id)
            if note["state"] != "new":
                return self._kept(db, note_id)
            return self._take_reading(db, note, reading, on, keep, "keep")

    def amend(self, note_id: int, reading: Reading, on: date, keep: bool) -> KeptNote:
        """Replace what was read in a note (its message was edited). The old reading and entries stay in the history.

        Rounds that were given to the old entries are kept for the new ones of the same kind.
        """
        with self._file.writing() as db:
            note = self._note(db, note_id)
            if note["state"] == "new":
                return self._take_reading(db, note, reading, on, keep, "keep")
            return self._take_reading(db, note, reading, on, keep, "amend")

    def confirm(self, note_id: int) -> KeptNote:
        """Keep a waiting note as it was read ("yes"), open doubts and all."""
        with self._file.writing() as db:
            note = self._waiting(db, note_id)
            self._close_doubts(db, note_id, "answered", None)
            return self._keep(db, note, self._reading(db, note_id), settled=True)

    def set_aside(self, note_id: int) -> KeptNote:
        """Keep nothing of a waiting or new note ("no"); what was heard stays in the history."""
        with self._file.writing() as db:
            note = self._note(db, note_id)
            if note["state"] not in ("new", "asked"):
                raise Refused("That note is not waiting for an answer. Say: scratch that, to undo it.")
            self._close_doubts(db, note_id, "void", None)
            self._end_asking(db, note_id, None)
            self._state(db, note_id, "dropped")
            return self._kept(db, note_id)

    def answer_doubt(self, note_id: int, field: str, value: Any, entry: int | None = None) -> KeptNote:
        """Answer the first open doubt about a field (of one entry, where given); the last answer keeps the note.

        value: the one meant, in the form of the contract; None: it stands as it was read. Raises Refused, and leaves
        the doubt open, when the entry cannot hold the value.
        """
        with self._file.writing() as db:
            note = self._waiting(db, note_id)
            open_doubts = self._open_doubts(db, note_id)
            asked = [d for d in open_doubts if d.field == field and (entry is None or d.entry == entry)]
            if not asked:
                raise Refused(f"That note does not wait for a {field}.")
            doubt = asked[0]
            reading = self._reading(db, note_id)
            if value is not None:
                reading = self._answered(db, note_id, reading, doubt, value)
            # One thing said once is asked about once, though it stands in several entries.
            same = [d for d in asked if d.id == doubt.id or (d.said == doubt.said and d.options == doubt.options)]
            at = moment_text(self._file.clock())
            for closed in same:
                db.table("doubts").update(
                    closed.id, {"state": "answered", "answer": json.dumps(value, default=str), "closed_at": at}
                )
                if value is not None and closed.id != doubt.id:
                    reading = self._answered(db, note_id, reading, closed, value)
            if len(same) < len(open_doubts):
                return self._kept(db, note_id)
            return self._keep(db, note, reading, settled=False)

    # -- taking back and putting right ----------------------------------------------------------------------------

    def undo(self, chat: str, user: str | None = None) -> Changed | None:
        """Take back the last thing that was kept, changed, amended or asked in a chat (by one user, where given).

        A kept note goes out of force; a change or amendment gives way to what stood before. Repeated, it goes further
        back. None: there is nothing left to undo.
        """
        with self._file.writing() as db:
            by_user = "" if user is None else " AND user = ?"
            rows = fetch(
                db,
                "SELECT id, what, note_id FROM acts WHERE chat = ? AND what <> 'undo' AND ended_by IS NULL"
                f"{by_user} ORDER BY id DESC LIMIT 1",
                [chat] if user is None else [chat, user],
            )
            if not rows:
                return None
            act = rows[0]
            note = self._note(db, act["note_id"])
            at = moment_text(self._file.clock())
            undo = self._act(db, "undo", note, {"undoes": act["id"]})
            db.table("acts").update(act["id"], {"ended_by": undo})
            if act["what"] == "ask":
                self._close_doubts(db, note["id"], "void", None)
            made = fetch(
                db,
                "SELECT id, supersedes FROM entries WHERE made_by_act = ? AND ended_at IS NULL ORDER BY position, id",
                [act["id"]],
            )
            ended = fetch(db, "SELECT * FROM entries WHERE ended_by_act = ? ORDER BY position, id", [act["id"]])
            end_entries(db, [row["id"] for row in made], act=undo, at=at)
            revived = [self._revive(db, row, made, at) for row in ended]
            if act["what"] != "change":
                self._state(db, note["id"], "kept" if revived else "dropped" if act["what"] == "ask" else "undone")
            return Changed(
                act_id=undo,
                what=act["what"],
                note_id=note["id"],
                said=note["heard"] or note["text"] or "",
                before=by_ids(db, [row["id"] for row in made]),
                after=by_ids(db, revived),
            )

    def change(
        self, field: str, to: Any, *, note_id: int | None = None, entry_id: int | None = None, was: Any = None
    ) -> Changed:
        """Put a field right in one entry, or in all entries of a note that are meant; the old ones stay in the history.

        to: the new value in the form of the contract; was: the wrong value, where it was said. A waiting note is put
        right in its reading. Raises Refused when the entry cannot hold the value or it cannot be told which is meant.
        """
        if (note_id is None) == (entry_id is None):
            raise ValueError("give a note or an entry, not both")
        with self._file.writing() as db:
            if entry_id is not None:
                rows = fetch(db, "SELECT * FROM entries WHERE id = ?", [entry_id])
                if not rows:
                    raise NotFound(f"There is no entry {entry_id} in the record.")
                if rows[0]["ended_at"] is not None:
                    raise Refused(
                        "That entry was undone or changed already. Ask for its history to see what stands now."
                    )
                note = self._note(db, rows[0]["note_id"])
                chosen = rows
            else:
                assert note_id is not None  # noqa: S101 - told apart above, for the type checker
                note = self._note(db, note_id)
                rows = self._standing(db, note_id)
                if not rows:
                    raise Refused("Nothing of that note stands in the record, so there is nothing to change.")
                meant = corrections.meant_by_change([json.loads(row["data"]) for row in rows], field, was)
                chosen = [rows[i] for i in meant]
            act = self._act(db, "change", note, {"field": field, "to": _plain(to)})
            at = moment_text(self._file.clock())
            after = []
            for row in chosen:
                fields = corrections.with_value(json.loads(row["data"]), field, to, () if was is None else (was,))
                data = json.dumps(fields, ensure_ascii=False)
                after.append(
                    write_entry(
                        db,
                        note_id=note["id"],
                        position=row["position"],
                        data=data,
                        act=act,
                        at=at,
                        supersedes=row["id"],
                    )
                )
            return Changed(
                act_id=act,
                what="change",
                note_id=note["id"],
                said=note["heard"] or note["text"] or "",
                before=by_ids(db, [row["id"] for row in chosen]),
                after=by_ids(db, after),
            )

    def change_waiting(self, note_id: int, field: str, to: Any, was: Any = None) -> KeptNote:
        """Put a field right in a note that still waits; doubts about that field are answered by it."""
        with self._file.writing() as db:
            note = self._waiting(db, note_id)
            reading = self._reading(db, note_id)
            entries = [corrections.as_fields(entry) for entry in reading.entries]
            for i in corrections.meant_by_change(entries, field, was):
                entries[i] = corrections.with_value(entries[i], field, to, () if was is None else (was,))
            reading = self._revise(db, note_id, reading, entries)
            open_doubts = self._open_doubts(db, note_id)
            answered = [doubt for doubt in open_doubts if doubt.field == field]
            at = moment_text(self._file.clock())
            for doubt in answered:
                db.table("doubts").update(
                    doubt.id, {"state": "answered", "answer": json.dumps(_plain(to)), "closed_at": at}
                )
            if len(answered) < len(open_doubts) or not answered:
                return self._kept(db, note_id)
            return self._keep(db, note, reading, settled=False)

    # -- looking --------------------------------------------------------------------------------------------------

    def get(self, note_id: int) -> NoteRow:
        """One note. Raises NotFound."""
        with self._file.reading() as db:
            return self._as_row(db, self._note(db, note_id))

    def kept(self, note_id: int) -> KeptNote:
        """What became of a note so far. Raises NotFound."""
        with self._file.reading() as db:
            self._note(db, note_id)
            return self._kept(db, note_id)

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
        sql = f"SELECT d.* FROM doubts d JOIN notes n ON n.id = d.note_id WHERE d.state = 'open'{where} ORDER BY d.note_id, d.id"
        return [_open_doubt(row) for row in self._file.rows(sql, values)]

    def unfinished(self, chat: str | None = None) -> list[NoteRow]:
        """Notes that were taken in but not read yet, or that wait for an answer, oldest first."""
        where, values = ("", []) if chat is None else (" AND chat = ?", [chat])
        with self._file.reading() as db:
            sql = f"SELECT * FROM notes WHERE state IN ('new', 'asked'){where} ORDER BY id"
            return [self._as_row(db, row) for row in fetch(db, sql, values)]

    def readings(self, note_id: int) -> list[tuple[datetime, str, Reading]]:
        """Every reading of a note, oldest first: when (UTC), why (`read`, `answer`, `amend`), and what."""
        rows = self._file.rows("SELECT made_at, why, data FROM readings WHERE note_id = ? ORDER BY id", [note_id])
        return [(moment_from(row["made_at"]), row["why"], Reading.model_validate_json(row["data"])) for row in rows]

    # -- inner work, always inside the caller's unit of work --------------------------------------------------------

    def _take_reading(
        self,
        db: sqlite_utils.Database,
        note: Row,
        reading: Reading,
        on: date,
        keep: bool,
        what: Literal["keep", "amend"],
    ) -> KeptNote:
        note_id: int = note["id"]
        old = [json.loads(row["data"]) for row in self._standing(db, note_id)]
        self._close_doubts(db, note_id, "void", None)
        self._write_reading(db, note_id, reading, "read" if what == "keep" else "amend")
        db.table("notes").update(
            note_id,
            {
                "raw": reading.raw,
                "heard": reading.heard,
                "engine": reading.engine,
                "seconds": reading.seconds,
                "error": reading.error,
                "spoken_on": on.isoformat(),
            },
        )
        act: int | None = None
        if what == "amend":
            self._end_asking(db, note_id, None)
            act = self._act(db, "amend", note, {})
            end_entries(
                db, [row["id"] for row in self._standing(db, note_id)], act=act, at=moment_text(self._file.clock())
            )
            reading = _with_old_rounds(reading, old)
        if reading.error is not None:
            self._state(db, note_id, "unreadable")
            return self._kept(db, note_id)
        if not reading.entries and not reading.doubts:
            self._state(db, note_id, "heard")
            return self._kept(db, note_id)
        if reading.doubts or not keep:
            return self._ask(db, note, reading.doubts)
        return self._keep(db, note, reading, settled=False, act=act)

    def _keep(
        self, db: sqlite_utils.Database, note: Row, reading: Reading, *, settled: bool, act: int | None = None
    ) -> KeptNote:
        """Number the rounds and write the entries. settled: ask nothing more, whatever is left open."""
        note_id: int = note["id"]
        entries = [corrections.as_fields(entry) for entry in reading.entries]
        given, doubts = self._number_rounds(entries)
        if doubts and not settled:
            return self._ask(db, note, doubts)
        at = moment_text(self._file.clock())
        if act is None:
            act = self._act(db, "keep", note, {"rounds": given} if given else {})
        self._end_asking(db, note_id, act)
        for position, fields in enumerate(entries):
            data = json.dumps(fields, ensure_ascii=False)
            write_entry(db, note_id=note_id, position=position, data=data, act=act, at=at)
        self._state(db, note_id, "kept" if entries else "heard")
        return self._kept(db, note_id, tuple(given))

    def _number_rounds(self, entries: list[dict[str, Any]]) -> tuple[list[int], list[Doubt]]:
        """Fill in the rounds that were not said, in place; returns the numbers given to grafts, and what must be asked."""
        given: list[int] = []
        doubts: list[Doubt] = []
        grafted_here: dict[tuple[str, Any], int] = {}
        for index, fields in enumerate(entries):
            if "round" in fields or fields["kind"] == "task":
                continue
            same_graft = (fields["on"], fields.get("place"))
            if fields["kind"] == "graft" and same_graft in grafted_here:
                # Two mothers or tools in one note, one day and one builder are one round.
                fields["round"] = grafted_here[same_graft]
                continue
            found = self._rounds.round_for(entry_adapter.validate_python(fields))
            if isinstance(found, list):
                listed = " or ".join(str(number) for number in found)
                doubts.append(
                    Doubt(entry=index, field="round", said="", options=list(found), ask=f"Which round: {listed}?")
                )
            elif found is not None:
                if fields["kind"] == "graft":
                    found += sum(number >= found for number in given)
                    given.append(found)
                    grafted_here[same_graft] = found
                fields["round"] = found
        return given, doubts

    def _ask(self, db: sqlite_utils.Database, note: Row, doubts: Sequence[Doubt]) -> KeptNote:
        at = moment_text(self._file.clock())
        for doubt in doubts:
            row = {
                "note_id": note["id"],
                "entry_index": doubt.entry,
                "field": doubt.field,
                "said": doubt.said,
                "options": json.dumps(doubt.options, default=str),
                "ask": doubt.ask,
                "state": "open",
                "asked_at": at,
            }
            insert(db, "doubts", row)
        if not fetch(db, "SELECT 1 FROM acts WHERE note_id = ? AND what = 'ask' AND ended_by IS NULL", [note["id"]]):
            self._act(db, "ask", note, {})
        self._state(db, note["id"], "asked")
        return self._kept(db, note["id"])

    def _answered(
        self, db: sqlite_utils.Database, note_id: int, reading: Reading, doubt: OpenDoubt, value: Any
    ) -> Reading:
        entries = [corrections.as_fields(entry) for entry in reading.entries]
        plain = Doubt(entry=doubt.entry, field=doubt.field, said=doubt.said, options=list(doubt.options), ask=doubt.ask)
        return self._revise(db, note_id, reading, corrections.answer(entries, plain, value))

    def _revise(
        self, db: sqlite_utils.Database, note_id: int, reading: Reading, entries: list[dict[str, Any]]
    ) -> Reading:
        revised = reading.model_copy(update={"entries": [entry_adapter.validate_python(fields) for fields in entries]})
        self._write_reading(db, note_id, revised, "answer")
        return revised

    def _write_reading(self, db: sqlite_utils.Database, note_id: int, reading: Reading, why: str) -> None:
        at = moment_text(self._file.clock())
        db.conn.execute(
            "UPDATE readings SET superseded_at = ? WHERE note_id = ? AND superseded_at IS NULL", [at, note_id]
        )
        insert(db, "readings", {"note_id": note_id, "why": why, "made_at": at, "data": reading.to_json()})

    def _reading(self, db: sqlite_utils.Database, note_id: int) -> Reading:
        rows = fetch(db, "SELECT data FROM readings WHERE note_id = ? AND superseded_at IS NULL", [note_id])
        if not rows:
            raise Refused("That note was not read yet.")
        return Reading.model_validate_json(rows[0]["data"])

    def _act(self, db: sqlite_utils.Database, what: str, note: Row, detail: dict[str, Any]) -> int:
        row = {
            "what": what,
            "at": moment_text(self._file.clock()),
            "chat": note["chat"],
            "user": note["user"],
            "note_id": note["id"],
            "detail": json.dumps(detail),
        }
        return insert(db, "acts", row)

    def _revive(self, db: sqlite_utils.Database, old: Row, undone: list[Row], at: str) -> int:
        """Put an ended entry back into force as a new row at the end of its line, and as the work of the same act as before."""
        revived = write_entry(
            db, note_id=old["note_id"], position=old["position"], data=old["data"], act=old["made_by_act"], at=at
        )
        successor = next((row["id"] for row in undone if row["supersedes"] == old["id"]), old["id"])
        db.table("entries").update(revived, {"supersedes": successor})
        db.table("entries").update(successor, {"superseded_by": revived})
        return revived

    def _end_asking(self, db: sqlite_utils.Database, note_id: int, act: int | None) -> None:
        """The question is settled, so an undo passes it by. act: by which keeping, or None: it was withdrawn."""
        db.conn.execute(
            "UPDATE acts SET ended_by = coalesce(?, id) WHERE note_id = ? AND what = 'ask' AND ended_by IS NULL",
            [act, note_id],
        )

    def _close_doubts(self, db: sqlite_utils.Database, note_id: int, state: str, answer: str | None) -> None:
        db.conn.execute(
            "UPDATE doubts SET state = ?, answer = ?, closed_at = ? WHERE note_id = ? AND state = 'open'",
            [state, answer, moment_text(self._file.clock()), note_id],
        )

    def _state(self, db: sqlite_utils.Database, note_id: int, state: NoteState) -> None:
        db.table("notes").update(note_id, {"state": state})

    def _note(self, db: sqlite_utils.Database, note_id: int) -> Row:
        rows = fetch(db, "SELECT * FROM notes WHERE id = ?", [note_id])
        if not rows:
            raise NotFound(f"There is no note {note_id} in the record.")
        return rows[0]

    def _waiting(self, db: sqlite_utils.Database, note_id: int) -> Row:
        note = self._note(db, note_id)
        if note["state"] != "asked":
            raise Refused("That note is not waiting for an answer.")
        return note

    def _standing(self, db: sqlite_utils.Database, note_id: int) -> list[Row]:
        return fetch(
            db, "SELECT * FROM entries WHERE note_id = ? AND ended_at IS NULL ORDER BY position, id", [note_id]
        )

    def _open_doubts(self, db: sqlite_utils.Database, note_id: int) -> list[OpenDoubt]:
        rows = fetch(db, "SELECT * FROM doubts WHERE note_id = ? AND state = 'open' ORDER BY id", [note_id])
        return [_open_doubt(row) for row in rows]

    def _kept(self, db: sqlite_utils.Database, note_id: int, rounds: tuple[int, ...] | None = None) -> KeptNote:
        note = self._note(db, note_id)
        if rounds is None:
            acts = fetch(
                db,
                "SELECT detail FROM acts WHERE note_id = ? AND what = 'keep' AND ended_by IS NULL ORDER BY id DESC LIMIT 1",
                [note_id],
            )
            rounds = tuple(json.loads(acts[0]["detail"]).get("rounds", ())) if acts else ()
        entries = by_ids(db, [row["id"] for row in self._standing(db, note_id)])
        return KeptNote(note_id, note["state"], entries, rounds, tuple(self._open_doubts(db, note_id)))

    def _one(self, sql: str, values: Sequence[Any]) -> NoteRow | None:
        with self._file.reading() as db:
            rows = fetch(db, sql, values)
            return self._as_row(db, rows[0]) if rows else None

    def _as_row(self, db: sqlite_utils.Database, row: Row) -> NoteRow:
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


def _open_doubt(row: Row) -> OpenDoubt:
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


def _with_old_rounds(reading: Reading, old: list[dict[str, Any]]) -> Reading:
    """The reading with the rounds that its earlier version was given, for entries of the same kind without one."""
    left = [dict(fields) for fields in old if "round" in fields]
    entries = []
    for entry in reading.entries:
        fields = corrections.as_fields(entry)
        if "round" not in fields and (match := next((f for f in left if f["kind"] == fields["kind"]), None)):
            left.remove(match)
            fields["round"] = match["round"]
            entry = entry_adapter.validate_python(fields)
        entries.append(entry)
    return reading.model_copy(update={"entries": entries})


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value
