"""Fit the weights behind `sure` and the chance of a reading, on phrasings that the rules had not seen.

The reader leaves less over of the notes that its rules were mended for: weights fitted on those are too sure of new
ones. So the rows are gathered with the code as it stood before the rules saw an author's notes, in a work tree of that
commit (with today's modules of evidence copied into it), and put together here:

``PYTHONPATH=TREE/src python bench/fit_sure.py gather ROWS.jsonl [--notes notes_g …] [--spoken TRANSCRIPTS.jsonl …]``
reads whole folders, both forms, or transcripts as in bench/record.py, and writes the features of each reading.

``python bench/fit_sure.py fit ROWS.jsonl … [--write]`` prints calibration and the trade-off of lines, by 10-fold
cross-validation over notes, and for each author fitted on all the others; `--write` writes data/sure.json. Signs are
held: each feature speaks against an entry. The chance of a reading is fitted on what matters in the record: the words
of notes, tasks, the weather and causes, the form of a buyer's name and the like count as right in any wording there.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import sys
from collections.abc import Iterable, Sequence
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
from gloveside.extract.register import Register
from gloveside.extract.sureness import FEATURES, Rated
from reading import SLOTS, entry_form, exact, plain
from record import TALK, calibration, demo_register, right_entries, transcript

BENCH = Path(__file__).resolve().parent
TARGET = BENCH.parent / "src" / "gloveside" / "extract" / "data" / "sure.json"
DRAWN = 2e-4
FOLDS = 10
LINES = (0.4, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8)
WORDED = {
    "task": ("text", "place"), "weather": ("words",), "loss": ("cause",), "sale": ("to",), "graft": ("tool",),
    "disease": ("signs", "suspect"), "inspection": ("signs",), "note": ("text",),
}  # fmt: skip
Row = dict[str, Any]


def _material(reading: dict[str, Any], on: str) -> tuple[list[str], list[str], list[str]]:
    """A reading for comparison without the fields whose wording is free, notes left out."""
    entries = []
    for entry in reading["entries"]:
        if entry["kind"] != "note":
            form = entry_form(entry, on)
            kept = {k: v for k, v in form.items() if k not in WORDED.get(entry["kind"], ())}
            entries.append(json.dumps(kept, sort_keys=True, default=str))
    questions = [json.dumps({k: v for k, v in plain(q).items() if k in SLOTS}) for q in reading["questions"]]
    return sorted(entries), sorted(questions), sorted(json.dumps(plain(o), sort_keys=True) for o in reading["orders"])


def row(item: Row, source: str, stem: str, form: str, reading: Reading, rated: Rated) -> Row:
    """One line: what the reading was, whether right, and the features."""
    on = str(plain(item["on"]))
    wants = item["reading"].get("any_of") or [item["reading"]]
    got = reading.model_dump(mode="json", by_alias=True)
    got["doubts"] = [d for d in got["doubts"] if d["field"] not in ("all", "rest")]
    only_note = not got["questions"] and not got["orders"] and all(e["kind"] == "note" for e in got["entries"])
    right = any(exact(got, item, want) for want in wants) or (form == "spoken" and stem in TALK and only_note)
    doubtful = any("doubt" in e for want in wants for e in want["entries"])
    material = right or (stem in TALK and only_note)
    material = material or (not doubtful and any(_material(got, on) == _material(want, on) for want in wants))
    known = [f for f, e in zip(rated.of_entries, got["entries"], strict=True) if e["kind"] != "note"]
    return {
        "source": source, "form": form, "say": item["say"], "right": right, "material": material,
        "asked": bool(got["doubts"]), "expected": doubtful, "answered": not got["entries"],
        "note": _sparse(rated.of_note),
        "entries": [{"right": r, "f": _sparse(f)} for f, r in zip(known, right_entries(got, wants, on), strict=True)],
    }  # fmt: skip


def _sparse(values: dict[str, float]) -> dict[str, float]:
    return {name: round(value, 3) for name, value in values.items() if value}


def gather(folders: Sequence[str], transcripts: Sequence[Path]) -> Iterable[Row]:
    """The rows of whole folders of typed notes, in both forms, and of transcripts."""
    reader = Reader()
    for path in (p for folder in folders for p in sorted((BENCH / folder).glob("*.yaml"))):
        for item in yaml.safe_load(path.read_text(encoding="utf-8")):
            on = date.fromisoformat(str(plain(item["on"])))
            for form in ("text", "say"):
                said = re.sub(r"\[pause \d+\]", " ", item[form])
                if form == "say":
                    said = re.sub(r"[.,;:!?]+(?=\s|$)", "", said).lower()
                yield row(
                    item, path.parent.name, path.stem, form, *typed_evidence(said, reader, on=on, register=Register())
                )
    for line in (x for path in transcripts for x in path.read_text(encoding="utf-8").splitlines()):
        heard = json.loads(line)
        on = date.fromisoformat(str(plain(heard["item"]["on"])))
        found = with_evidence(transcript(heard), reader, on=on, register=demo_register())
        yield row(heard["item"], "spoken", heard["file"], "spoken", *found)


def fitted(x: np.ndarray, y: np.ndarray, authors: np.ndarray) -> np.ndarray:
    """Intercept and weights, none above 0, drawn a little towards 0.

    x: (n, features); y: (n,) of 0 and 1; authors: (n, authors) of 0 and 1. Some authors speak further from the rules
    than others and were never recorded: each has an offset of its own, of which the mean goes into the intercept.
    """
    features = x.shape[1]
    x = np.hstack([x, authors[:, authors.any(axis=0)]])

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        p = chance(weights, x)
        value = -np.mean(y * np.log(p + 1e-9) + (1 - y) * np.log(1 - p + 1e-9)) + DRAWN * np.sum(weights[1:] ** 2)
        off = (p - y) / len(y)
        return float(value), np.concatenate([[off.sum()], x.T @ off + 2 * DRAWN * weights[1:]])

    bounds = [(None, None)] + [(None, 0.0)] * x.shape[1]
    found = minimize(loss, np.zeros(x.shape[1] + 1), jac=True, method="L-BFGS-B", bounds=bounds).x
    return np.concatenate([[found[0] + found[features + 1 :].mean()], found[1 : features + 1]])


def chance(weights: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Probability of being right, shape (n,)."""
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(weights[0] + x @ weights[1:], -30, 30))))


def crossed(x: np.ndarray, y: np.ndarray, authors: np.ndarray, groups: Sequence[Any]) -> np.ndarray:
    """The chance of each row by weights that were fitted without its group."""
    out = np.zeros(len(y))
    of = np.array([hash(g) for g in groups])
    for group in dict.fromkeys(of.tolist()):
        rest = of != group
        out[~rest] = chance(fitted(x[rest], y[rest], authors[rest]), x[~rest])
    return out


def folds(rows: Sequence[Row]) -> list[int]:
    """A fold for each row; all forms of one note are in the same."""
    says = sorted({r["say"] for r in rows})
    random.Random(0).shuffle(says)
    fold = {say: index % FOLDS for index, say in enumerate(says)}
    return [fold[r["say"]] for r in rows]


def trade_off(rows: Sequence[Row], p: np.ndarray) -> None:
    """Print what each line between keeping and asking costs; a reading that only asks is answered, never kept."""
    for label, spoken in (("typed", False), ("spoken", True)):
        some = [(r, c) for r, c in zip(rows, p, strict=True) if (r["form"] == "spoken") is spoken]
        for line in LINES if some else ():
            ask = [r["asked"] or (c < line and not r["answered"]) for r, c in some]
            silent = sum(not r["right"] and not a for (r, _), a in zip(some, ask, strict=True))
            matters = sum(not r["material"] and not a for (r, _), a in zip(some, ask, strict=True))
            needless = sum(r["right"] and a and not r["expected"] for (r, _), a in zip(some, ask, strict=True))
            share = 100.0 / len(some)
            print(
                f"  {label}, ask below {line:.2f}: of {len(some)} silent wrong {silent * share:.1f} % "
                f"({matters * share:.1f} % but for wording), asked needlessly {needless * share:.1f} %"
            )


def fit(rows: list[Row], write: bool) -> None:
    """Print calibration by cross-validation and by author; write the weights where asked."""
    out: dict[str, Any] = {}
    for model in ("entry", "note"):
        if model == "note":
            cases = [(r, r["note"], r["material"]) for r in rows]
        else:
            cases = [(r, e["f"], e["right"]) for r in rows for e in r["entries"]]
        x = np.array([[f.get(n, 0.0) for n in FEATURES[model]] for _, f, _ in cases])
        y, owners = np.array([right for *_, right in cases], float), [r for r, *_ in cases]
        by = {r["say"]: r["source"] for r in owners if r["form"] != "spoken"}
        names = sorted(set(by.values()))
        authors = np.array([[float(by.get(r["say"]) == name) for name in names] for r in owners])
        for way, groups in (("notes", folds(owners)), ("authors", [r["source"] for r in owners])):
            p = crossed(x, y, authors, groups)
            error, table = calibration(list(zip(p.tolist(), (y > 0).tolist(), strict=True)))
            print(
                f"{model}, crossed over {way}: {len(y)}, right {y.mean():.3f}, expected calibration error {error:.3f}"
            )
            for source in dict.fromkeys(r["source"] for r in owners):
                own = [i for i, r in enumerate(owners) if r["source"] == source]
                error, _ = calibration([(float(p[i]), bool(y[i])) for i in own])
                print(f"  {source}: {len(own)}, right {y[own].mean():.3f}, expected calibration error {error:.3f}")
            print("\n".join(table))
            if model == "note":
                trade_off(owners, p)
        weights = zip(("intercept", *FEATURES[model]), fitted(x, y, authors), strict=True)
        out[model] = {name: round(float(w), 3) for name, w in weights if abs(w) >= 0.005}
    if write:
        heard = sum(r["form"] == "spoken" for r in rows)
        about = (
            "Weights of the logistic models behind `sure` (entry) and the chance of a reading (note); written by "
            f"bench/fit_sure.py on {len(rows) - heard} typed and {heard} heard readings of phrasings new to the rules."
        )
        TARGET.write_text(json.dumps({"about": about, **out}, indent=2) + "\n", encoding="utf-8")


def main() -> int:
    """Gather or fit."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    steps = parser.add_subparsers(dest="step", required=True)
    one = steps.add_parser("gather")
    one.add_argument("rows", type=Path)
    one.add_argument("--notes", nargs="*", default=[])
    one.add_argument("--spoken", nargs="*", type=Path, default=[])
    two = steps.add_parser("fit")
    two.add_argument("rows", type=Path, nargs="+")
    two.add_argument("--write", action="store_true")
    args = parser.parse_args()
    if args.step == "gather":
        with args.rows.open("w", encoding="utf-8") as out:
            out.writelines(json.dumps(found) + "\n" for found in gather(args.notes, args.spoken))
    else:
        fit([json.loads(x) for p in args.rows for x in p.read_text(encoding="utf-8").splitlines()], args.write)
    return 0


if __name__ == "__main__":
    sys.exit(main())
