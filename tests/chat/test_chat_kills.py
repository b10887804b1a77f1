"""A kill at any instant loses no note and doubles no record."""

from __future__ import annotations

from pathlib import Path

from kill_scenario import run


def test_notes_survive_kills(tmp_path: Path) -> None:
    outcome = run(tmp_path, notes=10, kills=5)
    assert outcome.clean, outcome
    assert outcome.kept == 10
    assert outcome.kills == 5
    assert outcome.repeated_sends <= 5
