"""Fit the weights behind `sure` on heard notes and write them to src/gloveside/extract/data/sure.json.

Run as ``python bench/fit_sure.py TRANSCRIPTS.jsonl``, lines as in bench/record.py. Only notes of the development half
are used; the expected calibration error is printed for both halves. Signs are held (each feature speaks against an
entry), and weights are drawn towards 0, for some features are rare.
"""

from __future__ import annotations

import argparse
import json
import sys
from datetime import date
from pathlib import Path

import numpy as np
from scipy.optimize import minimize

sys.path.insert(0, str(Path(__file__).resolve().parent))
from gloveside.extract.hearing import with_evidence
from gloveside.extract.reader import Reader
from gloveside.extract.sureness import FEATURES
from reading import development, plain
from record import calibration, demo_register, right_entries, transcript

TARGET = Path(__file__).resolve().parents[1] / "src" / "gloveside" / "extract" / "data" / "sure.json"
DRAWN = 0.02


def gather(path: Path) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Features (n, k), whether each entry was right (n,), whether its note is of the development half (n,)."""
    reader, register = Reader(), demo_register()
    xs, ys, halves = [], [], []
    for line in path.read_text(encoding="utf-8").splitlines():
        row = json.loads(line)
        item, on = row["item"], str(plain(row["item"]["on"]))
        wants = item["reading"].get("any_of") or [item["reading"]]
        reading, evidence = with_evidence(transcript(row), reader, on=date.fromisoformat(on), register=register)
        got = reading.model_dump(mode="json", by_alias=True)
        known = [e for e, entry in zip(evidence, got["entries"], strict=True) if entry["kind"] != "note"]
        for values, right in zip(known, right_entries(got, wants, on), strict=True):
            xs.append([values[name] for name in FEATURES])
            ys.append(right)
            halves.append(development(item["say"]))
    return np.array(xs), np.array(ys, float), np.array(halves)


def chance(weights: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Probability of being right, shape (n,)."""
    return 1.0 / (1.0 + np.exp(-np.clip(weights[0] + x @ weights[1:], -30, 30)))


def main() -> int:
    """Fit, print, write."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("transcripts", type=Path)
    args = parser.parse_args()
    x, y, dev = gather(args.transcripts)

    def loss(weights: np.ndarray) -> float:
        p = np.clip(chance(weights, x[dev]), 1e-6, 1 - 1e-6)
        fit = -np.mean(y[dev] * np.log(p) + (1 - y[dev]) * np.log(1 - p))
        return float(fit + DRAWN * np.mean(weights[1:] ** 2))

    start = np.array([3.0, *[-1.0] * len(FEATURES)])
    found = minimize(loss, start, method="L-BFGS-B", bounds=[(None, None), *[(None, 0.0)] * len(FEATURES)]).x
    for name, half in (("development", dev), ("held out", ~dev)):
        if half.any():
            error, lines = calibration(list(zip(chance(found, x[half]).tolist(), (y[half] > 0).tolist(), strict=True)))
            print(f"{name}: {int(half.sum())} entries, expected calibration error {error:.3f}")
            print("\n".join(lines))
    weights = {name: round(float(w), 3) for name, w in zip(("intercept", *FEATURES), found, strict=True)}
    about = (
        f"Weights of the logistic model behind `sure`; written by bench/fit_sure.py on {int(dev.sum())} heard entries."
    )
    TARGET.write_text(json.dumps({"about": about, "weights": weights}, indent=2) + "\n", encoding="utf-8")
    print(json.dumps(weights))
    return 0


if __name__ == "__main__":
    sys.exit(main())
