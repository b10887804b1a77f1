"""Two places said the wrong way round: "nuc 11 laying, nuc 12 not laying, I've got those two the wrong way round"."""

from __future__ import annotations

import re

from gloveside.extract.note import STOPS, Note

_LEAD = r"\b(?:(?:no|oh|sorry|wait|hang on|actually|i think|and)\s)*"
_THEM = r"(?:those|these|them|that|the)(?:\s(?:two|2|both|pair))?"
_WAY = r"(?:back to front|(?:the )?(?:wrong|other) way (?:round|around|about))"
_ROUND = re.compile(
    rf"{_LEAD}(?:i 've|i've|i have|i)\s(?:got|had|said|put|have|told you)\s{_THEM}\s{_WAY}\b"
    rf"|{_LEAD}(?:swap|switch)\s{_THEM}(?:\s(?:round|over|around))?\b"
)


def swapped(note: Note) -> str | None:
    """The text with the two places last said in each other's stead; None where none were the wrong way round."""
    words = ["" if w in STOPS or w == "," else w for w in note.lower]
    starts: list[int] = []
    line = ""
    for word in words:
        starts.append(len(line))
        line += word + " " if word else ""
    for found in _ROUND.finditer(line):
        first = next(k for k, s in enumerate(starts) if s >= found.start() and words[k])
        end = next((k for k, s in enumerate(starts) if s >= found.end()), len(words))
        before = [p for p in note.places if p.end <= first and p.sort in ("hive", "nuc") and not p.deictic]
        if len(before) < 2:
            continue
        one, two = before[-2:]
        if one.places == two.places or len(one.places) != 1 or len(two.places) != 1:
            continue
        parts = (
            note.text(0, one.start),
            note.text(two.start, two.end),
            note.text(one.end, two.start),
            note.text(one.start, one.end),
            note.text(two.end, first).rstrip(" ,"),
            note.text(end, len(note.lower)),
        )
        return " ".join(p for p in parts if p)
    return None
