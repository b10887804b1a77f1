"""What to offer when a question has no answer: the two questions nearest to its words that can be answered."""

from __future__ import annotations

import re
from difflib import SequenceMatcher

from gloveside.bot.messages import Button, Reply
from gloveside.extract.models import Question

NO_MATCH = "I have no answer to that in the record."
ASKABLE: tuple[tuple[str, str], ...] = (
    ("When are the cells ripe?", '{"ask": "ripe"}'),
    ("What is due this week?", '{"ask": "due"}'),
    ("How did the last round take?", '{"ask": "take"}'),
    ("How is the take against last year?", '{"ask": "take", "compare": true}'),
    ("How is the take by mother?", '{"ask": "take", "by": "mother"}'),
    ("How is the take by tool?", '{"ask": "take", "by": "tool"}'),
    ("How many splits, and when?", '{"ask": "splits"}'),
    ("Which hives are queenless?", '{"ask": "list", "queen": "queenless", "what": "hives"}'),
    ("Which hives have swarm cells?", '{"ask": "list", "state": "swarm cells", "what": "hives"}'),
    ("Which hives need feed?", '{"ask": "list", "state": "hungry", "what": "hives"}'),
    ("Which hives were not looked at?", '{"ask": "list", "state": "not looked at", "what": "hives"}'),
    ("Which hives have mites over threshold?", '{"ask": "list", "state": "mites high", "what": "hives"}'),
    ("Which nucs should I look at?", '{"ask": "list", "state": "to look at", "what": "nucs"}'),
    ("Which hives have strips in?", '{"ask": "list", "state": "treatment in", "what": "hives"}'),
    ("Where are the marked queens?", '{"ask": "list", "state": "marked"}'),
    ("How many laying queens are for sale?", '{"ask": "count", "for_sale": true}'),
    ("How many hives do I have?", '{"ask": "count", "what": "hives"}'),
    ("How many queens did I sell?", '{"ask": "count", "kind": "sale", "what": "queens"}'),
    ("How much honey did I take?", '{"ask": "count", "what": "honey"}'),
    ("How many larvae with each tool?", '{"ask": "count", "what": "larvae", "by": "tool"}'),
    ("How many hives were lost?", '{"ask": "count", "kind": "loss", "what": "hives"}'),
    ("How well do the queens mate?", '{"ask": "count", "what": "matings"}'),
    ("When does the feeder run dry?", '{"ask": "due", "what": "feeder"}'),
    ("When was the excluder put in?", '{"ask": "history", "kind": "builder", "step": "excluder in"}'),
)
"""Questions by their words, with their slots as JSON. The place in the list travels in a button: append only."""
_OF_PLACE = (("Last note of {place}", "last"), ("History of {place}", "history"))
_SMALL_WORDS = (
    "a an the is are was were do does did i my me we you of in on at to for and or it this that what which when how "
    "who where why many much have has had be been will would should can could there any all"
)
_SMALL = frozenset(_SMALL_WORDS.split())


def _words(text: str) -> set[str]:
    return {w.rstrip("s") for w in re.findall(r"[a-z]+", text.lower())} - _SMALL


def nearest(text: str, most: int = 2) -> list[int]:
    """Indexes of the askable questions nearest to a text: by shared words, then by likeness of the letters."""
    ours = _words(text)

    def score(asked: str) -> tuple[float, float]:
        theirs = _words(asked)
        shared = len(ours & theirs) / (len(ours | theirs) or 1)
        return shared, SequenceMatcher(None, text.lower(), asked.lower()).ratio()

    return sorted(range(len(ASKABLE)), key=lambda i: score(ASKABLE[i][0]), reverse=True)[:most]


def question(data: str) -> Question | None:
    """The question of a button made here, or None."""
    index, _, place = data.partition(":")
    if index in ("last", "history") and place:
        return Question(ask=index, place=place)
    if index.isdigit() and int(index) < len(ASKABLE):
        return Question.model_validate_json(ASKABLE[int(index)][1])
    return None


def offer(text: str, place: str | None = None, said: str = NO_MATCH) -> Reply:
    """A reply that says so and offers the two nearest questions. place: the hive or nuc that the question names."""
    if place is not None:
        offered = [(words.format(place=place), f"q:{ask}:{place}") for words, ask in _OF_PLACE]
    else:
        offered = [(ASKABLE[i][0], f"q:{i}") for i in nearest(text)]
    rows = tuple((Button(words, data),) for words, data in offered if len(data.encode()) <= 64)
    return Reply("\n".join([said, "Nearest I can answer:", *(f"· {words}" for words, _ in offered)]), rows)
