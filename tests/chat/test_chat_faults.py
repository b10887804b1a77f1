"""A service that answers badly at random loses nothing for us."""

from __future__ import annotations

from pathlib import Path

from fault_scenario import run


def test_nothing_is_lost_while_the_service_answers_badly(tmp_path: Path) -> None:
    outcome = run(tmp_path, seconds=8, every=0.3, seed=3)
    assert outcome.clean, outcome
    assert sum(outcome.faults.values()) > 5, outcome
    assert outcome.kept == outcome.sent
    assert outcome.repeated_sends <= outcome.faults.get("lost answer", 0) + outcome.faults.get("slow", 0)
