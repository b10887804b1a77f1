"""What no rule claims becomes a note, so that nothing said is dropped."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from datetime import date

from spacy.lang.en.stop_words import STOP_WORDS

from gloveside.extract.note import STOPS, Note

# Inside a clause that was understood, fewer words than this say how, not what ("a lovely frame"); `heard` keeps them.
FRAGMENT = 3
BOUNDS = {",", ".", ";", "!", "?", ":", "and", "but"}
# Words that only join or point: alone, or with others of them, they are no note.
TELLING = {
    "empty",
    "full",
    "serious",
    "nothing",
    "none",
    "nobody",
    "alone",
    "bottom",
    "top",
    "front",
    "side",
    "not",
    "no",
}
JOINING = (frozenset(STOP_WORDS) - TELLING) | {
    "that's", "it's", "there's", "they're", "she's", "i'm", "we're", "i've", "we've", "she'd", "they've",
    "one's", "that'll", "what's", "here's", "let's", "anyway", "anyways", "yeah", "um", "uh", "er", "ok",
    "okay", "right", "well", "now", "anywhere", "somewhere", "though", "one", "thing", "things", "bit", "lot",
    "way", "time", "like", "got", "gone", "going", "go", "went", "get", "came", "come", "done", "said", "say",
    "looking", "look", "looked", "today", "actually", "s", "job", "day",
}  # fmt: skip
TRIM = {",", ".", ";", ":", "!", "?", "-", "and", "but", "so", "then", "also"}
LEAD = TRIM | {"that", "to", "for", "about", "'s", "like", "um", "er", "uh"}


@dataclass(frozen=True, slots=True)
class Stretch:
    """Tokens start..end-1 that become a task or a note."""

    start: int
    end: int
    text: str
    task: bool = False
    due: date | None = None


def without(note: Note, start: int, end: int, gone: set[int]) -> str:
    """The words of tokens start..end-1 but those that are gone, without what only joins at either end."""
    keep = [at for at in range(start, end) if at not in gone]
    while keep and note.lower[keep[0]] in (LEAD if gone else TRIM):
        keep.pop(0)
    while keep and (
        note.lower[keep[-1]] in TRIM
        or (note.lower[keep[-1]] in ("on", "by", "at", "for", "before", "until", "till") and gone)
    ):
        keep.pop()
    text = "".join(note.doc[at].text_with_ws for at in keep).strip()
    return text.replace(" ,", ",")


def _stands_alone(note: Note, start: int, end: int, claimed: Set[int]) -> bool:
    """Whether a run is a clause by itself rather than a word or two of a clause that was understood."""
    while start > 0 and start - 1 not in claimed and note.lower[start - 1] not in BOUNDS:
        start -= 1
    left = start == 0 or note.lower[start] in BOUNDS or note.lower[start - 1] in BOUNDS
    right = end >= len(note.lower) or note.lower[end] in BOUNDS or note.lower[end - 1] in BOUNDS
    return left and right


def _joins(note: Note, at: int) -> bool:
    """Whether a word only joins, points or fills."""
    return note.lower[at] in JOINING or at in note.filler


def _with_its_place(note: Note, start: int, facts: Set[int]) -> int:
    """Where a note begins that says something of a place of its own: "nuc 2" before "is empty"."""
    for place in note.places:
        led = place.start == 0 or note.lower[place.start - 1] in BOUNDS
        if place.end == start and led and not any(at in facts for at in range(place.start, place.end)):
            return place.start
    return start


def notes(
    note: Note,
    claimed: Set[int],
    understood: bool,
    counts: Set[str] = frozenset(),
    facts: Set[int] = frozenset(),
) -> list[Stretch]:
    """Runs of words that nothing claims, with the soft words between them.

    understood: something else was; counts: numbers of its entries, which say nothing when they are said again;
    facts: tokens of the facts themselves, without the places and days that hold for them.
    """
    length = len(note.lower)
    said_again = {at for n in note.numbers.values() if str(n.value) in counts for at in range(n.start, n.end)}

    def says_nothing(at: int) -> bool:
        word = note.lower[at]
        if at in note.blocked:
            return not word[:1].isalnum()
        if at in said_again:
            return True
        if at in note.numbers and word != "one":
            return False  # number words are stop words too
        if at in note.content and at not in note.soft:
            return at in note.light and understood
        return at in note.soft or not word[:1].isalnum() or word in JOINING

    if not understood:
        words = [at for at in range(length) if note.lower[at][:1].isalnum()]
        if not words:
            return []
        return [Stretch(0, length, note.doc.text.strip())]
    out: list[Stretch] = []
    at = 0
    while at < length:
        if at in claimed:
            at += 1
            continue
        end = at
        while end < length and end not in claimed and not (end > at and note.lower[end - 1] in STOPS):
            end += 1
        words = [k for k in range(at, end) if not says_nothing(k)]
        head = _with_its_place(note, at, facts)
        if head < at and (end >= length or note.lower[end] in BOUNDS or note.lower[end - 1] in BOUNDS):
            said = [k for k in range(at, end) if note.lower[k][:1].isalpha() and not _joins(note, k)]
            if said and not any(k in facts for k in range(head, end)):
                out.append(Stretch(head, end, without(note, head, end, set())))
                at = end
                continue
        whole = _stands_alone(note, at, end, claimed)
        counted = any(k in note.numbers and not note.numbers[k].ordinal for k in words)
        if len(words) >= FRAGMENT or (words and (whole or counted)):
            text = without(note, at, end, set())
            if text:
                out.append(Stretch(at, end, text))
        at = end
    return out
