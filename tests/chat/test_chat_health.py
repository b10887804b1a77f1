"""What the doctor says about the chat."""

from __future__ import annotations

from datetime import UTC, datetime

from chat_under_test import OWNER, pair

from gloveside.bot.chat.health import chat_health
from gloveside.bot.chat.only_one import only_one
from gloveside.storage.store import Store


def test_a_fresh_record_wants_a_phone(store: Store) -> None:
    found = list(chat_health(store))
    assert found[0][0] is False
    assert "nobody is paired" in found[0][1]
    assert found[1] == (True, "chat: the service is not running")


def test_who_may_speak_and_what_did_not_go_through(store: Store) -> None:
    pair(store, OWNER)
    now = datetime(2026, 11, 20, 3, 0, tzinfo=UTC)
    for number in (1, 2):
        store.intake.take_in(
            update_id=number, chat="501", message_id=str(number), user="501", sent_at=now, kind="text", text="x"
        )
    for _ in range(3):
        row = store.intake.claim(now)
        store.intake.mark_failed(row.id, "RuntimeError: broken")
    refused = store.outbox.queue("501", "text", "hello")
    store.outbox.mark_failed(refused, "Forbidden: bot was blocked by the user", None)
    with only_one(store.file.path.parent):
        found = dict(reversed(line) for line in chat_health(store))
    assert found["chat: Moana (owner) may speak"]
    assert found["chat: the service is running"]
    assert found["chat: 1 message to read, 0 to send"]
    bad = [text for text, fine in found.items() if not fine]
    assert "1 message could not be worked on" in bad[0]
    assert "RuntimeError: broken" in bad[0]
    assert "blocked by the user" in bad[1]
