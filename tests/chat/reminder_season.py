"""A simulated season of reminders with an injected clock and restarts, checked against a plain list of moments.

Used small in the tests and at full length in `bench/chat/reminders.py`.
"""

from __future__ import annotations

import asyncio
import re
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import telegram
from bot_api import BotApi, Phone
from chat_under_test import OWNER, pair

from gloveside.bot.chat.outgoing import Outgoing
from gloveside.bot.chat.sending import Sender
from gloveside.bot.reminders import DueStep, Rhythm, plan_moments
from gloveside.bot.reminders.ringing import LATE_AFTER, Ringer
from gloveside.rearing.calendar import round_calendar
from gloveside.storage.reminders import NewReminder
from gloveside.storage.store import Store

HANDS = {"excluder in", "slide in", "slide out", "take check", "splits", "plant", "laying check"}
URGENT = {"slide out", "splits", "plant"}
TICK = timedelta(minutes=15)
ANSWER_AFTER = 3
"""An urgent step is answered after it rang so many times."""


class HandClock:
    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


def steps_of(number: int, grafted: date) -> list[DueStep]:
    """The steps of a round that want hands, from the real calendar."""
    steps = []
    for step in round_calendar(grafted):
        if step.step in HANDS:
            on = step.likely.date() if isinstance(step.likely, datetime) else step.likely
            steps.append(
                DueStep(f"round {number}", step.step, on, f"Round {number}: {step.step}.", step.step in URGENT)
            )
    return steps


@dataclass
class Outcome:
    """What a season came to. rung: (text, UTC minute of sending) of everything on the phone."""

    messages: int = 0
    restarts: int = 0
    expected: int = 0
    rung: list[tuple[str, datetime, bool]] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    doubled: list[str] = field(default_factory=list)
    in_quiet: list[str] = field(default_factory=list)
    wrongly_marked: list[str] = field(default_factory=list)
    late: int = 0

    @property
    def clean(self) -> bool:
        return not (self.missing or self.doubled or self.in_quiet or self.wrongly_marked)


@dataclass
class Season:
    """rounds: one is grafted every `every_days`; outages: (from, to) in UTC, during which nothing runs."""

    home: Path
    zone: ZoneInfo
    first: date
    days: int
    rounds: int
    every_days: int = 10
    restart_hours: int = 6
    outages: tuple[tuple[datetime, datetime], ...] = ()
    moved_round: int = 2
    undone_round: int = 3
    digest: bool = False

    def down(self, at: datetime) -> bool:
        return any(start <= at < end for start, end in self.outages)

    async def run(self, api: BotApi) -> Outcome:
        rhythm = Rhythm(self.zone, quiet_from=time(21, 0), quiet_until=time(6, 0))
        start = datetime.combine(self.first, time(5, 0), self.zone).astimezone(UTC)
        clock = HandClock(start)
        outcome = Outcome()
        phone = Phone(api.world, OWNER)
        with Store.open(self.home, clock) as store:
            pair(store, OWNER)
        plans = {n: self.first + timedelta(days=4 + self.every_days * (n - 1)) for n in range(1, self.rounds + 1)}
        told: dict[int, datetime] = {n: self._at(plans[n] - timedelta(days=5), 12) for n in plans}
        move_at = told[self.moved_round] + timedelta(days=2) if self.moved_round in told else None
        undo_at = told[self.undone_round] + timedelta(days=8) if self.undone_round in told else None
        rings: Counter[tuple[str, str]] = Counter()
        answered: dict[tuple[str, str], datetime] = {}
        steps: dict[int, list[DueStep]] = {}
        history: list[tuple[datetime, int, list[DueStep]]] = []
        end = start + timedelta(days=self.days)

        while clock.now < end:
            outcome.restarts += 1
            until = min(end, clock.now + timedelta(hours=self.restart_hours))
            with Store.open(self.home, clock) as store:
                ringer = Ringer(store, rhythm, digest=self.digest)
                bot = telegram.Bot(api.token, base_url=f"{api.base_url}/bot")
                async with bot:
                    sender = Sender(bot, store, Outgoing(store, self.home), private_chat=(10_000, 1.0))
                    await sender.recover()
                    loop = asyncio.create_task(sender.run())
                    while clock.now < until:
                        for n in [n for n, at in told.items() if at <= clock.now and n not in steps]:
                            steps[n] = steps_of(n, plans[n])
                            _plan(store, n, steps[n], rhythm, clock.now)
                            history.append((clock.now, n, steps[n]))
                        if move_at is not None and clock.now >= move_at:
                            n, move_at = self.moved_round, None
                            steps[n] = steps_of(n, plans[n] + timedelta(days=1))
                            _plan(store, n, steps[n], rhythm, clock.now)
                            history.append((clock.now, n, steps[n]))
                        if undo_at is not None and clock.now >= undo_at:
                            n, undo_at = self.undone_round, None
                            store.reminders.drop(f"round {n}")
                            history.append((clock.now, n, []))
                        if not self.down(clock.now) and ringer.ring():
                            seen = len(phone.inbox)
                            sender.bell.ring()
                            await asyncio.to_thread(api.world.wait, lambda: store.outbox.waiting() == 0, 20, "sending")
                            for sent in phone.inbox[seen:]:
                                outcome.messages += 1
                                self._read(sent.text, clock.now, rhythm, outcome, rings)
                            for key, count in list(rings.items()):
                                if key[1] in URGENT and count >= ANSWER_AFTER and key not in answered:
                                    answered[key] = clock.now
                                    store.reminders.mark_done(*key)
                        clock.now += TICK
                    loop.cancel()
                    await asyncio.gather(loop, return_exceptions=True)
                    await sender.close(5)
        self._compare(history, answered, start, end, outcome)
        return outcome

    def _at(self, day: date, hour: int) -> datetime:
        return datetime.combine(day, time(hour), self.zone).astimezone(UTC)

    def _read(
        self, text: str, now: datetime, rhythm: Rhythm, outcome: Outcome, rings: Counter[tuple[str, str]]
    ) -> None:
        local = now.astimezone(self.zone)
        if local.time() >= rhythm.quiet_from or local.time() < rhythm.quiet_until:
            outcome.in_quiet.append(f"{local}: {text}")
        for number, step, late in re.findall(r"Round (\d+): ([a-z ]+)\.( \(late)?", text):
            rings[f"round {number}", step] += 1
            outcome.late += bool(late)
            outcome.rung.append((f"round {number}/{step}", now, bool(late)))

    def _compare(
        self,
        history: list[tuple[datetime, int, list[DueStep]]],
        answered: dict[tuple[str, str], datetime],
        start: datetime,
        end: datetime,
        outcome: Outcome,
    ) -> None:
        """A plain walk through the season, quarter hour by quarter hour, says what should have rung and when."""
        expected: Counter[tuple[str, datetime, bool]] = Counter()
        held: dict[tuple[str, str, date], datetime] = {}
        asked: Counter[tuple[str, str]] = Counter()
        closed: dict[tuple[str, str], datetime] = {}
        at = start
        while at < end:
            local = at.astimezone(self.zone)
            current: dict[int, list[DueStep]] = {}
            for when, number, steps in history:
                if when <= at:
                    current[number] = steps
            for steps in current.values():
                for step in steps:
                    key = (step.subject, step.step)
                    if key in closed and closed[key] < at:
                        continue
                    known = min(when for when, number, _ in history if f"round {number}" == step.subject)
                    if at >= known and self._rings(step, local):
                        held[step.subject, step.step, step.on] = at
            if not self.down(at) and not (local.time() >= time(21) or local.time() < time(6)):
                for (subject, name, on), due in list(held.items()):
                    still = [s for s in current.get(int(subject.split()[1]), []) if (s.step, s.on) == (name, on)]
                    del held[subject, name, on]
                    if not still:
                        continue
                    expected[f"{subject}/{name}", at, at - due > LATE_AFTER] += 1
                    asked[subject, name] += 1
                    if name in URGENT and asked[subject, name] >= ANSWER_AFTER:
                        closed.setdefault((subject, name), at)
            at += TICK
        assert closed.keys() == answered.keys(), closed.keys() ^ answered.keys()
        outcome.expected = expected.total()
        got = Counter(outcome.rung)
        for (what, when, late), times in (got - expected).items():
            same = [key for key in expected if key[:2] == (what, when)]
            (outcome.wrongly_marked if same and times == 1 else outcome.doubled).append(f"{what} {when} late={late}")
        for (what, when, late), _ in (expected - got).items():
            outcome.missing.append(f"{what} {when.astimezone(self.zone)} late={late}")

    def _rings(self, step: DueStep, local: datetime) -> bool:
        """Whether a step should ring at this local quarter of an hour: 19:00 the day before, 06:30, every 3 hours."""
        wall = (local.hour, local.minute)
        if local.date() == step.on - timedelta(days=1):
            return wall == (19, 0)
        if local.date() == step.on and wall == (6, 30):
            return True
        if step.urgent and step.on <= local.date() <= step.on + timedelta(days=1):
            return wall in ((6, 30), (9, 30), (12, 30), (15, 30), (18, 30))
        return False


def _plan(store: Store, number: int, steps: list[DueStep], rhythm: Rhythm, now: datetime) -> None:
    rows = [
        NewReminder(p.step.subject, p.step.step, p.step.on, p.moment, p.at, p.step.text)
        for p in plan_moments(steps, rhythm)
        if p.at >= now
    ]
    store.reminders.replace_round(number, rows)
