"""Sentences as data: `sentences/<family>.yaml`, each with the reading it must give, and talk that must give none.

A case is `{say, on, reading}`. `on` is the day of the note (default 2026-11-20). `reading` is the list of entries
or a mapping with `entries`, `questions` and `orders`; what is left out must be empty. An entry's `on` is the day of the
note unless given. Notes of leftover words are not compared, but an entry of any other kind that is not expected fails:
so a rule of one kind that claims another kind's sentence is found here.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from gloveside.extract.hearing import read_text
from gloveside.extract.lexicon import _Loader  # on, off, yes and no stay words
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register

FOLDER = Path(__file__).parent / "sentences"
ON = date(2026, 11, 20)
KINDS = [
    "inspection", "feed", "treatment", "mites", "builder", "graft", "take", "cells", "incubator", "plant", "mating",
    "mark", "queen", "split", "unite", "box", "harvest", "move", "loss", "sale", "disease", "weather", "task",
]  # fmt: skip
FAMILIES = [*KINDS, "corrections", "orders", "questions_rounds", "questions_places"]


@cache
def reader() -> Reader:
    return Reader()


@cache
def register() -> Register:
    """The demo operation with hives enough for the sentences."""
    hives = [f"hive {n}" for n in range(1, 105)]
    nucs = [f"nuc {n}" for n in range(1, 25)]
    yards = ["yard Orchard", "yard Quarry", "yard Creek"]
    return Register(
        places=frozenset([*hives, *nucs, *yards]),
        builders=frozenset(["hive 7"]),
        mothers=frozenset(["hive 21", "hive 34"]),
    )


def cases(family: str) -> list[dict[str, Any]]:
    return yaml.load((FOLDER / f"{family}.yaml").read_text(encoding="utf-8"), _Loader)


def plain(value: Any) -> Any:
    """Dates as ISO text, so that YAML dates and JSON agree."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    return [plain(v) for v in value] if isinstance(value, list) else value


def day(case: dict[str, Any]) -> date:
    """The day on which a case is spoken."""
    return date.fromisoformat(str(case.get("on", ON)))


def expected(case: dict[str, Any]) -> dict[str, list[Any]]:
    reading = case["reading"] if isinstance(case["reading"], dict) else {"entries": case["reading"]}
    on = day(case)
    entries = [plain({"on": on, **entry}) for entry in reading.get("entries", [])]
    return {"entries": entries, **{k: plain(reading.get(k, [])) for k in ("questions", "orders")}}


def said(text: str, on: date) -> dict[str, list[Any]]:
    reading = read_text(text, reader(), on=on, register=register()).model_dump(mode="json", by_alias=True)
    entries = [{k: v for k, v in e.items() if k != "sure"} for e in reading["entries"] if e["kind"] != "note"]
    return {"entries": entries, "questions": reading["questions"], "orders": reading["orders"]}


def covers(want: list[dict[str, Any]], got: list[dict[str, Any]]) -> bool:
    """Questions may carry slots of their own beyond the ones expected."""
    return len(want) == len(got) and all(w.items() <= g.items() for w, g in zip(want, got, strict=True))


def _order(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return sorted(entries, key=lambda e: (e["kind"], str(sorted(e.items(), key=str))))


ALL = [pytest.param(case, id=f"{family}-{n}") for family in FAMILIES for n, case in enumerate(cases(family), 1)]


@pytest.mark.parametrize("case", ALL)
def test_sentence(case: dict[str, Any]) -> None:
    want, got = expected(case), said(case["say"], day(case))
    assert _order(got["entries"]) == _order(want["entries"]), case["say"]
    assert covers(want["questions"], got["questions"]), (case["say"], got["questions"])
    assert got["orders"] == want["orders"], case["say"]


@pytest.mark.parametrize("text", cases("negative"))
def test_talk_gives_only_notes(text: str) -> None:
    assert said(text, ON) == {"entries": [], "questions": [], "orders": []}


@pytest.mark.parametrize("family", KINDS)
def test_every_kind_has_fifteen_sentences(family: str) -> None:
    assert sum(any(e["kind"] == family for e in expected(c)["entries"]) for c in cases(family)) >= 15


def test_the_negative_corpus_is_large_enough() -> None:
    assert len(cases("negative")) >= 100
