"""A day in a sentence of its own, behind or before a task: "Wants a new floor, hive 44. Remind me on Saturday."."""

from __future__ import annotations

from dataclasses import replace

from gloveside.extract.leftovers import Stretch, without
from gloveside.extract.note import STOPS, Note

# Beside a day that stands alone.
BESIDE = frozenset(["on", "by", "for", "say", "maybe", "make", "it", "that", "no", "do", "in", "at", "about"])


def _sentences(note: Note) -> list[tuple[int, int]]:
    """Start and end of each sentence."""
    out: list[tuple[int, int]] = []
    for at, number in enumerate(note.sentence):
        if out and note.sentence[out[-1][0]] == number:
            out[-1] = (out[-1][0], at + 1)
        else:
            out.append((at, at + 1))
    return out


def only_day(note: Note, start: int, end: int) -> bool:
    """Whether a sentence says no more than a day to come, and perhaps that a reminder is wanted."""
    dated = note.of_dates()
    cued = {k for c in note.cues if c.concept == "remind" for k in range(c.start, c.end)}
    said = [k for k in range(start, end) if note.lower[k].isalnum()]
    rest = [k for k in said if k not in dated | cued and k not in note.soft and note.lower[k] not in BESIDE]
    return bool(said) and not rest and any(k in dated for k in said)


def due_behind(note: Note, tasks: list[Stretch], claimed: set[int]) -> list[Stretch]:
    """The tasks with the days that stand behind or before them in a sentence of their own."""
    out = list(tasks)
    sentences = _sentences(note)
    for index, (start, end) in enumerate(sentences):
        if any(k in claimed for k in range(start, end)) or not only_day(note, start, end):
            continue
        due = next((d.future for d in note.dates if start <= d.start < end and d.future is not None), None)
        last = next((k for k, t in enumerate(out) if t.end <= start and start - t.end <= 1 and t.due is None), None)
        if due is None or any(t.start < end and start < t.end for t in out):
            continue
        if last is not None:
            out[last] = replace(out[last], end=end, due=due)
            continue
        asks = any(c.concept == "remind" and start <= c.start < end for c in note.cues)
        ahead = sentences[index + 1] if asks and index + 1 < len(sentences) else None
        free = ahead is not None and not any(k in claimed or k in note.blocked for k in range(*ahead))
        if ahead is not None and free and not any(t.start < ahead[1] and ahead[0] < t.end for t in out):
            text = without(note, ahead[0], ahead[1], {k for k in range(*ahead) if note.lower[k] in STOPS})
            if text:
                out.append(Stretch(start, ahead[1], text, True, due))
    return sorted(out, key=lambda t: t.start)
