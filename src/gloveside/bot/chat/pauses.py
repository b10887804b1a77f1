"""How long to wait before the next try."""

from __future__ import annotations

from datetime import timedelta

from telegram.error import RetryAfter


def asked(error: RetryAfter) -> float:
    """Seconds that the service asks to wait (429)."""
    after = error.retry_after
    return after.total_seconds() if isinstance(after, timedelta) else float(after)


def growing(failures: int, longest: float, first: float = 0.5) -> float:
    """Seconds to wait after so many failures in a row: half as long again each time, up to `longest`."""
    return float(min(longest, first * 1.5 ** min(failures, 30)))
