"""Counts and other fields of older notes put right by voice: the entry changes, the old one stays in the history."""

from __future__ import annotations

import pytest
from yard import Yard


def test_a_count_said_wrongly_days_ago_is_put_right(registered: Yard) -> None:
    registered.on("2026-11-17").say("round three, fourteen ripe cells")
    reply = registered.on("2026-11-20").say("on Tuesday I said fourteen cells, it was forty")
    assert reply.startswith("Put right")
    (now,) = registered.store.entries.find(kind="cells")
    assert now.fields["count"] == 40
    assert [v.fields["count"] for v in registered.store.entries.history(now.id)] == [14, 40]


@pytest.mark.parametrize(
    ("note", "correction", "kind", "field", "value"),
    [
        ("hive fourteen queenright, six frames of brood", "on Tuesday I said six frames of brood, it was eight",
         "inspection", "brood_frames", 8),
        ("fed hive seven two litres of syrup", "on Tuesday I said two litres, it should be three",
         "feed", "amount", 3),
        ("wash on hive thirty, nine mites in three hundred", "on Tuesday I said nine mites, it was twelve",
         "mites", "mites", 12),
        ("marked the queen in hive fourteen blue", "on Tuesday I said blue, it was white", "mark", "colour", "white"),
        ("hive fourteen is queenless", "on Tuesday I said hive fourteen queenless, it was queenright",
         "inspection", "queen", "queenright"),
        ("grafted forty larvae into hive seven from hive twenty one", "on Tuesday I said forty larvae, it was thirty",
         "graft", "larvae", 30),
        ("hive twenty eight, no eggs", "on Tuesday I told you no eggs in hive twenty eight, and there were eggs",
         "inspection", "eggs", True),
        ("hive thirty three is weak", "hive thirty three on Tuesday, I called it weak, call it strong",
         "inspection", "strength", "strong"),
        ("fed hive twenty five syrup", "on Tuesday I said syrup for hive twenty five, but that was fondant",
         "feed", "feed", "fondant"),
        ("sold four nucs to Tony", "the nucs I sold on Tuesday, I told you four and it was five that went",
         "sale", "count", 5),
        ("hive eighteen is queenless",
         "my note from Tuesday on hive eighteen has it queenless, and that's wrong, it ought to say queenright",
         "inspection", "queen", "queenright"),
        ("grafted thirty larvae into hive seven from hive twenty one",
         "round one's larvae came off hive thirty four, not hive twenty one like I said on Tuesday",
         "graft", "mother", "hive 34"),
    ],
)  # fmt: skip
def test_fields_of_all_kinds(
    registered: Yard, note: str, correction: str, kind: str, field: str, value: object
) -> None:
    registered.on("2026-11-17").say(note)
    reply = registered.on("2026-11-20").say(correction)
    assert reply.startswith("Put right"), reply
    (now,) = registered.store.entries.find(kind=kind)
    assert now.fields[field] == value
    assert all(len(line) <= 40 for line in registered.last.text.splitlines()) or len(reply) <= 480


def test_what_is_computed_from_it_moves(registered: Yard) -> None:
    registered.on("2026-11-17").say("wash on hive thirty, nine mites in three hundred")
    registered.on("2026-11-20").say("on Tuesday I said nine mites, it was twelve")
    (now,) = registered.store.entries.find(kind="mites")
    assert now.fields["percent"] == 4.0


def test_a_bar_moves_the_total(registered: Yard) -> None:
    registered.on("2026-11-05").say("grafted thirty larvae into hive seven from hive twenty one, two bars of fifteen")
    registered.on("2026-11-07").say("round one, top bar eleven out of fifteen, bottom bar eight out of fifteen")
    registered.on("2026-11-09").say("on Saturday I said eight took, it was nine")
    (now,) = registered.store.entries.find(kind="take")
    assert now.fields["taken"] == 20


def test_several_are_asked_about(registered: Yard) -> None:
    registered.on("2026-11-17", "09:00").say("hive fourteen, six frames of brood")
    registered.on("2026-11-17", "11:00").say("hive fifteen, six frames of brood")
    reply = registered.on("2026-11-18").say("yesterday I said six frames of brood, it was eight")
    assert "2 places" in reply
    assert registered.labels() == ["1", "2"]
    assert registered.tap("1").startswith("Put right")
    changed = [e.place for e in registered.store.entries.find(kind="inspection") if e.fields["brood_frames"] == 8]
    assert len(changed) == 1


def test_nothing_is_changed_where_no_note_holds_it(registered: Yard) -> None:
    registered.on("2026-11-17").say("hive fourteen, six frames of brood")
    reply = registered.on("2026-11-20").say("on Tuesday I said seven frames of brood, it was eight")
    assert "Nothing was changed" in reply


@pytest.mark.parametrize(
    ("note", "correction", "kind", "field", "value"),
    [
        ("grafted forty larvae into hive seven", "the graft on Tuesday, I said forty larvae but it was thirty",
         "graft", "larvae", 30),
        ("sold three nucs to Tony", "I said I sold three nucs on Tuesday, it was four", "sale", "count", 4),
        ("marked the queen in hive fourteen blue", "on Tuesday I said the queen was marked blue, it was green",
         "mark", "colour", "green"),
    ],
)  # fmt: skip
def test_in_free_order(registered: Yard, note: str, correction: str, kind: str, field: str, value: object) -> None:
    registered.on("2026-11-17").say(note)
    registered.on("2026-11-20").say(correction)
    (now,) = registered.store.entries.find(kind=kind)
    assert now.fields[field] == value


@pytest.mark.parametrize(
    "said",
    ["I told Tony twenty queens but it is only twelve", "I put in two frames of brood and there were eight of bees",
     "I said to Tony it was forty cells"],
)  # fmt: skip
def test_what_tells_something_new_changes_nothing(registered: Yard, said: str) -> None:
    registered.on("2026-11-17").say("sold twenty queens to Tony")
    registered.on("2026-11-18").say(said)
    (sale,) = registered.store.entries.find(kind="sale", since=None, until=None)[:1]
    assert sale.fields["count"] == 20
