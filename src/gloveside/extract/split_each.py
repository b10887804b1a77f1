"""Splits taken from several hives alike: "hive 8 and hive 20 both knocked in half, one split from each".

Each hive gets a sentence of its own, so that each is read as the source of its own splits.
"""

from __future__ import annotations

from itertools import pairwise

from gloveside.extract.note import STOPS, Note
from gloveside.extract.places import PlaceSpan

SPLITTING = frozenset(["split_noun", "split_one", "split_strong"])
NUCS = frozenset(["nuc_noun", "nucs_noun"])
HALVING = frozenset(["knocked", "chopped", "divided", "halved", "cut"])
EACH = frozenset(["each", "apiece", "both"])
JOINING = frozenset(["and", ",", "&", "both"])
FROM = frozenset(["from", "off", "of", "out"])


def spread(note: Note) -> str | None:
    """The text with a sentence for each hive that splits were taken from alike; None where there are none."""
    start = 0
    for end in [*(at for at, word in enumerate(note.lower) if word in STOPS), len(note.lower)]:
        told = _told_for_each(note, start, end)
        if told is not None:
            parts = (note.text(0, start), ". ".join(told), note.text(end, len(note.lower)))
            return " ".join(p for p in parts if p)
        start = end + 1
    return None


def _told_for_each(note: Note, start: int, end: int) -> list[str] | None:
    """The sentence start..end-1 said of each hive by itself."""
    within = [p for p in note.places if start <= p.start < end and not p.deictic]
    each = [at for at in range(start, end) if note.lower[at] in EACH]
    if not within or any(p.sort != "hive" or p.rivals for p in within):
        return None
    listed = sum(len(p.places) for p in within) > 1
    plain = "split_one" in note.lattice.edges[max(0, within[0].start - 1)]  # "split hives 3 and 4"
    if not each and not (listed and plain and not _counted(note, start, end)):
        return None
    splitting = any(SPLITTING & set(note.lattice.edges[at]) for at in range(start, end))
    halved = bool(HALVING & set(note.lower[start:end])) and "half" in note.lower[start:end]
    made = _made(note, start, end) or note.lower[within[0].start - 1] in FROM
    named = note.of_places()
    nucs = made and any(NUCS & set(note.lattice.edges[at]) for at in range(start, end) if at not in named)
    if not (splitting or halved or nucs) or any(at in note.blocked for at in range(start, end)):
        return None
    first, last = within[0], within[-1]
    if not all(_joined(note, a, b) for a, b in pairwise(within)):
        return None
    hives = list(dict.fromkeys(name for p in within for name in p.places))
    if len(hives) < 2:
        return None
    head = _without_each(note, start, first.start)
    tail = _without_each(note, last.end, end)
    words = head.split()
    while words and words[-1].lower() in FROM:
        words.pop()
    splits = any(word.lower().startswith("split") for word in words)
    if splits and len(words) < len(head.split()) and _counted(note, start, first.start):
        # "2 splits from each of hives 3 and 4": the hive first, so that its count is its own
        return [f"{hive}, {' '.join(words)} {tail}".strip() for hive in hives]
    return [" ".join(p for p in (head, hive, tail) if p) for hive in hives]


def _counted(note: Note, start: int, end: int) -> bool:
    """Whether a number is said that is no name, or into what the hives were split."""
    apart = note.of_places() | note.of_dates()
    numbers = any(start <= k < end and k not in apart for k in note.numbers)
    return numbers or bool({"into", "in", "a", "together"} & set(note.lower[start:end]))


def _made(note: Note, start: int, end: int) -> bool:
    return bool({"made", "took", "pulled", "drew", "make", "taken"} & set(note.lower[start:end]))


def _joined(note: Note, first: PlaceSpan, second: PlaceSpan) -> bool:
    return all(word in JOINING for word in note.lower[first.end : second.start])


def _without_each(note: Note, start: int, end: int) -> str:
    """The words start..end-1 without "each", and with "one from each" as "one split"."""
    out: list[str] = []
    at = start
    while at < end:
        step = at
        while step < end and note.lower[step] in FROM:
            step += 1
        if step < end and note.lower[step] in EACH and note.lower[step + 1 : step + 2] != ["of"]:
            counted = at > start and (
                at - 1 in {n.end - 1 for n in note.numbers.values()} or note.lower[at - 1] == "one"
            )
            if step > at and counted:
                out.append("splits")
            at = step + 1
            continue
        if note.lower[at] == "each" and note.lower[at + 1 : at + 2] == ["of"]:
            at += 2
            continue
        out.append(note.text(at, at + 1))
        at += 1
    return " ".join(out).replace(" ,", ",").strip()
