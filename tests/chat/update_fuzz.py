"""Mutated updates for the gate: real ones with anything changed. Small in the tests, 20,000 in `bench/chat/fuzz.py`."""

from __future__ import annotations

import copy
import random
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from chat_under_test import HELPER, OWNER

from gloveside.bot.chat.admission import Admission
from gloveside.bot.chat.rate import RateLimit
from gloveside.storage.store import Store

PERSON = {"id": OWNER, "is_bot": False, "first_name": "Moana", "language_code": "en"}
PRIVATE = {"id": OWNER, "type": "private", "first_name": "Moana"}
VOICE = {"file_id": "AwAC1", "file_unique_id": "A1", "duration": 3, "mime_type": "audio/ogg", "file_size": 9000}
MESSAGE = {"message_id": 7, "date": 1_790_000_000, "chat": PRIVATE, "from": PERSON}
YARD = {"id": -100777, "type": "supergroup", "title": "Yard"}
FORWARD = {"type": "user", "date": 1_789_000_000, "sender_user": PERSON}
QUERY = {"id": "99", "from": PERSON, "message": {**MESSAGE, "text": "?"}, "chat_instance": "1", "data": "a:1:0"}
MEMBER = {"chat": YARD, "from": PERSON, "date": 1_790_000_000, "new_chat_member": {"status": "member", "user": PERSON}}
SEEDS: list[dict[str, Any]] = [
    {"update_id": 1, "message": {**MESSAGE, "text": "hive 12 is queenright"}},
    {"update_id": 2, "message": {**MESSAGE, "voice": VOICE}},
    {"update_id": 3, "message": {**MESSAGE, "voice": VOICE, "caption": "hive 12", "forward_origin": FORWARD}},
    {"update_id": 4, "edited_message": {**MESSAGE, "text": "hive 13", "edit_date": 1_790_000_100}},
    {"update_id": 5, "message": {**MESSAGE, "audio": {**VOICE, "file_name": "REC1.MP3"}}},
    {"update_id": 6, "message": {**MESSAGE, "document": {**VOICE, "file_name": "x.wav", "mime_type": "audio/x-wav"}}},
    {"update_id": 7, "callback_query": QUERY},
    {"update_id": 8, "my_chat_member": MEMBER},
    {"update_id": 9, "message": {**MESSAGE, "chat": YARD, "text": "/pair"}},
    {"update_id": 10, "message": {**MESSAGE, "text": "/start ABCD-2345"}},
    {"update_id": 11, "message": {**MESSAGE, "photo": [{"file_id": "p"}]}},
    {"update_id": 12, "message": {**MESSAGE, "migrate_to_chat_id": -100888}},
]
ODD: tuple[Any, ...] = (
    *(None, True, False, 0, -1, 1, 2**31, 2**53, 2**64, -(2**70), 1e308, -0.0, 1.5, "", " ", "0", "501", "é" * 70),
    *("x" * 5000, "\x00", "\ud800", "'; DROP TABLE notes; --", "../../etc/passwd", "hive 12", [], {}, [[]]),
    *({"id": OWNER}, {"id": "501"}, {"id": HELPER + 1000, "is_bot": False}, ["a"] * 50, "/start", "AAAA-AAAA"),
    *("private", "🐝" * 40, "9" * 400),
)
ADDED = ("voice", "text", "from", "chat", "caption", "edit_date", "data")


@dataclass
class Outcome:
    """Updates sent in, rows taken, rows from anybody but the owner, and what raised."""

    updates: int = 0
    taken: int = 0
    strangers_notes: int = 0
    strangers_lines: int = 0
    crashes: list[str] = field(default_factory=list)

    @property
    def clean(self) -> bool:
        return not self.crashes and not self.strangers_notes


def mutated(seed: int) -> dict[str, Any]:
    """A real update with one to four things replaced, removed, added or swapped."""
    dice = random.Random(seed)
    update = copy.deepcopy(dice.choice(SEEDS))
    for _ in range(dice.randint(1, 4)):
        parent, key = _somewhere(update, dice)
        action = dice.random()
        if action < 0.55:
            parent[key] = copy.deepcopy(dice.choice(ODD))
        elif action < 0.7:
            if isinstance(parent, dict):
                parent.pop(key, None)
        elif action < 0.8:
            other = copy.deepcopy(dice.choice(SEEDS))
            there, name = _somewhere(other, dice)
            parent[key] = there.get(name) if isinstance(there, dict) else there[name]
        elif action < 0.9 and type(parent.get(key) if isinstance(parent, dict) else parent[key]) is int:
            parent[key] += dice.randint(-5, 5)
        elif isinstance(parent, dict):
            parent[dice.choice(ADDED)] = copy.deepcopy(dice.choice(ODD))
    return update


def _somewhere(update: dict[str, Any], dice: random.Random) -> tuple[Any, Any]:
    places = []

    def walk(node: Any) -> None:
        items = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
        for key, value in items:
            places.append((node, key))
            walk(value)

    walk(update)
    return dice.choice(places) if places else (update, "update_id")


def run(store: Store, updates: int, seed: int = 1) -> Outcome:
    """Send mutated updates through the gate, in batches as they would come; the owner is paired, nobody else."""
    outcome = Outcome()
    gate = Admission(store, rate=RateLimit(burst=1e9, a_second=1e9))
    dice = random.Random(seed)
    number = 10_000
    while outcome.updates < updates:
        batch: list[Any] = []
        for _ in range(min(50, updates - outcome.updates)):
            update = mutated(dice.getrandbits(60))
            if isinstance(update.get("update_id"), int) and dice.random() < 0.8:
                number += 1
                update["update_id"] = number
            for body in update.values():
                if isinstance(body, dict) and isinstance(body.get("message_id"), int) and dice.random() < 0.8:
                    body["message_id"] = number
            batch.append(update)
        outcome.updates += len(batch)
        try:
            gate.admit(batch, datetime(2026, 11, 20, 3, 0, tzinfo=UTC))
        except Exception as error:
            outcome.crashes.append(repr(error))
    taken = store.file.rows("SELECT user, count(*) AS n FROM intake GROUP BY user")
    outcome.taken = sum(row["n"] for row in taken)
    outcome.strangers_notes = sum(row["n"] for row in taken if row["user"] != str(OWNER))
    lines = store.file.row("SELECT count(*) AS n FROM outbox WHERE dedupe_key LIKE 'stranger:%'")
    outcome.strangers_lines = lines["n"] if lines else 0
    return outcome
