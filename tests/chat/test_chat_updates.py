"""Updates may hold anything: nothing crashes, and nobody who is not paired gets a note in."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest
from chat_under_test import OWNER, pair
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from update_fuzz import Outcome, mutated, run

from gloveside.bot.chat import updates
from gloveside.bot.chat.message_text import clean, length, pieces
from gloveside.storage.store import Store

NOW = datetime(2026, 11, 20, 3, 0, tzinfo=UTC)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=20,
)


@settings(max_examples=100, deadline=None)
@given(JSON)
def test_any_json_is_read_or_left(update: object) -> None:
    updates.read(update, NOW)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(min_value=0))
def test_any_mutation_of_a_real_update_is_read_or_left(seed: int) -> None:
    read = updates.read(mutated(seed), NOW)
    assert read is None or (isinstance(read.user, int) and read.user > 0 and read.spoken_at <= NOW)


def test_mutated_updates_let_no_stranger_in(store: Store) -> None:
    pair(store, OWNER)
    outcome: Outcome = run(store, 1500, seed=7)
    assert outcome.crashes == []
    assert outcome.strangers_notes == 0
    assert outcome.taken > 50


def test_a_bot_is_nobody() -> None:
    update = {
        "update_id": 5,
        "message": {
            "message_id": 1, "date": 1_790_000_000, "chat": {"id": 9, "type": "private"},
            "from": {"id": 9, "is_bot": True, "first_name": "B"}, "text": "hello",
        },
    }  # fmt: skip
    assert updates.read(update, NOW) is None
    update["message"]["from"]["is_bot"] = False
    assert updates.read(update, NOW).text == "hello"


def test_a_date_in_the_future_is_taken_as_now() -> None:
    message = {
        "message_id": 1,
        "date": 4_000_000_000,
        "chat": {"id": 9, "type": "private"},
        "from": {"id": 9},
        "text": "x",
    }
    assert updates.read({"update_id": 5, "message": message}, NOW).spoken_at == NOW


@settings(max_examples=100, deadline=None)
@given(st.text(), st.integers(min_value=2, max_value=60))
def test_pieces_fit_and_lose_no_word(text: str, longest: int) -> None:
    parts = pieces(text, longest)
    assert all(0 < length(part) <= longest for part in parts)
    assert "".join("".join(parts).split()) == "".join(clean(text).split())


@pytest.mark.parametrize(("text", "expected"), [("", []), (" \n ", []), ("aa bb cc", ["aa bb", "cc"])])
def test_pieces_are_cut_where_a_reader_would(text: str, expected: list[str]) -> None:
    assert pieces(text, 6) == expected


def test_lone_surrogates_and_control_characters_do_not_reach_the_service() -> None:
    text = json.loads('"a\\ud83d b\\u0000c"')
    assert clean(text).encode("utf-8")
    assert "\x00" not in clean(text)
