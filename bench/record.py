"""How right the records are that come out of heard notes: whole records, slots, silent wrong saves, questions asked.

Run as ``python bench/record.py TRANSCRIPTS.jsonl [--half development|held-out|all] [--failures]``. One line of the file
is one spoken note::

    {"item": {...a note of bench/notes...}, "file": "mites", "voice": "joe", "condition": "10 dB", "engine": "...",
     "seconds": 3.2, "segments": [{"text", "start", "end", "words": [{"text", "start", "end", "probability"}],
     "alternatives": [{"text", "score"}], "score", "no_speech", "scores": {text: score}}]}

`scores` are the engine's own scores of the texts that were tried while the sound was at hand; without them the steps
that ask the engine are left out. Printed for each voice and condition, and for each ablation:

* exact: entries, questions and orders as expected; a doubt whose options hold the truth counts (as in bench/reading.py)
* slots: F1 over (kind, place, field, value)
* silent: wrong and kept without asking; rightly / needlessly: asked where the record was wrong / was right anyhow
* chatter: off-topic notes that gave anything but a note

and a reliability table of `sure` with its expected calibration error. Failures are printed for development only.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import defaultdict
from datetime import date
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent))
from gloveside.extract.hearing import with_evidence
from gloveside.extract.hearing_settings import HearingSettings
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register
from gloveside.speech.transcript import Hypothesis, Segment, Transcript, Word
from reading import development, entry_form, exact, plain

TALK = {"offtopic", "note"}
ABLATIONS = {
    "full": HearingSettings(),
    "no n-best": HearingSettings(rivals=False),
    "no repair": HearingSettings(repair=False),
    "no doubts": HearingSettings(doubts=False),
    "rules only": HearingSettings(rivals=False, repair=False, doubts=False),
}


class Replayed:
    """The engine's scores as they were written down; a text that was not tried then counts as hopeless."""

    def __init__(self, scores: dict[str, float]) -> None:
        self._scores = scores

    def score(self, text: str) -> float:
        """Sum of the log probabilities of the text's tokens."""
        return self._scores.get(text, min(self._scores.values(), default=0.0) - 20.0)


def demo_register() -> Register:
    """The invented operation of the demo: hives 1-60, nucs 1-24, three yards, one builder, two breeders."""
    places = [f"hive {n}" for n in range(1, 61)] + [f"nuc {n}" for n in range(1, 25)]
    yards = [f"yard {name}" for name in ("Orchard", "Quarry", "Creek")]
    return Register(
        places=frozenset(places + yards), builders=frozenset(["hive 7"]), mothers=frozenset(["hive 21", "hive 34"])
    )


def transcript(row: dict[str, Any]) -> Transcript:
    """The transcript of one line."""
    segments = []
    for raw in row["segments"]:
        segments.append(
            Segment(
                text=raw["text"],
                start=raw["start"],
                end=raw["end"],
                words=tuple(Word(**w) for w in raw.get("words", [])),
                alternatives=tuple(Hypothesis(**h) for h in raw.get("alternatives", [])),
                score=raw.get("score", 0.0),
                no_speech=raw.get("no_speech"),
                scorer=Replayed(raw["scores"]) if raw.get("scores") else None,
            )
        )
    return Transcript(tuple(segments), row.get("seconds", 0.0), row.get("engine", ""))


def slots(entries: list[dict[str, Any]], on: str) -> set[str]:
    """The slots of a record, for F1: notes left out."""
    out = set()
    for entry in entries:
        if entry["kind"] == "note":
            continue
        form = entry_form(entry, on)
        place = form.get("place", form.get("round"))
        for name, value in form.items():
            if name != "kind":
                out.add(json.dumps([form["kind"], place, name, value], sort_keys=True, default=str))
    return out


def bare(got: dict[str, Any]) -> dict[str, Any]:
    """The reading as if nothing had been asked."""
    return {**got, "doubts": []}


def right_entries(got: dict[str, Any], wants: list[dict[str, Any]], on: str) -> list[bool]:
    """For each entry but notes: whether it is one of the expected ones."""
    expected = [entry_form(e, on) for want in wants for e in want.get("entries", [])]
    return [entry_form(e, on) in expected for e in got["entries"] if e["kind"] != "note"]


class Tally:
    """Counts over notes."""

    def __init__(self) -> None:
        self.n = self.exact = self.silent = self.rightly = self.needlessly = self.chatter = self.talk = 0
        self.hit = self.said = self.meant = 0

    def add(self, name: str, got: dict[str, Any], item: dict[str, Any], wants: list[dict[str, Any]], on: str) -> bool:
        """Take one note in; returns whether it is exact."""
        right = any(exact(got, item, want) for want in wants)
        if name in TALK:
            # the words of a remark are free text: what counts is that nothing else was made of it
            right = right or not (any(e["kind"] != "note" for e in got["entries"]) or got["questions"] or got["orders"])
        without = (right and name in TALK) or any(exact(bare(got), item, want) for want in wants)
        asked = bool(got["doubts"])
        expected = any("doubt" in e for want in wants for e in want.get("entries", []))
        self.n += 1
        self.exact += right
        self.silent += not right and not asked
        self.rightly += asked and (expected or not without)
        self.needlessly += asked and without and not expected
        if name == "offtopic":
            self.talk += 1
            self.chatter += any(e["kind"] != "note" for e in got["entries"]) or bool(got["questions"] or got["orders"])
        mine = slots(got["entries"], on)
        theirs = max((slots(w.get("entries", []), on) for w in wants), key=lambda s: len(s & mine))
        self.hit, self.said, self.meant = self.hit + len(mine & theirs), self.said + len(mine), self.meant + len(theirs)
        return right

    def line(self) -> str:
        """One line of the table, shares in percent."""
        share = 100.0 / max(self.n, 1)
        f1 = 200.0 * self.hit / max(self.said + self.meant, 1)
        return (
            f"{self.n:>5}{self.exact * share:>8.1f}{f1:>8.1f}{self.silent * share:>8.1f}"
            f"{self.rightly * share:>9.1f}{self.needlessly * share:>12.1f}{self.chatter:>6}/{self.talk}"
        )


def calibration(pairs: list[tuple[float, bool]]) -> tuple[float, list[str]]:
    """Expected calibration error over ten bins, and the reliability table."""
    bins: dict[int, list[tuple[float, bool]]] = defaultdict(list)
    for sure, right in pairs:
        bins[min(9, int(sure * 10))].append((sure, right))
    error, lines = 0.0, []
    for index in sorted(bins):
        held = bins[index]
        mean = sum(s for s, _ in held) / len(held)
        share = sum(r for _, r in held) / len(held)
        error += len(held) / len(pairs) * abs(mean - share)
        lines.append(f"  sure {mean:.2f}  right {share:.2f}  of {len(held)}")
    return error, lines


def main() -> int:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("transcripts", type=Path)
    parser.add_argument("--half", choices=["development", "held-out", "all"], default="all")
    parser.add_argument("--failures", action="store_true")
    args = parser.parse_args()
    rows = [json.loads(line) for line in args.transcripts.read_text(encoding="utf-8").splitlines() if line.strip()]
    rows = [r for r in rows if args.half == "all" or development(r["item"]["say"]) == (args.half == "development")]
    reader, register = Reader(), demo_register()
    head = f"{'':28}{'n':>5}{'exact':>8}{'slots':>8}{'silent':>8}{'rightly':>9}{'needlessly':>12}{'chatter':>9}"
    print(head)
    pairs: list[tuple[float, bool]] = []
    for name, settings in ABLATIONS.items():
        tallies: dict[str, Tally] = defaultdict(Tally)
        for row in rows:
            item, on = row["item"], str(plain(row["item"]["on"]))
            wants = item["reading"].get("any_of") or [item["reading"]]
            reading, _ = with_evidence(
                transcript(row), reader, on=date.fromisoformat(on), register=register, settings=settings
            )
            got = reading.model_dump(mode="json", by_alias=True)
            right = tallies["ALL"].add(row["file"], got, item, wants, on)
            if name == "full":
                label = f"{row.get('voice', '')} {row.get('condition', '')}".strip()
                tallies[label].add(row["file"], got, item, wants, on)
                sures = [e["sure"] for e in got["entries"] if e["kind"] != "note"]
                pairs.extend(zip(sures, right_entries(got, wants, on), strict=True))
                if args.failures and not right and development(item["say"]):
                    print("SILENT" if got["keep"] else "asked", end=" ")
                    print(f"{row['file']} | {item['say']}\n   raw   {got['raw']}\n   heard {got['heard']}")
                    kept = {k: got[k] for k in ("entries", "questions", "orders", "doubts") if got[k]}
                    print("   got  ", json.dumps(kept))
        for label in sorted(tallies, key=lambda k: (k == "ALL", k)):
            print(f"{name + ' · ' + label:28}{tallies[label].line()}")
    if pairs:
        error, lines = calibration(pairs)
        print(f"\nreliability of `sure` ({len(pairs)} entries), expected calibration error {error:.3f}")
        print("\n".join(lines))
    return 0


if __name__ == "__main__":
    sys.exit(main())
