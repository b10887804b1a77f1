"""Reminders: one row for each moment at which the phone should ring, each rung once, whatever restarts in between."""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Literal

import sqlite_utils

from gloveside.storage.database import RecordFile, Row, fetch, update
from gloveside.storage.errors import NotFound
from gloveside.storage.moments import moment_from, moment_text

ReminderState = Literal["waiting", "sent", "done", "dropped"]


@dataclass(frozen=True, slots=True)
class NewReminder:
    """A reminder to be kept. Its key is (subject, step, step_date, moment).

    subject: `round 3`, `task 41` (an entry id), ...; step: as in the calendar; step_date: local date of the step.
    moment: a label such as `evening before`, `morning`, `again 1`; due_at: aware; chat: None means every paired chat.
    """

    subject: str
    step: str
    step_date: date
    moment: str
    due_at: datetime
    text: str
    chat: str | None = None
    payload: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ReminderRow:
    """A reminder as it stands. due_at, sent_at: UTC. sent_at: of the last sending; times_sent: more after a snooze."""

    id: int
    subject: str
    step: str
    step_date: date
    moment: str
    due_at: datetime
    text: str
    chat: str | None
    payload: dict[str, Any]
    state: ReminderState
    sent_at: datetime | None
    times_sent: int
    outbox_id: int | None

    @property
    def key(self) -> tuple[str, str, date, str]:
        """What it is known by."""
        return self.subject, self.step, self.step_date, self.moment


class Reminders:
    """The reminders of one record."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file

    def add(self, row: NewReminder) -> int:
        """Keep one more reminder and return its id; one with the same key stays as it is."""
        with self._file.writing() as db:
            self._put(db, row)
            return int(self._by_key(db, row)["id"])

    def replace(self, subject: str, rows: Iterable[NewReminder]) -> None:
        """Make these the waiting reminders of a subject, such as `round 3`, after its dates moved.

        What was sent stays and is not sent again; what waits and is not among `rows` is dropped; what was dropped
        unsent and is among them waits again. Rows of a step that was marked done are passed over, whatever their date.
        """
        wanted = list(rows)
        if any(row.subject != subject for row in wanted):
            raise ValueError(f"all rows must be of {subject!r}")
        keys = {(row.step, row.step_date.isoformat(), row.moment) for row in wanted}
        with self._file.writing() as db:
            now = moment_text(self._file.clock())
            for old in fetch(db, "SELECT * FROM reminders WHERE subject = ? AND state = 'waiting'", [subject]):
                # A snoozed one stays: the operator asked for it.
                if (old["step"], old["step_date"], old["moment"]) not in keys and not old["times_sent"]:
                    update(db, "reminders", old["id"], {"state": "dropped", "closed_at": now})
            closed = fetch(db, "SELECT DISTINCT step FROM reminders WHERE subject = ? AND state = 'done'", [subject])
            done = {row["step"] for row in closed}
            for row in wanted:
                if row.step not in done:
                    self._put(db, row)

    def replace_round(self, number: int, rows: Iterable[NewReminder]) -> None:
        """`replace` for the subject `round N`."""
        self.replace(f"round {number}", rows)

    def _put(self, db: sqlite_utils.Database, row: NewReminder) -> None:
        db.conn.execute(
            "INSERT INTO reminders (subject, step, step_date, moment, due_at, text, chat, payload, state, made_at) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?, 'waiting', ?) "
            "ON CONFLICT (subject, step, step_date, moment) DO UPDATE SET "
            "due_at = excluded.due_at, text = excluded.text, chat = excluded.chat, payload = excluded.payload, "
            "state = 'waiting', closed_at = NULL WHERE times_sent = 0 AND state IN ('waiting', 'dropped')",
            [
                row.subject,
                row.step,
                row.step_date.isoformat(),
                row.moment,
                moment_text(row.due_at),
                row.text,
                row.chat,
                json.dumps(row.payload),
                moment_text(self._file.clock()),
            ],
        )

    def _by_key(self, db: sqlite_utils.Database, row: NewReminder) -> Row:
        sql = "SELECT * FROM reminders WHERE subject = ? AND step = ? AND step_date = ? AND moment = ?"
        return fetch(db, sql, [row.subject, row.step, row.step_date.isoformat(), row.moment])[0]

    def due(self, now: datetime) -> list[ReminderRow]:
        """Reminders that should ring by now and did not, the longest overdue first."""
        sql = "SELECT * FROM reminders WHERE state = 'waiting' AND due_at <= ? ORDER BY due_at, id"
        return [_reminder_row(row) for row in self._file.rows(sql, [moment_text(now)])]

    def next_due_at(self) -> datetime | None:
        """When the next waiting reminder is due, past or future; None: none waits."""
        row = self._file.row("SELECT min(due_at) AS at FROM reminders WHERE state = 'waiting'")
        return moment_from(row["at"]) if row else None

    def between(self, since: date, until: date, subject: str | None = None) -> list[ReminderRow]:
        """Reminders of steps on these local dates (both included) that were not dropped, by date."""
        only, values = ("", []) if subject is None else (" AND subject = ?", [subject])
        sql = f"SELECT * FROM reminders WHERE step_date BETWEEN ? AND ? AND state <> 'dropped'{only}"
        sql += " ORDER BY step_date, due_at, id"
        return [_reminder_row(row) for row in self._file.rows(sql, [since.isoformat(), until.isoformat(), *values])]

    def of(self, subject: str) -> list[ReminderRow]:
        """All reminders of a subject in any state, by when they are due."""
        return [
            _reminder_row(r)
            for r in self._file.rows("SELECT * FROM reminders WHERE subject = ? ORDER BY due_at, id", [subject])
        ]

    def waiting_subjects(self, start: str) -> list[str]:
        """Subjects that begin with `start` and have a reminder waiting."""
        sql = "SELECT DISTINCT subject FROM reminders WHERE state = 'waiting' AND substr(subject, 1, ?) = ?"
        return [row["subject"] for row in self._file.rows(sql, [len(start), start])]

    def get(self, reminder_id: int) -> ReminderRow:
        """One reminder. Raises NotFound."""
        row = self._file.row("SELECT * FROM reminders WHERE id = ?", [reminder_id])
        if row is None:
            raise NotFound(f"There is no reminder {reminder_id}.")
        return _reminder_row(row)

    def by_outbox(self, outbox_id: int) -> list[ReminderRow]:
        """The reminders that went out with a message."""
        return [
            _reminder_row(r)
            for r in self._file.rows("SELECT * FROM reminders WHERE outbox_id = ? ORDER BY id", [outbox_id])
        ]

    def mark_reminded(self, reminder_id: int, outbox_id: int) -> bool:
        """It went into the outbox; False when it does not wait any more, and then the message must not be queued.

        Call it in one unit of work (`Store.together`) with `Outbox.queue`: both happen or neither.
        """
        with self._file.writing() as db:
            done = db.conn.execute(
                "UPDATE reminders SET state = 'sent', sent_at = ?, times_sent = times_sent + 1, outbox_id = ? "
                "WHERE id = ? AND state = 'waiting'",
                [moment_text(self._file.clock()), outbox_id, reminder_id],
            )
            return done.rowcount == 1

    def mark_done(self, subject: str, step: str) -> int:
        """The step was done: nothing more is sent about it on any date. Returns how many reminders that closes."""
        return self._close("subject = ? AND step = ?", [subject, step], "done")

    def reopen(self, subject: str, step: str) -> int:
        """The step was not done after all (its note was undone): what had not rung waits again. Returns how many do."""
        with self._file.writing() as db:
            where = "subject = ? AND step = ? AND state = 'done'"
            db.conn.execute(
                f"UPDATE reminders SET state = 'sent', closed_at = NULL WHERE {where} AND times_sent > 0",
                [subject, step],
            )
            sql = f"UPDATE reminders SET state = 'waiting', closed_at = NULL WHERE {where}"
            return int(db.conn.execute(sql, [subject, step]).rowcount)

    def drop(self, subject: str) -> int:
        """Send nothing more about a subject (a round that was undone, a task that is off)."""
        return self._close("subject = ? AND state = 'waiting'", [subject], "dropped")

    def snooze(self, reminder_id: int, until: datetime) -> None:
        """Ring again at a later moment, whether it was sent or not. One that is done stays done."""
        self.get(reminder_id)
        with self._file.writing() as db:
            db.conn.execute(
                "UPDATE reminders SET state = 'waiting', due_at = ?, closed_at = NULL WHERE id = ? AND state <> 'done'",
                [moment_text(until), reminder_id],
            )

    def _close(self, where: str, values: list[str], state: ReminderState) -> int:
        with self._file.writing() as db:
            done = db.conn.execute(
                f"UPDATE reminders SET state = ?, closed_at = ? WHERE {where} AND state IN ('waiting', 'sent')",
                [state, moment_text(self._file.clock()), *values],
            )
            return int(done.rowcount)


def _reminder_row(row: Row) -> ReminderRow:
    return ReminderRow(
        id=row["id"],
        subject=row["subject"],
        step=row["step"],
        step_date=date.fromisoformat(row["step_date"]),
        moment=row["moment"],
        due_at=moment_from(row["due_at"]),
        text=row["text"],
        chat=row["chat"],
        payload=json.loads(row["payload"]),
        state=row["state"],
        sent_at=moment_from(row["sent_at"]),
        times_sent=row["times_sent"],
        outbox_id=row["outbox_id"],
    )
