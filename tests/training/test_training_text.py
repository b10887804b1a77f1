"""The training text: what is said and what is written agree, every trade word is in it, and test voices stay out."""

from __future__ import annotations

import random
import re
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module", autouse=True)
def _training_on_path():
    sys.path[:0] = [str(ROOT / "training")]
    yield
    sys.path.remove(str(ROOT / "training"))


@pytest.fixture(scope="module")
def notes():
    import sentences

    return sentences.sample(1500, 5, ["table", "river"], sentences.vocabulary_forms())


def test_written_form_has_digits_capitals_and_an_end(notes):
    trade = [n for n in notes if n["kind"] not in ("everyday", "free_talk", "plain")]
    for n in trade:
        text = n["text"]
        assert text[0].isupper() or text[0].isdigit() or text[0] == "$", text
        assert text[-1] in ".?!", text
        assert not re.search(r"\b(hive|nuc|round) \d", text), text
        assert not re.search(r"\b(twenty|thirty|fifteen|nineteen|seven|eight)\b", text), text
        assert ":" not in text, f"the engine never writes a colon: {text}"


def test_spoken_form_has_no_digits_and_no_marks_of_the_grammar(notes):
    for n in notes:
        assert not re.search(r"[{}\[\]|⟦⟧¦@]", n["say"] + n["text"]), n
        if n["kind"] != "coverage":
            assert not re.search(r"\d", n["say"]), n


def test_hesitations_are_said_but_never_written(notes):
    said = [n for n in notes if re.search(r"\b(um|uh|erm)\b", n["say"])]
    assert said
    assert not [n for n in notes if re.search(r"\b(um|uh|erm)\b", n["text"])]


def test_a_word_added_to_the_vocabulary_reaches_the_text():
    import sentences

    rules = sentences.coverage_rules(["glimmerbrood"])
    assert rules
    assert all("glimmerbrood" in r for r in rules)


def test_every_form_of_the_vocabulary_has_carrier_sentences():
    import sentences

    forms = [f for f in sentences.vocabulary_forms() if re.fullmatch(r"[a-z][a-z' -]*", f)]
    carried = " ".join(sentences.coverage_rules(forms))
    assert [f for f in forms if f not in carried] == []


def test_same_seed_same_text():
    import sentences

    assert sentences.sample(40, 9, ["table"], ["drone layer"]) == sentences.sample(40, 9, ["table"], ["drone layer"])


def test_sizes_are_single_when_one():
    import sentences

    assert sentences.singular("one litres and twenty one frames") == "one litre and twenty one frames"


@pytest.mark.parametrize(("low", "high", "share"), [(1, 60, 0.3)])
def test_numbers_that_ears_mix_up_come_often(low, high, share):
    from slots import TEENS, TENS, whole

    rng = random.Random(1)
    drawn = [int(whole(rng, f"{low}-{high}")[1]) for _ in range(2000)]
    assert sum(n in TEENS + TENS for n in drawn) / len(drawn) > share
    assert all(low <= n <= high for n in drawn)


def test_merging_an_adapter_with_itself_changes_nothing():
    import numpy as np

    from merge import merge

    rng = np.random.default_rng(1)
    one = {
        "A|decoder|x": rng.normal(size=(4, 20)).astype(np.float16),
        "B|decoder|x": rng.normal(size=(12, 4)).astype(np.float16),
    }
    both = merge([one, one], [1.0, 3.0], {"decoder": 4, "encoder": 0})
    want = one["B|decoder|x"].astype(np.float32) @ one["A|decoder|x"].astype(np.float32)
    got = both["B|decoder|x"].astype(np.float32) @ both["A|decoder|x"].astype(np.float32)
    assert np.abs(want - got).max() < 0.02


def test_shipped_adapter_is_small_and_fits_the_base():
    import json

    import numpy as np

    from gloveside.speech.adapter import SHIPPED
    from gloveside.speech.weights import BASE_SHA256

    assert SHIPPED.stat().st_size <= 3_000_000
    card = json.loads(SHIPPED.with_suffix(".json").read_text(encoding="utf-8"))
    assert card["base_sha256"] == BASE_SHA256
    with np.load(SHIPPED) as pairs:
        names = sorted(k[2:] for k in pairs.files if k.startswith("A|"))
        assert names == card["matrices"]
        assert sum(pairs[k].size for k in pairs.files) == card["numbers"]
        assert {str(pairs[k].dtype) for k in pairs.files if k[0] != "S"} == {"int8"}
