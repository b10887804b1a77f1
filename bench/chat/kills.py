"""Kill -9 at random instants while voice notes flow in. See tests/chat/kill_scenario.py for how it is judged."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

import under_test  # noqa: F401
from kill_scenario import run


def main() -> int:
    """Run at full size and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--notes", type=int, default=300)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--longest-life", type=float, default=2.0, help="seconds from birth to kill, at most")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        outcome = run(Path(folder), given.notes, given.kills, given.seed, longest_life=given.longest_life, finish=900.0)
    print(outcome)
    return 0 if outcome.clean else 1


if __name__ == "__main__":
    raise SystemExit(main())
