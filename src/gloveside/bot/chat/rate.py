"""How much one person may send: a bucket that refills with time."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

BURST = 600
"""Messages at once: more than a day's notes that a phone sends when it finds signal."""
A_SECOND = 1.0
KEPT_BUCKETS = 10_000


@dataclass(slots=True)
class RateLimit:
    """One bucket a user. burst: messages at once; a_second: refill."""

    burst: float = BURST
    a_second: float = A_SECOND
    _left: dict[int, tuple[float, datetime]] = field(default_factory=dict)

    def allows(self, user: int, now: datetime) -> bool:
        """Whether one more message of this user is taken now; counts it when it is."""
        left, since = self._left.get(user, (self.burst, now))
        left = min(self.burst, left + max(0.0, (now - since).total_seconds()) * self.a_second)
        allowed = left >= 1.0
        if user not in self._left and len(self._left) >= KEPT_BUCKETS:
            self._left.pop(next(iter(self._left)))
        self._left[user] = (left - 1.0 if allowed else left, now)
        return allowed
