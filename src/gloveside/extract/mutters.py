"""Talk to oneself in the midst of a walk, which is parted from the records around it where no stop was heard.

"six frames of brood where did I put the smoker hive 4 weak": the question is nobody's and must not swallow a record.
"""

from __future__ import annotations

import re

from gloveside.extract.note import Note

# The beginning of such talk; it goes on to the next place or stop.
_OPEN = re.compile(
    r"\bwhere (?:did i|have i|did we|the hell|on earth) \w+"
    r"|\bwhere ?(?:'s|is|are|has) (?:my|me|that|the) (?!queen\b|hive\b|nuc\b|cell\b|bar\b)\w+"
    r"|\bwhat did i (?:do with|come|want|say|call)\b"
    r"|\bdid i (?:shut|close|lock|leave|turn|bring|write|say|mention|put the gate)\b"
    r"|\bhow am i doing\b|\bhow long have i\b"
    r"|\b(?:ow|ouch|phew|oof|blimey|crikey|strewth) (?!hive\b|nuc\b)"
    r"|\b(?:there goes|there go) (?:the|that|my)\b"
    r"|\bmy (?:poor )?(?:back|knees?|hip|shoulder|thumb|gloves?|veil|radio|phone|hat|boots?)"
    r" ?(?:'s|is|are|has|hurts?|aches?)\b"
)
# Talk of so many words and no more.
_WHOLE = re.compile(
    r"\bwhere (?:was|were) (?:i|we)(?: up to)?\b|\bwhere had i got to\b"
    r"|\bwhat (?:was i|were we) (?:saying|doing|on about)\b"
    r"|\bwhat (?:have we|'ve we|have i) got here\b|\bwhat ?(?:'s|is) (?:next|the time)\b|\bwho ?(?:'s|is) next\b"
    r"|\bwhat else\b|\bwhere was it\b|\bnow where\b|\bwhat was it\b|\blost my (?:thread|place|train of thought)\b"
)
# "oh right where was i", "er what else".
_LEADS = frozenset("oh um er uh right okay ok so now and well hmm but ah anyway".split())  # noqa: SIM905


def cuts(note: Note, start: int, end: int) -> set[int]:
    """Where talk to oneself begins in tokens start..end-1, and where such as has a known end is over."""
    line, at = "", {}
    for k in range(start, end):
        at[len(line)] = k
        line += note.lower[k] + " "
    out: set[int] = set()
    for pattern in (_OPEN, _WHOLE):
        for found in pattern.finditer(line):
            if found.start() not in at:
                continue
            first = at[found.start()]
            while first > start and note.lower[first - 1] in _LEADS:
                first -= 1
            out.add(first)
            if pattern is _WHOLE:
                out.add(next((k for left, k in at.items() if left >= found.end()), end))
    return {k for k in out if start < k < end}
