"""How well the ear hears: the bench's notes in voices that never trained it, clean and spoilt, by base, prompt and ear.

    python bench/ears/run.py --quick                     # 60 notes, clean and one noise: minutes
    python bench/ears/run.py --notes 400 --conditions clean,wind15,wind10,wind5,hum15,hum10,hum5,phone,opus16,opus32

The notes are those of `bench/notes` (`say` is spoken, `text` is what should be written). Everything goes through the
product's own engine, voice-activity gate and all. Spoken clips and transcripts are kept under ``--work``, so a run
that was
stopped goes on where it was; ``transcripts.jsonl`` there serves other benches (record-level figures).
Conditions: ``clean``, ``windN`` and ``humN`` (noise at N dB), ``phone``, ``opusN`` (kbit/s). Systems: ``base``,
``prompt`` (base with the domain prompt), ``ear`` (base with the adapter, no prompt), ``NAME=path.npz`` (another
adapter).
"""

from __future__ import annotations

import argparse
import hashlib
import json
import random
import re
import resource
import sys
import time
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import yaml

sys.path.insert(0, str(Path(__file__).parent))
from codec import opus
from folding import fold, numbers
from noise import NOISES, RATE, mix, phone_band

from voices import NAMES, speak

ROOT = Path(__file__).parents[2]
# A word of these in a transcript that the speaker did not say is an invention that could become an entry.
TRADE = re.compile(
    r"\b(hives?|nucs?|queens?|queenright|queenless|brood|larvae?|graft\w*|varroa|mites?|syrup|fondant|oxalic|formic|thymol|"
    r"amitraz|excluders?|supers?|swarm\w*|propolis\w*|\w+brood|supersed\w+|incubator|virgins?|drones?|bees?|honey|pollen)\b"
)


def load_notes(folder: Path) -> tuple[list[dict[str, str]], list[dict[str, str]]]:
    """The notes of the trade, and the off-topic ones."""
    notes, other = [], []
    for path in sorted(folder.glob("*.yaml")):
        if path.stem == "asking":
            continue
        for i, entry in enumerate(yaml.safe_load(path.read_text(encoding="utf-8"))):
            row = {
                "id": f"{path.stem}-{i}",
                "family": path.stem,
                "say": entry["say"],
                "text": entry["text"],
                "style": entry.get("style", ""),
            }
            if path.stem != "offtopic":
                notes.append(row)
            elif not entry.get("sounds_like_trade"):
                other.append(row)
    return notes, other


def spread(rows: list[dict[str, str]], count: int, seed: int) -> list[dict[str, str]]:
    """`count` rows, taking each family in turn, the same for the same seed."""
    rng = random.Random(seed)
    families: dict[str, list[dict[str, str]]] = defaultdict(list)
    for row in rows:
        families[row["family"]].append(row)
    for group in families.values():
        rng.shuffle(group)
    picked: list[dict[str, str]] = []
    while len(picked) < min(count, len(rows)):
        for group in families.values():
            if group and len(picked) < count:
                picked.append(group.pop())
    return picked


def clip(voice: str, said: str, work: Path) -> np.ndarray:
    """The spoken note, from the cache or made now; "[pause 3]" is three seconds of silence."""
    path = work / "audio" / voice / (hashlib.sha256(said.encode()).hexdigest()[:20] + ".npy")
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        parts: list[np.ndarray] = []
        for k, part in enumerate(re.split(r"\[pause (\d+(?:\.\d+)?)\]", said)):
            silence = k % 2 == 1
            parts.append(np.zeros(int(float(part) * RATE), np.float32) if silence else speak(voice, part.strip()))
        partial = path.with_suffix(".part")
        with partial.open("wb") as f:
            np.save(f, (np.concatenate(parts) * 32767).astype(np.int16))
        partial.replace(path)
    return np.load(path).astype(np.float32) / 32767


def spoil(x: np.ndarray, condition: str, seed: int) -> np.ndarray:
    """The clip under a condition."""
    if condition == "clean":
        return x
    if condition == "phone":
        return phone_band(x)
    name, number = re.fullmatch(r"([a-z]+)(\d+)", condition).groups()  # type: ignore[union-attr]
    return opus(x, int(number)) if name == "opus" else mix(x, name, float(number), seed)


class Systems:
    """The engines side by side, each opened once."""

    def __init__(self, names: list[str], work: Path, threads: int) -> None:
        from gloveside.extract.register import Register
        from gloveside.extract.vocabulary import build
        from gloveside.speech import adapter
        from gloveside.speech.whisper import WhisperEngine

        self.vocabulary = build(Register())
        self.engines, self.keys = {}, {}
        for name in names:
            label, _, given = name.partition("=")
            path = Path(given) if given else (adapter.shipped() if label == "ear" else None)
            if label == "ear" and path is None:
                raise SystemExit("No adapter is shipped: name one with --systems ear=path.npz")
            self.engines[label] = WhisperEngine(
                data_folder=work / f"model-{label}",
                adapter=path,
                threads=threads,
                prompting="always" if label == "prompt" else "never",
            )
            marks = path.read_bytes() if path else self.vocabulary.prompt.encode() if label == "prompt" else b""
            self.keys[label] = hashlib.sha256(marks).hexdigest()[:12]

    def hear(self, label: str, x: np.ndarray) -> dict[str, Any]:
        """What one engine heard, with seconds of clock and of processor."""
        from gloveside.speech.transcript import Audio

        self.engines[label].warm()
        clock, processor = time.perf_counter(), time.process_time()
        transcript = self.engines[label].transcribe(Audio(x.astype(np.float32)), self.vocabulary)
        return {
            "heard": transcript.text,
            "clock": time.perf_counter() - clock,
            "cpu": time.process_time() - processor,
            "seconds": len(x) / RATE,
        }


class Kept:
    """Transcripts by what was heard and by whom, in a file that only grows."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.rows: dict[str, dict[str, Any]] = {}
        if path.exists():
            for line in path.read_text(encoding="utf-8").splitlines():
                row = json.loads(line)
                self.rows[row["key"]] = row

    def get(self, key: str, make: Any) -> dict[str, Any]:
        """The row of a key, made and written down if it is new."""
        if key not in self.rows:
            self.rows[key] = {"key": key, **make()}
            with self.path.open("a", encoding="utf-8") as f:
                f.write(json.dumps(self.rows[key], ensure_ascii=False) + "\n")
        return self.rows[key]


def figures(rows: list[dict[str, Any]]) -> str:
    """One line of figures for a group of transcripts."""
    import jiwer

    want, got = [fold(r["text"]) for r in rows], [fold(r["heard"]) for r in rows]
    n = len(rows)
    perfect = sum(w == g for w, g in zip(want, got, strict=True)) / n
    nums = sum(numbers(w) == numbers(g) for w, g in zip(want, got, strict=True)) / n
    clock = sorted(r["clock"] for r in rows)
    long = [r for r in rows if r["seconds"] > 5] or rows
    rtf = sum(r["clock"] for r in long) / sum(r["seconds"] for r in long)
    cpu = sum(r["cpu"] for r in long) / sum(r["seconds"] for r in long)
    return (
        f"{n:5d} {perfect:8.1%} {nums:8.1%} {jiwer.wer(want, [g or '-' for g in got]):7.4f} {rtf:6.3f} {cpu:6.3f} "
        f"{clock[n // 2]:6.2f} {clock[min(n - 1, int(n * 0.95))]:6.2f}"
    )


HEADER = "    n  perfect  numbers     WER    RTF  cpuRT    p50    p95"


def hear_notes(
    args: argparse.Namespace, systems: Systems, kept: Kept, notes: list[dict[str, str]], part: str
) -> Iterator[dict[str, Any]]:
    """Every note in every voice, condition and system; condition by condition, so that a stopped run is still whole."""
    for condition in args.conditions:
        for voice in args.voices:
            for note in notes:
                x: np.ndarray | None = None
                for label, mark in systems.keys.items():
                    digest = hashlib.sha256(note["say"].encode()).hexdigest()[:12]
                    key = f"{part}|{label}-{mark}|{voice}|{condition}|{digest}"
                    if key not in kept.rows and x is None:
                        x = spoil(clip(voice, note["say"], args.work), condition, int(digest[:6], 16))
                    row = kept.get(key, lambda label=label, x=x: systems.hear(label, x))
                    yield {**note, **row, "voice": voice, "condition": condition, "system": label}


def report_notes(rows: list[dict[str, Any]], title: str) -> None:
    """A table: voice, condition, system."""
    groups: dict[tuple[str, str, str], list[dict[str, Any]]] = defaultdict(list)
    for r in rows:
        groups[r["condition"], r["voice"], r["system"]].append(r)
    print(f"\n{title}\n{'condition':10s}{'voice':7s}{'system':8s}{HEADER}")
    for (condition, voice, label), group in groups.items():
        print(f"{condition:10s}{voice:7s}{label:8s}{figures(group)}")


def report_invented(rows: list[dict[str, Any]]) -> None:
    """Trade words that nobody said, by system, with the transcripts that hold them."""
    for label in dict.fromkeys(r["system"] for r in rows):
        found = []
        for r in (r for r in rows if r["system"] == label):
            said = set(TRADE.findall(fold(r["text"])))
            new = [w for w in TRADE.findall(fold(r["heard"])) if w not in said]
            if new:
                found.append(f"      {r['text']!r} -> {r['heard']!r}")
        print(f"  {label}: {len(found)} notes with an invented trade word", *found, sep="\n")


def report_noise(systems: Systems, kept: Kept, count: int) -> None:
    """Texts that come out of noise alone, after the gate."""
    print(f"\nNoise alone, {count} clips of 3-8 s of each kind: texts that came out")
    for label, mark in systems.keys.items():
        texts = []
        for kind, make in NOISES.items():
            for k in range(count):
                rng = np.random.default_rng(k)
                noise = make(int(RATE * rng.uniform(3, 8)), rng)
                x = (noise / np.abs(noise).max() * rng.uniform(0.02, 0.8)).astype(np.float32)
                texts.append(
                    kept.get(f"noise|{label}-{mark}|{kind}|{k}", lambda label=label, x=x: systems.hear(label, x))[
                        "heard"
                    ]
                )
        print(f"  {label}: {sum(bool(t) for t in texts)} of {len(texts)}", [t for t in texts if t])


def report_people(systems: Systems, kept: Kept) -> None:
    """Real recordings in the wheel of moonshine-voice (a novel read aloud, two plays): how far from the base's text."""
    import jiwer

    try:
        import moonshine_voice
    except (ImportError, OSError):
        print("\nPeople: pip install moonshine-voice to hear its recordings")
        return
    from gloveside.speech.decode import decode

    print(
        "\nPeople (recordings in moonshine-voice): words that differ from the base's transcript, trade words invented"
    )
    for path in sorted((Path(moonshine_voice.__file__).parent / "assets").glob("*.wav")):
        if path.stem in ("success", "error"):
            continue
        x = np.asarray(decode(path).samples)
        base = ""
        for label, mark in systems.keys.items():
            heard = kept.get(f"people|{label}-{mark}|{path.stem}", lambda label=label, x=x: systems.hear(label, x))[
                "heard"
            ]
            base = base or fold(heard)
            new = [w for w in TRADE.findall(fold(heard)) if w not in base]
            print(
                f"  {path.stem:20s} {len(x) / RATE:5.0f} s {label:7s} "
                f"{jiwer.wer(base or '-', fold(heard) or '-'):.4f} {new}"
            )


def main() -> None:
    """Run the bench."""
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("--notes", type=int, default=400)
    p.add_argument("--off-topic", type=int, default=100)
    p.add_argument("--voices", default=",".join(NAMES))
    p.add_argument("--conditions", default="clean,wind15,wind10,wind5,hum15,hum10,hum5,phone,opus16,opus32")
    p.add_argument("--systems", default="base,prompt,ear")
    p.add_argument("--quick", action="store_true", help="60 notes, 30 off-topic, clean and wind10")
    p.add_argument("--work", type=Path, default=ROOT / ".work" / "ears-bench")
    p.add_argument("--threads", type=int, default=2)
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--errors", type=int, default=0, help="print so many wrong notes of the last system")
    p.add_argument("--only-notes", action="store_true", help="leave out off-topic talk, noise and people")
    args = p.parse_args()
    if args.quick:
        args.notes, args.off_topic, args.conditions = 60, 30, "clean,wind10"
    args.voices, args.conditions = args.voices.split(","), args.conditions.split(",")
    args.work.mkdir(parents=True, exist_ok=True)
    notes, other = load_notes(ROOT / "bench" / "notes")
    systems, kept = Systems(args.systems.split(","), args.work, args.threads), Kept(args.work / "transcripts.jsonl")
    rows: list[dict[str, Any]] = []
    picked = spread(notes, args.notes, args.seed)
    for row in hear_notes(args, systems, kept, picked, "note"):
        rows.append(row)
    report_notes(rows, f"{len(picked)} notes")
    if args.errors:
        last = list(systems.keys)[-1]
        wrong = [r for r in rows if r["system"] == last and fold(r["text"]) != fold(r["heard"])]
        for r in random.Random(args.seed).sample(wrong, min(args.errors, len(wrong))):
            print(f"   {r['condition']} {r['voice']}: {fold(r['text'])} | {fold(r['heard'])}")
    if not args.only_notes:
        general = argparse.Namespace(**{**vars(args), "conditions": ["clean"]})
        talk = list(hear_notes(general, systems, kept, spread(other, args.off_topic, args.seed), "talk"))
        report_notes(talk, "Off-topic talk")
        report_invented(talk)
        report_noise(systems, kept, 10 if args.quick else 25)
        report_people(systems, kept)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"\npeak memory {peak:.0f} MB (all engines of the run together); "
        "RTF over notes longer than 5 s, by clock and by processor"
    )


if __name__ == "__main__":
    main()
