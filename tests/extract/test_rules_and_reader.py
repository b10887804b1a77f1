"""The rule files refuse mistakes, doubts are raised, and odd or huge input stays quick and honest."""

from __future__ import annotations

import time
from datetime import UTC, date, datetime, timedelta

import pytest

from gloveside.extract import vocabulary
from gloveside.extract.lexicon import RuleError, concepts, parse_concept
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register, RoundKnown
from gloveside.extract.rules import kinds, load_kind

ON = date(2026, 11, 20)
NOW = datetime(2026, 11, 20, 3, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def reader() -> Reader:
    return Reader()


@pytest.mark.parametrize(
    ("data", "message"),
    [
        ({"kind": "feed", "anchor": []}, "unknown keys"),
        ({"kind": "feed", "anchors": [{"match": ["feed_verb"], "sets": {}}]}, "unknown keys"),
        ({"kind": "feed", "anchors": [{"match": ["no_such_concept"]}]}, "neither a concept"),
        ({"kind": "feed", "anchors": [{"match": ["N (of"]}]}, "missing"),
        ({"kind": "feed", "anchors": [{"match": ["n:N"], "set": {"amount": "$m"}}]}, "no pattern captures"),
        ({"kind": "feed", "slots": [{"match": ["N"]}]}, "at least one anchor"),
        ({"kind": "feed", "merge": "often", "anchors": [{"match": ["N"]}]}, "merge"),
        ({"kind": "feed", "anchors": [{"match": ["hive_noun?"]}]}, "can match nothing"),
        ({"kind": "feed", "anchors": [{"match": ["<nowhere>"]}]}, "unknown part"),
    ],
)
def test_a_mistake_in_a_rule_file_is_named_at_load(data: dict[str, object], message: str) -> None:
    known = set(concepts())
    with pytest.raises(RuleError, match=message):
        load_kind("kinds/test.yaml", data, {}, known)


@pytest.mark.parametrize(
    "raw", [{"form": ["x"]}, {"forms": []}, {"forms": ["Upper"]}, {"forms": ["x"], "scope": "odd"}]
)
def test_a_mistake_in_the_lexicon_is_named_at_load(raw: dict[str, object]) -> None:
    with pytest.raises(RuleError, match=r"lexicon/test\.yaml"):
        parse_concept("thing", raw, "lexicon/test.yaml")


def test_every_rule_of_every_kind_sets_fields_that_its_model_has(reader: Reader) -> None:
    """A misspelt field would otherwise only fail on the note that uses it."""
    from gloveside.extract import models

    temporary = {
        "each",
        "more",
        "act",
        "missed",
        "total",
        "bar_count",
        "per_bar",
        "of_each",
        "marked",
        "fed",
        "hundreds",
    }
    temporary |= {"fahrenheit", "below", "whole", "again"}
    for name, kind in kinds().items():
        if name == "no_record":
            continue
        model = next(m for m in vars(models).values() if isinstance(m, type) and _kind_of(m) == name)
        fields = {f.alias or n for n, f in model.model_fields.items()}
        for rule in kind.rules:
            for field in {**rule.sets, **(rule.negated or {})}:
                assert field in fields | temporary or field in derived(name), (name, rule.id, field)


def derived(kind: str) -> set[str]:
    """Fields that only `derive.py` reads, by kind."""
    return {
        "treatment": {"given", "in", "out", "evaporating", "acid"},
        "mites": {"each"},
        "sale": {"apart"},
    }.get(kind, set())


def _kind_of(model: type) -> str | None:
    field = getattr(model, "model_fields", {}).get("kind")
    return field.default if field is not None else None


@pytest.mark.parametrize(
    ("text", "field", "options"),
    [
        ("round three, top bar eighteen out of fifteen", "taken", [15, 18]),
        ("queen seen in hive 14 or 40", "place", ["hive 14", "hive 40"]),
        ("planted seven or eight cells in nuc 3", "count", [7, 8]),
        ("hive 9 five frames of brood, nine frames of brood", "brood_frames", [5, 9]),
        ("marked her blue", "place", []),
    ],
)
def test_doubts(reader: Reader, text: str, field: str, options: list[object]) -> None:
    said = reader.read(text, on=ON)
    assert not said.keep
    assert next((d.field, d.options) for d in said.doubts) == (field, options)
    assert all(d.ask.endswith("?") and len(d.ask) <= 60 for d in said.doubts)


def test_a_round_that_is_not_in_the_record_is_asked_about(reader: Reader) -> None:
    known = Register(rounds={2: RoundKnown(2), 3: RoundKnown(3)})
    assert reader.read("round three, nineteen out of thirty took", on=ON, register=known).keep
    said = reader.read("round nine, nineteen out of thirty took", on=ON, register=known)
    assert [(d.field, d.options) for d in said.doubts] == [("round", [2, 3])]
    assert reader.read("grafted round four, forty larvae into hive 7", on=ON, register=known).keep


@pytest.mark.parametrize(("minutes", "keep"), [(10, True), (45, False)])
def test_here_is_the_last_place_of_the_same_visit(reader: Reader, minutes: int, keep: bool) -> None:
    known = Register(last_place="hive 12", last_place_at=NOW - timedelta(minutes=minutes))
    said = reader.read("six frames of brood in this one", on=ON, register=known, now=NOW)
    assert said.entries[0].model_dump()["place"] == "hive 12"
    assert said.keep is keep


@pytest.mark.parametrize("text", ["пчёлы в улье двенадцать", "蜂箱十二有六框子脾", "  ", ""])
def test_what_cannot_be_read_gives_a_sentence_and_no_entry(reader: Reader, text: str) -> None:
    said = reader.read(text, on=ON)
    assert said.error
    assert said.error.endswith((".", "kept."))
    assert not said.entries
    assert not said.keep


@pytest.mark.parametrize(
    "text",
    [
        "7" * 10_000,
        "9 " * 5_000,
        "hive " * 2_000,
        "hive 12, " * 1_100,
        "a" * 10_000,
        "no no no sorry correction make that " * 280,
        "if I need to should will " * 400,
        "Hive 12, queenright, 8 frames of brood. " * 250,
        "twenty one " * 900,
        "?!.,;" * 2_000,
    ],
)
def test_ten_thousand_characters_stay_quick(reader: Reader, text: str) -> None:
    """Process time, so that a busy machine does not fail it; the bound is far above what a linear reader needs."""
    start = time.process_time()
    reader.read(text[:10_000], on=ON)
    assert time.process_time() - start < 8.0


def test_the_vocabulary_comes_from_the_lexicon() -> None:
    built = vocabulary.build(Register(places=frozenset(["hive 3", "yard Quarry"]), names=("Wiremu",)))
    assert {"supersedure", "chalkbrood", "wiremu", "nineteen"} <= set(built.words)
    assert {"hive three", "quarry yard", "grafted"} <= set(built.phrases)
    assert built.prompt.endswith(".")
    assert "Wiremu" in built.prompt
    heard = {form for concept in concepts().values() for form in concept.heard}
    assert not heard & set(built.phrases) - {f for c in concepts().values() for f in c.forms}
