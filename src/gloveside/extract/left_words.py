"""What words that no rule accounts for say, by class, and which pieces of a note say one thing each."""

from __future__ import annotations

from gloveside.extract import everyday
from gloveside.extract.leftovers import JOINING
from gloveside.extract.note import PREPOSITIONS, STOPS, Note
from gloveside.extract.scopes import PAST

NEGATIONS = frozenset(
    ["not", "no", "never", "none", "without", "nor", "cannot", "except", "nothing", "hardly", "barely"]
)
RIGHTING = frozenset(
    ["wait", "sorry", "correction", "scratch", "meant", "rather", "instead", "wrong", "oops", "recount", "honest"]
)
POINTING = frozenset(
    ["both", "each", "another", "same", "ditto", "likewise", "other", "others", "rest", "either", "neither", "ones"]
)
AUXILIARY = frozenset(["is", "are", "was", "were", "has", "have", "had", "did", "got", "left", "due", "back"])
JOINS = frozenset(["and", "then", "but", "so", "plus", "while", "because"])
SORTS = ("number", "negation", "righting", "pointing", "trade", "thing", "value", "verb", "uncommon", "common")
HEAVY = ("number", "negation", "trade", "verb", "value", "pointing")


def sort_of(note: Note, at: int) -> str | None:
    """What a word that nothing accounts for may say; None for joining words."""
    word = note.lower[at]
    if not word[:1].isalnum():
        return None
    if at in note.numbers:
        span = note.numbers[at]
        return None if span.ordinal or word in ("one", "a", "an") else "number"
    if word in NEGATIONS or word.endswith("n't"):
        return "negation"
    if word in RIGHTING:
        return "righting"
    if word in POINTING:
        return "pointing"
    if at in note.soft or word in AUXILIARY:
        return None
    if at in note.trade:
        return "thing" if at in note.light else "trade"
    if word in PAST or (word.endswith("ed") and len(word) > 4):
        return "verb"
    if at in note.light or word.isdigit():
        return None
    if at in note.content:
        return "value"
    if word in JOINING or word in PREPOSITIONS:
        return None
    return "common" if everyday.is_everyday(word) or not word.isalpha() else "uncommon"


def pieces_of(note: Note) -> list[int]:
    """A number for each token: pieces of the note that say one thing, cut at stops, pauses, joins and places."""
    heads = {p.start for p in note.places if not p.deictic}
    out, piece = [], 0
    for at, word in enumerate(note.lower):
        new_place = at in heads and at and note.lower[at - 1] not in (*PREPOSITIONS, "the", "and", "or", ",")
        if word in STOPS or word in (",", ":") or word in JOINS or new_place:
            piece += 1
        out.append(piece)
    return out
