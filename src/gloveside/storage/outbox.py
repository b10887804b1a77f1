"""The durable outbox of the chat: a message is a row first, sent after, and marked sent after that."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from gloveside.storage.database import RecordFile, Row, fetch, insert, update
from gloveside.storage.errors import NotFound
from gloveside.storage.moments import moment_from, moment_text


@dataclass(frozen=True, slots=True)
class OutboxRow:
    """One message. kind: `text`, `voice`, `photo`, `document`, ...; attachments: paths or names, as queued.

    buttons: rows of buttons, each a dictionary, as queued.  tries: times it was taken up for sending; more than one
    means that it may have reached the phone already.
    """

    id: int
    chat: str
    kind: str
    text: str
    attachments: list[Any]
    buttons: list[Any]
    reply_to: str | None
    not_before: datetime | None
    dedupe_key: str | None
    state: Literal["queued", "sending", "sent", "given up"]
    tries: int
    retry_at: datetime | None
    sent_at: datetime | None
    sent_message_id: str | None
    error: str | None


class Outbox:
    """The outbox of one record."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file

    def queue(
        self,
        chat: str,
        kind: str,
        text: str = "",
        *,
        attachments: Sequence[Any] = (),
        buttons: Sequence[Any] = (),
        reply_to: str | None = None,
        not_before: datetime | None = None,
        dedupe_key: str | None = None,
    ) -> int:
        """Put a message into the outbox and return its id.

        attachments, buttons: plain data that JSON can hold.  dedupe_key: the same key again gives the id of the first
        message and queues nothing, whatever became of it.
        """
        with self._file.writing() as db:
            if dedupe_key is not None:
                old = fetch(db, "SELECT id FROM outbox WHERE dedupe_key = ?", [dedupe_key])
                if old:
                    return int(old[0]["id"])
            row = {
                "chat": chat,
                "kind": kind,
                "text": text,
                "attachments": json.dumps(list(attachments)),
                "buttons": json.dumps(list(buttons)),
                "reply_to": reply_to,
                "not_before": moment_text(not_before),
                "dedupe_key": dedupe_key,
                "queued_at": moment_text(self._file.clock()),
                "state": "queued",
            }
            return insert(db, "outbox", row)

    def due(self, now: datetime) -> list[OutboxRow]:
        """The next message of each chat that may go out now, oldest first.

        In order within a chat: one that is being sent, or waits for another try, holds up those behind it; one that is
        not to go out before a later hour does not.
        """
        at = moment_text(now)
        rows = self._file.rows(
            "SELECT o.* FROM outbox o WHERE o.id IN ("
            "SELECT min(id) FROM outbox WHERE state IN ('queued', 'sending') "
            "AND (not_before IS NULL OR not_before <= ?) GROUP BY chat) "
            "AND o.state = 'queued' AND (o.retry_at IS NULL OR o.retry_at <= ?) ORDER BY o.id",
            [at, at],
        )
        return [_outbox_row(row) for row in rows]

    def following(self, chat: str, now: datetime, limit: int = 30) -> list[OutboxRow]:
        """Messages of one chat that may go out now, in order, up to the first that has to wait for another try."""
        at = moment_text(now)
        rows = self._file.rows(
            "SELECT * FROM outbox WHERE chat = ? AND state IN ('queued', 'sending') "
            "AND (not_before IS NULL OR not_before <= ?) ORDER BY id LIMIT ?",
            [chat, at, limit],
        )
        free: list[OutboxRow] = []
        for row in rows:
            if row["state"] == "sending" or (row["retry_at"] is not None and row["retry_at"] > at):
                break
            free.append(_outbox_row(row))
        return free

    def move_chat(self, old: str, new: str) -> int:
        """A group has a new number: what waits for the old one goes to the new one. Returns how many messages."""
        with self._file.writing() as db:
            done = db.conn.execute(
                "UPDATE outbox SET chat = ? WHERE chat = ? AND state IN ('queued', 'sending')", [new, old]
            )
            return int(done.rowcount)

    def next_due_at(self, now: datetime) -> datetime | None:
        """The soonest later moment at which a queued message may go out; None: none waits for a moment."""
        row = self._file.row(
            "SELECT min(max(coalesce(retry_at, ''), coalesce(not_before, ''))) AS at FROM outbox "
            "WHERE state = 'queued' AND max(coalesce(retry_at, ''), coalesce(not_before, '')) > ?",
            [moment_text(now)],
        )
        return moment_from(row["at"]) if row else None

    def mark_sending(self, outbox_id: int) -> bool:
        """Take it up for sending; False when somebody did already."""
        with self._file.writing() as db:
            done = db.conn.execute(
                "UPDATE outbox SET state = 'sending', tries = tries + 1 WHERE id = ? AND state = 'queued'", [outbox_id]
            )
            return done.rowcount == 1

    def mark_sent(self, outbox_id: int, message_id: str | None = None) -> None:
        """It reached the service, which gave it `message_id`."""
        now = moment_text(self._file.clock())
        self._set(outbox_id, {"state": "sent", "sent_at": now, "sent_message_id": message_id, "error": None})

    def mark_failed(self, outbox_id: int, error: str, retry_at: datetime | None) -> None:
        """It did not go out. It is tried again from `retry_at`; None: given up, so that those behind it can go."""
        state = "given up" if retry_at is None else "queued"
        self._set(outbox_id, {"state": state, "error": error, "retry_at": moment_text(retry_at)})

    def recover(self) -> list[OutboxRow]:
        """At start: put back what was being sent when the program ended, and return it. Each may go out twice."""
        with self._file.writing() as db:
            rows = fetch(db, "SELECT * FROM outbox WHERE state = 'sending' ORDER BY id")
            db.conn.execute("UPDATE outbox SET state = 'queued', retry_at = NULL WHERE state = 'sending'")
            return [_outbox_row(row | {"state": "queued", "retry_at": None}) for row in rows]

    def get(self, outbox_id: int) -> OutboxRow:
        """One message. Raises NotFound."""
        row = self._file.row("SELECT * FROM outbox WHERE id = ?", [outbox_id])
        if row is None:
            raise NotFound(f"There is no message {outbox_id} in the outbox.")
        return _outbox_row(row)

    def by_sent_message(self, chat: str, message_id: str) -> OutboxRow | None:
        """The message that the service knows by this id (for replies to it and its buttons), or None."""
        row = self._file.row("SELECT * FROM outbox WHERE chat = ? AND sent_message_id = ?", [chat, message_id])
        return _outbox_row(row) if row else None

    def waiting(self) -> int:
        """How many messages are not sent yet."""
        row = self._file.row("SELECT count(*) AS n FROM outbox WHERE state IN ('queued', 'sending')")
        return int(row["n"]) if row else 0

    def _set(self, outbox_id: int, values: dict[str, Any]) -> None:
        self.get(outbox_id)
        with self._file.writing() as db:
            update(db, "outbox", outbox_id, values)


def _outbox_row(row: Row) -> OutboxRow:
    return OutboxRow(
        id=row["id"],
        chat=row["chat"],
        kind=row["kind"],
        text=row["text"],
        attachments=json.loads(row["attachments"]),
        buttons=json.loads(row["buttons"]),
        reply_to=row["reply_to"],
        not_before=moment_from(row["not_before"]),
        dedupe_key=row["dedupe_key"],
        state=row["state"],
        tries=row["tries"],
        retry_at=moment_from(row["retry_at"]),
        sent_at=moment_from(row["sent_at"]),
        sent_message_id=row["sent_message_id"],
        error=row["error"],
    )
