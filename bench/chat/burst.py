"""200 late notes at once: how soon each is acknowledged, and how soon a typed question in between is answered."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

import under_test  # noqa: F401
from burst_scenario import run


def main() -> int:
    """Run and print; the exit code says whether the figures of the plan were reached."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--notes", type=int, default=200)
    parser.add_argument("--hearing", type=float, default=0.5, help="seconds that hearing one note takes")
    parser.add_argument("--questions", type=int, default=4)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        outcome = run(Path(folder), given.notes, given.hearing, given.questions)
    print(outcome.summary())
    acks = sorted(outcome.acks)
    reached = acks[int(len(acks) * 0.95)] < 1.0 and max(outcome.questions) < 2.0
    return 0 if reached and outcome.kept == outcome.answered == given.notes else 1


if __name__ == "__main__":
    raise SystemExit(main())
