"""Finding entries: by kind, place and role, round, dates, words, and as the record stood at a moment."""

from __future__ import annotations

from datetime import date

import pytest

from gloveside.extract.models import Feed, Graft, Inspection, Move, Note, Plant, Queen, Split, Task, Unite

ON = date(2026, 11, 20)


@pytest.fixture
def record(store, say):
    say(Inspection(on=date(2026, 11, 1), place="hive 12", queen="seen"), text="hive twelve saw the queen")
    say(Graft(on=date(2026, 11, 5), round=1, place="hive 7", mother="hive 12", larvae=30))
    say(Feed(on=date(2026, 11, 9), place="hive 7", amount=2, unit="l"))
    say(Plant(on=date(2026, 11, 15), round=1, count=2, places=["nuc 1", "nuc 2"]))
    say(Note(on=ON, text="100% willow in_flower"), text="100% willow in_flower")
    return store


def kinds(found):
    return [entry.kind for entry in found]


def test_by_kind_or_several_kinds_in_order_of_date(record):
    assert kinds(record.entries.find(kind="graft")) == ["graft"]
    assert kinds(record.entries.find(kind=["feed", "graft", "plant"])) == ["graft", "feed", "plant"]
    assert kinds(record.entries.find(kind=["feed", "graft"], newest_first=True)) == ["feed", "graft"]
    assert kinds(record.entries.find(limit=2)) == ["inspection", "graft"]
    assert record.entries.find(kind=[]) == []


def test_by_place_in_any_role_or_in_one(record):
    assert kinds(record.entries.find(place="hive 12")) == ["inspection", "graft"]
    assert kinds(record.entries.find(place="hive 12", role="mother")) == ["graft"]
    assert kinds(record.entries.find(place="nuc 2")) == ["plant"]
    assert kinds(record.entries.find(place=["nuc 2", "hive 7"])) == ["graft", "feed", "plant"]
    assert record.entries.find(place="hive 1") == [], "hive 1 is not the beginning of hive 12"


def test_by_round_and_dates_both_included(record):
    assert kinds(record.entries.find(round=1)) == ["graft", "plant"]
    assert kinds(record.entries.find(since=date(2026, 11, 5), until=date(2026, 11, 9))) == ["graft", "feed"]


def test_by_words_said_or_written_and_signs_are_taken_as_they_are(record):
    assert kinds(record.entries.find(text="saw the QUEEN")) == ["inspection"]
    assert kinds(record.entries.find(text="willow")) == ["note"]
    assert kinds(record.entries.find(text="100% w")) == ["note"]
    assert record.entries.find(text="0%2") == []
    assert record.entries.find(text="in%flower") == []
    assert record.entries.find(text="inXflower") == []
    assert record.entries.find(text="'; DROP TABLE notes; --") == []


def test_as_the_record_stood_before_a_change_and_before_an_undo(store, say, clock):
    kept = say(Inspection(on=ON, place="hive 14"))
    before = clock.move(minutes=1)
    store.notes.change("place", "hive 40", note_id=kept.note_id)
    between = clock.move(minutes=1)
    store.notes.undo("c")
    after = clock.move(minutes=1)
    for moment, place in ((before, "hive 14"), (between, "hive 40"), (after, "hive 14")):
        assert [e.place for e in store.entries.find(as_of=moment)] == [place]


def test_every_place_that_an_entry_names_is_found_and_people_are_not_places(store, say):
    say(
        Queen(on=ON, place="nuc 4", step="caught", to="Tom"),
        Queen(on=ON, place="nuc 5", step="introduced", to="hive 3"),
    )
    say(
        Split(**{"on": ON, "from": "hive 8", "places": ["nuc 6"]}),
        Unite(**{"on": ON, "from": "hive 9", "into": "hive 8"}),
    )
    say(Move(on=ON, places=["hive 1", "hive 2"], to="yard Creek"), Task(on=ON, text="look", place="hive A3"))
    roles = {(r["place"], r["role"]) for r in store.file.rows("SELECT place, role FROM entry_places")}
    assert roles == {
        ("nuc 4", "place"),
        ("nuc 5", "place"),
        ("hive 3", "to"),
        ("hive 8", "from"),
        ("nuc 6", "place"),
        ("hive 9", "from"),
        ("hive 8", "into"),
        ("hive 1", "place"),
        ("hive 2", "place"),
        ("yard Creek", "to"),
        ("hive A3", "place"),
    }


def test_an_entry_knows_the_note_it_rests_on(record):
    (entry,) = record.entries.find(kind="inspection")
    assert entry.said == "hive twelve saw the queen"
    assert (entry.operator, entry.chat, entry.on, entry.current) == ("u", "c", date(2026, 11, 1), True)
    assert record.notes.last("c", place="hive 12").id == record.entries.find(kind="graft")[0].note_id
    assert record.notes.last("c", place="hive 99") is None
    assert record.notes.last("nobody") is None
    assert [e.id for e in record.entries.find(note_id=entry.note_id)] == [entry.id]
