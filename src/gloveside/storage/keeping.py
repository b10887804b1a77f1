"""From a reading to kept entries: rounds numbered, doubts asked, versions written, in the caller's unit of work."""

from __future__ import annotations

import json
from collections.abc import Sequence, Set
from datetime import date
from typing import Any, Literal

import sqlite_utils

from gloveside.extract.models import Doubt, Reading
from gloveside.storage import corrections
from gloveside.storage.database import RecordFile, Row, fetch, insert, update
from gloveside.storage.entries import by_ids, end_entries, entry_adapter, write_entry
from gloveside.storage.errors import NotFound, Refused
from gloveside.storage.moments import moment_text
from gloveside.storage.note_rows import KeptNote, NoteState, OpenDoubt, open_doubt
from gloveside.storage.rounds import Rounds

SAME_ROUND_DAYS = 7
"""Grafts further apart than this are hardly one round: its first cells are sealed by then."""


class Keeper:
    """The steps of which keeping a note is made."""

    def __init__(self, file: RecordFile, rounds: Rounds) -> None:
        self._file = file
        self._rounds = rounds

    def now(self) -> str:
        """The present moment as it is stored."""
        return moment_text(self._file.clock())

    def take_reading(
        self,
        db: sqlite_utils.Database,
        note: Row,
        reading: Reading,
        on: date,
        keep: bool,
        what: Literal["keep", "amend"],
    ) -> KeptNote:
        """Write a reading into its note, then ask or keep. what: `keep` for the first one, `amend` for a later one."""
        note_id: int = note["id"]
        old = [json.loads(row["data"]) for row in self.standing(db, note_id)]
        self.close_doubts(db, note_id, "void", None)
        self.write_reading(db, note_id, reading, "read" if what == "keep" else "amend")
        update(
            db,
            "notes",
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
            self.end_asking(db, note_id, None)
            act = self.act(db, "amend", note, {})
            end_entries(db, [row["id"] for row in self.standing(db, note_id)], act=act, at=self.now())
            reading = _with_old_rounds(reading, old)
        if reading.error is not None:
            self.state(db, note_id, "unreadable")
            return self.kept(db, note_id)
        if not reading.entries and not reading.doubts:
            self.state(db, note_id, "heard")
            return self.kept(db, note_id)
        if reading.doubts or not keep:
            return self.ask(db, note, reading.doubts)
        return self.keep(db, note, reading, settled=False, act=act)

    def keep(
        self, db: sqlite_utils.Database, note: Row, reading: Reading, *, settled: bool, act: int | None = None
    ) -> KeptNote:
        """Number the rounds and write the entries. settled: ask nothing more, whatever is left open."""
        note_id: int = note["id"]
        entries = [corrections.as_fields(entry) for entry in reading.entries]
        settled_rounds = {
            row["entry_index"]
            for row in fetch(
                db,
                "SELECT entry_index FROM doubts WHERE note_id = ? AND field = 'round' AND state = 'answered'",
                [note_id],
            )
        }
        given, doubts = self.number_rounds(entries, settled_rounds)
        if doubts and not settled:
            return self.ask(db, note, doubts)
        at = self.now()
        if act is None:
            act = self.act(db, "keep", note, {"rounds": given} if given else {})
        self.end_asking(db, note_id, act)
        for position, fields in enumerate(entries):
            data = json.dumps(fields, ensure_ascii=False)
            write_entry(db, note_id=note_id, position=position, data=data, act=act, at=at)
        self.state(db, note_id, "kept" if entries else "heard")
        return self.kept(db, note_id, tuple(given))

    def number_rounds(self, entries: list[dict[str, Any]], settled: Set[int]) -> tuple[list[int], list[Doubt]]:
        """Fill in, in place, the rounds that were not said; returns numbers given to grafts, and what must be asked.

        settled: indexes of entries about whose round the operator was asked already.
        """
        given: list[int] = []
        doubts: list[Doubt] = []
        grafted_here: dict[tuple[str, Any], int] = {}
        for index, fields in enumerate(entries):
            kind, here = fields["kind"], (fields["on"], fields.get("place"))
            if "round" in fields:
                if kind == "graft":
                    grafted_here[here] = fields["round"]
                    if index not in settled:
                        doubts += self._round_used_before(index, fields)
                continue
            if kind == "graft" and here in grafted_here:
                # Two mothers or tools in one note, one day and one builder are one round.
                fields["round"] = grafted_here[here]
                continue
            found = self._rounds.round_for(entry_adapter.validate_python(fields))
            if isinstance(found, list):
                if index not in settled:
                    ask = f"Which round: {' or '.join(str(number) for number in found)}?"
                    doubts.append(Doubt(entry=index, field="round", said="", options=list(found), ask=ask))
            elif found is not None:
                if kind == "graft":
                    found += sum(number >= found for number in given)
                    given.append(found)
                    grafted_here[here] = found
                fields["round"] = found
        return given, doubts

    def _round_used_before(self, index: int, fields: dict[str, Any]) -> list[Doubt]:
        """A doubt when a graft is said to be of a round that was grafted at quite another time, as a season before."""
        number, on = fields["round"], date.fromisoformat(fields["on"])
        try:
            grafted = self._rounds.get(number, on).grafted
        except NotFound:
            return []
        if grafted is None or abs((on - grafted).days) <= SAME_ROUND_DAYS:
            return []
        following = self._rounds.next_number(on)
        before = f"{grafted.day} {grafted:%b %Y}"
        ask = f"Round {number} was grafted on {before} already. Is this round {following}?"
        options = [following, number]
        return [Doubt(entry=index, field="round", said=f"round {number}", options=options, ask=ask)]

    def ask(self, db: sqlite_utils.Database, note: Row, doubts: Sequence[Doubt]) -> KeptNote:
        """Leave a note waiting, with these doubts open."""
        at = self.now()
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
            self.act(db, "ask", note, {})
        self.state(db, note["id"], "asked")
        return self.kept(db, note["id"])

    def answered(
        self, db: sqlite_utils.Database, note_id: int, reading: Reading, doubt: OpenDoubt, value: Any
    ) -> Reading:
        """The reading of a waiting note after an answer; written as a new version."""
        entries = [corrections.as_fields(entry) for entry in reading.entries]
        plain = Doubt(entry=doubt.entry, field=doubt.field, said=doubt.said, options=list(doubt.options), ask=doubt.ask)
        return self.revise(db, note_id, reading, corrections.answer(entries, plain, value))

    def revise(
        self, db: sqlite_utils.Database, note_id: int, reading: Reading, entries: list[dict[str, Any]]
    ) -> Reading:
        """The reading with other entries; written as a new version."""
        revised = reading.model_copy(update={"entries": [entry_adapter.validate_python(fields) for fields in entries]})
        self.write_reading(db, note_id, revised, "answer")
        return revised

    def write_reading(self, db: sqlite_utils.Database, note_id: int, reading: Reading, why: str) -> None:
        """Write a version of a note's reading; the one before stays, superseded."""
        at = self.now()
        db.conn.execute(
            "UPDATE readings SET superseded_at = ? WHERE note_id = ? AND superseded_at IS NULL", [at, note_id]
        )
        insert(db, "readings", {"note_id": note_id, "why": why, "made_at": at, "data": reading.to_json()})

    def reading(self, db: sqlite_utils.Database, note_id: int) -> Reading:
        """The reading that holds. Raises Refused when there is none."""
        rows = fetch(db, "SELECT data FROM readings WHERE note_id = ? AND superseded_at IS NULL", [note_id])
        if not rows:
            raise Refused("That note was not read yet.")
        return Reading.model_validate_json(rows[0]["data"])

    def act(
        self, db: sqlite_utils.Database, what: str, note: Row, detail: dict[str, Any], by: str | None = None
    ) -> int:
        """Write down that something was done to a note, by its own speaker where nobody else is named."""
        row = {
            "what": what,
            "at": self.now(),
            "chat": note["chat"],
            "user": by or note["user"],
            "note_id": note["id"],
            "detail": json.dumps(detail),
        }
        return insert(db, "acts", row)

    def end_asking(self, db: sqlite_utils.Database, note_id: int, act: int | None) -> None:
        """The question is settled, so an undo passes it by. act: by which keeping, or None: it was withdrawn."""
        db.conn.execute(
            "UPDATE acts SET ended_by = coalesce(?, id) WHERE note_id = ? AND what = 'ask' AND ended_by IS NULL",
            [act, note_id],
        )

    def close_doubts(self, db: sqlite_utils.Database, note_id: int, state: str, answer: str | None) -> None:
        """Close all open doubts of a note."""
        db.conn.execute(
            "UPDATE doubts SET state = ?, answer = ?, closed_at = ? WHERE note_id = ? AND state = 'open'",
            [state, answer, self.now(), note_id],
        )

    def state(self, db: sqlite_utils.Database, note_id: int, state: NoteState) -> None:
        """Move a note on."""
        update(db, "notes", note_id, {"state": state})

    def note(self, db: sqlite_utils.Database, note_id: int) -> Row:
        """A note's row. Raises NotFound."""
        rows = fetch(db, "SELECT * FROM notes WHERE id = ?", [note_id])
        if not rows:
            raise NotFound(f"There is no note {note_id} in the record.")
        return rows[0]

    def waiting(self, db: sqlite_utils.Database, note_id: int) -> Row:
        """A waiting note's row. Raises Refused for any other."""
        note = self.note(db, note_id)
        if note["state"] != "asked":
            raise Refused("That note is not waiting for an answer.")
        return note

    def standing(self, db: sqlite_utils.Database, note_id: int) -> list[Row]:
        """Rows of a note's entries that stand, in order."""
        return fetch(
            db, "SELECT * FROM entries WHERE note_id = ? AND ended_at IS NULL ORDER BY position, id", [note_id]
        )

    def open_doubts(self, db: sqlite_utils.Database, note_id: int) -> list[OpenDoubt]:
        """A note's open doubts, in order."""
        rows = fetch(db, "SELECT * FROM doubts WHERE note_id = ? AND state = 'open' ORDER BY id", [note_id])
        return [open_doubt(row) for row in rows]

    def kept(self, db: sqlite_utils.Database, note_id: int, rounds: tuple[int, ...] | None = None) -> KeptNote:
        """What became of a note. rounds: numbers just given; default: those that its keeping gave."""
        note = self.note(db, note_id)
        if rounds is None:
            acts = fetch(
                db,
                "SELECT detail FROM acts WHERE note_id = ? AND what = 'keep' AND ended_by IS NULL "
                "ORDER BY id DESC LIMIT 1",
                [note_id],
            )
            rounds = tuple(json.loads(acts[0]["detail"]).get("rounds", ())) if acts else ()
        entries = by_ids(db, [row["id"] for row in self.standing(db, note_id)])
        return KeptNote(note_id, note["state"], entries, rounds, tuple(self.open_doubts(db, note_id)))


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
