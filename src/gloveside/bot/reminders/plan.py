"""From steps with local dates to the moments at which the phone should ring. Pure: no clock, no store.

Local wall times become UTC through zoneinfo: a time that the clock skips in spring comes out as the same instant an
hour later on the wall, one that happens twice in autumn is taken the first time. So each moment comes once.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

REPEAT_AFTER = timedelta(hours=3)
"""An urgent step that was not answered rings again after this. (Our choice.)"""
EVENING, MORNING = "evening before", "morning"


@dataclass(frozen=True, slots=True)
class DueStep:
    """One thing to do on one local date.

    subject: what it belongs to, such as `round 3` or `task 17`; step: its name within the subject, such as `splits`;
    text: what to do, in the operator's words. urgent: it can't wait, so it rings again until it is answered, up to
    and including the local date `until` (default: the day after `on`). chat: where to say it; None means the owner's.
    """

    subject: str
    step: str
    on: date
    text: str
    urgent: bool = False
    until: date | None = None
    chat: str | None = None


@dataclass(frozen=True, slots=True)
class Rhythm:
    """When the phone may ring, in local wall time. quiet_from to quiet_until may span midnight; equal: never quiet."""

    zone: ZoneInfo
    evening: time = time(19, 0)
    morning: time = time(6, 30)
    quiet_from: time = time(21, 0)
    quiet_until: time = time(6, 0)

    def local(self, day: date, at: time) -> datetime:
        """A local wall time as an aware moment in UTC."""
        return datetime.combine(day, at.replace(tzinfo=None, fold=0), self.zone).astimezone(UTC)

    def quiet(self, moment: datetime) -> bool:
        """Whether the phone must not ring at this aware moment."""
        at = moment.astimezone(self.zone).time()
        if self.quiet_from <= self.quiet_until:
            return self.quiet_from <= at < self.quiet_until
        return at >= self.quiet_from or at < self.quiet_until

    def when_allowed(self, moment: datetime) -> datetime:
        """The moment itself, or the end of the quiet hours that it falls into."""
        if not self.quiet(moment):
            return moment
        today = moment.astimezone(self.zone).date()
        # On the night when clocks go back the end of the quiet hours may come twice (fold 0 and 1).
        ends = [
            datetime.combine(today + timedelta(days=days), self.quiet_until.replace(fold=fold), self.zone).astimezone(
                UTC
            )
            for days in (0, 1)
            for fold in (0, 1)
        ]
        return min(end for end in ends if end > moment and not self.quiet(end))


@dataclass(frozen=True, slots=True)
class PlannedMoment:
    """One ring: which step, its name within the step (`evening before`, `morning`, `again 1`, ...), and when (UTC)."""

    step: DueStep
    moment: str
    at: datetime


def plan_moments(steps: Iterable[DueStep], rhythm: Rhythm) -> list[PlannedMoment]:
    """All moments of all steps, in order of time.

    Each step rings the evening before and on its morning; an urgent one again every three waking hours through
    `until`. No moment lies in the quiet hours. A moment that quiet hours push onto or past the next one is left out.
    """
    planned: list[PlannedMoment] = []
    for step in steps:
        morning = rhythm.when_allowed(rhythm.local(step.on, rhythm.morning))
        evening = rhythm.when_allowed(rhythm.local(step.on - timedelta(days=1), rhythm.evening))
        if evening < morning:
            planned.append(PlannedMoment(step, EVENING, evening))
        planned.append(PlannedMoment(step, MORNING, morning))
        if step.urgent:
            planned += _repeats(step, rhythm, morning)
    return sorted(planned, key=lambda p: (p.at, p.step.subject, p.step.step))


def _repeats(step: DueStep, rhythm: Rhythm, morning: datetime) -> list[PlannedMoment]:
    until = max(step.on, step.until or step.on + timedelta(days=1))
    found: list[PlannedMoment] = []
    at = morning
    while True:
        at += REPEAT_AFTER
        if rhythm.quiet(at):
            day = rhythm.when_allowed(at).astimezone(rhythm.zone).date()
            at = max(rhythm.when_allowed(at), rhythm.when_allowed(rhythm.local(day, rhythm.morning)))
        if at.astimezone(rhythm.zone).date() > until:
            return found
        found.append(PlannedMoment(step, f"again {len(found) + 1}", at))
