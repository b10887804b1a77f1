"""Speaks to a conversation over a real record and a real reader, with a clock that the test moves."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from gloveside.bot.conversation import Conversation
from gloveside.bot.ear import Ear
from gloveside.bot.messages import Incoming, Reply
from gloveside.bot.settings import Operation, Settings
from gloveside.storage.store import Store

ZONE = ZoneInfo("Pacific/Auckland")
SETTINGS = Settings(operation=Operation(name="Marrow Hill Bees", emergency_number="111"))


@dataclass
class Yard:
    """Speaks to the conversation on a given day and time."""

    store: Store
    ear: Ear
    now: datetime = datetime(2026, 11, 15, 10, 0, tzinfo=ZONE)
    numbers: Iterator[int] = field(default_factory=lambda: itertools.count(1))
    last: Reply = field(default_factory=lambda: Reply(""))

    def __post_init__(self) -> None:
        self.conversation = Conversation(self.store, self.ear, SETTINGS, lambda: self.now)

    def on(self, day: str, at: str = "10:00") -> Yard:
        """Move the clock to a local day and time."""
        self.now = datetime.combine(date.fromisoformat(day), time.fromisoformat(at), tzinfo=ZONE)
        return self

    def say(
        self, text: str, *, message: int | None = None, amends: int | None = None, spoken: datetime | None = None
    ) -> str:
        """Type a note and return the reply's text."""
        number = message if message is not None else next(self.numbers)
        self.last = self.conversation.hear(
            Incoming(1, 1, number, spoken or self.now, self.now, text=text, amends=amends)
        )
        return self.last.text

    def tap(self, label: str) -> str:
        """Press a button of the last reply."""
        data = next(b.data for row in self.last.buttons for b in row if b.label == label)
        self.last = self.conversation.hear(Incoming(1, 1, next(self.numbers), self.now, self.now, tap=data))
        return self.last.text

    def labels(self) -> list[str]:
        """Labels of the last reply's buttons."""
        return [b.label for row in self.last.buttons for b in row]
