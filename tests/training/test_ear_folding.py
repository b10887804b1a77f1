"""The bench's folding: spelling is no error, everything else is."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

_spec = importlib.util.spec_from_file_location(
    "ear_folding", Path(__file__).parents[2] / "bench" / "ears" / "folding.py"
)
assert _spec
assert _spec.loader
folding = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(folding)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Hive twelve, queen right.", "hive 12 queenright"),
        ("Fed two and a half liters of 1:1 syrup.", "fed 2.5 litres of one to one syrup"),
        ("three hundred and fifty bees", "350 bees"),
        ("a hundred and five", "105"),
        ("$25 each", "twenty five dollars each"),
        ("63%", "sixty three percent"),
        ("Um, marked her, uh, blue", "Marked her blue."),
        ("on the twenty first", "on the 21st"),
        ("oxalic vapor", "Oxalic vapour"),
        ("nukes 1 to 4", "nucs one to four"),
        ("1.5 kg of fondant", "one point five kilos of fondant"),
        ("E F B in hive 3", "EFB in Hive 3"),
        ("nuc nine's queen", "Nuc 9's queen"),
    ],
)
def test_the_same_words_fold_alike(one, other):
    assert folding.fold(one) == folding.fold(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("hive 13", "hive 30"),
        ("slide in on hive 8", "slide is on hive 8"),
        ("eggs", "no eggs"),
        ("hive twenty two", "hive 20 2"),
        ("strips in", "strips out"),
        ("1 0 0 1", "1001"),
        ("larvae", "larva"),
    ],
)
def test_other_words_do_not(one, other):
    assert folding.fold(one) != folding.fold(other)


def test_numbers_in_order():
    assert folding.numbers(folding.fold("Hive twelve, 8 frames, fed 2.5 litres")) == ["12", "8", "2.5"]
