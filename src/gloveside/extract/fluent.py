"""A hesitant sentence said again without its ums and stutters, so that phrases broken by them are whole again."""

from __future__ import annotations

import re

from gloveside.extract.note import Note

_UMS = r"(?:u+m+|uh+m?|e+rm?|err+|ah+|hm+|mm+|eh|you know|sort of|kind of|i mean|let me think|let me see)"
_HESITATION = re.compile(
    rf"^\s*{_UMS}\b,?\s*|,\s*{_UMS}\s*(?:,|(?=[?.!]|$))|(?<!\w)(?:u+m+|uh+m?|e+rm?|hm+)\b,?", re.IGNORECASE
)
_SMALL = "the|a|an|i|we|of|in|is|it|to|and|by|for|so|that|which|what|how|was|were|did|do|on|at|my|with|from|when|are"
_STUTTER = re.compile(rf"\b((?:{_SMALL})(?: [a-z']+)?)(?:,|\s*\.\.\.|\s*…)?\s+\1\b", re.IGNORECASE)


def fluent(note: Note, start: int, end: int) -> str | None:
    """The words of tokens start..end-1 without hesitations and repeated small words; None where there are none."""
    said = note.text(start, end)
    plain = _HESITATION.sub(" ", said)
    plain = " ".join(_STUTTER.sub(r"\1", plain).split()).replace(" ?", "?").replace(" ,", ",")
    return plain if plain != " ".join(said.split()) and any(c.isalnum() for c in plain) else None
