"""A season of reminders: 12 rounds in 120 days, two zones, both clock changes, a restart every 6 simulated hours."""

from __future__ import annotations

import argparse
import asyncio
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import under_test  # noqa: F401
from bot_api import BotApi
from reminder_season import Season

SEASONS = (
    # (zone, first day, clock change within the 120 days)
    ("Pacific/Auckland", date(2026, 9, 1), "forward, 27 Sep 2026"),
    ("Pacific/Auckland", date(2027, 1, 20), "back, 4 Apr 2027"),
    ("Europe/London", date(2026, 3, 10), "forward, 29 Mar 2026"),
    ("Europe/London", date(2026, 8, 1), "back, 25 Oct 2026"),
)


def main() -> int:
    """Run every season and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=120)
    parser.add_argument("--rounds", type=int, default=12)
    given = parser.parse_args()
    clean = True
    for zone, first, change in SEASONS:
        outages = tuple(
            (start, start + timedelta(hours=hours))
            for day, hour, hours in ((20, 3, 7), (41, 17, 16), (66, 22, 30), (90, 11, 50))
            for start in [
                datetime.combine(first + timedelta(days=day), datetime.min.time(), UTC) + timedelta(hours=hour)
            ]
        )
        began = time.monotonic()
        with tempfile.TemporaryDirectory() as folder, BotApi() as api:
            season = Season(
                Path(folder),
                ZoneInfo(zone),
                first,
                given.days,
                given.rounds,
                every_days=9,
                restart_hours=6,
                outages=outages,
            )
            outcome = asyncio.run(season.run(api))
        clean = clean and outcome.clean
        print(
            f"{zone} from {first} (clocks {change}): {outcome.restarts} starts, {outcome.expected} rings expected, "
            f"{len(outcome.rung)} rung in {outcome.messages} messages; missing {len(outcome.missing)}, doubled or "
            f"unexpected {len(outcome.doubled)}, in quiet hours {len(outcome.in_quiet)}, late {outcome.late}, wrongly "
            f"marked {len(outcome.wrongly_marked)}; {time.monotonic() - began:.0f} s",
            flush=True,
        )
        for problem in (*outcome.missing, *outcome.doubled, *outcome.in_quiet, *outcome.wrongly_marked)[:10]:
            print("  ", problem)
    return 0 if clean else 1


if __name__ == "__main__":
    raise SystemExit(main())
