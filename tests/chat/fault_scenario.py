"""A service that answers badly at random while notes flow in: seconds in the tests, half an hour in the bench."""

from __future__ import annotations

import asyncio
import random
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from bot_api import BotApi, Phone
from chat_under_test import HELPER, OWNER, QUICK, opus, pair, serving

from gloveside.bot.chat.sending import SEPARATOR
from gloveside.storage.store import Store

RATES = {"500": 0.06, "502": 0.03, "429": 0.04, "drop": 0.06, "lost answer": 0.03, "slow": 0.05}
"""Share of calls (downloads included) that go wrong in each way: 27 % in all."""


@dataclass
class Outcome:
    """sent: notes by the phones; lost: without an entry in the record; unanswered: without an answer on the phone."""

    sent: int = 0
    kept: int = 0
    lost: list[str] = field(default_factory=list)
    doubled: list[str] = field(default_factory=list)
    unanswered: list[str] = field(default_factory=list)
    out_of_order: list[str] = field(default_factory=list)
    repeated_sends: int = 0
    faults: dict[str, int] = field(default_factory=dict)
    calls: int = 0
    seconds: float = 0.0

    @property
    def clean(self) -> bool:
        return not (self.lost or self.doubled or self.unanswered or self.out_of_order)


def run(folder: Path, seconds: float, every: float, seed: int = 1) -> Outcome:
    """Send a note every so many seconds, typed and spoken, from two chats, for so many seconds; then let it finish."""
    return asyncio.run(_run(folder, seconds, every, seed))


async def _run(folder: Path, seconds: float, every: float, seed: int) -> Outcome:
    outcome = Outcome()
    dice = random.Random(seed)
    began = time.monotonic()
    with Store.open(folder) as store, BotApi() as api:
        pair(store, OWNER)
        pair(store, HELPER, "helper", "Tama")
        phones = [Phone(api.world, OWNER), Phone(api.world, HELPER, "Tama")]
        api.faults.seed = seed
        api.faults.slow_seconds = 1.0
        api.faults.rates.update(RATES)
        said: dict[str, tuple[Phone, int]] = {}
        async with serving(api, store, QUICK) as chat:
            while time.monotonic() - began < seconds:
                phone = phones[outcome.sent % 2]
                if dice.random() < 0.5:
                    sound = opus(0.2, 100 + outcome.sent % 3000) + outcome.sent.to_bytes(4, "big")
                    key = f"note {outcome.sent} spoken"
                    said[key] = (phone, phone.voice(sound, caption=key))
                else:
                    key = f"note {outcome.sent} typed"
                    said[key] = (phone, phone.type(key))
                outcome.sent += 1
                if dice.random() < 0.01:
                    api.down = True
                    await chat.until(_after(dice.uniform(1, 5)), "the outage", 30)
                    api.down = False
                await chat.until(_after(dice.expovariate(1 / every)), "the next note", 60)
            api.faults.rates.clear()
            total = outcome.sent
            await chat.until(
                lambda: store.file.row("SELECT count(*) AS n FROM intake WHERE state = 'done'")["n"] == total
                and store.outbox.waiting() == 0,
                "everything to be done", 300,
            )  # fmt: skip
        outcome.faults, outcome.calls = dict(api.faults.count), len(api.world.calls)
        _judge(store, phones, said, outcome)
    outcome.seconds = time.monotonic() - began
    return outcome


def _after(seconds: float):
    """True once so much time has passed: paces the phones."""
    end = time.monotonic() + seconds
    return lambda: time.monotonic() >= end


def _judge(store: Store, phones: list[Phone], said: dict[str, tuple[Phone, int]], outcome: Outcome) -> None:
    rows = store.file.rows("SELECT json_extract(data, '$.text') AS text FROM entries WHERE ended_at IS NULL")
    held = Counter(row["text"] for row in rows)
    outcome.kept = len(held)
    outcome.lost = [key for key in said if not held[key]]
    outcome.doubled = [key for key in said if held[key] > 1]
    for phone in phones:
        told = [part for message in phone.inbox for part in message.text.split(SEPARATOR) if part.startswith("kept: ")]
        mine = [key for key, (whose, _) in said.items() if whose is phone]
        count = Counter(told)
        outcome.unanswered += [key for key in mine if not count[f"kept: {key}"]]
        outcome.repeated_sends += sum(n - 1 for n in count.values())
        first = list(dict.fromkeys(told))
        wanted = [f"kept: {key}" for key in mine]
        outcome.out_of_order += [a for a, b in zip(first, wanted, strict=False) if a != b]
