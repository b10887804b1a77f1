"""The durable inbox of the chat: each update is a row before any work on it, once, whatever is delivered again."""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Literal

import sqlite_utils

from gloveside.storage.database import RecordFile, Row, fetch, update
from gloveside.storage.errors import NotFound
from gloveside.storage.moments import moment_from, moment_text

TRIES_BEFORE_POISON = 3
"""A message whose work failed this often is set aside, so that it cannot hold up those behind it."""
ENDS_BEFORE_WAITING = 10
"""One that was in work so often when the program ended may be what ends it: it waits, and lets those behind it pass."""
LONGEST_WAIT = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class IntakeRow:
    """One update. sent_at: UTC, when it was spoken or written; edited_at: of an edit; tries: times it was claimed."""

    id: int
    update_id: int | None
    chat: str
    message_id: str | None
    edited_at: datetime | None
    user: str
    sent_at: datetime
    kind: str
    file_id: str | None
    text: str | None
    payload: dict[str, Any]
    state: Literal["new", "working", "done", "poison"]
    tries: int
    note_id: int | None
    error: str | None


class Intake:
    """The inbox of one record."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file

    def take_in(
        self,
        *,
        update_id: int | None,
        chat: str,
        message_id: str | None,
        user: str,
        sent_at: datetime,
        kind: str,
        file_id: str | None = None,
        text: str | None = None,
        payload: dict[str, Any] | None = None,
        edited_at: datetime | None = None,
    ) -> bool:
        """Commit an update; False, and nothing written, when it was seen before.

        Seen before: the update id, or the message of this chat in this edition (`edited_at`). For kind `callback` (a
        button press, which comes with the message of the button) only the update id counts.
        """
        with self._file.writing() as db:
            done = db.conn.execute(
                "INSERT INTO intake (update_id, chat, message_id, edited_at, user, sent_at, kind, file_id, text, "
                "payload, taken_at, state) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 'new') ON CONFLICT DO NOTHING",
                [
                    update_id,
                    chat,
                    message_id,
                    moment_text(edited_at) or "",
                    user,
                    moment_text(sent_at),
                    kind,
                    file_id,
                    text,
                    json.dumps(payload or {}),
                    moment_text(self._file.clock()),
                ],
            )
            return done.rowcount == 1

    def pending(self, chat: str | None = None, limit: int = -1) -> list[IntakeRow]:
        """Updates that are not done, new ones and those in work, in the order they came in: all, or the first few."""
        only, values = ("", []) if chat is None else (" AND chat = ?", [chat])
        sql = f"SELECT * FROM intake WHERE state IN ('new', 'working'){only} ORDER BY id LIMIT ?"
        return [_intake_row(row) for row in self._file.rows(sql, [*values, limit])]

    def open_count(self, chat: str, kinds: Sequence[str], before: int | None = None) -> int:
        """How many updates of a chat and of these kinds are not done. before: only those that came before this id."""
        marks = ",".join("?" * len(kinds))
        row = self._file.row(
            "SELECT count(*) AS n FROM intake WHERE state IN ('new', 'working') AND chat = ? "
            f"AND kind IN ({marks}) AND (? IS NULL OR id < ?)",
            [chat, *kinds, before, before],
        )
        return int(row["n"]) if row else 0

    def claim(
        self, now: datetime, *, exclude_kinds: tuple[str, ...] = (), after_chat: str | None = None
    ) -> IntakeRow | None:
        """Take the oldest update that waits and mark it as in work; None: nothing to do.

        A chat's updates are worked on in order: while one is in work or waits for a new try, those behind it wait.
        exclude_kinds: kinds that are left to another worker, and do not hold it up.  after_chat: the chat that was
        served last; another chat comes first, so that a burst in one does not hold up the others.
        """
        marks = ",".join("?" * len(exclude_kinds))
        with self._file.writing() as db:
            rows = fetch(
                db,
                f"SELECT i.* FROM intake i WHERE i.state = 'new' AND i.kind NOT IN ({marks}) "
                "AND (i.retry_at IS NULL OR i.retry_at <= ?) "
                "AND NOT EXISTS (SELECT 1 FROM intake b WHERE b.state IN ('new', 'working') AND b.chat = i.chat "
                f"AND b.id < i.id AND b.kind NOT IN ({marks}) AND (b.tries < ? OR b.state = 'working')) "
                "ORDER BY coalesce(i.chat = ?, 0), i.id LIMIT 1",
                [*exclude_kinds, moment_text(now), *exclude_kinds, ENDS_BEFORE_WAITING, after_chat],
            )
            return self._start(db, rows[0]) if rows else None

    def claim_one(self, intake_id: int) -> IntakeRow | None:
        """Take this update into work out of turn; None when it is in work or done already."""
        with self._file.writing() as db:
            rows = fetch(db, "SELECT * FROM intake WHERE id = ? AND state = 'new'", [intake_id])
            return self._start(db, rows[0]) if rows else None

    def _start(self, db: sqlite_utils.Database, row: Row) -> IntakeRow:
        update(db, "intake", row["id"], {"state": "working", "tries": row["tries"] + 1})
        return _intake_row(row | {"state": "working", "tries": row["tries"] + 1})

    def mark_done(self, intake_id: int, note_id: int | None = None) -> None:
        """The work on it is finished; call inside the unit of work (`Store.together`) that keeps its results."""
        self._set(
            intake_id, {"state": "done", "note_id": note_id, "done_at": moment_text(self._file.clock()), "error": None}
        )

    def mark_failed(self, intake_id: int, error: str, retry_at: datetime | None = None) -> bool:
        """The work failed. True: it will be tried again (not before `retry_at`); False: it is set aside as poison."""
        with self._file.writing() as db:
            rows = fetch(db, "SELECT tries FROM intake WHERE id = ?", [intake_id])
            again = bool(rows) and rows[0]["tries"] < TRIES_BEFORE_POISON
            state = "new" if again else "poison"
            self._set(intake_id, {"state": state, "error": error, "retry_at": moment_text(retry_at)})
            return again

    def wait(self, intake_id: int, why: str, retry_at: datetime) -> None:
        """Put it back without counting a try: the cause lies outside (no network, service busy)."""
        with self._file.writing() as db:
            db.conn.execute("UPDATE intake SET tries = max(tries - 1, 0) WHERE id = ?", [intake_id])
            self._set(intake_id, {"state": "new", "error": why, "retry_at": moment_text(retry_at)})

    def recover(self) -> list[IntakeRow]:
        """At start: put back what was in work when the program ended, and return it.

        Nothing is given up for that: power cuts may hit one note again and again. But one that was hit
        ENDS_BEFORE_WAITING times is tried after a pause only, which grows to an hour.
        """
        with self._file.writing() as db:
            rows = fetch(db, "SELECT * FROM intake WHERE state = 'working' ORDER BY id")
            now = self._file.clock()
            for row in rows:
                row |= {"state": "new", "error": row["error"] or "the program ended while this was in work"}
                if row["tries"] >= ENDS_BEFORE_WAITING:
                    pause = timedelta(minutes=2.0 ** min(row["tries"] - ENDS_BEFORE_WAITING, 10))
                    row["retry_at"] = moment_text(now + min(pause, LONGEST_WAIT))
                update(db, "intake", row["id"], {key: row[key] for key in ("state", "error", "retry_at")})
            return [_intake_row(row) for row in rows]

    def poison(self) -> list[IntakeRow]:
        """Updates that were set aside."""
        return [_intake_row(row) for row in self._file.rows("SELECT * FROM intake WHERE state = 'poison' ORDER BY id")]

    def get(self, intake_id: int) -> IntakeRow:
        """One update. Raises NotFound."""
        row = self._file.row("SELECT * FROM intake WHERE id = ?", [intake_id])
        if row is None:
            raise NotFound(f"There is no message {intake_id} in the inbox.")
        return _intake_row(row)

    def last_update_id(self) -> int | None:
        """The highest update id taken in, or None."""
        row = self._file.row("SELECT max(update_id) AS n FROM intake")
        return row["n"] if row else None

    def _set(self, intake_id: int, values: dict[str, Any]) -> None:
        with self._file.writing() as db:
            if not fetch(db, "SELECT 1 FROM intake WHERE id = ?", [intake_id]):
                raise NotFound(f"There is no message {intake_id} in the inbox.")
            update(db, "intake", intake_id, values)


def _intake_row(row: Row) -> IntakeRow:
    return IntakeRow(
        id=row["id"],
        update_id=row["update_id"],
        chat=row["chat"],
        message_id=row["message_id"],
        edited_at=moment_from(row["edited_at"] or None),
        user=row["user"],
        sent_at=moment_from(row["sent_at"]),
        kind=row["kind"],
        file_id=row["file_id"],
        text=row["text"],
        payload=json.loads(row["payload"]),
        state=row["state"],
        tries=row["tries"],
        note_id=row["note_id"],
        error=row["error"],
    )
