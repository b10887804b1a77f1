"""What stands beside a question and asks nothing: a reason behind it, for whom it is asked, what is to be done then.

"How many splits for round six, I have frames to order", "will there be ripe cells for a customer tomorrow". The words
of the trade in a reason are no part of the question. What names a place, a round, a day or a number is never beside it.
"""

from __future__ import annotations

from collections.abc import Iterator

from gloveside.extract import coverage
from gloveside.extract.note import STOPS, Note
from gloveside.extract.queries import MONTHS

_REASONS = {"because", "cos", "coz", "cause", "so", "as", "since", "seeing", "only", "before", "while"}
_TURNS = {"mean", "meant", "sorry", "rather", "instead", "not"}
"""Words of a clause that puts right or turns what is asked."""
_ASK = {"what", "which", "when", "where", "who", "how", "whose", "if", "whether", "why", "?"}
_MODALS = {"should", "could", "can", "must", "ought", "need", "want", "have", "might", "may", "shall"}
_TELLERS = {"i", "we"}
_ARTICLES = {"a", "an", "the", "my", "our", "this", "that", "some"}
_INTO = {"in", "into", "on", "onto", "at", "by"}
_PERIODS = MONTHS.keys() | coverage.TIME_WORDS - {"now", "few"}
FEWEST = 2
"""A question keeps so many words at least."""


def without(note: Note, start: int, end: int) -> Iterator[str]:
    """Tokens start..end-1 as text without one stretch that stands beside the question; the longest left first."""
    stop = end - 1 if note.lower[end - 1] in STOPS else end
    for begin, last in sorted(set(_beside(note, start, stop)), key=lambda span: span[1] - span[0]):
        kept = " ".join(t for t in (note.text(start, begin), note.text(last, stop)) if t).strip(" ,")
        if len(kept.split()) > FEWEST:
            yield f"{kept}?"


def doing(note: Note, start: int, end: int) -> set[int]:
    """What the speaker will do with what is asked: a verb that the lexicon does not know after "I", "we" or "to".

    With where to it is done: "how many boxes should I throw in the truck for round three's splits".
    """
    found: set[int] = set()
    for at in range(start + 1, end):
        if note.lower[at - 1] not in {*_TELLERS, "to"} or not _unknown(note, at):
            continue
        found.add(at)
        after = note.lower[at + 1 : at + 3]
        if after[:1] and after[0] in _INTO and after[1:] and after[1] in _ARTICLES and at + 3 < end:
            found.update({at + 3} if _thing(note, at + 3) else ())
    return found


def _unknown(note: Note, at: int) -> bool:
    """Whether a token is a word without meaning for the record: no number, no word of the lexicon, no negation."""
    known = any(label[0].islower() for label in note.lattice.edges[at])
    word = note.lower[at]
    return word.isalpha() and not known and at not in note.numbers and word not in coverage.NEGATIONS | _ASK


def _thing(note: Note, at: int) -> bool:
    """Whether a token names no thing, day or state of the record: "a customer", "the truck"."""
    labels = note.lattice.edges[at]
    asks = any(label.startswith(("ask_", "asks", "state_")) for label in labels)
    timed = note.lower[at] in coverage.TIME_WORDS or "year_seasons" in labels or at in note.of_dates()
    return "W" in labels and not asks and not timed and at not in note.trade and note.lower[at].isalpha()


def _names(note: Note, start: int, end: int) -> bool:
    """Whether tokens start..end-1 name a place, a round, a day, a period ("the beginning of October") or a number."""
    named = note.of_places() | note.of_rounds() | note.of_dates()
    figures = {at for at in note.numbers if note.lower[at] != "one"}
    return any(at in named | figures or note.lower[at] in _PERIODS for at in range(start, end))


def _beside(note: Note, start: int, stop: int) -> Iterator[tuple[int, int]]:
    for at in range(start + FEWEST, stop):
        word, after = note.lower[at], note.lower[at + 1 : at + 3]
        clause = {*note.lower[at:stop]}
        if not after or _names(note, at, stop):
            pass
        elif word == "," or word in _REASONS:
            who = after[1] if word == "," and after[0] in _REASONS and after[1:] else after[0]
            tells = who in coverage.WHOSE or (who in ("the", "my", "there's", "that's") and word != ",")
            if tells and not clause & (_ASK | _TURNS):
                yield at, stop
        elif word in _TELLERS and after[0] in _MODALS and not clause & (_ASK | coverage.NEGATIONS):
            asked = note.lower[at - 1] not in coverage.WHOSE | _ASK | _MODALS | {"do", "did", "than", ","}
            if asked and not any(k in note.trade for k in range(at, stop)):
                yield at, stop  # "any hives with chalkbrood I should leave till last"
        if word == "for" and len(after) > 1 and after[0] in ("a", "an", "the", "my", "our"):
            follows = note.lower[at + 3] if at + 3 < stop else ""
            ends = at + 3 >= stop or at + 3 in note.of_dates() or follows in ("at", "on", "by", ",", "this", "next")
            if ends and _thing(note, at + 2):
                yield at, at + 3
