"""A day said over all that follows: "this is Monday's round", "notes for Saturday", "everything here is from Sunday".

Such a sentence tells nothing of a hive itself; its day holds until another is said, over all the places that follow.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from gloveside.extract.dates import DateSpan
from gloveside.extract.frames import Match
from gloveside.extract.note import Note

_WHAT = r"(?:this|these|those|that|it|they|everything|the lot|this lot|these ones|all (?:of )?(?:this|it|these|that))"
_BE = r"(?: ?'s| ?'re| is| are| was| were)"
_WORK = r"(?:notes?|entry|entries|records?|log|rounds?|walk|visit|trip|nucs|hives|job|jobs|inspections?|checks?|list)"
_FILL = r"(?:(?:right|okay|ok|so|now|and|then|well|um|er|oh|back to|on to|over to|next)\s)*"
_SAID = re.compile(
    rf"\b{_WHAT}(?: here| lot)?{_BE}(?: all| just| still| mostly)?(?: from| of| for| about| done)?(?: on| back on)? @"
    rf"|\b{_WORK} (?:for|from|of|on) @"
    rf"|\b@ 's (?:\w+ )?{_WORK}\b"
    rf"|^{_FILL}(?:for |from |on )?@(?: 's| then| now)*$"
    r"|\bwhat (?:i|we) did (?:on )?@"
)


def heads(note: Note, matches: Sequence[Match], day: DateSpan) -> bool:
    """Whether a day stands in such a sentence, with something told after it."""
    sentence = note.sentence[day.start]
    if day.past is None or day.start in note.blocked:
        return False
    if any(note.sentence[m.start] == sentence and m.rule.role == "fact" for m in matches):
        return False
    named = [p for p in note.places if p.sort in ("hive", "nuc") and p.places and not p.deictic]
    if any(note.sentence[p.start] == sentence for p in named) or not any(m.start >= day.end for m in matches):
        return False
    own = [k for k, s in enumerate(note.sentence) if s == sentence and note.lower[k][:1] not in (",", ".", ";", "!")]
    words = ["@" if k == day.start else note.lower[k] for k in own if not day.start < k < day.end]
    return _SAID.search(" ".join(words)) is not None
