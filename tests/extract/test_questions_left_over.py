"""What a question's reading leaves over, the periods it names, and what is put as a question but read by no rule."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from gloveside.extract.hearing import read_text
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register

ON = date(2026, 11, 20)


@pytest.fixture(scope="module")
def read() -> Any:
    """The slots of the only question of a text."""
    reader = Reader()

    def of(text: str) -> dict[str, Any]:
        (question,) = read_text(text, reader, on=ON, register=Register()).questions
        slots: dict[str, Any] = question.model_dump(mode="json")
        return slots

    return of


@pytest.mark.parametrize(
    ("said", "left"),
    [
        ("which hives are not queenless", "not"),
        ("how much brood did hive twelve have at the fair", "fair"),
        ("how did round three take in the freezer", "freezer"),
        ("which hives with blue lids are queenless", "lids"),
    ],
)
def test_words_left_over_are_named(read: Any, said: str, left: str) -> None:
    assert left in read(said)["unsure"]


@pytest.mark.parametrize(
    "said",
    [
        "Sorry to bother you, but when exactly is round three going to be ripe?",
        "what's due tomorrow before I drive off",
        "which hives, um, need a feed at the Quarry",
        "how did round two take, I just forget",
    ],
)
def test_courtesy_and_asides_are_not(read: Any, said: str) -> None:
    assert "unsure" not in read(said)


@pytest.mark.parametrize(
    ("said", "since", "until"),
    [
        ("what did I feed between Monday and Thursday", "2026-11-16", "2026-11-19"),
        ("how many queens did I sell in 2025", "2025-01-01", "2025-12-31"),
        ("how many queens did I sell last November", "2025-11-01", "2025-11-30"),
        ("what did I do at hive seven this past week", "2026-11-13", "2026-11-20"),
        ("what did I feed in the last fortnight", "2026-11-06", "2026-11-20"),
        ("what did I feed since the weekend", "2026-11-14", None),
        ("what did I feed the week before last", "2026-11-02", "2026-11-08"),
        ("what did I feed on Monday and Tuesday", "2026-11-16", "2026-11-17"),
        ("how many hives did I treat since the start of September", "2026-09-01", None),
        ("what is due before the weekend", None, "2026-11-20"),
        ("which hives were queenless at the end of October", None, "2026-10-31"),
        ("which hives haven't been opened in ten days", None, "2026-11-10"),
    ],
)
def test_periods(read: Any, said: str, since: str | None, until: str | None) -> None:
    slots = read(said)
    assert (slots.get("since"), slots.get("until")) == (since, until)
    assert "place" not in slots or slots["place"] == "hive 7"


def test_which_hive_gives_is_no_hive(read: Any) -> None:
    assert "place" not in read("which breeder gives me the better take")


def test_two_rounds_are_compared(read: Any) -> None:
    assert read("how do rounds two and three compare")["rounds"] == [2, 3]


def test_what_was_put_right_is_meant(read: Any) -> None:
    assert read("which hives, I mean nucs, are queenless")["what"] == "nucs"
