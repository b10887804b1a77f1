"""Speaks the training text with many voices, in parallel, until it is done or the time is up.

``python training/synthesise.py SENTENCES OUT --engines hibari=25,flite=12 --workers 16 --seconds 400``

Each worker appends 16-bit samples at 16 kHz to its own ``part-NN.pcm`` and one line for each clip to ``part-NN.jsonl``
(sentence number, voice, offset, length), so that what was spoken before a stop is never lost.
"""

from __future__ import annotations

import argparse
import io
import json
import multiprocessing as mp
import os
import random
import re
import time
from pathlib import Path
from typing import Any

import numpy as np

from voices import RATE, TEST_VOICES, engine, respell

LONGEST = 29.0  # seconds: the engine hears windows of 30


def segments(said: str, rng: random.Random) -> list[tuple[str, float]]:
    """The stretches between pauses, each with the seconds of silence after it."""
    parts = re.split(r"(?<=[.?!]) ", said)
    out: list[tuple[str, float]] = []
    paused = rng.random() < 0.6
    for part in parts:
        if ", " in part and rng.random() < 0.08:
            cut = rng.choice([m.end() for m in re.finditer(", ", part)])
            out.append((part[:cut], rng.uniform(0.3, 2.0)))
            part = part[cut:]
        tens = list(re.finditer(r"(?<=ty)[ -](?=(?:one|two|three|four|five|six|seven|eight|nine)\b)", part))
        if tens and rng.random() < 0.1:  # "thirty ... three" is one number
            cut = rng.choice(tens)
            out.append((part[: cut.start()], rng.uniform(0.0, 0.25)))
            part = part[cut.end() :]
        out.append((part, rng.choice([0.2, 0.4, 0.8, rng.uniform(0.3, 2.0)])))
    if not paused and len(out) == len(parts):
        return [(said, 0.0)]
    return out


def codec(samples: np.ndarray, rng: random.Random) -> tuple[np.ndarray, int]:
    """Through Opus at 10-32 kbit/s, as a voice note travels, in three of four clips."""
    import soundfile

    if rng.random() < 0.25:
        return samples, 0
    kbit = rng.choice([10, 12, 16, 16, 20, 24, 32])
    buffer = io.BytesIO()
    level = 1 - (kbit * 1000 - 6000) / 250000
    soundfile.write(buffer, samples, RATE, format="OGG", subtype="OPUS", compression_level=level)
    buffer.seek(0)
    decoded, _ = soundfile.read(buffer, dtype="float32")
    return decoded, kbit


def clip(said: str, speak: Any, rng: random.Random) -> np.ndarray | None:
    """One spoken note, or nothing when it is empty or too long."""
    pieces: list[np.ndarray] = []
    for text, pause in segments(said, rng):
        samples = speak(text)
        if len(samples) < RATE * 0.1:
            return None
        pieces += [samples, np.zeros(int(pause * RATE), np.float32)]
    samples = np.concatenate(pieces[:-1])
    peak = float(np.abs(samples).max())
    if not np.isfinite(peak) or peak < 1e-3 or len(samples) > LONGEST * RATE:
        return None
    return samples * (0.8 / peak)


def work(args: tuple[Any, ...]) -> int:
    """One worker: its share of the jobs, each engine loaded once."""
    number, jobs, out, device, deadline, seed = args
    if device.startswith("cuda:"):  # "cuda:2" shares the workers out over two cards; PyTorch is not loaded yet
        os.environ["CUDA_VISIBLE_DEVICES"] = str(number % int(device[5:]))
        device = "cuda"
    engines: dict[str, Any] = {}
    done = 0
    with (out / f"part-{number:02d}.pcm").open("wb") as pcm, (out / f"part-{number:02d}.jsonl").open("w") as index:
        for sentence, said, name in jobs:
            if time.time() > deadline:
                break
            rng = random.Random(f"{seed}-{sentence}-{name}")
            try:
                if name not in engines:
                    engines[name] = engine(name, device)
                voice, speak = engines[name].speaker(rng)
                if voice in TEST_VOICES:
                    raise ValueError(f"{voice} is a test voice")
                samples = clip(respell(said, rng), speak, rng)
                if samples is None:
                    continue
                samples, kbit = codec(samples, rng)
            except Exception as error:  # one bad clip must not stop the others; the log says which
                print(f"clip {sentence} by {name}: {type(error).__name__}: {error}", flush=True)
                if done == 0 and name not in engines:
                    raise
                continue
            data = (np.clip(samples, -1, 1) * 32767).astype(np.int16)
            row = {"id": sentence, "voice": voice, "at": pcm.tell() // 2, "n": len(data), "opus": kbit}
            pcm.write(data.tobytes())
            index.write(json.dumps(row) + "\n")
            index.flush()
            pcm.flush()
            done += 1
    return done


def plan(rows: list[dict[str, str]], shares: dict[str, float], seed: int) -> list[tuple[int, str, str]]:
    """Which engine speaks which sentence: each sentence once, by an engine drawn with the given shares."""
    rng = random.Random(seed)
    names, weights = list(shares), list(shares.values())
    return [(i, row["say"], rng.choices(names, weights)[0]) for i, row in enumerate(rows)]


def main() -> None:
    """Speak one share of the sentences."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sentences", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--engines", required=True, help="shares of the whole plan, for example hibari=25,kokoro=40")
    parser.add_argument("--only", default="", help="speak only these engines of the plan, comma separated")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--seconds", type=float, default=1e9)
    parser.add_argument("--device", default="cpu")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    shares = {k: float(v) for k, v in (pair.split("=") for pair in args.engines.split(","))}
    rows = [json.loads(line) for line in args.sentences.open(encoding="utf-8")]
    jobs = plan(rows, shares, args.seed)
    if args.only:
        jobs = [j for j in jobs if j[2] in args.only.split(",")]
    args.out.mkdir(parents=True, exist_ok=True)
    started = time.time()
    tasks = [
        (k, jobs[k :: args.workers], args.out, args.device, started + args.seconds, args.seed)
        for k in range(args.workers)
    ]
    with mp.get_context("spawn").Pool(args.workers) as pool:
        done = sum(pool.map(work, tasks, chunksize=1))
    seconds = sum(f.stat().st_size for f in args.out.glob("*.pcm")) / 2 / RATE
    print(f"{done} of {len(jobs)} clips, {seconds / 3600:.2f} h, in {time.time() - started:.0f} s", flush=True)


if __name__ == "__main__":
    main()
