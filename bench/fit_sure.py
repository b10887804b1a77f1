"""Fit the weights behind `sure` on heard and typed notes and write them to src/gloveside/extract/data/sure.json.

Run as ``python bench/fit_sure.py TRANSCRIPTS.jsonl [--typed N]``, lines as in bench/record.py. N typed notes of
bench/notes* are read as well (default 150), for `sure` of typed text. Only notes of the development half are fitted;
the expected calibration error is printed for both halves, and what each line between keeping and asking would cost.
Signs are held (each feature speaks against an entry), weights are drawn towards 0, for some features are rare, and the
intercept is at least 3: a typed note without fault is at least 95 % sure.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import sys
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from scipy.optimize import minimize

sys.path.insert(0, str(Path(__file__).resolve().parent))
from gloveside.extract.hearing import typed_evidence, with_evidence
from gloveside.extract.models import Reading
from gloveside.extract.reader import Reader
from gloveside.extract.sureness import FEATURES
from reading import development, plain
from record import calibration, demo_register, right_entries, transcript

BENCH = Path(__file__).resolve().parent
TARGET = BENCH.parent / "src" / "gloveside" / "extract" / "data" / "sure.json"
DRAWN = 0.01
LEAST_INTERCEPT = 3.0


def typed_notes(count: int) -> list[dict[str, Any]]:
    """Some notes of the development half, the same each time."""
    found = []
    for path in sorted(BENCH.glob("notes*/*.yaml")):
        if path.stem in ("asking", "offtopic", "note", "long"):
            continue
        found += [n for n in yaml.safe_load(path.read_text(encoding="utf-8")) if development(n["say"])]
    found.sort(key=lambda n: hashlib.sha256(("fit " + n["say"]).encode()).digest())
    return found[:count]


class Gathered:
    """Features of entries, whether each was right, its half (True: development), whether spoken, which note."""

    def __init__(self) -> None:
        self.x: list[list[float]] = []
        self.y: list[bool] = []
        self.half: list[bool] = []
        self.note: list[int] = []
        self.asked: list[bool] = []
        self._notes = 0

    def add(self, item: dict[str, Any], reading: Reading, evidence: list[dict[str, float]]) -> None:
        """Take in the entries of one note."""
        on = str(plain(item["on"]))
        wants = item["reading"].get("any_of") or [item["reading"]]
        got = reading.model_dump(mode="json", by_alias=True)
        known = [e for e, entry in zip(evidence, got["entries"], strict=True) if entry["kind"] != "note"]
        others = [d for d in got["doubts"] if d["field"] != "all"]
        for values, right in zip(known, right_entries(got, wants, on), strict=True):
            self.x.append([values[name] for name in FEATURES])
            self.y.append(right)
            self.half.append(development(item["say"]))
            self.note.append(self._notes)
            self.asked.append(bool(others))
        self._notes += 1


def chance(weights: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Probability of being right, shape (n,)."""
    return 1.0 / (1.0 + np.exp(-np.clip(weights[0] + x @ weights[1:], -30, 30)))


def lines(found: np.ndarray, x: np.ndarray, y: np.ndarray, note: np.ndarray, asked: np.ndarray) -> None:
    """Print for several lines how many notes would be wrong and kept, or asked about though right."""
    p = chance(found, x)
    notes = [np.flatnonzero((note == n) & (x[:, 0] > 0)) for n in np.unique(note[x[:, 0] > 0])]
    for line in (0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9):
        ask = [bool(asked[i[0]] or p[i].min() < line) for i in notes]
        wrong = [bool((y[i] == 0).any()) for i in notes]
        silent = sum(w and not a for w, a in zip(wrong, ask, strict=True))
        needless = sum(a and not w for w, a in zip(wrong, ask, strict=True))
        print(f"  ask below {line:.2f}: {len(notes)} notes heard, silent wrong {silent}, asked needlessly {needless}")


def main() -> int:
    """Fit, print, write."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("transcripts", type=Path)
    parser.add_argument("--typed", type=int, default=150)
    args = parser.parse_args()
    reader, register, all_ = Reader(), demo_register(), Gathered()
    for line in args.transcripts.read_text(encoding="utf-8").splitlines():
        row = json.loads(line)
        on = date.fromisoformat(str(plain(row["item"]["on"])))
        all_.add(row["item"], *with_evidence(transcript(row), reader, on=on, register=register))
    for item in typed_notes(args.typed):
        on = date.fromisoformat(str(plain(item["on"])))
        all_.add(item, *typed_evidence(item["text"], reader, on=on, register=register))
    x, y, dev = np.array(all_.x), np.array(all_.y, float), np.array(all_.half)
    note, asked = np.array(all_.note), np.array(all_.asked)

    def loss(weights: np.ndarray) -> float:
        p = np.clip(chance(weights, x[dev]), 1e-6, 1 - 1e-6)
        fit = -np.mean(y[dev] * np.log(p) + (1 - y[dev]) * np.log(1 - p))
        return float(fit + DRAWN * np.mean(weights[1:] ** 2))

    start = np.array([LEAST_INTERCEPT, *[-1.0] * len(FEATURES)])
    bounds = [(LEAST_INTERCEPT, None), *[(None, 0.0)] * len(FEATURES)]
    found = minimize(loss, start, method="L-BFGS-B", bounds=bounds).x
    for name, half in (("development", dev), ("held out", ~dev)):
        if half.any():
            error, table = calibration(list(zip(chance(found, x[half]).tolist(), (y[half] > 0).tolist(), strict=True)))
            print(f"{name}: {int(half.sum())} entries, expected calibration error {error:.3f}")
            print("\n".join(table))
            lines(found, x[half], y[half], note[half], asked[half])
    weights = {name: round(float(w), 3) for name, w in zip(("intercept", *FEATURES), found, strict=True)}
    heard = int((dev & (x[:, 0] > 0)).sum())
    about = (
        f"Weights of the logistic model behind `sure`; written by bench/fit_sure.py on {heard} heard and "
        f"{int(dev.sum()) - heard} typed entries."
    )
    TARGET.write_text(json.dumps({"about": about, "weights": weights}, indent=2) + "\n", encoding="utf-8")
    print(json.dumps(weights))
    return 0


if __name__ == "__main__":
    sys.exit(main())
