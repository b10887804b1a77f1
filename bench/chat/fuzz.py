"""20,000 mutated updates through the gate: no crash, no note from a stranger."""

from __future__ import annotations

import argparse
import logging
import tempfile
import time
from pathlib import Path

import under_test  # noqa: F401
from chat_under_test import OWNER, pair
from update_fuzz import run

from gloveside.storage.store import Store


class Counting(logging.Handler):
    """Counts updates that the gate left out because they tripped it."""

    def __init__(self) -> None:
        """Start from nothing."""
        super().__init__()
        self.seen: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Remember a record."""
        self.seen.append(record.getMessage())


def main() -> int:
    """Run and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--updates", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    tripped = Counting()
    logging.getLogger("gloveside").addHandler(tripped)
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder)) as store:
        pair(store, OWNER)
        outcome = run(store, given.updates, given.seed)
    print(outcome, f"left out by the guard: {len(tripped.seen)}", f"{time.monotonic() - began:.1f} s")
    return 0 if outcome.clean and not tripped.seen else 1


if __name__ == "__main__":
    raise SystemExit(main())
