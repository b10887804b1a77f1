"""What a text asks: the slots of its only question, read by the one reader."""

from __future__ import annotations

from typing import Any

from one_reader import read


def slots(said: str) -> dict[str, Any]:
    """The slots of the only question of a text."""
    reading = read(said)
    assert all(entry.kind == "note" for entry in reading.entries), reading.entries
    (question,) = reading.questions
    found: dict[str, Any] = question.model_dump(mode="json", exclude_none=True)
    return found


def holds(said: str, **want: Any) -> None:
    """Check that a question is read without a word left over and holds these slots; None: it must not hold one."""
    found = slots(said)
    assert "unsure" not in found, found
    assert {name: found.get(name) for name in want} == want
