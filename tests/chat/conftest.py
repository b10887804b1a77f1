"""Fixtures of the chat tests."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from bot_api import BotApi, Phone
from chat_under_test import OWNER, MovableClock, pair

from gloveside.storage.store import Store


@pytest.fixture
def api() -> Iterator[BotApi]:
    with BotApi() as started:
        yield started


@pytest.fixture
def clock() -> MovableClock:
    return MovableClock()


@pytest.fixture
def store(tmp_path: Path, clock: MovableClock) -> Iterator[Store]:
    with Store.open(tmp_path / "home", clock) as opened:
        yield opened


@pytest.fixture
def owner(api: BotApi, store: Store) -> Phone:
    """The phone of a paired owner."""
    pair(store, OWNER)
    return Phone(api.world, OWNER)
