"""Who may speak: pairing by a one-time code, the allow-list by user id, roles, and group chats."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from gloveside.storage.database import RecordFile, Row, fetch, insert, update
from gloveside.storage.errors import NotFound, Refused
from gloveside.storage.moments import moment_from, moment_text

Role = Literal["owner", "helper"]
_LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""Without 0 and O, 1, I and L, which look alike on a screen."""
CODE_LENGTH = 8
TRIES_IN_AN_HOUR = 5


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who may speak. chat: the chat in which they were paired, where reminders go."""

    user: str
    name: str
    role: Role
    chat: str
    added_at: datetime


@dataclass(frozen=True, slots=True)
class GroupChat:
    """A group in which the paired people may speak."""

    chat: str
    title: str
    added_by: str
    added_at: datetime


class People:
    """The people of one record."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file

    def new_code(self, role: Role = "owner", valid_for: timedelta = timedelta(minutes=15)) -> str:
        """A fresh one-time code for the console; only its hash is stored. Earlier unused codes stay valid."""
        code = "".join(secrets.choice(_LETTERS) for _ in range(CODE_LENGTH))
        salt = secrets.token_hex(16)
        now = self._file.clock()
        with self._file.writing() as db:
            row = {
                "salt": salt,
                "code_hash": _hash(salt, code),
                "role": role,
                "made_at": moment_text(now),
                "expires_at": moment_text(now + valid_for),
            }
            insert(db, "pairing_codes", row)
        return f"{code[:4]}-{code[4:]}"

    def pair(self, code: str, *, user: str, name: str, chat: str) -> Person | None:
        """Let a user in by a code, which is used up; None when the code is wrong, used or too old.

        Case, spaces and hyphens in the code do not matter. Raises Refused after too many wrong codes in an hour.
        """
        tidy = "".join(letter for letter in code.upper() if letter.isalnum())
        now = self._file.clock()
        with self._file.writing() as db:
            hour_ago = moment_text(now - timedelta(hours=1))
            tries = fetch(db, "SELECT count(*) AS n FROM pairing_tries WHERE user = ? AND at > ?", [user, hour_ago])
            if tries[0]["n"] >= TRIES_IN_AN_HOUR:
                raise Refused("Too many wrong codes. Wait an hour, make a new code on the console, and send that.")
            live = fetch(db, "SELECT * FROM pairing_codes WHERE used_at IS NULL AND expires_at > ?", [moment_text(now)])
            match = next((row for row in live if hmac.compare_digest(row["code_hash"], _hash(row["salt"], tidy))), None)
            if match is None:
                insert(db, "pairing_tries", {"user": user, "at": moment_text(now)})
                return None
            update(db, "pairing_codes", match["id"], {"used_at": moment_text(now), "used_by": user})
            db.conn.execute(
                "INSERT INTO people (user, name, role, chat, added_at) VALUES (?, ?, ?, ?, ?) "
                "ON CONFLICT (user) DO UPDATE SET name = excluded.name, role = excluded.role, chat = excluded.chat, "
                "added_at = excluded.added_at, "
                "removed_at = NULL",
                [user, name, match["role"], chat, moment_text(now)],
            )
            return self.get(user)

    def get(self, user: str) -> Person | None:
        """The person with this user id, or None for a stranger."""
        row = self._file.row("SELECT * FROM people WHERE user = ? AND removed_at IS NULL", [user])
        return _person(row) if row else None

    def all(self) -> list[Person]:
        """Everybody who may speak, owners first."""
        rows = self._file.rows("SELECT * FROM people WHERE removed_at IS NULL ORDER BY role = 'helper', added_at")
        return [_person(row) for row in rows]

    def may_speak(self, user: str, chat: str) -> bool:
        """Whether a note by this user in this chat is taken: a paired person, in their own chat or a paired group."""
        person = self.get(user)
        return person is not None and (chat == person.chat or self._group(chat) is not None)

    def remove(self, user: str) -> None:
        """Let somebody in no longer. Raises NotFound, and Refused for the last owner."""
        person = self.get(user)
        if person is None:
            raise NotFound("That user is not on the list.")
        with self._file.writing() as db:
            owners = [p for p in self.all() if p.role == "owner"]
            if owners == [person]:
                raise Refused("That is the last owner. Pair another owner first.")
            db.table("people").update(user, {"removed_at": moment_text(self._file.clock())})

    def add_group(self, chat: str, title: str, by: str) -> None:
        """Let the paired people speak in a group; only an owner can."""
        person = self.get(by)
        if person is None or person.role != "owner":
            raise Refused("Only an owner can let Gloveside into a group.")
        with self._file.writing() as db:
            db.conn.execute(
                "INSERT INTO group_chats (chat, title, added_by, added_at) VALUES (?, ?, ?, ?) "
                "ON CONFLICT (chat) DO UPDATE SET title = excluded.title, added_by = excluded.added_by, "
                "added_at = excluded.added_at, removed_at = NULL",
                [chat, title, by, moment_text(self._file.clock())],
            )

    def remove_group(self, chat: str) -> None:
        """Leave a group."""
        with self._file.writing() as db:
            db.conn.execute(
                "UPDATE group_chats SET removed_at = ? WHERE chat = ? AND removed_at IS NULL",
                [moment_text(self._file.clock()), chat],
            )

    def move_group(self, old: str, new: str) -> None:
        """A group has a new number (it became a larger kind of group): the permission goes with it."""
        with self._file.writing() as db:
            db.conn.execute(
                "INSERT INTO group_chats (chat, title, added_by, added_at) SELECT ?, title, added_by, added_at "
                "FROM group_chats WHERE chat = ? AND removed_at IS NULL "
                "ON CONFLICT (chat) DO UPDATE SET removed_at = NULL",
                [new, old],
            )
            self.remove_group(old)

    def groups(self) -> list[GroupChat]:
        """Groups in which paired people may speak."""
        rows = self._file.rows("SELECT * FROM group_chats WHERE removed_at IS NULL ORDER BY added_at")
        return [GroupChat(r["chat"], r["title"], r["added_by"], moment_from(r["added_at"])) for r in rows]

    def _group(self, chat: str) -> Row | None:
        return self._file.row("SELECT * FROM group_chats WHERE chat = ? AND removed_at IS NULL", [chat])


def _hash(salt: str, code: str) -> str:
    return hashlib.scrypt(code.encode(), salt=bytes.fromhex(salt), n=2**12, r=8, p=1).hex()


def _person(row: Row) -> Person:
    return Person(row["user"], row["name"], row["role"], row["chat"], moment_from(row["added_at"]))
