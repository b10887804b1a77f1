"""Check the notes of this folder and of the demo season against the reading contract and print what they cover.

Run as ``python bench/notes/check.py [--short] [FOLDER]``; leaves with status 1 and one line per fault when a file does
not hold.
Plain checks on purpose: the notes judge the project's models, so they must not be read through them.
"""

from __future__ import annotations

import argparse
import datetime as dt
import re
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).resolve().parent
SEASON = HERE.parents[1] / "fixtures" / "season" / "season.yaml"
STYLES = {"terse", "chatty", "run-on", "hesitant", "corrected"}
ITEM_KEYS = {"say", "text", "style", "on", "reading", "ignore_notes", "wants", "sounds_like_trade"}
SEASON_KEYS = {"id", "at", "uploaded", "voice", "noise", "snr_db", "say", "text", "ignore_notes", "expected"}
PLACE = re.compile(r"(hive|nuc) (\d{1,3}|[A-Z]\w*)|yard [A-Z]\w+")
NUMBER = (int, float)

QUEEN = {"seen", "not seen", "queenright", "queenless", "drone layer", "laying workers", "virgin"}
FEED = {"syrup 1:1", "syrup 2:1", "syrup", "fondant", "pollen patty", "honey frame", "pollen frame"}
COLOUR = {"white", "yellow", "red", "green", "blue"}
# kind -> field -> the allowed words, a type, or the name of a shape checked by `value_fault`
KINDS: dict[str, dict[str, Any]] = {
    "inspection": {
        "place": "place",
        "queen": QUEEN,
        "eggs": bool,
        "brood_frames": NUMBER,
        "bee_frames": NUMBER,
        "honey_frames": NUMBER,
        "pollen_frames": NUMBER,
        "strength": {"weak", "fair", "strong"},
        "temper": {"calm", "fair", "hot"},
        "queen_cells": "queen_cells",
        "signs": "words",
    },
    "feed": {"place": "place", "feed": FEED, "amount": NUMBER, "unit": {"l", "kg", "frame", "patty"}},
    "treatment": {
        "place": "place",
        "product": str,
        "method": {"trickle", "vapour", "pads", "strips"},
        "step": {"in", "out", "given"},
        "amount": NUMBER,
        "unit": {"ml", "g"},
    },
    "mites": {
        "place": "place",
        "method": {"wash", "sugar shake", "drop"},
        "mites": int,
        "bees": int,
        "days": int,
        "percent": NUMBER,
    },
    "builder": {
        "place": "place",
        "step": {"excluder in", "slide in", "slide out", "stocked", "made queenless"},
        "round": int,
    },
    "graft": {"round": int, "place": "place", "mother": "place", "bars": "numbers", "larvae": int, "tool": str},
    "take": {"round": int, "bars": "bars", "taken": int, "of": int},
    "cells": {"round": int, "count": int, "state": {"open", "capped", "ripe"}, "place": "place"},
    "incubator": {"round": int, "what": {"cells", "virgins"}, "count": int, "step": {"in", "out", "emerged"}},
    "plant": {"round": int, "count": int, "places": "places"},
    "mating": {"place": "place", "result": {"laying", "not laying", "virgin seen", "missing", "drone layer"}},
    "mark": {"place": "place", "colour": COLOUR, "clipped": bool},
    "queen": {"place": "place", "step": {"caught", "caged", "introduced", "released", "killed", "died"}, "to": "place"},
    "split": {"from": "place", "count": int, "places": "places"},
    "unite": {"from": "place", "into": "place"},
    "box": {"place": "place", "box": {"super", "brood box"}, "step": {"on", "off"}, "count": int},
    "harvest": {"place": "place", "amount": NUMBER, "unit": {"box", "frame", "kg"}},
    "move": {"places": "places", "to": "place"},
    "loss": {"place": "place", "cause": str},
    "sale": {"goods": {"nuc", "queen", "virgin", "cell", "honey"}, "count": int, "price": NUMBER, "to": str},
    "disease": {"place": "place", "suspect": str, "signs": "words"},
    "weather": {"temperature_c": NUMBER, "words": str},
    "task": {"text": str, "due": "date", "place": "place", "round": int},
    "note": {"text": str},
}
ASKS = {"ripe", "due", "take", "last", "history", "list", "splits", "count"}
SLOTS: dict[str, Any] = {"round": int, "place": "place", "queen": str, "since": "date", "until": "date", "tool": str}
DOES = {"undo", "change", "yes", "no"}


def is_place(value: Any) -> bool:
    """Say whether a value is a place spelt as the contract spells it."""
    return isinstance(value, str) and PLACE.fullmatch(value) is not None


def is_date(value: Any) -> bool:
    """Say whether a value is a date: an ISO text, or what YAML made of one."""
    if isinstance(value, dt.date):
        return True
    try:
        dt.date.fromisoformat(value)
    except (TypeError, ValueError):
        return False
    return True


def fits(value: Any, want: Any) -> bool:
    """Say whether one value has the wanted shape."""
    if isinstance(want, set):
        return value in want
    if want is bool:
        return isinstance(value, bool)
    if want is int or want is NUMBER:
        return isinstance(value, want) and not isinstance(value, bool)
    if want is str:
        return isinstance(value, str) and bool(value.strip())
    if want == "place":
        return is_place(value)
    if want == "date":
        return is_date(value)
    if want == "queen_cells":
        parts = {"count": int, "type": {"swarm", "supersedure", "emergency"}, "done": {"left", "knocked down", "kept"}}
        return isinstance(value, dict) and bool(value) and all(fits(v, parts.get(k, set())) for k, v in value.items())
    if not isinstance(value, list) or not value:
        return False
    if want == "places":
        return all(is_place(v) for v in value) and len(set(value)) == len(value)
    if want == "words":
        return all(isinstance(v, str) for v in value)
    if want == "numbers":
        return all(isinstance(v, int) for v in value)
    if want == "bars":
        return all(
            set(v) == {"bar", "taken", "of"}
            and 0 <= v["taken"] <= v["of"]
            and (v["bar"] in {"top", "middle", "bottom"} or isinstance(v["bar"], int))
            for v in value
        )
    raise ValueError(f"no check for {want!r}")


def entry_faults(entry: dict[str, Any]) -> list[str]:
    """List what is wrong with one expected entry."""
    kind = entry.get("kind")
    if kind not in KINDS:
        return [f"unknown kind {kind!r}"]
    faults = []
    for key, value in entry.items():
        if key == "kind":
            continue
        if key == "on":
            if not is_date(value):
                faults.append(f"{kind}.on is no date: {value!r}")
        elif key == "doubt":
            if set(value) != {"field", "options"} or len(value["options"]) < 2:
                faults.append(f"{kind}.doubt wants a field and two options: {value!r}")
        elif key not in KINDS[kind]:
            faults.append(f"{kind} has no field {key!r}")
        elif not fits(value, KINDS[kind][key]):
            faults.append(f"{kind}.{key} does not hold {value!r}")
    if kind == "take" and "bars" in entry:
        sums = (sum(b["taken"] for b in entry["bars"]), sum(b["of"] for b in entry["bars"]))
        if sums != (entry.get("taken"), entry.get("of")):
            faults.append(f"take: bars add up to {sums}")
    if kind == "graft" and "bars" in entry and sum(entry["bars"]) != entry.get("larvae"):
        faults.append("graft: larvae is not the sum of the bars")
    if kind == "mites" and entry.get("bees") and abs(entry["percent"] - 100 * entry["mites"] / entry["bees"]) > 0.051:
        faults.append("mites: percent is not mites / bees")
    if len(entry) == 1:
        faults.append(f"{kind} is empty")
    return faults


def reading_faults(reading: dict[str, Any]) -> list[str]:
    """List what is wrong with one expected reading."""
    if set(reading) != {"entries", "questions", "orders"}:
        return [f"a reading has entries, questions and orders, not {sorted(reading)}"]
    faults = [fault for entry in reading["entries"] for fault in entry_faults(entry)]
    for question in reading["questions"]:
        if question.get("ask") not in ASKS:
            faults.append(f"unknown ask {question.get('ask')!r}")
        faults += [
            f"ask slot {k} does not hold {v!r}"
            for k, v in question.items()
            if k != "ask" and not (k in SLOTS and fits(v, SLOTS[k]))
        ]
    for order in reading["orders"]:
        extra = {"field", "to"} if order.get("do") == "change" else set()
        told = {"said", "on"} if extra else set()  # the schema's own: the old value, the day
        if order.get("do") not in DOES or set(order) - told != {"do"} | extra:
            faults.append(f"no such order: {order!r}")
    return faults


def alternatives(reading: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the accepted readings of a note, one or several."""
    return list(reading["any_of"]) if set(reading) == {"any_of"} else [reading]


def item_faults(item: dict[str, Any]) -> list[str]:
    """List what is wrong with one note."""
    faults = [f"unknown key {key!r}" for key in set(item) - ITEM_KEYS]
    faults += [f"no {key}" for key in ("say", "text", "style", "on", "reading") if not item.get(key)]
    if faults:
        return faults
    if item["style"] not in STYLES:
        faults.append(f"unknown style {item['style']!r}")
    if not is_date(item["on"]):
        faults.append(f"on is no date: {item['on']!r}")
    if re.search(r"\d", re.sub(r"\[pause \d+\]", "", item["say"])):
        faults.append("digits in say")
    for reading in alternatives(item["reading"]):
        faults += reading_faults(reading)
        if not any(reading.get(k) for k in ("entries", "questions", "orders")) and "wants" not in item:
            faults.append("nothing expected and nothing wanted")
    return faults


def season_faults(path: Path) -> list[str]:
    """List what is wrong with the demo season: order of times, sound files, expected readings."""
    faults: list[str] = []
    before = ""
    for note in load(path):
        extra = set(note) - SEASON_KEYS
        if extra or note["at"] < before or note.get("uploaded", "9") < note["at"]:
            faults.append(f"season {note['id']}: unknown key {sorted(extra)} or times out of order")
        if (note["noise"] != "none") != ("snr_db" in note):
            faults.append(f"season {note['id']}: noise and snr_db go together")
        if not (path.parent / f"{note['id']}.ogg").is_file():
            faults.append(f"season {note['id']}: no voice note")
        before = note["at"]
        for reading in alternatives(note["expected"]):
            faults += [f"season {note['id']}: {fault}" for fault in reading_faults(reading)]
    return faults


def load(path: Path) -> list[dict[str, Any]]:
    """Return the notes of one file, in order."""
    notes = yaml.safe_load(path.read_text(encoding="utf-8"))
    if not isinstance(notes, list):
        raise ValueError(f"{path.name} is not a list of notes")
    return notes


def main(argv: list[str] | None = None) -> int:
    """Check every file; print faults, then the counts per kind, ask, order and style."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--short", action="store_true", help="print the faults and the totals only")
    parser.add_argument("folder", type=Path, nargs="?", default=HERE, help="notes of another author")
    args = parser.parse_args(argv)
    faults: list[str] = []
    said: dict[str, str] = {}
    files: Counter[str] = Counter()
    kinds: Counter[str] = Counter()
    asks: Counter[str] = Counter()
    does: Counter[str] = Counter()
    styles: Counter[str] = Counter()
    words: list[int] = []
    for path in sorted(args.folder.glob("*.yaml")):
        for number, item in enumerate(load(path), 1):
            where = f"{path.name}:{number}"
            faults += [f"{where}: {fault} ({str(item.get('say'))[:60]})" for fault in item_faults(item)]
            key = re.sub(r"\W+", " ", str(item.get("say")).lower()).strip()
            if key in said:
                faults.append(f"{where}: said before in {said[key]}")
            said[key] = where
            files[path.stem] += 1
            if path.stem in {"offtopic", "long", "asking"}:
                continue
            words.append(len(item["say"].split()))
            styles[item["style"]] += 1
            first = alternatives(item["reading"])[0]
            kinds.update({entry["kind"] for entry in first["entries"]})
            asks.update(question["ask"] for question in first["questions"])
            does.update(order["do"] for order in first["orders"])
    if args.folder == HERE:  # the folder that must cover the whole contract
        faults += season_faults(SEASON)
        faults += [f"only {kinds[kind]} notes hold a {kind}" for kind in KINDS if kinds[kind] < 12]
        faults += [f"no question asks {ask}" for ask in ASKS if not asks[ask]]
        faults += [f"no order does {do}" for do in DOES if not does[do]]
    print("\n".join(faults) or "no faults")
    if not args.short:
        for title, counter in (
            ("notes per file", files),
            ("notes per kind", kinds),
            ("asks", asks),
            ("orders", does),
            ("styles", styles),
        ):
            print(f"{title}: " + ", ".join(f"{key} {count}" for key, count in sorted(counter.items())))
    short = sum(n <= 12 for n in words)
    print(
        f"{len(words)} trade notes, {short} of at most 12 words ({100 * short / max(len(words), 1):.0f} %); "
        f"{files['offtopic']} off-topic, {files['long']} long, {files['asking']} asking"
    )
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
