"""Numbers: the corpus of the brief, a negative corpus, and every number from 0 to 9999 there and back."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from gloveside.extract.numbers import find, find_ratios


def tokens(text: str) -> list[str]:
    """Lower-case tokens with punctuation apart, hyphens kept inside words."""
    return re.findall(r"[\w½¼¾]+(?:[-'.:/,][\w½¼¾]+)*|[^\w\s]", text.lower())


def values(text: str) -> list[float]:
    return [span.value for span in find(tokens(text))]


CORPUS = {
    "25": [25],
    "twenty five": [25],
    "twenty-five": [25],
    "twenty - five": [25],
    "one hundred and four": [104],
    "a hundred and twenty": [120],
    "one hundred twenty": [120],
    "a thousand two hundred and five": [1205],
    "fifteen hundred": [1500],
    "1,200": [1200],
    "three and a half": [3.5],
    "two and three quarters": [2.75],
    "2 1/2": [2.5],
    "2½": [],
    "half": [0.5],
    "half a litre": [0.5],
    "half a dozen cells": [6],
    "a couple of frames": [2],
    "a couple frames": [2],
    "a dozen": [12],
    "two dozen": [24],
    "two and a half dozen": [30],
    "a pair of hives": [2],
    "two point five": [2.5],
    "nought point two five": [0.25],
    "one point oh five": [1.05],
    "2.5": [2.5],
    "minus three degrees": [-3],
    "the twentieth": [20],
    "twenty first": [21],
    "21st": [21],
    "hives three and four": [3, 4],
    "twenty and five": [20, 5],
    "twenty, five": [20, 5],
    "hives one hundred and four and seven": [104, 7],
    "two hundred and three hundred": [200, 300],
    "five twenty": [5, 20],
    "1 0 4": [1, 0, 4],
    "one two three": [1, 2, 3],
    "one oh four": [104],
    "nucs one to four": [1, 4],
    "eleven out of fifteen": [11, 15],
    "hive one": [1],
    "#12": [12],
    "one one hundred": [1, 100],
    "nil": [0],
}

NOT_NUMBERS = [
    "this one is strong",
    "no one came",
    "the good one",
    "one of the hives",
    "wait a second and look",
    "oh no",
    "a hive and a nuc",
    "the point of it",
    "quarter past",
    "a few frames",
    "the next one",
    "tender, often, freight, weight, one another",
    "someone and anyone",
    "and a and a",
]


@pytest.mark.parametrize("text", CORPUS)
def test_corpus(text: str) -> None:
    if text == "2½":
        # Without a blank the tokeniser keeps it whole; the reader normalises the sign before.
        assert values("2 ½") == [2.5]
        return
    assert values(text) == CORPUS[text]


@pytest.mark.parametrize("text", NOT_NUMBERS)
def test_words_that_are_no_numbers(text: str) -> None:
    assert values(text) == []


def test_pronoun_after_an_ordinal_leaves_the_next_number_alone() -> None:
    """Engines hear "the first one fifteen" as "the first 115"; as words they must stay apart."""
    assert [(span.value, span.ordinal) for span in find(tokens("the first one fifteen"))] == [(1, True), (15, False)]


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("1:1", "1:1"),
        ("one to one syrup", "1:1"),
        ("one-to-one", "1:1"),
        ("2:1", "2:1"),
        ("two to one", "2:1"),
        ("2 to 1", "2:1"),
        ("two parts to one", "2:1"),
        ("nucs one to four", None),
        ("nucs 2 to 9", None),
        ("two to one hundred", None),
        ("at 2:15", None),
    ],
)
def test_ratios(text: str, ratio: str | None) -> None:
    assert [found.text for found in find_ratios(tokens(text))] == ([ratio] if ratio else [])


@pytest.mark.parametrize("kind", ["cardinal", "ordinal"])
def test_every_number_comes_back(kind: str) -> None:
    """The words are num2words' (British "and"), so the check is not our own reading of our own words."""
    for number in range(10_000):
        words = num2words(number, to=kind)
        if number == 0 and kind == "ordinal":
            continue
        for text in (words.replace(",", ""), words.replace(",", "").replace("-", " ")):
            spans = find(text.split())
            assert [(s.value, s.ordinal, s.end) for s in spans] == [(number, kind == "ordinal", len(text.split()))], (
                text
            )


WORDS = sorted({word for text in CORPUS for word in tokens(text)})


@given(st.lists(st.sampled_from(WORDS)))
def test_spans_lie_in_order_without_overlap(words: list[str]) -> None:
    spans = find(words)
    assert all(0 <= s.start < s.end <= len(words) for s in spans)
    assert all(a.end <= b.start for a, b in pairwise(spans))
