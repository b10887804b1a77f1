"""One voice note at a time through the real recogniser: seconds from its upload to the answer on the phone."""

from __future__ import annotations

import argparse
import asyncio
import io
import os
import tempfile
import time
from pathlib import Path

import av
import numpy as np
import numpy.typing as npt
import under_test  # noqa: F401
from bot_api import BotApi, Phone
from chat_under_test import OWNER, pair

from gloveside.bot.chat.service import Tuning
from gloveside.bot.chat.start import service_for
from gloveside.bot.settings import Settings
from gloveside.bot.wiring import Workshop
from gloveside.speech.decode import decode

NOTES = Path(__file__).parents[2] / "fixtures" / "season"
RATE = 16_000


def recording(seconds: float, start: int) -> bytes:
    """Bundled voice notes put one after the other, cut to a length, as OGG/Opus. start: which note comes first."""
    files = sorted(NOTES.glob("*.ogg"))
    samples: list[npt.NDArray[np.float32]] = []
    while sum(map(len, samples)) < seconds * RATE:
        samples.append(decode(files[(start + len(samples)) % len(files)]).samples)
    wave = np.concatenate(samples)[: int(seconds * RATE)]
    out = io.BytesIO()
    with av.open(out, "w", format="ogg") as container:
        stream = container.add_stream("libopus", rate=RATE)
        stream.layout = "mono"
        for at in range(0, len(wave), 320):
            piece = np.pad(wave[at : at + 320], (0, max(0, at + 320 - len(wave))))
            frame = av.AudioFrame.from_ndarray((piece * 32767).astype(np.int16).reshape(1, -1), "s16", "mono")
            frame.sample_rate, frame.pts = RATE, at
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return out.getvalue()


async def measure(folder: Path, lengths: list[float], repeats: int) -> None:
    """Send the notes and print a line for each length."""
    with Workshop(folder, Settings()) as workshop, BotApi() as api:
        pair(workshop.store, OWNER)
        service = service_for(workshop, api.token, lambda _line: None, Tuning(long_poll=5))
        service.base_url = api.base_url
        task = asyncio.create_task(service.run())
        await asyncio.wait_for(service.ready.wait(), 30)
        phone = Phone(api.world, OWNER)
        await answer(api, phone, recording(2.0, 0))  # the first one also waits for the model to load
        for seconds in lengths:
            taken = sorted([await answer(api, phone, recording(seconds, 3 * n + 1)) for n in range(repeats)])
            p50, p95 = taken[len(taken) // 2], taken[min(len(taken) - 1, int(0.95 * len(taken)))]
            load = os.getloadavg()[0]
            print(f"{seconds:4.0f} s note: p50 {p50:.2f} s, p95 {p95:.2f} s of {repeats} (load {load:.1f})", flush=True)
        service.stop()
        await asyncio.wait_for(task, 60)


async def answer(api: BotApi, phone: Phone, sound: bytes) -> float:
    """Seconds until the answer to this note came."""
    began = time.monotonic()
    number = phone.voice(sound)

    def came() -> float | None:
        for sent in phone.inbox:
            if (sent.params.get("reply_parameters") or {}).get("message_id") == number:
                return sent.at
        return None

    return float(await asyncio.to_thread(api.world.wait, came, 300, "an answer")) - began


def main() -> int:
    """Run and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--repeats", type=int, default=10)
    parser.add_argument("--lengths", type=float, nargs="+", default=[3.0, 10.0, 30.0])
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        asyncio.run(measure(Path(folder), given.lengths, given.repeats))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
