"""Plans, reminders and reasons among what was done. Own sentences."""

from __future__ import annotations

from typing import Any

import pytest
from one_reader import entries, read


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Got to make 12 splits tomorrow.", {"kind": "task", "text": "make 12 splits", "due": "2026-11-26"}),
    ],
)
def test_further_work_to_come(text: str, wanted: dict[str, Any]) -> None:
    assert entries(text) == [wanted]


@pytest.mark.parametrize(
    ("text", "task"),
    [
        ("Need reminding to requeen hive 33 in a week, she's a shocker.", "requeen hive 33"),
        ("Oh, gotta pick up more foundation tomorrow.", "pick up more foundation"),
        ("Remind me, what was it, to ring the packaging lady on Tuesday.", "ring the packaging lady"),
        ("I'd like reminding tomorrow to check the take.", "check the take"),
        (
            "I shall put a second super on hive 22 on Saturday, if my back will stand it.",
            "put a second super on hive 22",
        ),
    ],
)
def test_a_task_is_kept_without_what_is_said_round_it(text: str, task: str) -> None:
    assert [(e["kind"], e["text"]) for e in entries(text)] == [("task", task)]


@pytest.mark.parametrize("text", ["there must be a queen in there", "so hive 40 must be queenright after all"])
def test_a_guess_is_no_task(text: str) -> None:
    assert not [e for e in entries(text) if e["kind"] == "task"]


@pytest.mark.parametrize(
    ("text", "task", "due"),
    [
        ("Wants a new floor, hive 44. Remind me on Saturday.", "Wants a new floor, hive 44", "2026-11-28"),
        ("Remind me to pay Bernard. Tomorrow.", "pay Bernard", "2026-11-26"),
        ("Remind me on Friday. Put the lid strap back on hive 31.", "Put the lid strap back on hive 31", "2026-11-27"),
        ("Remind me tomorrow to test, sorry, to change the battery.", "change the battery", "2026-11-26"),
    ],
)
def test_a_day_that_stands_apart_from_its_task(text: str, task: str, due: str) -> None:
    assert [(e["kind"], e["text"], e["due"]) for e in entries(text)] == [("task", task, due)]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("That hive needs bees, so I stocked hive 7 with nurse bees.", "builder"),
        ("Meant to graft on Monday but it rained, did it Tuesday, 33 larvae.", "graft"),
        ("I'd better on hand, so I did away with the queen in hive 16.", "queen"),
        ("The feeder must have helped, top bar 14 of 15, round 6.", "take"),
    ],
)
def test_what_was_done_after_its_reason_is_no_task(text: str, kind: str) -> None:
    assert [e["kind"] for e in entries(text)] == [kind]


def test_a_date_that_limits_dates_no_work() -> None:
    reading = read("Not laying yet in nuc 14, give her till the weekend.")
    assert [e.on.isoformat() for e in reading.entries if e.kind == "mating"] == ["2026-11-25"]
