"""Many late notes at once, and a typed question in between: small in the tests, 200 notes in `bench/chat/burst.py`."""

from __future__ import annotations

import asyncio
import hashlib
import statistics
import time
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from threading import Event

from bot_api import BotApi, Phone
from bot_api.server import Flood
from chat_under_test import OWNER, pair
from knowing_ear import KnowingEar

from gloveside.bot.chat.sending import SEPARATOR
from gloveside.bot.chat.service import Tuning
from gloveside.bot.chat.start import service_for
from gloveside.bot.settings import Settings
from gloveside.bot.wiring import Workshop
from gloveside.extract.models import Reading
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register

ACKS = {"sendchataction", "sendmessage", "editmessagetext"}


class SlowEar(KnowingEar):
    """Takes as long for a recording as a recogniser would."""

    seconds = 0.3

    def read_audio(self, path: Path, *, source: str, on: date, register: Register, now: datetime) -> Reading:
        Event().wait(self.seconds)
        return super().read_audio(path, source=source, on=on, register=register, now=now)


@dataclass
class Outcome:
    """Seconds throughout. acks: for each note from its sending to the first sign that it arrived."""

    notes: int
    acks: list[float] = field(default_factory=list)
    questions: list[float] = field(default_factory=list)
    kept: int = 0
    answered: int = 0
    messages: int = 0
    seconds: float = 0.0

    def summary(self) -> str:
        """The figures in one line."""
        acks = sorted(self.acks)
        return (
            f"{self.notes} notes at once: acknowledged p50 {statistics.median(acks):.2f} s, "
            f"p95 {acks[int(len(acks) * 0.95)]:.2f} s, slowest {acks[-1]:.2f} s; kept {self.kept}, answered "
            f"{self.answered} in {self.messages} messages within {self.seconds:.0f} s; questions in between answered "
            f"after {', '.join(f'{q:.2f}' for q in self.questions)} s"
        )


def run(folder: Path, notes: int, hearing: float, questions: int = 1) -> Outcome:
    """Send all notes at once (late: spoken over the last hours), then questions while they are read."""
    return asyncio.run(_run(folder, notes, hearing, questions))


async def _run(folder: Path, notes: int, hearing: float, questions: int) -> Outcome:
    outcome = Outcome(notes)
    sounds = [b"OggS" + hashlib.sha256(str(n).encode()).digest() * 40 for n in range(notes)]
    words = {
        hashlib.sha256(sound).hexdigest(): f"hive {n % 60 + 1}, {n // 60 + 1} frames of brood"
        for n, sound in enumerate(sounds)
    }
    with Workshop(folder, Settings()) as workshop, BotApi(flood=Flood(30, 30.0)) as api:
        pair(workshop.store, OWNER)
        ear = SlowEar(workshop.settings, folder, words, Reader())
        ear.seconds = hearing
        workshop.__dict__["ear"] = ear
        service = service_for(workshop, api.token, show=lambda _line: None, tuning=Tuning(long_poll=5))
        service.base_url = api.base_url
        task = asyncio.create_task(service.run())
        await asyncio.wait_for(service.ready.wait(), 30)
        phone = Phone(api.world, OWNER)
        now = int(time.time())
        began = time.monotonic()
        posted: dict[int, float] = {}
        sent: dict[int, float] = {}
        for n, sound in enumerate(sounds):
            sent[phone.voice(sound, seconds=4, spoken=now - 20 * (notes - n))] = time.monotonic()
        for update in api.world.updates:
            posted[update["update_id"]] = sent.get(update["message"]["message_id"], began)
        asked: list[tuple[int, float]] = []
        for n in range(questions):
            share = int(notes * (n + 0.5) / questions)
            await asyncio.to_thread(api.world.wait, lambda share=share: _done(workshop) >= share, 600, "some notes")
            asked.append((phone.type("what's due?"), time.monotonic()))
            known = len(phone.inbox)
            answer = await asyncio.to_thread(
                api.world.wait, lambda known=known: _answer(phone, known), 60, "the answer to a question"
            )
            outcome.questions.append(answer - asked[-1][1])
        total = notes + questions
        await asyncio.to_thread(
            api.world.wait, lambda: _done(workshop) == total and workshop.store.outbox.waiting() == 0, 600, "the rest"
        )
        outcome.seconds = time.monotonic() - began
        service.stop()
        await asyncio.wait_for(task, 30)
        signs = sorted(c.at for c in api.world.calls if c.method in ACKS and c.code == 200)
        for update_id, at in posted.items():
            delivered = api.world.delivered[update_id]
            outcome.acks.append(next(sign for sign in signs if sign >= delivered) - at)
        outcome.kept = workshop.store.file.row("SELECT count(DISTINCT note_id) AS n FROM entries")["n"]
        parts = [part for message in phone.inbox for part in message.text.split(SEPARATOR)]
        outcome.answered = sum(part.startswith("Kept") for part in parts)
        outcome.messages = len(phone.inbox)
    return outcome


def _done(workshop: Workshop) -> int:
    row = workshop.store.file.row("SELECT count(*) AS n FROM intake WHERE state = 'done'")
    return int(row["n"]) if row else 0


def _answer(phone: Phone, known: int) -> float | None:
    """When the answer to a question came: the first new message in which something is not an answer to a note."""
    for message in phone.inbox[known:]:
        if any(not part.startswith(("Kept", "Heard")) for part in message.text.split(SEPARATOR)):
            return message.at
    return None
