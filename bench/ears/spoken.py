"""Speaks notes, hears them with the shipped ear and reads them, for the record level of `bench/record.py`.

``python bench/ears/spoken.py OUT.jsonl --half held-out --notes bench/notes_d bench/notes_e --voices joe,hts``

Each line holds what `bench/record.py` asks for, the engine's scores of every text tried while reading among it, and
``reading_seconds``: clock from the sound to the reading. A run that was stopped goes on where it was.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import resource
import sys
import time
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import yaml

from gloveside.extract.hearing import with_evidence
from gloveside.extract.reader import Reader
from gloveside.speech.transcript import Audio, Segment, Transcript

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1])]
from run import ROOT, Systems, clip, spoil, spread  # noqa: E402

from reading import development, plain  # noqa: E402
from record import demo_register  # noqa: E402


class Recorded:
    """A scorer that remembers what it was asked."""

    def __init__(self, inner: Any) -> None:
        self.inner, self.scores = inner, {}

    def score(self, text: str) -> float:
        """The engine's score."""
        if text not in self.scores:
            self.scores[text] = self.inner.score(text)
        return self.scores[text]


def picked(folders: list[Path], half: str, count: int, seed: int) -> list[dict[str, Any]]:
    """Notes of one half, each family in turn; questions about the record and long notes left out."""
    rows = []
    for path in (p for folder in folders for p in sorted(folder.glob("*.yaml"))):
        if path.stem in ("asking", "long", "doubts"):
            continue
        for item in yaml.safe_load(path.read_text(encoding="utf-8")):
            if development(item["say"]) == (half == "development"):
                rows.append({"family": path.stem, "say": item["say"], "item": item})
    return spread(rows, count, seed)


def line(systems: Systems, reader: Reader, item: dict[str, Any], x: np.ndarray) -> dict[str, Any]:
    """Hear and read one note."""
    began = time.perf_counter()
    heard = systems.engines["ear"].transcribe(Audio(x.astype(np.float32)), systems.vocabulary)
    scorers = [Recorded(s.scorer) for s in heard.segments]
    segments = tuple(
        Segment(s.text, s.start, s.end, s.words, s.alternatives, s.score, s.no_speech, scorer)
        for s, scorer in zip(heard.segments, scorers, strict=True)
    )
    with_evidence(
        Transcript(segments, heard.seconds, heard.engine),
        reader,
        on=date.fromisoformat(str(plain(item["on"]))),
        register=demo_register(),
    )
    took = time.perf_counter() - began
    return {
        "seconds": heard.seconds,
        "engine": heard.engine,
        "reading_seconds": took,
        "segments": [
            {
                "text": s.text,
                "start": s.start,
                "end": s.end,
                "words": [
                    {"text": w.text, "start": w.start, "end": w.end, "probability": w.probability} for w in s.words
                ],
                "alternatives": [{"text": a.text, "score": a.score} for a in s.alternatives],
                "score": s.score,
                "no_speech": s.no_speech,
                "scores": scorer.scores,
            }
            for s, scorer in zip(segments, scorers, strict=True)
        ],
    }


def main() -> None:
    """Write the lines and say how long the way to the reading took."""
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("out", type=Path)
    p.add_argument("--half", choices=["development", "held-out"], required=True)
    p.add_argument("--notes", type=Path, nargs="+", default=sorted((ROOT / "bench").glob("notes*")))
    p.add_argument("--count", type=int, default=80)
    p.add_argument("--voices", default="joe,hts")
    p.add_argument("--conditions", default="clean,wind10")
    p.add_argument("--work", type=Path, default=ROOT / ".work" / "ears-bench")
    p.add_argument("--threads", type=int, default=2)
    p.add_argument("--seed", type=int, default=1)
    args = p.parse_args()
    done = set()
    if args.out.exists():
        rows = [json.loads(text) for text in args.out.read_text(encoding="utf-8").splitlines()]
        done = {(r["voice"], r["condition"], r["item"]["say"]) for r in rows}
    systems, reader = Systems(["ear"], args.work, args.threads), Reader()
    systems.engines["ear"].warm()
    notes = picked(args.notes, args.half, args.count, args.seed)
    times: list[float] = []
    with args.out.open("a", encoding="utf-8") as f:
        for condition in args.conditions.split(","):
            for voice in args.voices.split(","):
                for note in notes:
                    item = note["item"]
                    if (voice, condition, item["say"]) in done:
                        continue
                    seed = int(hashlib.sha256(item["say"].encode()).hexdigest()[:6], 16)
                    x = spoil(clip(voice, item["say"], args.work), condition, seed)
                    row = line(systems, reader, item, x)
                    times.append(row["reading_seconds"])
                    row |= {"item": item, "file": note["family"], "voice": voice, "condition": condition}
                    f.write(json.dumps(row, ensure_ascii=False, default=str) + "\n")
                    f.flush()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if times:
        times.sort()
        print(
            f"{len(times)} notes, sound to reading p50 {times[len(times) // 2]:.2f} s, "
            f"p95 {times[int(len(times) * 0.95)]:.2f} s, peak memory {peak:.0f} MB"
        )


if __name__ == "__main__":
    main()
