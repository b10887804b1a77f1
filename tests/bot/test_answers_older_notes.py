"""Older notes put right by voice: the entry moves, the old one stays in the history, what follows moves."""

from __future__ import annotations

from yard import Yard


def test_a_place_said_wrongly_days_ago_is_put_right(registered: Yard) -> None:
    registered.on("2026-11-17").say("hive fourteen queenright, six frames of brood")
    reply = registered.on("2026-11-20").say("on Tuesday I said hive fourteen, it was hive forty")
    assert reply.startswith("Put right · hive 40 · Tue 17 Nov")
    assert not registered.store.entries.find(place="hive 14")
    (moved,) = registered.store.entries.find(place="hive 40")
    versions = registered.store.entries.history(moved.id)
    assert [v.place for v in versions] == ["hive 14", "hive 40"]
    assert registered.say("what did I say about hive forty last").startswith("Hive 40 · Tue 17 Nov")


def test_the_state_follows_on_every_date_since(registered: Yard) -> None:
    registered.on("2026-11-17").say("hive fourteen is queenless")
    registered.on("2026-11-20").say("on Tuesday I said hive fourteen, it was hive forty")
    assert "Hive 40" in registered.say("which hives were queenless on Wednesday")


def test_several_notes_that_day_are_asked_about(registered: Yard) -> None:
    registered.on("2026-11-17", "09:00").say("hive fourteen queenright")
    registered.on("2026-11-17", "11:00").say("hive fourteen fed two litres")
    reply = registered.on("2026-11-18").say("yesterday I said hive fourteen but it was hive forty")
    assert "2 notes yesterday" in reply
    assert registered.labels() == ["1", "2", "All of them"]
    assert registered.tap("All of them").startswith("2 notes put right")
    assert not registered.store.entries.find(place="hive 14")


def test_a_round_said_wrongly_moves_its_dates(registered: Yard) -> None:
    registered.on("2026-11-02").say("grafted thirty larvae into hive seven from hive twenty one, two bars of fifteen")
    registered.on("2026-11-12").say("grafted thirty larvae into hive seven from hive thirty four, two bars of fifteen")
    registered.on("2026-11-14").say("round one, top bar eleven out of fifteen, bottom bar eight out of fifteen")
    reply = registered.on("2026-11-15").say("yesterday I said round one, it was round two")
    assert reply.startswith("Put right · round 2")
    assert "19 of 30" in registered.say("how did round two take")


def test_nothing_is_changed_when_no_such_note_is_there(registered: Yard) -> None:
    registered.on("2026-11-16").say("hive fourteen queenright")
    reply = registered.on("2026-11-20").say("on Tuesday I said hive fourteen, it was hive forty")
    assert "Nothing was changed" in reply
    assert "Mon 16 Nov" in reply
    assert registered.store.entries.find(place="hive 14")


def test_a_place_outside_the_register_changes_nothing(registered: Yard) -> None:
    registered.on("2026-11-17").say("hive fourteen queenright")
    reply = registered.on("2026-11-20").say("on Tuesday I said hive fourteen, it was hive ninety nine")
    assert "not in the register" in reply
    assert registered.store.entries.find(place="hive 14")
