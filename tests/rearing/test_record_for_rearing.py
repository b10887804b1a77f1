"""The record in the form the arithmetic takes: tallies, takes, feeder looks, washes, notes on hives, mothers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from gloveside.bot.rearing_record import (
    feeder_looks,
    hive_notes,
    mothers_of,
    nuc_looks,
    own_record,
    take_rows,
    washes,
    washes_since_treated,
    weather_of,
)
from gloveside.rearing.feed import Look
from gloveside.rearing.mating_watch import NucLook
from gloveside.rearing.records import Tally
from gloveside.rearing.take_compare import take_by
from gloveside.storage.rounds import RoundRow


@dataclass
class Kept:
    """An entry as the arithmetic reads it."""

    kind: str
    on: date
    fields: dict[str, Any]


def kept(kind: str, on: str, **fields) -> Kept:
    return Kept(kind, date.fromisoformat(on), {"kind": kind, "on": on, **fields})


ROUNDS = [
    RoundRow(
        3,
        grafted=date(2026, 11, 20),
        builder="hive 7",
        mothers=("hive 21",),
        tools=("needle",),
        taken=19,
        of=30,
        takes_by_bar=(("top", 11, 15), ("bottom", 8, 15)),
        count_ripe=18,
        planted_places=("nuc 1", "nuc 2", "nuc 3"),
        matings=(
            ("nuc 1", "laying", date(2026, 12, 16)),
            ("nuc 2", "missing", date(2026, 12, 16)),
            ("nuc 3", "not laying", date(2026, 12, 16)),
        ),
    ),
    RoundRow(4, mothers=("hive 34", "hive 21"), taken=20, of=None),
    RoundRow(5, mothers=("hive 34",), taken=12, of=20, count_ripe=15),
]


def test_own_record_counts_what_is_settled_and_sound():
    record = own_record(ROUNDS)
    assert record.take == Tally(31, 50)
    assert record.ripe == Tally(18, 19)
    assert record.laying == Tally(1, 2)
    assert own_record([]).take == Tally()


def test_takes_by_bar_tool_and_mother():
    rows = take_rows(ROUNDS)
    assert [g.name for g in take_by(rows, "bar")] == ["top bar", "bottom bar"]
    assert [(g.name, g.tally) for g in take_by(rows, "mother")] == [
        ("hive 21", Tally(19, 30)),
        ("hive 34", Tally(12, 20)),
    ]
    assert [g.tally for g in take_by(rows, "tool")] == [Tally(19, 30)]


def test_a_feeder_found_dry_and_filled_the_same_day_is_one_look():
    looks = feeder_looks(
        [
            kept("feed", "2026-11-15", place="hive 7", feed="syrup 1:1", amount=2, unit="l"),
            kept("inspection", "2026-11-18", place="hive 7", signs=["feeder dry"]),
            kept("feed", "2026-11-18", place="hive 7", feed="syrup 1:1", amount=1.5, unit="l"),
            kept("feed", "2026-11-19", place="hive 7", feed="pollen patty", amount=1, unit="patty"),
        ]
    )
    assert looks == [Look(date(2026, 11, 15), 2.0), Look(date(2026, 11, 18), 1.5, 0.0)]


def test_washes_with_bees_only():
    found = washes(
        [
            kept("mites", "2026-11-20", place="hive 30", method="wash", mites=9, bees=300, percent=3.0),
            kept("mites", "2026-10-20", place="hive 30", method="wash", mites=3, bees=300),
            kept("mites", "2026-11-21", place="hive 30", method="drop", mites=30, days=3),
        ]
    )
    assert [(on.month, c.mites) for on, c in found] == [(10, 3), (11, 9)]


def test_notes_on_hives_and_their_daughters():
    notes = hive_notes(
        [
            kept("inspection", "2026-11-20", place="hive 21", temper="calm", brood_frames=8),
            kept("inspection", "2026-11-21", place="nuc 4", temper="hot"),
            kept("mites", "2026-11-20", place="hive 34", mites=3, bees=300, percent=1.0),
            kept("harvest", "2026-12-20", place="hive 34", amount=2, unit="box"),
            kept("harvest", "2026-12-20", place="hive 34", amount=20, unit="kg"),
        ],
        ROUNDS,
    )
    assert notes == {
        "hive 21": {"temper": [2.0], "brood": [8.0], "take": [19 / 30], "mating": [0.5]},
        "hive 34": {"mites": [1.0], "honey": [20.0], "take": [0.6]},
    }
    assert mothers_of(ROUNDS) == {"nuc 1": "hive 21", "nuc 2": "hive 21", "nuc 3": "hive 21"}


def test_takes_by_the_weather_of_the_graft_day():
    sky = weather_of(
        [
            kept("weather", "2026-11-20", temperature_c=24),
            kept("weather", "2026-11-21", temperature_c=12, words="rain"),
            kept("weather", "2026-11-22", words="windy"),
        ]
    )
    assert list(sky.values()) == ["20 °C or more", "under 20 °C", "windy"]
    assert [(g.name, g.tally) for g in take_by(take_rows(ROUNDS, sky), "weather")] == [("20 °C or more", Tally(19, 30))]


def test_washes_before_a_treatment_are_left_out_of_the_trend():
    entries = [
        kept("mites", "2026-10-20", mites=9, bees=300),
        kept("treatment", "2026-10-25", product="oxalic acid", step="given"),
        kept("mites", "2026-11-20", mites=1, bees=300),
    ]
    since, treated = washes_since_treated(washes(entries), entries)
    assert [c.mites for _, c in since] == [1]
    assert treated == [date(2026, 10, 25)]


def test_looks_into_a_nuc():
    looks = nuc_looks([kept("mating", "2026-12-15", place="nuc 1", result="not laying")])
    assert looks == [NucLook(date(2026, 12, 15), "not laying")]
