"""When do two texts say the same? The folding under which the bench compares what was heard with what was said.

Case, punctuation, digits against number words, "litre" against "liter" and the like are spelling; anything else is
an error.
Hesitations are no words of a note and are left out on both sides.
"""

from __future__ import annotations

import re

_UNITS = {
    w: i
    for i, w in enumerate(
        [
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ]
    )
}
_TENS = {
    w: 10 * i
    for i, w in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], start=2)
}
_UNITS["nought"] = 0
_ORDINALS = {
    "first": 1,
    "second": 2,
    "third": 3,
    "fourth": 4,
    "fifth": 5,
    "sixth": 6,
    "seventh": 7,
    "eighth": 8,
    "ninth": 9,
    "tenth": 10,
    "eleventh": 11,
    "twelfth": 12,
    "thirteenth": 13,
    "fourteenth": 14,
    "fifteenth": 15,
    "sixteenth": 16,
    "seventeenth": 17,
    "eighteenth": 18,
    "nineteenth": 19,
    "twentieth": 20,
    "thirtieth": 30,
}

# One spelling for each pair; applied to whole words after lower-casing.
_SPELLINGS = [
    (r"\b(milli)?liter(s?)\b", r"\1litre\2"),
    (r"\bvapor(s?|ised|ized|ise|ize)\b", r"vapour\1"),
    (r"\bvapouriz", "vapouris"),
    (r"\bvaporis", "vapouris"),
    (r"\bvaporiz", "vapouris"),
    (r"\bcolor", "colour"),
    (r"\bgray\b", "grey"),
    (r"\bqueen[ -]right\b", "queenright"),
    (r"\bqueen[ -]less\b", "queenless"),
    (r"\bchalk[ -]brood\b", "chalkbrood"),
    (r"\bsac?k?[ -]?brood\b", "sacbrood"),
    (r"\bfoul[ -]brood\b", "foulbrood"),
    (r"\bbrood[ -]box", "broodbox"),
    (r"\bcloak board\b", "cloake board"),
    (r"\bnuke(s?)\b", r"nuc\1"),
    (r"\bnuck(s?)\b", r"nuc\1"),
    (r"\bkilos\b", "kilograms"),
    (r"\bkilo\b", "kilogram"),
    (r"\bkgs?\b", "kilograms"),
    (r"\bmls?\b", "millilitres"),
    (r"\bmils\b", "millilitres"),
    (r"\bok\b", "okay"),
    (r"\bper ?cent\b", "percent"),
    (r"\be f b\b", "efb"),
    (r"\ba f b\b", "afb"),
    (r"\bon ?to\b", "onto"),
    (r"\bin ?to\b", "into"),
    (r"\balright\b", "all right"),
    (r"\bgrams?\b", "grams"),
    (r"\bcentimeter", "centimetre"),
    (r"\bmold", "mould"),
    (r"\bropey\b", "ropy"),
    (r"\bneighbor", "neighbour"),
    (r"\bwalk ?away\b", "walkaway"),
    (r"\bsugar roll\b", "sugar roll"),
    (r"\bhoney ?bound\b", "honeybound"),
    (r"\bdead ?out", "deadout"),
    (r"\bun ?cap", "uncap"),
    (r"\bre ?queen", "requeen"),
    (r"\bwon't\b", "wont"),
    (r"\bnorth ?west", "northwest"),
]
_FILLER = re.compile(r"\b(um+|uh+|er+|erm|hmm+|mm+|ah)\b")
_SYMBOLS = [
    (r"\$(\d[\d,]*)(\.\d+)?", r"\1\2 dollars"),
    (r"%", " percent "),
    (r"°\s*c?\b", " degrees "),
    (r"(\d)\s*kg\b", r"\1 kilograms"),
    (r"(\d)\s*ml\b", r"\1 millilitres"),
    (r"(\d)\s*g\b", r"\1 grams"),
    (r"(\d)\s*l\b", r"\1 litres"),
    (r"&", " and "),
]
_NUMBER = re.compile(r"\d+(?:\.\d+)?(?:st|nd|rd|th)?")


def _words_to_digits(words: list[str]) -> list[str]:
    """Number words as digits: "three hundred and fifty" is 350, "two and a half" 2.5, "one two" stays two numbers."""
    out: list[str] = []
    i = 0
    while i < len(words):
        value, used = _number(words, i)
        if used:
            if words[i + used : i + used + 3] == ["and", "a", "half"]:
                out.append(f"{value}.5")
                used += 3
            elif words[i + used : i + used + 1] == ["point"] and words[i + used + 1 : i + used + 2]:
                nxt = words[i + used + 1]
                digit = str(_UNITS[nxt]) if nxt in _UNITS else nxt if nxt.isdigit() else None
                if digit is not None:
                    out.append(f"{value}.{digit}")
                    used += 2
                else:
                    out.append(str(value))
            else:
                out.append(str(value))
            i += used
        else:
            out.append(words[i])
            i += 1
    return out


def _below_hundred(words: list[str], i: int) -> tuple[int, int]:
    w = words[i] if i < len(words) else ""
    if w in _TENS:
        nxt = words[i + 1] if i + 1 < len(words) else ""
        if nxt in _UNITS and 0 < _UNITS[nxt] < 10:
            return _TENS[w] + _UNITS[nxt], 2
        return _TENS[w], 1
    if w in _UNITS:
        return _UNITS[w], 1
    if w.isdigit() and len(w) <= 6:
        return int(w), 1
    return 0, 0


def _number(words: list[str], i: int) -> tuple[int, int]:
    if words[i] == "a" and i + 1 < len(words) and words[i + 1] == "hundred":
        value, used = 1, 1
    else:
        value, used = _below_hundred(words, i)
    if not used:
        return 0, 0
    if i + used < len(words) and words[i + used] == "hundred" and value < 100:
        value, used = value * 100, used + 1
        skip = 1 if i + used < len(words) and words[i + used] == "and" else 0
        rest, more = _below_hundred(words, i + used + skip)
        if more and rest < 100 and not (skip and words[i + used + 1 : i + used + 2] == ["a"]):
            value, used = value + rest, used + skip + more
    elif i + used < len(words) and words[i + used] == "thousand":
        value, used = value * 1000, used + 1
    return value, used


def fold(text: str) -> str:
    """The text with all that is only spelling taken away, as words separated by single blanks."""
    t = text.lower().replace("’", "'").replace("–", "-")
    t = re.sub(r"(\d),(\d{3})\b", r"\1\2", t)
    for pattern, to in _SYMBOLS:
        t = re.sub(pattern, to, t)
    t = re.sub(r"(?<=\d):(?=\d)", " to " if re.search(r"\b[12]\s*:\s*1\b", t) else " ", t)
    t = re.sub(r"\b(\d{1,2}) ?([ap])\.? ?m\b\.?", r"\1 \2m", t)
    t = re.sub(r"(?<![\d])-|-(?![\d])|(?<=\d)-(?=\d)", " ", t)
    t = re.sub(r"(?<!\d)\.|\.(?!\d)", " ", t)
    t = re.sub(r"'s\b", " 's", t)
    t = re.sub(r"[^\w\s.']", " ", t)
    t = re.sub(r"\b([a-z])(\d+)\b", r"\1 \2", t)
    t = re.sub(r"\b0*(\d+)(?:st|nd|rd|th)\b", r"\1", t)
    t = _FILLER.sub(" ", t)
    for pattern, to in _SPELLINGS:
        t = re.sub(pattern, to, t)
    words = [str(_ORDINALS[w]) if w in _ORDINALS and w not in ("first", "second") else w for w in t.split()]
    words = [_zero(words, i) for i in range(len(words))]
    words = _join_ordinals(words)
    return " ".join(w.strip("'") for w in _words_to_digits(words) if w.strip("'"))


def _zero(words: list[str], i: int) -> str:
    """Read "oh" as a digit only beside other digits: "one oh three", not "oh dear"."""
    beside = words[max(0, i - 1) : i] + words[i + 1 : i + 2]
    return "zero" if words[i] == "oh" and any(w in _UNITS or w.isdigit() for w in beside) else words[i]


def _join_ordinals(words: list[str]) -> list[str]:
    out: list[str] = []
    for w in words:
        if out and out[-1] in _TENS and w.isdigit() and 0 < int(w) < 10:
            out[-1] = str(_TENS[out[-1]] + int(w))
        elif out and out[-1] in _TENS and w in ("first", "second"):
            out[-1] = str(_TENS[out[-1]] + (1 if w == "first" else 2))
        else:
            out.append(w)
    return out


def numbers(folded: str) -> list[str]:
    """All numbers of a folded text, in order."""
    return _NUMBER.findall(folded)
