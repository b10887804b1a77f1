"""Everyday English words: an engine hears them right, a typist means them, so they are never taken for others."""

from __future__ import annotations

from functools import cache
from importlib import resources

import yaml
from spacy.lang.en.stop_words import STOP_WORDS


@cache
def words() -> frozenset[str]:
    """SpaCy's stop words with those of `data/everyday.yaml`, lower case."""
    text = (resources.files("gloveside.extract") / "data" / "everyday.yaml").read_text(encoding="utf-8")
    return frozenset(yaml.safe_load(text)["words"].split()) | frozenset(STOP_WORDS)


def is_everyday(word: str) -> bool:
    """Whether a lower-case word is everyday English; "that's" and "couldn't" count by what stands before the mark."""
    if word in words():
        return True
    head, mark, _ = word.replace("\u2019", "'").partition("'")
    return bool(mark) and (head in words() or head.removesuffix("n") in words())
