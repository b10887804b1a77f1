"""Rearing questions answered from a real record, in words that fit a lock screen."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from gloveside.bot.answers import rearing
from gloveside.bot.settings import Settings
from gloveside.bot.wiring import Workshop
from gloveside.extract.models import Question

NOTES = (
    ("2026-11-15", "fed hive seven two litres of syrup"),
    ("2026-11-18", "hive seven feeder dry, fed two litres"),
    (
        "2026-11-20",
        "grafted thirty larvae into hive seven from hive twenty one, two bars of fifteen with the needle",
    ),
    ("2026-11-22", "round one, top bar eleven out of fifteen, bottom bar eight out of fifteen"),
    ("2026-11-23", "wash on hive thirty, three mites in three hundred"),
    ("2026-11-24", "hive twenty one calm, eight frames of brood"),
    ("2026-11-24", "hive thirty four hot, six frames of brood"),
    ("2026-11-30", "planted three cells from round one into nucs one to three"),
    ("2026-12-16", "nuc one is laying"),
)


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    with Workshop(tmp_path_factory.mktemp("home"), Settings()) as workshop:
        for on, text in NOTES:
            spoken = datetime.combine(date.fromisoformat(on), time(1), tzinfo=UTC)
            workshop.read_text(text, source="test", spoken_at=spoken, keep=True)
        yield workshop.desk(date(2026, 12, 16))


@pytest.mark.parametrize(
    ("answer", "question", "says"),
    [
        (rearing.odds, {"ask": "odds", "queens": 20}, "laying queens"),
        (rearing.odds, {"ask": "odds"}, "how many"),
        (rearing.feeder, {"ask": "feeder", "place": "hive 7"}, "Top up"),
        (rearing.feeder, {"ask": "feeder", "place": "hive 9"}, "litres went in"),
        (rearing.mites, {"ask": "mites", "place": "hive 30"}, "3 of 300: 1 %"),
        (rearing.mites, {"ask": "mites", "place": "hive 9"}, "No wash yet"),
        (rearing.breeders, {"ask": "breeders"}, "1 hive 21"),
        (rearing.mating, {"ask": "mating", "place": "nuc 1"}, "laying"),
        (rearing.mating, {"ask": "mating", "place": "nuc 2"}, "look for eggs"),
        (rearing.mating, {"ask": "mating", "place": "nuc 20"}, "No cell is on record"),
        (rearing.mating, {"ask": "mating"}, "1 of 1 lay"),
        (rearing.drones, {"ask": "drones", "round": 1}, "Drones capped 7–16 Nov"),
        (rearing.drones, {"ask": "drones", "round": 9}, "no round 9"),
    ],
)
def test_answers(desk, answer, question, says):
    text = answer(desk, Question(**question))
    lines = text.split("\n")
    assert says in text.replace("\n", " ")
    assert len(lines) <= 12
    assert all(0 < len(line) <= 40 for line in lines), lines
