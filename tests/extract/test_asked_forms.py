"""What is asked is read whatever frame of speech it stands in: frames times topics of `asked_forms.yaml`.

A frame ("I was wondering …", "…, can you tell me?") says nothing about the record, so every topic must be read the same
in every frame; a reading as another question is the worst outcome and is counted apart from an offer.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from gloveside.extract.hearing import read_text
from gloveside.extract.models import Reading
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register

ON = date(2026, 11, 25)
FORMS: dict[str, Any] = yaml.safe_load(Path(__file__).with_name("asked_forms.yaml").read_text(encoding="utf-8"))
CONTRACT = ("ask", "round", "place", "queen", "since", "until", "tool")
EVERY = 24
SHORT = {"q": "direct", "c": "clause", "n": "noun"}


def _number(text: str, upto: int, low: int = 1) -> int:
    return low + int(hashlib.sha256(text.encode()).hexdigest()[:6], 16) % (upto - low + 1)


def asked(every: int = 1) -> Iterator[tuple[str, dict[str, Any], dict[str, Any], str, str]]:
    """Sentences with their topic, the values put in, the core and the frame; every: one of so many, fixed by hash."""
    for topic in FORMS["topics"]:
        for short, sort in SHORT.items():
            for core in topic.get(short) or ():
                values = {"r": _number(core, 9, 2), "h": _number(core, 60, 2), "n": _number(core, 24, 2)}
                for frame in FORMS["frames"][sort]:
                    if every > 1 and _number(core + frame, every) != 1:
                        continue
                    said = frame.format(**{short: core.format(**values)})
                    yield said[:1].upper() + said[1:], topic, values, core, frame


def filled(held: dict[str, Any], values: dict[str, Any]) -> dict[str, Any]:
    """The slots of a topic with the values put in."""
    out = {}
    for name, value in held.items():
        put = value.format(**values) if isinstance(value, str) else value
        out[name] = int(put) if name == "round" else put
    return out


def verdict(reading: Reading, topic: dict[str, Any], values: dict[str, Any]) -> str:
    """`right`, `offered`, `unread`, or `wrong` with what was read."""
    if not reading.questions:
        return "unread"
    if any((q.model_extra or {}).get("unsure") for q in reading.questions):
        return "offered"
    if len(reading.questions) > 1:
        return "wrong: several"
    got = reading.questions[0].model_dump(mode="json", exclude_none=True)
    for held in (topic["held"], *topic.get("any", ())):
        want = filled({**({k: v for k, v in topic["held"].items() if k == "place"}), **held}, values)
        free = {*topic.get("slots_free", ()), *(("since", "until") if topic.get("dates") == "free" else ())}
        if topic["held"].get("state") == got.get("state") or "queen" in free:
            free.add("queen")
        names = (set(CONTRACT) | set(want)) - free
        if all(got.get(name) == want.get(name) for name in names) and all(e.kind == "note" for e in reading.entries):
            return "right"
    return f"wrong: {got} {[e.kind for e in reading.entries]}"


@pytest.fixture(scope="module")
def verdicts() -> dict[str, list[tuple[str, str]]]:
    """Every sentence of the sample with its verdict, by topic."""
    reader = Reader()
    found: dict[str, list[tuple[str, str]]] = {}
    for said, topic, values, _, _ in asked(every=EVERY):
        what = verdict(read_text(said, reader, on=ON, register=Register()), topic, values)
        found.setdefault(name(topic), []).append((said, what))
    return found


def name(topic: dict[str, Any]) -> str:
    """What a topic is called in the report of a test."""
    return "-".join(map(str, topic["held"].values()))


@pytest.mark.parametrize("topic", [name(topic) for topic in FORMS["topics"]])
def test_none_is_read_as_another_question(verdicts: dict[str, list[tuple[str, str]]], topic: str) -> None:
    assert not [pair for pair in verdicts[topic] if pair[1].startswith("wrong")]


def test_nearly_all_are_read(verdicts: dict[str, list[tuple[str, str]]]) -> None:
    pairs = [pair for of_topic in verdicts.values() for pair in of_topic]
    missed = [pair for pair in pairs if pair[1] != "right"]
    assert len(missed) <= 0.05 * len(pairs), missed
