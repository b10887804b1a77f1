"""What speaks against a reading is asked about: words that nothing accounts for, places of which nothing came out."""

from __future__ import annotations

import json
from importlib import resources

import pytest
from one_reader import ON, read, reader

from gloveside.extract.hearing import typed_evidence
from gloveside.extract.register import Register
from gloveside.extract.sureness import FEATURES, probability

# Ours; the verbs are no words of the trade, so that no rule will ever take them.
SECOND_PLACES = [
    ("Nuc 6 has eggs and nuc 7 was all skew-whiff.", "nuc 7"),
    ("Fed hive 3 two litres and hive 4 got the usual gubbins.", "hive 4"),
    ("Queen seen in hive 11, and diddled with hive 12 a bit.", "hive 12"),
    ("Hive 20 queenless, hive 21 ever so wobbly round the middle.", "hive 21"),
]
UNREAD_NOTES = [
    "Twiddled the queen of hive 9 about.",
    "Hive 12 got its doodads wimbled with the cells.",
    "Nuc 4 and nuc 5 were both wimbled on Sunday.",
]
PLAIN = [
    "hive 12 queenless",
    "round 2, 24 of 40 taken",
    "fed hive 3 two litres of syrup",
    "nuc 5 is laying",
    "super on hive 18",
    "hive 30 wash, 9 mites in 300",
]
OTHER_TALK = [
    "My old man turned 82 on Sunday.",
    "The frame of the bike is bent again.",
    "She is the queen of the parish fete.",
    "Traffic was awful and the ute needs a wash.",
]


def evidence(text: str) -> dict[str, float]:
    """The features of the whole reading."""
    return typed_evidence(text, reader(), on=ON, register=Register())[1].of_note


@pytest.mark.parametrize(("said", "place"), SECOND_PLACES)
def test_a_place_of_which_nothing_came_out_is_never_kept_silently(said: str, place: str) -> None:
    reading = read(said)
    assert not reading.keep
    assert len(reading.doubts) == 1
    assert any(e.kind != "note" for e in reading.entries), "what was understood is there"


@pytest.mark.parametrize("said", UNREAD_NOTES)
def test_a_note_of_the_trade_that_gives_nothing_is_asked_about(said: str) -> None:
    assert not read(said).keep


@pytest.mark.parametrize("said", PLAIN)
def test_what_is_said_shortly_and_read_fully_is_sure(said: str) -> None:
    reading = read(said)
    assert reading.keep
    assert all(e.sure >= 0.9 for e in reading.entries)
    assert evidence(said)["loose"] == 0.0


@pytest.mark.parametrize("said", OTHER_TALK)
def test_talk_about_other_things_is_kept_as_a_note_without_a_word(said: str) -> None:
    reading = read(said)
    assert [e.kind for e in reading.entries] == ["note"]
    assert reading.keep


def test_a_second_value_that_still_stands_is_seen() -> None:
    assert evidence("Hive 35, brood on 5, er, 4.5, wimbled.")["second_value"] > 0
    assert evidence("Hive 35, 5 frames of brood.")["second_value"] == 0


def test_every_feature_speaks_against() -> None:
    """Weights that grew positive by chance would make a worse reading look surer."""
    raw = json.loads((resources.files("gloveside.extract") / "data" / "sure.json").read_text(encoding="utf-8"))
    for model in ("entry", "note"):
        assert set(raw[model]) <= {"intercept", *FEATURES[model]}
        assert all(w <= 0 for name, w in raw[model].items() if name != "intercept")
        assert probability(model, {}) > probability(model, dict.fromkeys(FEATURES[model], 1.0))
