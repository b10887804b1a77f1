"""Which of the offered values an answer means: `nineteen`, `hive 90`, `the second one`, `yes`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from gloveside.extract import numbers

_ORDINALS = {"first": 0, "former": 0, "second": 1, "latter": 1, "third": 2, "last": -1}
_FILLER = re.compile(r"\b(um+|uh+|er|it'?s|it was|that'?s|i said|i mean|i meant|please|just|the|one|no|it|number)\b")

# what may go with an answer
_ACCOMPANY = re.compile(
    r"a|actually|ah|and|be|been|course|definitely|er|erm|frames?|guess|hives?|i|in|is|it|it's|its|just|litres?|made|make|"
    r"mean|meant|mine|must|no|nope|not|nucs?|number|of|oh|ok|okay|on|ones?|or|please|reckon|right|rounds?|said|say|should|"
    r"sorry|sure|that|that's|the|them|think|this|to|uh|um|was|well|were|with|yards?|yeah|yep|yes|you"
)


def choose(text: str, options: Sequence[Any]) -> Any | None:
    """The option that the answer means, or None when it means none or could mean several.

    options: values in the form of the contract (`hive 19`, 63, ...). Matching goes by the whole option, else by its
    number, else by `first`, `second`, `last`.
    """
    words = re.findall(r"[a-z0-9/.']+", text.lower())
    said = " ".join(words)
    whole = [o for o in options if re.search(rf"\b{re.escape(str(o).lower())}\b", said)]
    if len(whole) == 1:
        return whole[0]
    values = {span.value for span in numbers.find(words) if not span.ordinal}
    by_number = [o for o in options if values and _number_of(o) in values]
    if len(by_number) == 1:
        return by_number[0]
    by_name = [o for o in options if isinstance(o, str) and o.lower().split()[-1] in words and not o[-1].isdigit()]
    if len(by_name) == 1:
        return by_name[0]
    places = [index for word, index in _ORDINALS.items() if word in words]
    if len(places) == 1 and -1 <= places[0] < len(options):
        return options[places[0]]
    return None


def is_short(text: str, most: int = 6) -> bool:
    """Whether a note is short enough to be an answer to a question rather than a note of its own."""
    return len(_FILLER.sub(" ", text.lower()).split()) <= most


def says_only(text: str, allowed: str) -> bool:
    """Whether a text holds nothing but an answer: numbers, small words, and words of the question or its options.

    allowed: the question's words and the options. "Nuc 4, the cell is torn down" is a note, whatever was asked.
    """
    words = re.findall(r"[a-z0-9/.']+", text.lower().replace("-", " "))
    spans = numbers.find(words)
    known = {w.rstrip("s") for w in re.findall(r"[a-z0-9/.']+", allowed.lower())}
    free = [w for i, w in enumerate(words) if not any(s.start <= i < s.end for s in spans)]
    return all(w.rstrip("s") in known or _ACCOMPANY.fullmatch(w) or w in _ORDINALS for w in free)


def _number_of(option: Any) -> float | int | None:
    if isinstance(option, bool):
        return None
    if isinstance(option, int | float):
        return option
    found = re.search(r"(\d+)$", str(option))
    return int(found.group(1)) if found else None
