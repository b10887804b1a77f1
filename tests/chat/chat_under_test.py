"""A chat service under test: the real client against the loopback Bot API, with a conversation that answers plainly."""

from __future__ import annotations

import asyncio
import contextlib
import math
import threading
from collections.abc import AsyncIterator, Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any

import av
import numpy as np
from bot_api import BotApi, Phone, Sent

from gloveside.bot.chat.service import ChatService, Tuning
from gloveside.bot.messages import Button, Incoming, Reply
from gloveside.extract.models import Note, Reading
from gloveside.storage.store import Store

OWNER, HELPER, STRANGER = 501, 502, 666
QUICK = Tuning(
    long_poll=2, longest_pause=0.5, private_chat=(1000, 1.0), patience=0.5, tick_every=0.1, stop_within=5.0,
    read_timeout=3.0, download_deadline=6.0,
)  # fmt: skip


class MovableClock:
    """The real time, moved by as much as a test likes."""

    def __init__(self) -> None:
        self.ahead = timedelta()

    def __call__(self) -> datetime:
        return datetime.now(UTC) + self.ahead


class PlainConversation:
    """Keeps each note once in the record and answers `kept: …`. Knobs make it slow, broken or talkative."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.heard: list[Incoming] = []
        self.threads: set[str] = set()
        self.gate: threading.Event | None = None
        self.answers: dict[str, Reply] = {}
        self.broken_on: str | None = None

    def hear(self, said: Incoming) -> Reply:
        self.threads.add(threading.current_thread().name)
        self.heard.append(said)
        if said.tap is not None:
            return Reply(f"tapped {said.tap}")
        if said.text is not None and said.text.endswith("?"):
            return Reply(f"asked: {said.text}")
        if self.gate is not None and said.audio is not None:
            assert self.gate.wait(20), "the gate never opened"
        if self.broken_on and said.text and self.broken_on in said.text:
            raise RuntimeError("this note takes the work down")
        sha = self.store.audio.keep(said.audio) if said.audio else None
        note = self.store.notes.add(
            chat=str(said.chat),
            user=str(said.user),
            source="chat",
            spoken_at=said.spoken_at,
            received_at=said.received_at,
            text=said.text,
            audio_sha256=sha,
            message_id=str(said.message_id),
        )
        words = said.text or f"a recording of {said.audio.stat().st_size if said.audio else 0} bytes"
        reading = Reading(
            source="chat", raw=words, heard=words, entries=[Note(kind="note", on=date(2026, 11, 20), text=words)]
        )
        kept = self.store.notes.amend if said.amends else self.store.notes.finish
        kept(note, reading, date(2026, 11, 20), True)
        if said.text in self.answers:
            return self.answers[said.text]
        return Reply(f"{'amended' if said.amends else 'kept'}: {words}", note_id=note)


class Running:
    """A started service and its surroundings. Waiting is done off the event loop."""

    def __init__(self, api: BotApi, service: ChatService, talk: PlainConversation, task: asyncio.Task[None]) -> None:
        self.api, self.service, self.talk, self.task = api, service, talk, task
        self.store = service.store
        self.world = api.world

    async def until(self, holds: Callable[[], Any], what: str = "the condition", deadline: float = 30.0) -> Any:
        return await asyncio.to_thread(self.world.wait, holds, deadline, what)

    async def read(self, phone: Phone, containing: str, after: int = 0, deadline: float = 10.0) -> Sent:
        return await asyncio.to_thread(phone.read, containing, after, deadline)

    async def stop(self) -> None:
        self.service.stop()
        await asyncio.wait_for(self.task, 15)


def pair(store: Store, user: int, role: str = "owner", name: str = "Moana") -> None:
    """Let somebody in without the chat."""
    code = store.people.new_code(role)  # type: ignore[arg-type]
    assert store.people.pair(code, user=str(user), name=name, chat=str(user)) is not None


@contextlib.asynccontextmanager
async def serving(api: BotApi, store: Store, tuning: Tuning = QUICK, **more: Any) -> AsyncIterator[Running]:
    """A service on this record for the length of the block."""
    talk = more.pop("conversation", None) or PlainConversation(store)
    home = store.file.path.parent
    service = ChatService(more.pop("token", api.token), store, talk, home, base_url=api.base_url, tuning=tuning, **more)
    task = asyncio.create_task(service.run())
    running = Running(api, service, talk, task)
    ready = asyncio.create_task(service.ready.wait())
    await asyncio.wait({task, ready}, timeout=10, return_when=asyncio.FIRST_COMPLETED)
    ready.cancel()
    try:
        yield running
    finally:
        service.stop()
        await asyncio.wait_for(asyncio.gather(task, return_exceptions=True), 20)


def opus(seconds: float = 1.0, pitch: float = 220.0, rate: int = 48_000) -> bytes:
    """A real OGG/Opus file with a tone in it."""
    import io

    out = io.BytesIO()
    with av.open(out, "w", format="ogg") as container:
        stream = container.add_stream("libopus", rate=rate)
        stream.layout = "mono"
        times = np.arange(int(seconds * rate)) / rate
        wave = (np.sin(2 * math.pi * pitch * times) * 8000).astype(np.int16)
        for start in range(0, len(wave), 960):
            piece = wave[start : start + 960]
            piece = np.pad(piece, (0, 960 - len(piece)))
            frame = av.AudioFrame.from_ndarray(piece.reshape(1, -1), format="s16", layout="mono")
            frame.sample_rate = rate
            frame.pts = start
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return out.getvalue()


BUTTONS = ((Button("Hive 19", "a:1:0"), Button("Hive 90", "a:1:1")),)
