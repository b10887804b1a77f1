"""Notes that arrive late and all at once."""

from __future__ import annotations

from pathlib import Path

from burst_scenario import run


def test_a_burst_is_acknowledged_and_a_question_does_not_wait_for_it(tmp_path: Path) -> None:
    outcome = run(tmp_path, notes=24, hearing=0.1)
    assert outcome.kept == 24
    assert outcome.answered == 24
    # The figures to reach are measured by the bench; here only that nothing waits for the whole burst.
    assert max(outcome.acks) < 3.0, outcome.summary()
    assert max(outcome.questions) < 5.0, outcome.summary()
