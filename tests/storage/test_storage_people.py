"""People: who may speak, pairing codes, groups, and settings chosen in the chat."""

from __future__ import annotations

from datetime import timedelta

import pytest

from gloveside.storage.errors import NotFound, Refused
from gloveside.storage.people import TRIES_IN_AN_HOUR


def test_nobody_may_speak_until_paired_by_a_code_that_works_once(store):
    assert not store.people.may_speak("7", "7")
    code = store.people.new_code("owner")
    owner = store.people.pair(f" {code.lower()} ", user="7", name="Ana", chat="7")
    assert (owner.role, owner.name) == ("owner", "Ana")
    assert store.people.may_speak("7", "7")
    assert store.people.pair(code, user="8", name="Ben", chat="8") is None
    assert store.people.get("8") is None


def test_a_code_gets_too_old(store, clock):
    code = store.people.new_code("helper", timedelta(minutes=15))
    clock.move(minutes=16)
    assert store.people.pair(code, user="8", name="Ben", chat="8") is None


def test_the_code_is_nowhere_in_the_file(store, folder):
    code = store.people.new_code()
    store.file.rows("SELECT 1")
    content = b"".join(path.read_bytes() for path in folder.glob("gloveside.db*"))
    assert code.replace("-", "").encode() not in content
    assert code.encode() not in content


def test_guessing_is_stopped_for_an_hour_for_that_user_only(store, clock):
    code = store.people.new_code(valid_for=timedelta(hours=3))
    for _ in range(TRIES_IN_AN_HOUR):
        assert store.people.pair("AAAA-AAAA", user="9", name="x", chat="9") is None
    with pytest.raises(Refused, match="Wait an hour"):
        store.people.pair(code, user="9", name="x", chat="9")
    clock.move(minutes=61)
    assert store.people.pair(code, user="9", name="x", chat="9").user == "9"


def test_groups_are_opened_by_an_owner_for_paired_people_only(store):
    store.people.pair(store.people.new_code("owner"), user="7", name="Ana", chat="7")
    store.people.pair(store.people.new_code("helper"), user="8", name="Ben", chat="8")
    assert not store.people.may_speak("7", "-100")
    with pytest.raises(Refused, match="Only an owner"):
        store.people.add_group("-100", "Bees", by="8")
    store.people.add_group("-100", "Bees", by="7")
    assert store.people.may_speak("8", "-100")
    assert not store.people.may_speak("9", "-100")
    assert [g.title for g in store.people.groups()] == ["Bees"]
    store.people.remove_group("-100")
    assert not store.people.may_speak("8", "-100")


def test_somebody_removed_may_not_speak_and_the_last_owner_stays(store):
    store.people.pair(store.people.new_code("owner"), user="7", name="Ana", chat="7")
    store.people.pair(store.people.new_code("helper"), user="8", name="Ben", chat="8")
    store.people.remove("8")
    assert not store.people.may_speak("8", "8")
    with pytest.raises(Refused, match="last owner"):
        store.people.remove("7")
    with pytest.raises(NotFound):
        store.people.remove("8")
    assert [p.user for p in store.people.all()] == ["7"]


def test_settings_chosen_in_the_chat_keep_their_history(store):
    assert store.settings.get("quiet_from", "21:00") == "21:00"
    store.settings.put("quiet_from", "20:00", by="7")
    store.settings.put("quiet_from", "22:30", by="8")
    store.settings.put("digest", False, by="7")
    assert store.settings.get("quiet_from") == "22:30"
    assert store.settings.all() == {"quiet_from": "22:30", "digest": False}
    assert [(by, value) for _, by, value in store.settings.history("quiet_from")] == [("7", "20:00"), ("8", "22:30")]
