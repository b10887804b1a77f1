"""What is put right after a remark, or in the words that follow it."""

from __future__ import annotations

from gloveside.extract.correction_cues import cues
from gloveside.extract.elements import LONGEST, alike, elements, first_comma, join
from gloveside.extract.note import STOPS, Note

# What a remark begins with, after "no": "no eggs" is none.
SPEAKING = frozenset(("i", "we", "it", "that", "they", "she", "he", "there", "one", "wait", "sorry", "hang", "hold"))


def _speaks(note: Note, at: int) -> bool:
    """Whether a remark follows "no" at a token, not what there is none of."""
    return note.lower[at] == "," or note.lower[at].split("'")[0] in SPEAKING


def _unstopped(note: Note, left: int, right: int, stop: int) -> str | None:
    """Put right after a remark without pauses: "26 out of 30 no i counted one twice 25 out of 30"."""
    before = elements(note, 0, left)
    for at in range(right + 1, stop):
        if at not in note.numbers or note.numbers[at].value == 1 or note.numbers[at].ordinal:
            continue
        part = elements(note, at, stop)[:LONGEST]
        found = alike(before, part)
        if found is None or found[1] < 2 or part[0].shape != "N" or found[0] + found[1] < len(before):
            return None
        old, length = found
        ranges = [(0, before[old].start), (at, part[length - 1].end), (before[old + length - 1].end, left)]
        return join(note, [*ranges, (part[length - 1].end, len(note.lower))])
    return None


def after_remark(note: Note) -> str | None:
    """Put right after a remark: "26 of 30, no, I counted one twice, 25 of 30"."""
    heads = [c.end for c in cues(note) if c.concept == "fix"]
    heads += [
        at + 1
        for at, word in enumerate(note.lower)
        if word == "no"
        and at > 1
        and (note.lower[at - 1] == "," or any(n.end == at for n in note.numbers.values()))
        and note.lower[at + 1 : at + 2]
        and _speaks(note, at + 1)
    ]
    for right in sorted(heads):
        left = right
        while left > 0 and (note.lower[left - 1] in ("no", ",", "oh", "wait") or left == right):
            left -= 1
        while right < len(note.lower) and note.lower[right] == ",":
            right += 1  # "hold it, I've skipped one, that's nuc 7"
        stop = next((k for k in range(right, len(note.lower)) if note.lower[k] in STOPS), len(note.lower))
        comma = first_comma(note, right, stop)
        remark = elements(note, right, comma)
        numbers_in = [note.numbers[e.start].value for e in remark if e.start in note.numbers]
        if comma >= stop:
            unstopped = _unstopped(note, left, right, stop)
            if unstopped is not None:
                return unstopped
        if comma >= stop or any(e.shape in ("P", "R") for e in remark):
            continue
        part = elements(note, comma + 1, first_comma(note, comma + 1, stop))[:LONGEST]
        reasoned = bool(part) and part[0].shape == "N" and note.lower[comma + 1] == "so"
        new = note.numbers[part[0].start].value if part and part[0].start in note.numbers else 1
        if any(v != (new if reasoned else 1) for v in numbers_in):
            continue  # "no, the jug only holds 3, so 3 litres"
        before = elements(note, 0, left)
        found = alike(before, part)
        if found is None or (found[1] == 1 and part[0].shape != "P" and not reasoned):
            continue
        at, length = found
        if before[at + length - 1].end < left - LONGEST:
            continue
        ranges = [
            (0, before[at].start),
            (part[0].start, part[length - 1].end),
            (before[at + length - 1].end, left),
            (part[length - 1].end, len(note.lower)),
        ]
        return join(note, ranges)
    return None
