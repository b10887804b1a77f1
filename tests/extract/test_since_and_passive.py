"""Since when something is so, plans in the passive, alternatives said late, and words left out because just said.

The sentences are ours; "since" with a weekday is the last such day before the note (Wednesday 25 November 2026).
"""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries, read, spoken


def told(text: str, kind: str) -> list[dict[str, Any]]:
    """Entries of one kind without their kind."""
    return [{k: v for k, v in e.items() if k != "kind"} for e in entries(text) if e["kind"] == kind]


@pytest.mark.parametrize("say", [str, spoken])
@pytest.mark.parametrize(
    ("text", "kind", "day"),
    [
        ("Since Sunday hive 8 has a super on.", "box", "2026-11-22"),
        ("The slide is in hive 7 since yesterday.", "builder", "2026-11-24"),
        ("Hive 7 has had the excluder in since Friday, round 4.", "builder", "2026-11-20"),
        ("16 cells of round 3 are in the incubator since Thursday.", "incubator", "2026-11-19"),
        ("The strips have been in hive 30 since last Saturday.", "treatment", "2026-11-21"),
        ("Since Friday the queen of hive 18 is caged.", "queen", "2026-11-20"),
        ("Two supers sit on hive 11 since Monday.", "box", "2026-11-23"),
        ("The amitraz strips hang in hive 2 since Sunday.", "treatment", "2026-11-22"),
        ("Since yesterday all 14 cells of round 5 lie in the incubator.", "incubator", "2026-11-24"),
        ("Hive 26 has carried a second brood box since Saturday.", "box", "2026-11-21"),
    ],
)
def test_since_when_a_state_lasts_is_the_day_of_the_work_that_began_it(
    text: str, kind: str, day: str, say: Any
) -> None:
    [entry] = told(say(text), kind)
    assert entry["on"] == day


@pytest.mark.parametrize(
    "text",
    [
        "Hive 9 is queenless since Monday.",
        "Hive 5 has been fed 4 litres since Monday.",
        "No eggs in hive 12 since Saturday, so I introduced a queen.",
        "Hive 9 has been queenless since Sunday, put a super on.",
        "Moved hive 3 to the Quarry, the weather has been hot since Friday.",
        "18 mites dropped in hive 4 since Monday.",
        "Took 2 supers off hive 6, it has been raining since yesterday.",
        "Hive 14 is strong, no super on it since Sunday.",
        "We have sold 3 nucs since Friday.",
        "Harvested 6 frames from hive 8 since Saturday.",
    ],
)
def test_what_adds_up_or_was_only_found_keeps_the_day_of_the_note(text: str) -> None:
    assert not any("on" in e for e in entries(text))


@pytest.mark.parametrize("say", [str, spoken])
@pytest.mark.parametrize(
    ("text", "task", "due"),
    [
        ("On Friday the excluder will be taken out of hive 7.", "the excluder will be taken out of hive 7", "2026-11-27"),  # noqa: E501
        ("Hive 16 shall be fed on Sunday.", "hive 16 shall be fed", "2026-11-29"),
        ("The cells of round 6 will be planted on the 4th of December.", "the cells of round 6 will be planted", "2026-12-04"),  # noqa: E501
        ("The slide is to be taken out tomorrow.", "the slide is to be taken out", "2026-11-26"),
        ("Nuc 5 must be checked by Saturday.", "nuc 5 must be checked", "2026-11-28"),
        ("Tomorrow hive 33 will be split.", "hive 33 will be split", "2026-11-26"),
        ("The strips in hive 12 have to be removed on Monday.", "the strips in hive 12 have to be removed", "2026-11-30"),  # noqa: E501
        ("On Thursday the queen of hive 21 should be marked.", "the queen of hive 21 should be marked", "2026-11-26"),
        ("The supers are going to be harvested on Sunday.", "the supers are going to be harvested", "2026-11-29"),
        ("On Saturday the slide will come out of hive 7.", "the slide will come out of hive 7", "2026-11-28"),
    ],
)  # fmt: skip
def test_a_plan_in_the_passive_is_a_task_and_nothing_done(text: str, task: str, due: str, say: Any) -> None:
    reading = read(say(text))
    assert not reading.questions
    [entry] = entries(say(text))
    assert (entry["kind"], entry["text"].lower(), entry["due"]) == ("task", task, due)


@pytest.mark.parametrize(
    "text",
    [
        "The cells will be capped on Friday.",
        "She will be mated by Sunday.",
        "The virgins will be out on Tuesday.",
        "Nuc 3 will be laying next week.",
        "The strips were taken out of hive 23 on Saturday.",
        "Hive 9 has been washed on Monday.",
        "The cells of round 4 were planted on Sunday.",
        "The car will be washed on Friday.",
        "Dinner must be cooked by Saturday.",
        "Hive 4 was split yesterday.",
    ],
)
def test_what_comes_by_itself_or_was_done_is_no_task(text: str) -> None:
    assert all(e["kind"] != "task" for e in entries(text))


@pytest.mark.parametrize("say", [str, spoken])
@pytest.mark.parametrize(
    ("text", "kind", "field", "options"),
    [
        ("I planted cells of round 3 this morning, it were 7 or 8.", "plant", "count", [7, 8]),
        ("The supers of hive 9 came off, 3 of them, or 4.", "box", "count", [3, 4]),
        ("15 of 30 were taken, I think it is round 2, but it could also be round 3.", "take", "round", [2, 3]),
        ("Planted cells of round 6 today, there were 9 or 10 of them.", "plant", "count", [9, 10]),
        ("14 ripe cells, it is round 4, or it can be round 5.", "cells", "round", [4, 5]),
        ("Hive 3, it might also be hive 4, is queenless.", "inspection", "place", ["hive 3", "hive 4"]),
        ("Supers went on hive 20 today, 2 of them, maybe 3.", "box", "count", [2, 3]),
        ("Took supers off hive 31, it was 1 or 2.", "box", "count", [1, 2]),
        ("10 of 20 were taken in round 7, or was it round 8.", "take", "round", [7, 8]),
        ("Saw eggs in nuc 5, but it could be nuc 6.", "inspection", "place", ["nuc 5", "nuc 6"]),
    ],
)
def test_an_alternative_said_late_is_asked(text: str, kind: str, field: str, options: list[Any], say: Any) -> None:
    reading = read(say(text))
    asked = [(d.field, d.options) for d in reading.doubts if d.options]
    assert asked == [(field, options)]
    assert not reading.keep
    assert any(e.kind == kind for e in reading.entries)


@pytest.mark.parametrize(
    ("text", "kind", "places"),
    [
        ("A super went on hive 3, on hive 5 and on hive 9.", "box", ["hive 3", "hive 5", "hive 9"]),
        ("Put fondant on hive 2 and on hive 8.", "feed", ["hive 2", "hive 8"]),
        ("Strips went into hive 10, into hive 11 and into hive 12.", "treatment", ["hive 10", "hive 11", "hive 12"]),
        ("No eggs in nuc 4 and in nuc 6.", "inspection", ["nuc 4", "nuc 6"]),
        ("A super was taken off hive 1, off hive 4 and off hive 7 yesterday.", "box", ["hive 1", "hive 4", "hive 7"]),
        ("The queen was seen in hive 15 and in hive 16.", "inspection", ["hive 15", "hive 16"]),
        ("Two litres of syrup to hive 22 and to hive 23.", "feed", ["hive 22", "hive 23"]),
        ("A second brood box has gone on hive 30, on hive 31 and on hive 32.", "box", ["hive 30", "hive 31", "hive 32"]),  # noqa: E501
        ("Pollen patties went on hive 40 and on hive 41.", "feed", ["hive 40", "hive 41"]),
        ("Formic acid pads in hive 50, in hive 51 and in hive 52.", "treatment", ["hive 50", "hive 51", "hive 52"]),
    ],
)  # fmt: skip
@pytest.mark.parametrize("say", [str, spoken])
def test_a_preposition_said_again_before_each_place_makes_one_list(
    text: str, kind: str, places: list[str], say: Any
) -> None:
    assert [e["place"] for e in told(say(text), kind)] == places
