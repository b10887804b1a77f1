"""How exactly typed notes are read: whole records right, by file, on a development and a held-out half.

Run as ``python bench/reading.py [--notes DIR…] [--form text|say] [--failures [FILE]]``; each folder is by an author of
its own, and the default is all but the `SEALED` ones. The halves are fixed by the first hexadecimal digit of the
SHA-256 of `say`: even is development, odd is held out. The folders in `OPENED` were opened to development as a whole
once later authors had written. Failures are only ever printed for development.

A note is exact when its entries, questions and orders are the expected ones (any of `any_of`), field by field; `sure`
is left out, free text (words of a note, a task or the weather, cause, tool, suspect, signs) is folded, slots of a
question beyond the contract are left out, and a doubt that holds the expected options counts.
The form `say` is read in lower case without any punctuation, which is harder than what a speech engine writes.
Silent wrong: not exact and kept without asking. Asked needlessly: a doubt where none is expected, the record right.
"""

from __future__ import annotations

import argparse
import functools
import hashlib
import json
import re
import sys
import time
from collections import Counter, defaultdict
from datetime import date
from itertools import zip_longest
from pathlib import Path
from typing import Any

import yaml

from gloveside.extract import numbers
from gloveside.extract.hearing import read_text
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register
from gloveside.extract.tokens import split, tidy

HERE = Path(__file__).resolve().parent
FREE = {("note", "text"), ("task", "text"), ("weather", "words"), ("loss", "cause"), ("graft", "tool")}
FREE |= {("disease", "suspect")}
SLOTS = {"ask", "round", "place", "queen", "since", "until", "tool"}
OPENED = tuple(f"notes{of}" for of in ("", *(f"_{letter}" for letter in "bcdefghklmnrs")))
# judges not yet measured: held out whole, and read only when they are named
SEALED: tuple[str, ...] = ("notes_o", "notes_t")
SMALL = {"the", "a", "an", "to", "of", "on", "in", "at", "and", "is", "it", "that", "i", "me", "my"}


@functools.cache
def _said(folders: tuple[str, ...]) -> frozenset[str]:
    files = (p for folder in folders for p in (HERE / folder).glob("*.yaml"))
    return frozenset(note["say"] for p in files for note in yaml.safe_load(p.read_text(encoding="utf-8")))


def development(say: str) -> bool:
    """Whether a note belongs to the development half, or to an author opened to development."""
    if say in _said(SEALED):
        return False
    return say in _said(OPENED) or int(hashlib.sha256(say.encode()).hexdigest()[0], 16) % 2 == 0


def fold(text: str) -> str:
    """Free text for comparison: lower case, numbers as digits, no punctuation, no small words."""
    tokens = split(tidy(text.lower()))[0]
    spans = {n.start: n for n in numbers.find(tokens) if not n.ordinal}
    out, at = [], 0
    while at < len(tokens):
        span = spans.get(at)
        out.append(str(plain(span.value)) if span else tokens[at])
        at = span.end if span else at + 1
    text = " ".join(out)
    words = re.sub(r"[^\w\s]", " ", text.lower().replace("-", " ")).split()
    return " ".join(w for w in words if w not in SMALL)


def plain(value: Any) -> Any:
    """Dates as ISO text, whole floats as integers."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value == int(value):
        return int(value)
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, list):
        return [plain(v) for v in value]
    return value


def entry_form(entry: dict[str, Any], on: str) -> dict[str, Any]:
    """One entry, ready for comparison."""
    out = {k: plain(v) for k, v in entry.items() if k not in ("sure", "doubt")}
    out.setdefault("on", on)
    for kind, name in FREE:
        if out.get("kind") == kind and name in out:
            out[name] = fold(str(out[name]))
    if "signs" in out:
        out["signs"] = sorted(map(fold, out["signs"]))
    if isinstance(out.get("percent"), int | float):
        out["percent"] = round(float(out["percent"]), 1)
    if out.get("kind") in ("note",):
        out.pop("place", None)
    return out


def agrees(got: dict[str, Any], want: dict[str, Any], doubts: list[dict[str, Any]], index: int, on: str) -> bool:
    """Whether an entry is the expected one, or in doubt with the expected options."""
    mine, theirs = entry_form(got, on), entry_form(want, on)
    doubt = want.get("doubt")
    if doubt:
        asked = any(
            d.get("field") == doubt["field"] and set(map(str, doubt["options"])) <= set(map(str, d["options"]))
            for d in doubts
        )
        field = doubt["field"]
        mine.pop(field, None)
        theirs.pop(field, None)
        return asked and mine == theirs
    for name in set(mine) | set(theirs):
        if mine.get(name) != theirs.get(name):
            options = [d["options"] for d in doubts if d.get("entry") == index and d.get("field") == name]
            if not any(theirs.get(name) in o for o in options):
                return False
    return True


def entries_right(got: dict[str, Any], item: dict[str, Any], reading: dict[str, Any]) -> tuple[int, int]:
    """How many of the entries expected of a note were read right, and how many are expected; notes aside."""
    on = str(plain(item["on"]))
    wanted = [e for e in reading["entries"] if e["kind"] != "note"]
    left = list(wanted)
    for index, entry in enumerate(got["entries"]):
        found = next((w for w in left if agrees(entry, w, got["doubts"], index, on)), None)
        if found is not None:
            left.remove(found)
    return len(wanted) - len(left), len(wanted)


def exact(got: dict[str, Any], item: dict[str, Any], reading: dict[str, Any]) -> bool:
    """Whether a reading is the expected one."""
    on = str(plain(item["on"]))
    pairs = list(enumerate(got["entries"]))
    wanted = reading["entries"]
    if item.get("ignore_notes"):
        pairs = [(i, e) for i, e in pairs if e["kind"] != "note"]
        wanted = [e for e in wanted if e["kind"] != "note"]
    if len(pairs) != len(wanted):
        return False
    left = list(wanted)
    for index, entry in pairs:
        for want in left:
            if agrees(entry, want, got["doubts"], index, on):
                left.remove(want)
                break
        else:
            return False
    if "wants" in item and not (reading["questions"] or reading["orders"]):
        return bool(got["questions"])

    def key(said: dict[str, Any]) -> str:
        # a question or an order may carry more than the contract names (state, kind; what was wrong, and when)
        slots = {k: v for k, v in plain(said).items() if k in SLOTS | {"do", "field", "to"}}
        return json.dumps(slots, sort_keys=True)

    return sorted(map(key, got["questions"])) == sorted(map(key, reading["questions"])) and sorted(
        map(key, got["orders"])
    ) == sorted(map(key, reading["orders"]))


def faults(got: dict[str, Any], want: dict[str, Any], on: str) -> list[str]:
    """What sorts of difference an inexact reading shows: kinds and fields, never the note itself."""
    out: list[str] = []
    mine, theirs = list(got["entries"]), list(want["entries"])
    for entry in theirs:
        same = next((e for e in mine if e["kind"] == entry["kind"]), None)
        if same is None:
            out.append(f"missed {entry['kind']}")
            continue
        mine.remove(same)
        a, b = entry_form(same, on), entry_form(entry, on)
        out += [f"{entry['kind']}.{n}" for n in set(a) | set(b) if a.get(n) != b.get(n)]
    out += [f"extra {e['kind']}" for e in mine]
    for name in ("questions", "orders"):
        for said, wanted in zip_longest(got[name], want[name], fillvalue={}):
            out += [
                f"{name}.{n}"
                for n in {*said, *wanted} & {*SLOTS, "do", "to", "field"}
                if plain(said.get(n)) != plain(wanted.get(n))
            ]
    return out


def main() -> int:
    """Print the table; with --failures the development notes that are not exact."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--form", choices=["text", "say", "both"], default="both")
    parser.add_argument("--failures", nargs="*", help="print development failures (of these files)")
    parser.add_argument("--notes", nargs="+", metavar="DIR", help="folders of notes (default: bench/notes*)")
    args = parser.parse_args()
    all_but_sealed = sorted(p for p in HERE.glob("notes*") if p.name not in SEALED)
    folders = [Path(d) for d in args.notes] if args.notes else all_but_sealed
    reader = Reader()
    forms = ["text", "say"] if args.form == "both" else [args.form]
    tally: dict[tuple[str, bool, str, str], list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    spent: list[float] = []
    long_entries: dict[tuple[bool, str], list[int]] = defaultdict(lambda: [0, 0])
    wrong: dict[bool, Counter[str]] = {True: Counter(), False: Counter()}
    for path in (p for folder in folders for p in sorted(folder.glob("*.yaml"))):
        folder = path.parent.name
        for item in yaml.safe_load(path.read_text(encoding="utf-8")):
            dev = development(item["say"])
            readings = item["reading"].get("any_of") or [item["reading"]]
            on = item["on"] if isinstance(item["on"], date) else date.fromisoformat(item["on"])
            for form in forms:
                said = re.sub(r"\[pause \d+\]", " ", item[form])
                if form == "say":
                    said = re.sub(r"[.,;:!?]+(?=\s|$)", "", said).lower()
                start = time.process_time()
                got = read_text(said, reader, on=on, register=Register()).model_dump(mode="json", by_alias=True)
                spent.append(time.process_time() - start)
                right = any(exact(got, item, r) for r in readings)
                if path.stem == "long":
                    best_of = max((entries_right(got, item, r) for r in readings), key=lambda p: p[0] / max(p[1], 1))
                    for k in (0, 1):
                        long_entries[dev, form][k] += best_of[k]
                wanted_doubt = any("doubt" in e for r in readings for e in r["entries"])
                row = tally[path.stem, dev, form, folder]
                row[0] += 1
                if not right and form == forms[0]:
                    best = min((faults(got, r, on.isoformat()) for r in readings), key=len)
                    wrong[dev].update(f"{path.stem}: {f}" for f in best)
                row[1] += right
                row[2] += not right and got["keep"]
                row[3] += right and bool(got["doubts"]) and not wanted_doubt
                if (
                    args.failures is not None
                    and dev
                    and not right
                    and (not args.failures or path.stem in args.failures)
                ):
                    print(f"\n{folder}/{path.stem} [{form}] {said}")
                    for r in readings:
                        print(
                            "   want",
                            json.dumps({k: v for k, v in plain(r).items() if v}),
                            "NOTES IGNORED" if item.get("ignore_notes") else "",
                            item.get("wants", ""),
                        )
                    print(
                        "   got ",
                        json.dumps(
                            {
                                k: (
                                    [
                                        {
                                            a: b
                                            for a, b in e.items()
                                            if a not in ("sure",) and not (a == "on" and b == on.isoformat())
                                        }
                                        for e in got[k]
                                    ]
                                )
                                for k in ("entries", "questions", "orders", "doubts")
                                if got[k]
                            }
                        ),
                    )
    print(f"\n{'file':12}" + "".join(f"{h:>32}" for h in ("development", "held out")))
    print(f"{'':12}" + f"{'n':>6}{'text':>9}{'say':>9}{'silent':>8}" * 2)
    stems = sorted({k[0] for k in tally})
    for stem in [*stems, *(f.name for f in folders), "TRADE", "ALL"]:
        line = f"{stem:12}"
        for dev in (True, False):
            cells = {}
            for form in forms:
                rows = [
                    v
                    for (s, d, f, n), v in tally.items()
                    if d is dev
                    and f == form
                    and (stem in (s, n, "ALL") or (stem == "TRADE" and s not in ("offtopic", "asking")))
                ]
                cells[form] = [sum(r[i] for r in rows) for i in range(4)]
            first = cells[forms[0]]
            line += f"{first[0]:>6}"
            for form in ("text", "say"):
                c = cells.get(form)
                line += f"{100 * c[1] / c[0]:>8.1f}%" if c and c[0] else f"{'-':>9}"
            line += f"{sum(c[2] for c in cells.values()):>8}"
        print(line)
    print("\nentries of long notes read right:")
    for dev, name in ((True, "development"), (False, "held out")):
        parts = [
            f"{form} {100 * got / of:.1f} % ({got} of {of})"
            for form in forms
            for got, of in [long_entries[dev, form]]
            if of
        ]
        print(f"  {name}: " + (", ".join(parts) or "none"))
    for dev, name in ((True, "development"), (False, "held out")):
        print(f"\nwhere {name} notes differ: " + ", ".join(f"{k} {n}" for k, n in sorted(wrong[dev].items())))
    spent.sort()
    middle, late = spent[len(spent) // 2], spent[int(len(spent) * 0.95)]
    print(f"{len(spent)} readings, CPU time p50 {1000 * middle:.1f} ms, p95 {1000 * late:.1f} ms")
    needless = sum(v[3] for v in tally.values())
    print(f"asked needlessly: {needless}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
