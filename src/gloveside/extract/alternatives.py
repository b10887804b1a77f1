"""An alternative said late is drawn to what it is one of: "round 5, but it can also be 6" is "round 5 or round 6".

So the value is asked about like one that was said with "or" at once.
"""

from __future__ import annotations

import re

from gloveside.extract.note import Note

_MAY = (
    r"(?:(?:and |but |or |though |although )*(?:it|that|this|they|there|maybe it|perhaps it)(?: '?s)? ?"
    r"(?:can|could|may|might|would)(?: also| as well| equally| just as well| well| even)*(?: be| have been)"
    r"(?: also| as well)?|(?:and |but )?(?:possibly|perhaps|maybe) (?:also )?(?:it (?:is|was) )?|or (?:it|they|there) "
    r"(?:is|was|were|are)|or (?:maybe|perhaps|possibly|even|was it|is it|were it))"
)
_NAMED = re.compile(
    rf"\b(?P<a>(?P<noun>round|hive|nuc) (?P<one>\d+)),? {_MAY} (?:in |on |of |from )?(?:(?P=noun) )?(?P<two>\d+)\b"
    r"(?! ?(?:frames?|cells?|queens?|bees|larvae|litres?|kilos?|of\b|out\b))",
    re.IGNORECASE,
)
_OF_THEM = re.compile(
    r"\b(?P<one>\d+) of (?P<them>them|these|those),? (?:or|maybe|perhaps|possibly|could be|might be)"
    r"(?: maybe| even| perhaps| possibly| it was| was it)? (?P<two>\d+)(?: of (?:them|these|those))?\b",
    re.IGNORECASE,
)
_IT_WERE = re.compile(
    r"[,.;]? (?:and )?(?:i (?:think|believe|guess) )?(?:it|there|they|that)(?: (?:was|were|are|is|'s)|'s|"
    r" (?:must|could|might|may|will|would) have been)(?: about| either| maybe| perhaps)? (?P<one>\d+) or "
    r"(?:maybe |perhaps )?(?P<two>\d+)(?: of them)?(?=[,.;]|$)",
    re.IGNORECASE,
)
CLOSE = 5


def drawn_together(note: Note) -> str | None:
    """The text with each late alternative beside the value that it may be instead; None where there is none."""
    text = note.text(0, len(note.lower))
    better = _NAMED.sub(_named, text)
    better = _OF_THEM.sub(_of_them, better)
    better = _IT_WERE.sub(lambda m: f", {m['one']} or {m['two']} of them" if _close(m) else m.group(), better)
    return None if better == text else better


def _close(found: re.Match[str]) -> bool:
    return 0 < abs(int(found["one"]) - int(found["two"])) <= CLOSE


def _named(found: re.Match[str]) -> str:
    if found["one"] == found["two"]:
        return found.group()
    return f"{found['a']} or {found['noun']} {found['two']}"


def _of_them(found: re.Match[str]) -> str:
    return f"{found['one']} or {found['two']} of {found['them']}" if _close(found) else found.group()
