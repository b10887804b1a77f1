"""Numbers as people say and engines write them, found in lower-case tokens.

One normaliser for "25", "twenty five", "twenty-five" and "one hundred and four". The decisions, each with a test:

* `and` belongs to a number only after hundred or thousand ("one hundred and four") and before a fraction ("three and a
  half"). "three and four" and "twenty and five" stay two numbers; so do "five twenty", "1 0 4" and "twenty, five".
* `a` is a number only inside one: "a hundred", "a dozen", "a couple of", "a pair of", "half a", "a quarter".
* `one` is a number unless it stands for a thing: "this one", "the first one", "a good one", "one of", "no one".
* `oh` is a nought only between two figures ("one oh four" = 104) or after a decimal point.
* Ranges ("one to four") stay two numbers for the caller; `find_ratios` knows "1:1", "one to one" and "two to one".
* Clock times ("half past nine") and dates are `gloveside.extract.dates`; a half that starts a time is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

UNITS = {
    word: value
    for value, word in enumerate(["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"])
} | {"nought": 0, "naught": 0, "nil": 0}
TEENS = {
    word: value
    for value, word in enumerate(
        ["ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"],
        start=10,
    )
}
TENS = {
    word: 10 * value
    for value, word in enumerate(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], start=2
    )
} | {"fourty": 40, "ninty": 90}
ORDINAL_UNITS = {
    word: value
    for value, word in enumerate(
        ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth"], start=1
    )
}
ORDINAL_TEENS = {
    word: value
    for value, word in enumerate(
        [
            "tenth",
            "eleventh",
            "twelfth",
            "thirteenth",
            "fourteenth",
            "fifteenth",
            "sixteenth",
            "seventeenth",
            "eighteenth",
            "nineteenth",
        ],
        start=10,
    )
}
ORDINAL_TENS = {
    word: 10 * value
    for value, word in enumerate(
        ["twentieth", "thirtieth", "fortieth", "fiftieth", "sixtieth", "seventieth", "eightieth", "ninetieth"], start=2
    )
}
MULTIPLIERS = {"hundred": 100, "thousand": 1000}
ORDINAL_MULTIPLIERS = {"hundredth": 100, "thousandth": 1000}
FRACTION_SIGNS = {"½": 0.5, "¼": 0.25, "¾": 0.75}


def word_set(text: str) -> frozenset[str]:
    """The words of a text, as a set."""
    return frozenset(text.split())


# Words before "one" that make it stand for a thing, and words after it that do.
_PRONOUN_BEFORE = word_set(
    "this that which each every another any no some the good bad new old big small little other last next same only"
    " right wrong strong weak young best worst nice hot quiet red blue white yellow green dark early late"
)
_PRONOUN_AFTER = frozenset(["another", "anothers", "day", "side"])
_OF_THESE = frozenset(["them", "these", "those", "the", "my", "our"])
# After these "a second" is a moment, not the second of something.
_MOMENT_AFTER = frozenset(["and", "to", "while", "please", "there", "i", "let", "then", "or", "."])

_DIGITS = re.compile(r"#?(\d{1,3}(?:,\d{3}){1,4}|\d{1,12})(\.\d{1,9})?")
_DIGIT_ORDINAL = re.compile(r"(\d{1,9})(?:st|nd|rd|th)")
_SLASH_FRACTION = re.compile(r"([1-3])/([248])")
_RATIO_SIGN = re.compile(r"(\d{1,2}):(\d{1,2})")


@dataclass(frozen=True, slots=True)
class NumberSpan:
    """A number over tokens start..end (end exclusive). text: the tokens joined by blanks."""

    start: int
    end: int
    value: int | float
    ordinal: bool
    text: str


@dataclass(frozen=True, slots=True)
class RatioSpan:
    """A mixing ratio over tokens start..end. text: always with a colon, `1:1`."""

    start: int
    end: int
    first: int
    second: int

    @property
    def text(self) -> str:
        """The ratio as written in records."""
        return f"{self.first}:{self.second}"


@dataclass(frozen=True, slots=True)
class _Part:
    """A piece of a number: value, first token after it, whether it ends in an ordinal, whether it came as digits."""

    value: int | float
    end: int
    ordinal: bool = False
    digits: bool = False


def _word(tokens: Sequence[str], i: int) -> str:
    return tokens[i] if 0 <= i < len(tokens) else ""


def _unit(tokens: Sequence[str], i: int) -> _Part | None:
    word = _word(tokens, i)
    if word in UNITS:
        return _Part(UNITS[word], i + 1)
    if word in ORDINAL_UNITS:
        return _Part(ORDINAL_UNITS[word], i + 1, ordinal=True)
    return None


def _below_hundred(tokens: Sequence[str], i: int) -> _Part | None:
    """Read a number in words below a hundred, "twenty-five" as one token, two, or three with the hyphen between."""
    word = _word(tokens, i)
    if "-" in word and word != "-":
        halves = word.split("-")
        joined = _below_hundred(halves, 0)
        return _Part(joined.value, i + 1, joined.ordinal) if joined and joined.end == len(halves) else None
    for table, ordinal in ((TEENS, False), (ORDINAL_TEENS, True), (ORDINAL_TENS, True)):
        if word in table:
            return _Part(table[word], i + 1, ordinal)
    if word in TENS:
        after = i + 2 if _word(tokens, i + 1) == "-" else i + 1
        unit = _unit(tokens, after)
        if unit and unit.value:
            return _Part(TENS[word] + unit.value, unit.end, unit.ordinal)
        return _Part(TENS[word], i + 1)
    return _unit(tokens, i)


def _digits(tokens: Sequence[str], i: int) -> _Part | None:
    word = _word(tokens, i)
    if found := _DIGITS.fullmatch(word):
        whole, decimals = found[1].replace(",", ""), found[2]
        return _Part(float(whole + decimals) if decimals else int(whole), i + 1, digits=True)
    if found := _DIGIT_ORDINAL.fullmatch(word):
        return _Part(int(found[1]), i + 1, ordinal=True, digits=True)
    return None


def _tail(tokens: Sequence[str], part: _Part) -> _Part:
    """Read what follows hundred or thousand: "and four", "four", but not the head of another hundred."""
    after = part.end + 1 if _word(tokens, part.end) == "and" else part.end
    more = _below_hundred(tokens, after)
    if more is None or _word(tokens, more.end) in MULTIPLIERS:
        return part
    return _Part(part.value + more.value, more.end, more.ordinal)


def _whole(tokens: Sequence[str], i: int) -> _Part | None:
    """Read a whole number, in digits or words."""
    start = _digits(tokens, i)
    if start is None:
        word = _word(tokens, i)
        if word in ("a", "an") and _word(tokens, i + 1) in MULTIPLIERS:
            start = _Part(1, i + 1)
        elif word in MULTIPLIERS:
            start = _Part(1, i)
        else:
            start = _below_hundred(tokens, i)
    if start is None or start.ordinal:
        return start
    oh, last = _word(tokens, start.end), _unit(tokens, start.end + 1)
    if oh in ("oh", "o") and 0 < start.value < 20 and not start.digits and last and not last.ordinal:
        return _Part(start.value * 100 + last.value, last.end)
    factor = ORDINAL_MULTIPLIERS.get(_word(tokens, start.end))
    if factor:
        return _Part(start.value * factor, start.end + 1, ordinal=True)
    total: _Part | None = None
    if _word(tokens, start.end) == "hundred":
        start = total = _tail(tokens, _Part(start.value * 100, start.end + 1))
    if _word(tokens, start.end) == "thousand" and not start.ordinal:
        total = _Part(start.value * 1000, start.end + 1)
        after = total.end + 1 if _word(tokens, total.end) == "and" else total.end
        hundreds = _below_hundred(tokens, after)
        if hundreds and _word(tokens, hundreds.end) == "hundredth":
            total = _Part(total.value + hundreds.value * 100, hundreds.end + 1, ordinal=True)
        elif hundreds and _word(tokens, hundreds.end) == "hundred":
            more = _tail(tokens, _Part(hundreds.value * 100, hundreds.end + 1))
            total = _Part(total.value + more.value, more.end, more.ordinal)
        else:
            total = _tail(tokens, total)
    return total or start


def _fraction(tokens: Sequence[str], i: int) -> _Part | None:
    """Read a fraction on its own: half, half a, a half, three quarters, two thirds, ½, 1/2."""
    word, after = _word(tokens, i), _word(tokens, i + 1)
    if word in FRACTION_SIGNS:
        return _Part(FRACTION_SIGNS[word], i + 1)
    if found := _SLASH_FRACTION.fullmatch(word):
        return _Part(int(found[1]) / int(found[2]), i + 1)
    if word in ("a", "one") and after in ("half", "quarter") and _word(tokens, i + 2) not in ("past", "to"):
        return _Part(0.5 if after == "half" else 0.25, i + 2)
    if word == "half" and after not in ("past", "dozen"):
        return _Part(0.5, i + 2 if after in ("a", "an") else i + 1)
    if word == "quarter" and after not in ("past", "to"):
        return _Part(0.25, i + 1)
    if word in ("three", "3") and after == "quarters":
        return _Part(0.75, i + 2)
    if word in ("two", "2") and after == "thirds":
        return _Part(2 / 3, i + 2)
    return None


def _collective(tokens: Sequence[str], i: int) -> _Part | None:
    """Read a dozen, two dozen, half a dozen, a couple (of), a pair (of), a couple of hundred."""
    half = _fraction(tokens, i)
    if half and _word(tokens, half.end) == "dozen":
        return _Part(6, half.end + 1)
    if _word(tokens, i) == "half" and _word(tokens, i + 1) == "dozen":
        return _Part(6, i + 2)
    head = i + 1 if _word(tokens, i) in ("a", "an", "the", "another") else i
    word = _word(tokens, head)
    if word == "couple" or (word == "pair" and head > i and _word(tokens, i) != "the"):
        end = head + 2 if _word(tokens, head + 1) == "of" else head + 1
        if _word(tokens, end) == "dozen":
            return _Part(24, end + 1)
        if _word(tokens, end) in MULTIPLIERS:
            return _Part(2 * MULTIPLIERS[tokens[end]], end + 1)
        return _Part(2, end)
    if word == "dozen":
        return _Part(12, head + 1)
    whole = _whole(tokens, i)
    if whole and not whole.ordinal and _word(tokens, whole.end) == "dozen":
        return _Part(whole.value * 12, whole.end + 1)
    return None


def _decimals(tokens: Sequence[str], whole: _Part | None, i: int) -> _Part | None:
    """Read "point five", "point two five", "point oh five", "point twenty five" after an optional whole number."""
    if _word(tokens, i) != "point" or (whole is not None and whole.value != int(whole.value)):
        return None
    text, at = "", i + 1
    while len(text) < 3:
        word = _word(tokens, at)
        part = _below_hundred(tokens, at)
        if word in ("oh", "o"):
            text, at = text + "0", at + 1
        elif re.fullmatch(r"\d{1,3}", word) and not text:
            text, at = text + word, at + 1
            break
        elif part and not part.ordinal and (part.value < 10 or not text):
            text, at = text + str(part.value), part.end
            if part.value >= 10:
                break
        else:
            break
    if not text:
        return None
    return _Part(float(f"{int(whole.value) if whole else 0}.{text}"), at)


def _stands_for_a_thing(tokens: Sequence[str], i: int) -> bool:
    """Whether "one" at i stands for a thing rather than a number."""
    before, after = _word(tokens, i - 1), _word(tokens, i + 1)
    if before in _PRONOUN_BEFORE or before in ORDINAL_UNITS or _DIGIT_ORDINAL.fullmatch(before):
        # "the one hundred larvae", "the last one hundred" are numbers all the same.
        return after not in MULTIPLIERS and not (before == "no" and after.isdigit())
    return after in _PRONOUN_AFTER or (
        after == "of" and _word(tokens, i + 2) in ("them", "these", "those", "the", "my")
    )


def _is_moment(tokens: Sequence[str], i: int) -> bool:
    """Whether "second" at i is a moment ("wait a second")."""
    before, after = _word(tokens, i - 1), _word(tokens, i + 1)
    return before in ("a", "one", "per", "every", "split") and (not after or after in _MOMENT_AFTER)


def _number(tokens: Sequence[str], i: int) -> _Part | None:
    word = _word(tokens, i)
    if word == "minus":
        part = _number(tokens, i + 1)
        return _Part(-part.value, part.end) if part and not part.ordinal else None
    if word == "one" and _stands_for_a_thing(tokens, i):
        return None
    if word == "second" and _is_moment(tokens, i):
        return None
    part = _collective(tokens, i) or _fraction(tokens, i) or _whole(tokens, i)
    bare_point = part is None and _word(tokens, i - 1) not in ("this", "that", "the", "some", "which", "one")
    point = _decimals(tokens, None, i) if bare_point else None
    if point:
        return point
    if part is None or part.ordinal:
        return part
    if part.value >= 1 and _word(tokens, part.end) == "and":
        more = _fraction(tokens, part.end + 1)
        if more and _word(tokens, more.end) == "dozen":
            # "two and a half dozen" is thirty, "two and half a dozen" is two things.
            return _Part((part.value + more.value) * 12, more.end + 1) if tokens[part.end + 1] == "a" else part
        if more and _word(tokens, part.end + 1) != "quarter":
            scale = 12 if _word(tokens, part.end - 1) == "dozen" else 1
            return _Part(part.value + more.value * scale, more.end)
    if part.digits:
        sign = _word(tokens, part.end)
        if sign in FRACTION_SIGNS or _SLASH_FRACTION.fullmatch(sign):
            more = _fraction(tokens, part.end)
            if more:
                return _Part(part.value + more.value, more.end)
    return _decimals(tokens, part, part.end) or part


def find(tokens: Sequence[str]) -> list[NumberSpan]:
    """All numbers in lower-case tokens, in order, without overlap. Values are int where whole, else float."""
    spans: list[NumberSpan] = []
    i = 0
    while i < len(tokens):
        part = _number(tokens, i)
        if part is None or part.end <= i:
            i += 1
            continue
        value = int(part.value) if float(part.value).is_integer() else part.value
        spans.append(NumberSpan(i, part.end, value, part.ordinal, " ".join(tokens[i : part.end])))
        i = part.end
    return spans


def find_ratios(tokens: Sequence[str]) -> list[RatioSpan]:
    """Mixing ratios: "1:1", "one to one", "one-to-one", "2 to 1", "two parts to one". Second part one, first at most 3.

    "nucs one to four" is no ratio; a clock time ("2:15") is none either.
    """
    spans: list[RatioSpan] = []
    small = {"one": 1, "two": 2, "three": 3, "1": 1, "2": 2, "3": 3}
    i = 0
    while i < len(tokens):
        word = tokens[i]
        if found := _RATIO_SIGN.fullmatch(word):
            if int(found[1]) <= 3 and found[2] == "1":
                spans.append(RatioSpan(i, i + 1, int(found[1]), 1))
        elif (halves := word.split("-")) and len(halves) == 3 and halves[1] == "to" and halves[0] in small:
            if small.get(halves[2]) == 1:
                spans.append(RatioSpan(i, i + 1, small[halves[0]], 1))
        elif word in small:
            j = i + 1
            while _word(tokens, j) in ("part", "parts", "is", "sugar", "-", ":"):
                j += 1
            if _word(tokens, j) in ("to", ":") or _word(tokens, j - 1) == ":":
                j += _word(tokens, j) in ("to", ":")
                j += _word(tokens, j) == "-"
                if small.get(_word(tokens, j)) == 1 and _word(tokens, j + 1) not in MULTIPLIERS:
                    spans.append(RatioSpan(i, j + 1, small[word], 1))
                    i = j
        i += 1
    return spans
