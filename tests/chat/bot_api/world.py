"""The service's own state: chats, messages, updates waiting for the bot, files. Thread-safe."""

from __future__ import annotations

import itertools
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

Json = dict[str, Any]

DEFAULT_OFF = frozenset({"chat_member", "message_reaction", "message_reaction_count"})
"""Kinds of update that are only delivered when asked for."""


class ApiError(Exception):
    """An answer with `ok: false`."""

    def __init__(self, code: int, description: str, parameters: Json | None = None) -> None:
        super().__init__(description)
        self.code, self.description, self.parameters = code, description, parameters or {}


@dataclass(frozen=True, slots=True)
class Call:
    """One call by the bot: method in lower case, parameters as sent, when (monotonic seconds), answer's code."""

    method: str
    params: Json
    at: float
    code: int


@dataclass(frozen=True, slots=True)
class Sent:
    """One message by the bot as it was accepted. files: field → (file name, bytes). at: monotonic seconds."""

    chat: int
    message_id: int
    method: str
    text: str
    params: Json
    at: float
    files: dict[str, tuple[str, bytes]] = field(default_factory=dict)

    @property
    def buttons(self) -> list[Json]:
        """All inline buttons, in reading order."""
        markup = self.params.get("reply_markup") or {}
        return [button for row in markup.get("inline_keyboard", []) for button in row]


class World:
    """What the service knows."""

    def __init__(self, token: str, username: str = "marrow_hill_bot") -> None:
        self.token = token
        self.me: Json = {
            "id": int(token.split(":")[0]),
            "is_bot": True,
            "first_name": "Gloveside",
            "username": username,
            "can_join_groups": True,
            "can_read_all_group_messages": False,
            "supports_inline_queries": False,
        }
        self.changed = threading.Condition(threading.RLock())
        self.updates: list[Json] = []
        self.messages: dict[tuple[int, int], Json] = {}
        self.chats: dict[int, Json] = {}
        self.blocked: set[int] = set()
        self.migrated: dict[int, int] = {}
        self.files: dict[str, tuple[str, bytes]] = {}
        self.calls: list[Call] = []
        self.sent: list[Sent] = []
        self.edits: list[Sent] = []
        self.deleted: list[tuple[int, int]] = []
        self.answered: dict[str, Json] = {}
        self.open_queries: set[str] = set()
        self.commands: list[Json] = []
        self.webhook = ""
        self.allowed: list[str] = []
        self.confirmed = 0
        self.downloads: dict[str, int] = {}
        self.delivered: dict[int, float] = {}
        self._update_ids = itertools.count(700_000_001)
        self._message_ids: dict[int, itertools.count[int]] = {}
        self._file_ids = itertools.count(1)
        self._query_ids = itertools.count(9_000_000_001)
        self._watchers: list[Callable[[], None]] = []

    # -- the service's side -------------------------------------------------------------------------------------------

    def watch(self, call: Callable[[], None]) -> None:
        """Call this after every new update."""
        self._watchers.append(call)

    def next_message_id(self, chat: int) -> int:
        with self.changed:
            return next(self._message_ids.setdefault(chat, itertools.count(1)))

    def push(self, kind: str, body: Json) -> int:
        """Queue one update for the bot and return its id (0 when the bot did not ask for this kind)."""
        with self.changed:
            wanted = kind in self.allowed if self.allowed else kind not in DEFAULT_OFF
            if not wanted:
                return 0
            update_id = next(self._update_ids)
            self.updates.append({"update_id": update_id, kind: body})
            self.changed.notify_all()
        for call in self._watchers:
            call()
        return update_id

    def push_raw(self, update: Json) -> None:
        """Queue an update as it is (fuzzing); the id is ours."""
        with self.changed:
            self.updates.append(update | {"update_id": next(self._update_ids)})
            self.changed.notify_all()
        for call in self._watchers:
            call()

    def pending(self, offset: int, limit: int) -> list[Json]:
        """Updates from `offset` on; those before it are confirmed and forgotten."""
        with self.changed:
            if offset > 0:
                self.updates = [u for u in self.updates if u["update_id"] >= offset]
                self.confirmed = max(self.confirmed, offset - 1)
            elif offset < 0:
                self.updates = self.updates[offset:]
            batch = self.updates[:limit]
            now = time.monotonic()
            for update in batch:
                self.delivered.setdefault(update["update_id"], now)
            self.changed.notify_all()
            return batch

    def store_file(self, folder: str, name: str, data: bytes) -> Json:
        """Keep a file as the service would and return its description."""
        with self.changed:
            number = next(self._file_ids)
        file_id = f"AwACAgQAAxkBAAI{number:08d}"
        # A path that cannot exist below the bot's working directory: the client would take it for a local file.
        self.files[file_id] = (f"{folder}/file_{number}{name[name.rfind('.') :] if '.' in name else ''}", data)
        return {"file_id": file_id, "file_unique_id": f"AgAD{number:08d}", "file_size": len(data)}

    def keep_message(self, chat: int, body: Json) -> Json:
        """Number, date and keep a message."""
        with self.changed:
            message = {
                "message_id": self.next_message_id(chat),
                "date": int(time.time()),
                "chat": self.chats[chat],
                **body,
            }
            self.messages[chat, message["message_id"]] = message
            return message

    def new_query(self) -> str:
        with self.changed:
            query = str(next(self._query_ids))
            self.open_queries.add(query)
            return query

    def note_call(self, call: Call) -> None:
        with self.changed:
            self.calls.append(call)
            self.changed.notify_all()

    # -- the test's side ----------------------------------------------------------------------------------------------

    def wait(self, holds: Callable[[], Any], deadline: float = 10.0, what: str = "the condition") -> Any:
        """Wait until `holds()` is true and return its value; AssertionError after `deadline` seconds."""
        end = time.monotonic() + deadline
        with self.changed:
            while True:
                if value := holds():
                    return value
                left = end - time.monotonic()
                if left <= 0:
                    last = [(s.chat, s.text[:80]) for s in self.sent[-5:]]
                    raise AssertionError(f"{what} did not come within {deadline} s; last sent: {last}")
                # Also looks again by itself: conditions may read a database.
                self.changed.wait(min(left, 0.05))

    def count(self, method: str) -> int:
        """Calls of one method that were answered well."""
        with self.changed:
            return sum(call.method == method.lower() and call.code == 200 for call in self.calls)

    def to(self, chat: int) -> list[Sent]:
        """What the bot has sent to a chat, in order."""
        with self.changed:
            return [sent for sent in self.sent if sent.chat == chat]
