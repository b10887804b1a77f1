"""Notes that people wrote as training text: numbers change alike in both forms, judges stay out."""

from __future__ import annotations

import random
import re
import sys
from pathlib import Path

import pytest
from num2words import num2words

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "training"))

from told_notes import NOT_HERE, other_numbers, pieces, read, told  # noqa: E402


@pytest.mark.parametrize(
    ("said", "text"),
    [
        ("Hive twelve, two litres of syrup.", "Hive 12, 2 litres of syrup."),
        ("Five frames in hive twenty-five.", "5 frames in Hive 25."),
        ("Round two, nineteen of thirty two took.", "Round 2, 19 of 32 took."),
        ("Nuc seven and nuc seventeen, both laying.", "Nuc 7 and Nuc 17, both laying."),
    ],
)
def test_numbers_change_alike(said: str, text: str) -> None:
    words = {num2words(n).replace("-", " "): str(n) for n in range(1, 100)}
    by_length = re.compile(r"\b(" + "|".join(sorted(words, key=len, reverse=True)) + r")\b")
    changed = set()
    for seed in range(30):
        new_said, new_text = other_numbers(said, text, random.Random(seed))
        said_again = by_length.findall(new_said.lower().replace("-", " "))
        assert [words[w] for w in said_again] == re.findall(r"\d+", new_text)
        changed.add(new_text)
    assert len(changed) > 20


@pytest.mark.parametrize(
    ("said", "text"),
    [
        ("One point five litres for hive five.", "1.5 litres for Hive 5."),
        ("Three hundred bees, four mites.", "300 bees, 4 mites."),
        ("At half past three I was in hive thirty.", "At 3:30 I was in Hive 30."),
    ],
)
def test_parts_of_longer_numbers_stay(said: str, text: str) -> None:
    for seed in range(30):
        new_said, new_text = other_numbers(said, text, random.Random(seed))
        for fixed_said, fixed_text in (
            ("One point five", "1.5 "),
            ("Three hundred", "300 "),
            ("half past three", "3:30"),
        ):
            if fixed_said in said:
                assert fixed_said in new_said
                assert fixed_text in new_text


def test_a_long_walk_comes_in_pieces() -> None:
    said = " ".join(f"Hive {word}, all well in there, plenty of stores and bees." for word in ["two", "three"] * 8)
    text = " ".join(f"Hive {n}, all well in there, plenty of stores and bees." for n in [2, 3] * 8)
    parts = pieces("[pause 3] " + said, text, random.Random(1))
    assert len(parts) > 3
    assert all(len(one) <= 400 and one.count(".") == other.count(".") for one, other in parts)
    assert " ".join(other for _, other in parts) == text


def test_no_judge_comes_in_and_the_seed_decides() -> None:
    rows = told(1500, 4)
    assert rows == told(1500, 4)
    judged = {
        note["text"]
        for folder in NOT_HERE
        for path in (ROOT / "bench" / folder).glob("*.yaml")
        for note in read(path)
        if len(note["text"]) > 40 and not re.search(r"\d", note["text"])
    }
    assert judged
    assert not judged & {row["text"] for row in rows}
