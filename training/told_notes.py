"""Training text from notes that people wrote: those of `bench/notes_*` that judge nothing that is spoken.

Whole notes as a person tells them hold words and orders of words that no template has. Each is taken several times,
with other numbers, and long walks in pieces of a few sentences. The folders that judge (`NOT_HERE`) are left out.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml
from num2words import num2words

BENCH = Path(__file__).resolve().parents[1] / "bench"
# the notes of `bench/ears/run.py`, and those of `bench/ears/spoken.py`, which judge what comes of a spoken note
NOT_HERE = frozenset({"notes", "notes_i", "notes_j", "notes_m", "notes_n", "notes_o", "notes_s", "notes_t"})
# Numbers change for others of the same sort: "nineteen" and "ninety" are not heard alike.
SORTS = (range(2, 10), range(11, 20), range(20, 100))

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the safe loader in C is ten times faster
_PAUSE = re.compile(r"\s*\[pause[^\]]*\]\s*")
_TENS = "twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety"
# hesitations, which the engine is taught to leave out of its text
_FILLER = re.compile(r"\b(?:um+|uhm?|erm?|hmm*)\b(?:\.\.\.|[,.])? ?", re.IGNORECASE)
_SENTENCES = re.compile(r"(?<=[.?!]) +")


def _said(n: int) -> re.Pattern[str]:
    """The number in words, hyphen or blank, not as a part of a longer one ("five" in "twenty-five")."""
    words = num2words(n).replace("-", "[- ]")
    after = "(?![- ](?:one|two|three|four|five|six|seven|eight|nine)\\b)" if n >= 20 and n % 10 == 0 else ""
    return re.compile(
        "".join(rf"(?<!\b{tens}[- ])" for tens in _TENS.split("|"))
        + rf"(?<![-\w])(?<!point )(?<!hundred )(?<!and ){words}(?![-\w]){after}(?! (?:hundred|thousand|point)\b)",
        re.IGNORECASE,
    )


def _written(n: int) -> re.Pattern[str]:
    return re.compile(rf"(?<![\d.,:]){n}(?![\d.,:]\d|\d)")


def other_numbers(said: str, text: str, rng: random.Random) -> tuple[str, str]:
    """The note with other numbers in both forms; a number that is not found as often in one as in the other stays."""
    present = {int(m) for m in re.findall(r"(?<![\d.,:])\d{1,2}(?![\d.,:]\d|\d)", text)}
    taken = set(present)
    for n in sorted(present):
        sort = next((s for s in SORTS if n in s), None)
        in_said, in_text = _said(n), _written(n)
        if sort is None or len(in_said.findall(said)) != len(in_text.findall(text)):
            continue
        free = [m for m in sort if m not in taken]
        if not free or rng.random() < 0.1:
            continue
        new = rng.choice(free)
        taken.add(new)
        said, text = in_said.sub(num2words(new), said), in_text.sub(str(new), text)
    return said, text


def pieces(said: str, text: str, rng: random.Random) -> list[tuple[str, str]]:
    """A note that is short enough, or stretches of two to four sentences of a long one whose sentences match."""
    said, text = _PAUSE.sub(" ", said).strip(), text.strip()
    if len(said) <= 300:
        return [(said, text)]
    of_said, of_text = _SENTENCES.split(said), _SENTENCES.split(text)
    if len(of_said) != len(of_text):
        return []
    out, at = [], 0
    while at < len(of_said):
        more = rng.choice([2, 3, 4])
        out.append((" ".join(of_said[at : at + more]), " ".join(of_text[at : at + more])))
        at += more
    return [pair for pair in out if len(pair[0]) <= 400]


def read(path: Path) -> list[dict[str, Any]]:
    """The notes of one file of the bench."""
    notes: list[dict[str, Any]] = yaml.load(path.read_text(encoding="utf-8"), _LOADER)
    return notes


def _notes() -> Iterator[tuple[str, dict[str, Any]]]:
    for folder in sorted(p for p in BENCH.glob("notes*") if p.name not in NOT_HERE):
        for path in sorted(folder.glob("*.yaml")):
            for note in read(path):
                yield path.stem, note


def plain(text: str) -> str:
    """A text without marks and capitals, to compare by."""
    return " ".join(re.findall(r"[\w']+", text.lower()))


def judged_texts() -> set[str]:
    """What the notes that judge say, plain: no training sentence may be one of them, whatever it was made from."""
    paths = (path for name in sorted(NOT_HERE) for path in sorted((BENCH / name).glob("*.yaml")))
    return {plain(note["text"]) for path in paths for note in read(path)}


def told(count: int, seed: int) -> list[dict[str, str]]:
    """`count` notes ``{say, text, kind}``, the same for the same seed and folders."""
    rng = random.Random(seed)
    whole = [(family, note["say"], note["text"]) for family, note in _notes()]
    judged = judged_texts()
    whole = [(family, said, text) for family, said, text in whole if plain(text) not in judged]
    out: list[dict[str, str]] = []
    seen: set[str] = set()
    while len(out) < count:
        before = len(out)
        for family, said, text in rng.sample(whole, len(whole)):
            for piece in pieces(said, text, rng):
                new_said, new_text = other_numbers(*piece, rng)
                if new_text in seen and rng.random() < 0.5:
                    continue
                seen.add(new_text)
                kind = "free_talk" if family == "offtopic" else "told"
                out.append({"say": new_said, "text": _FILLER.sub("", new_text), "kind": kind})
        if len(out) == before:
            break
    return out[:count]
