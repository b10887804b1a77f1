"""What hearing costs on this machine: load, real-time factor, latency by length of note, memory, rivals and scores.

Speech comes from espeak-ng, with pauses; so this says nothing about how well is heard. Run by hand::

    python bench/engine_cost.py [--threads 2] [--notes 20] [--minutes 5 60] [--ear ADAPTER.npz]

Other work on the machine makes every time longer: the CPU seconds beside each are the steadier figure.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
import wave
from collections.abc import Callable
from pathlib import Path

import numpy as np
import numpy.typing as npt

from gloveside.speech.beam import BEAM
from gloveside.speech.decode import RATE, decode, pieces
from gloveside.speech.transcript import Audio, Vocabulary
from gloveside.speech.voice_activity import stretches
from gloveside.speech.whisper import WhisperEngine

SENTENCES = (
    "Hive twelve is queenright, eight frames of brood.",
    "Nuc five has eggs and a quiet queen.",
    "Two supers off the hive by the gate.",
    "It is windy and I left my tool at the truck.",
    "Planted eighteen ripe cells this morning.",
    "Hive thirty has seven frames of bees and needs feed.",
)


def say(text: str, folder: Path, number: int) -> npt.NDArray[np.float32]:
    """Speak a sentence. Float32, 16 kHz."""
    path = folder / f"{number}.wav"
    subprocess.run(["espeak-ng", "-v", "en-gb", "-s", "150", "-w", str(path), text], check=True)
    samples = decode(path).samples * np.float32(0.6)
    loud = np.flatnonzero(np.abs(samples) > 0.01)
    return samples[loud[0] : loud[-1] + 1]


def note(said: list[npt.NDArray[np.float32]], seconds: float, rng: random.Random) -> npt.NDArray[np.float32]:
    """A note of about this length: sentences with pauses of 0.3 to 1.2 s."""
    parts: list[npt.NDArray[np.float32]] = [np.zeros(RATE // 2, np.float32)]
    while sum(map(len, parts)) < (seconds - 0.5) * RATE:
        parts += [rng.choice(said), np.zeros(round(rng.uniform(0.3, 1.2) * RATE), np.float32)]
    return np.concatenate([*parts, np.zeros(round(seconds * RATE), np.float32)])[: round(seconds * RATE)]


def timed(work: Callable[[], object]) -> tuple[float, float]:
    """Wall and CPU seconds of a call."""
    wall, cpu = time.perf_counter(), time.process_time()
    work()
    return time.perf_counter() - wall, time.process_time() - cpu


def row(name: str, times: list[tuple[float, float]], seconds: float = 0) -> None:
    """Print p50 and p95 of wall time, p50 of CPU time, and the real-time factor."""
    wall, cpu = (np.array(column) for column in zip(*times, strict=True))
    factor = f"  RTF {np.median(wall) / seconds:.3f}" if seconds else ""
    print(f"{name:34} p50 {np.median(wall):.2f}  p95 {np.percentile(wall, 95):.2f}  cpu {np.median(cpu):.2f} s{factor}")


def remember(path: Path, minutes: float, threads: int) -> None:
    """In a process of its own: a long recording through the engine; peak memory as JSON."""
    code = (
        "import json, resource, sys, time; from pathlib import Path\n"
        "from gloveside.speech.decode import pieces; from gloveside.speech.transcript import Vocabulary\n"
        "from gloveside.speech.whisper import WhisperEngine\n"
        "engine = WhisperEngine(threads=int(sys.argv[2])); engine.warm()\n"
        "loaded = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "began = time.perf_counter(); first = None; n = 0; kept = []\n"
        "for segment in engine.segments(pieces(Path(sys.argv[1])), Vocabulary()):\n"
        "    first = first or time.perf_counter() - began; kept.append(segment)\n"
        "peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "print(json.dumps([loaded // 1024, peak // 1024, first, time.perf_counter() - began, len(kept)]))"
    )
    out = subprocess.run([sys.executable, "-c", code, str(path), str(threads)], check=True, capture_output=True)
    loaded, peak, first, total, count = json.loads(out.stdout)
    print(
        f"{minutes:g} min: peak {peak} MB (model loaded: {loaded} MB), {count} segments, first after {first:.1f} s, "
        f"all after {total:.0f} s, RTF {total / minutes / 60:.3f}"
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--threads", type=int, default=2)
    parser.add_argument("--notes", type=int, default=20)
    parser.add_argument("--minutes", type=float, nargs="*", default=[5, 60])
    parser.add_argument("--ear", type=Path)
    given = parser.parse_args()
    rng = random.Random(1)
    print(f"load average {os.getloadavg()[0]:.1f} on {os.cpu_count()} CPUs, {given.threads} threads")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        said = [say(text, folder, i) for i, text in enumerate(SENTENCES)]
        engine = WhisperEngine(data_folder=folder, threads=given.threads, adapter=given.ear)
        row("first load, with checks", [timed(engine.warm)])
        row("load", [timed(WhisperEngine(data_folder=folder, threads=given.threads, adapter=given.ear).warm)])
        engine.transcribe(Audio(note(said, 3, rng)), Vocabulary())
        for seconds in (3, 10, 30):
            notes = [Audio(note(said, seconds, rng)) for _ in range(given.notes)]
            row(f"{seconds} s note", [timed(lambda a=a: engine.transcribe(a, Vocabulary())) for a in notes], seconds)
        beam = engine._loaded()
        (stretch,) = stretches([Audio(note(said, 10, rng))])
        sound = beam.sound(lambda: stretch.samples, len(stretch.samples))
        row("10 s: encode", [timed(lambda: beam.encode(sound))])
        start = beam.start("")
        found = beam.search(sound, start)
        row(f"10 s: search, {BEAM} rivals", [timed(lambda: beam.search(sound, start)) for _ in range(5)])
        row("10 s: words", [timed(lambda: beam.words(sound, start, found.tokens, 0)) for _ in range(5)])
        row("10 s: one score", [timed(lambda: beam.score(sound, start, found.text)) for _ in range(10)])
        for minutes in given.minutes:
            path = folder / "long.wav"
            with wave.open(str(path), "wb") as file:
                file.setnchannels(1)
                file.setsampwidth(2)
                file.setframerate(RATE)
                for _ in range(round(minutes)):
                    part = np.concatenate([note(said, 9, rng), np.zeros(51 * RATE, np.float32)])
                    file.writeframes((part * 32767).astype(np.int16).tobytes())
            assert sum(p.seconds for p in pieces(path)) == round(minutes) * 60
            remember(path, minutes, given.threads)
        print(f"peak of this process {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")


if __name__ == "__main__":
    main()
