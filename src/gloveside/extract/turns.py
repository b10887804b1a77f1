"""Words that open the turn of a place that is not named: "next one, queen seen", "who's next", "the one beside it".

What is said after them is told of another hive than the last, and which one must be asked, unless it is named behind:
"next one along, four frames, that's hive 8".
"""

from __future__ import annotations

import re

from gloveside.extract.note import PREPOSITIONS, Note

_NOUN = r"(?:one|hive|nuc|box|colony|lot|stand|lid)"
_NEXT = re.compile(
    rf"\b(?:the )?next {_NOUN}(?: (?:along|up|over|down|in line|in the row|on the stand))*(?: then| now)?\b"
    rf"|\bthe (?:one|hive|nuc) (?:next to|beside|next door to|after|behind) (?:it|that|that one|him|her|them)\b"
    rf"|\b(?:the )?(?:last|final) {_NOUN} (?:in the row|in the line|on the stand|on this side|of the row|along)\b"
    r"|\bwho (?:'s|is) next\b|\bwho's next\b"
)
_LOOK = re.compile(r"\bwhat (?:have we|'ve we|'ve i|have i|do we have) (?:got )?(?:in )?here\b")
# Before "next one" these make it a thing of the clause before.
GOVERNING = frozenset([
    "do", "did", "check", "see", "try", "open", "feed", "leave", "move", "give", "gave", "fed", "skip", "took", "take",
    "want", "need", "like", "was", "were", "is", "than", "as", "with", "a", "an", "this", "that", "her", "his", "its",
    "my", "your", "our", "no", "every", "each", "to",
])  # fmt: skip
# After it these tell of a day or a thing to come: "the next one is due on Friday", "the last one of the syrup".
AFTER = frozenset("due on of in at will should would to i'll we'll 'll tomorrow i we that for".split())  # noqa: SIM905


def openers(note: Note) -> list[tuple[int, bool]]:
    """Where a turn without a name opens, and whether the words themselves go on to another hive."""
    starts: list[int] = []
    parts: list[str] = []
    width = 0
    for word in note.lower:
        starts.append(width)
        parts.append(word)
        width += len(word) + 1
    line = " ".join(parts)
    out: list[tuple[int, bool]] = []
    for pattern, goes_on in ((_NEXT, True), (_LOOK, False)):
        for found in pattern.finditer(line):
            if found.start() not in starts:
                continue
            at = starts.index(found.start())
            end = next((k for k, s in enumerate(starts) if s >= found.end()), len(starts))
            if not goes_on or _opens(note, at, end):
                out.append((at, goes_on))
    return sorted(out)


def _opens(note: Note, at: int, end: int) -> bool:
    """Whether the words stand where a turn begins, and tell of no day to come."""
    last = note.lower[at - 1] if at else "."
    if last not in ("on", "to", "onto") and (last in PREPOSITIONS or last in GOVERNING):
        return False
    if last in ("on", "to", "onto"):
        # "on to the next one", "moving on to the next", but not "a super on the next one"
        before = note.lower[max(0, at - 3) : at - 1]
        if not {"on", "moving", "over", "along", "now", "right", "okay", "ok"} & set(before):
            return False
    follows = note.lower[end] if end < len(note.lower) else "."
    if follows in ("is", "'s", "was") and end + 1 < len(note.lower):
        follows = note.lower[end + 1]
    return follows not in AFTER and at not in note.blocked


def names_back(note: Note, at: int) -> bool:
    """Whether a place is said of what was told before it: "that's hive 8", "that was nuc 3"."""
    return (
        " ".join(note.lower[max(0, at - 2) : at])
        .replace(" 's", "'s")
        .endswith(("that's", "that was", "that is", "it's", "it was", "this was"))
    )
