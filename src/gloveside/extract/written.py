"""One way of writing what was said: figures for number words, one spelling for words of the trade.

Engines write "eight frames" or "8 frames", "queen right" or "queenright" as they please; what is shown and read is one.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from gloveside.extract import numbers
from gloveside.extract.lexicon import concepts
from gloveside.extract.tokens import split, tidy

_NUMBER_WORDS = (
    frozenset(numbers.UNITS) | frozenset(numbers.TEENS) | frozenset(numbers.TENS) | frozenset(numbers.MULTIPLIERS)
)
_WITHIN = frozenset(["and", "point", "oh", "-", "a", "half"])
# Words that a sentence may begin with a capital for; names keep theirs.
_PLAIN = frozenset(["hive", "hives", "nuc", "nucs", "round", "rounds", "yard", "i"])
# "a litre and a half" says 1.5 litres with the unit in the middle.
_UNIT_AND_A_HALF = re.compile(
    r"\b(an?|one|two|three|four|five|six|\d+) (litres?|liters?|kilos?|kilograms?|boxe?s?|frames?|weeks?) and a half\b",
    re.I,
)


def _halved(found: re.Match[str]) -> str:
    word = found[1].lower()
    count = 1 if word in ("a", "an") else numbers.UNITS.get(word, int(word) if word.isdigit() else 0)
    return f"{count}.5 {found[2]}"


@cache
def _joined() -> dict[tuple[str, ...], str]:
    """Words of the trade that are written together: ("queen", "right") -> "queenright"."""
    out: dict[tuple[str, ...], str] = {}
    for concept in concepts().values():
        if concept.soft or concept.scope:
            continue
        # only where the concept goes by that one word: "queen cells" are several things, "queen right" is one
        together = {form for form in concept.forms if form == concept.value}
        for form in concept.forms:
            parts = tuple(form.split())
            if len(parts) > 1 and "".join(parts) in together:
                out[parts] = "".join(parts)
    return out


def _spelled(words: list[str]) -> bool:
    """Whether a number is spelled out with nothing but number words, so that figures can take its place."""
    return all(w in _NUMBER_WORDS or w in _WITHIN or "-" in w for w in words) and any(
        w in _NUMBER_WORDS or "-" in w for w in words
    )


def _put_in(words: list[str], spaces: list[bool], puts: Mapping[int, tuple[int, str]]) -> tuple[list[str], list[bool]]:
    """Tokens with texts in place of spans; puts: first token -> (one past the last token, text)."""
    out: list[str] = []
    gaps: list[bool] = []
    at = 0
    while at < len(words):
        end, text = puts.get(at, (at + 1, words[at]))
        out.append(text)
        gaps.append(spaces[end - 1])
        at = end
    return out, gaps


@cache
def _counted() -> frozenset[str]:
    """First words of what is counted: frames, mites, litres."""
    found = [c for c in concepts().values() if "counted" in c.classes]
    return frozenset(form.split()[0] for c in found for form in c.forms) - {"of", "out", "/"}


def _two(lower: list[str], span: numbers.NumberSpan, joined: frozenset[tuple[str, str]]) -> bool:
    """Whether a number may be two, the second a count: "hive thirty nine mites", "hive thirty two of them"."""
    named = span.start > 0 and lower[span.start - 1] in ("hive", "nuc", "colony")
    parts = lower[span.start : span.end]
    if not named or len(parts) != 2 or parts[0] not in numbers.TENS or tuple(parts) in joined:
        return False
    follows = lower[span.end : span.end + 2]
    several = numbers.UNITS.get(parts[1], 0) > 1 and follows[:1] != [] and follows[0].endswith("s")
    return (several and follows[0] in _counted()) or (parts[1] in numbers.UNITS and follows == ["of", "them"])


def figures(
    words: list[str], spaces: list[bool], joined: frozenset[tuple[str, str]] = frozenset()
) -> tuple[list[str], list[bool]]:
    """Tokens with figures for number words; halves, dozens and ordinals stay as said. joined: "thirty-nine"."""
    lower = [w.lower() for w in words]
    spans = [
        s
        for s in numbers.find(lower)
        if not s.ordinal and _spelled(lower[s.start : s.end]) and not _two(lower, s, joined)
    ]
    return _put_in(words, spaces, {s.start: (s.end, str(s.value)) for s in spans if lower[s.start] != "half"})


def _join_words(words: list[str], spaces: list[bool]) -> tuple[list[str], list[bool]]:
    table = _joined()
    out: list[str] = []
    gaps: list[bool] = []
    at = 0
    while at < len(words):
        for length in (3, 2):
            key = tuple(w.lower() for w in words[at : at + length])
            if len(key) == length and key in table and all(spaces[at : at + length - 1]):
                out.append(table[key])
                gaps.append(spaces[at + length - 1])
                at += length
                break
        else:
            out.append(words[at])
            gaps.append(spaces[at])
            at += 1
    return out, gaps


def text_of(words: list[str], spaces: list[bool]) -> str:
    """The text of tokens and the blanks after them."""
    return "".join(w + (" " if gap else "") for w, gap in zip(words, spaces, strict=True)).strip()


def _ratios(words: list[str], spaces: list[bool]) -> tuple[list[str], list[bool]]:
    """Mixing ratios in figures: "one to one" as "1:1"; after a place noun it is a list of places."""
    found = numbers.find_ratios([w.lower() for w in words])
    kept = [s for s in found if s.start == 0 or words[s.start - 1].lower() not in _PLAIN]
    return _put_in(words, spaces, {s.start: (s.end, s.text) for s in kept})


def written(text: str) -> str:
    """The text with figures and one spelling; punctuation and names are kept, for the rules read them."""
    joined = frozenset((a, b) for a, b in re.findall(r"\b([a-z]+)-([a-z]+)\b", text.lower()))
    words, spaces = figures(*_ratios(*split(_UNIT_AND_A_HALF.sub(_halved, tidy(text)))), joined)
    return text_of(*_join_words(words, spaces))


def shown(text: str) -> str:
    """The text as it is shown: sentences kept apart, commas only between figures, capitals only for names."""
    words, spaces = split(text)
    known = {word for concept in concepts().values() for form in concept.forms for word in form.split()}
    out: list[str] = []
    gaps: list[bool] = []
    for at, (word, gap) in enumerate(zip(words, spaces, strict=True)):
        before, after = words[at - 1 : at], words[at + 1 : at + 2]
        if word == ",":
            if not (before and after and before[0][-1:].isdigit() and after[0][:1].isdigit()):
                if gaps:
                    gaps[-1] = True
                continue
        elif word in ".!" and at == len(words) - 1:
            continue
        first = at == 0 or words[at - 1] in (".", "?", "!")
        if word[:1].isupper() and (word.lower() in _PLAIN or (first and word.lower() in known)) and word != "I":
            word = word.lower()
        out.append(word)
        gaps.append(gap)
    return text_of(out, gaps)
