"""Half an hour of 500, 502, 429, dropped connections, lost answers, slow bodies and short outages at random."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

import under_test  # noqa: F401
from fault_scenario import RATES, run


def main() -> int:
    """Run and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=30.0)
    parser.add_argument("--every", type=float, default=2.0, help="seconds between notes, on average")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        outcome = run(Path(folder), given.minutes * 60, given.every, given.seed)
    print(f"rates {RATES}")
    print(outcome)
    return 0 if outcome.clean else 1


if __name__ == "__main__":
    raise SystemExit(main())
