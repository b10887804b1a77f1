"""What to offer when a question has no answer: the two questions nearest to its words that can be answered."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from difflib import SequenceMatcher

from gloveside.bot.messages import LONGEST_BUTTON_DATA, Button, Reply
from gloveside.extract.models import Question

NO_MATCH = "I have no answer to that in the record."
NOT_SURE = "I am not sure what you ask."


@dataclass(frozen=True, slots=True)
class Askable:
    """A question that can be answered. slots: as JSON; of_round, of_place: its words with a round or place named."""

    words: str
    slots: str
    of_round: str | None = None
    of_place: str | None = None


ASKABLE: tuple[Askable, ...] = (
    Askable("When are the cells ripe?", '{"ask": "ripe"}', "When is round {round} ripe?"),
    Askable("What is due this week?", '{"ask": "due"}', "What is due for round {round}?", "What is due at {place}?"),
    Askable("How did the last round take?", '{"ask": "take"}', "How did round {round} take?"),
    Askable("How is the take against last year?", '{"ask": "take", "compare": true}'),
    Askable("How is the take by mother?", '{"ask": "take", "by": "mother"}'),
    Askable("How is the take by tool?", '{"ask": "take", "by": "tool"}'),
    Askable("How many splits, and when?", '{"ask": "splits"}', "How many splits for round {round}?"),
    Askable("Which hives are queenless?", '{"ask": "list", "queen": "queenless", "what": "hives"}'),
    Askable("Which hives have swarm cells?", '{"ask": "list", "state": "swarm cells", "what": "hives"}'),
    Askable("Which hives need feed?", '{"ask": "list", "state": "hungry", "what": "hives"}'),
    Askable("Which hives were not looked at?", '{"ask": "list", "state": "not looked at", "what": "hives"}'),
    Askable("Which hives have mites over threshold?", '{"ask": "list", "state": "mites high", "what": "hives"}'),
    Askable("Which nucs should I look at?", '{"ask": "list", "state": "to look at", "what": "nucs"}'),
    Askable("Which hives have strips in?", '{"ask": "list", "state": "treatment in", "what": "hives"}'),
    Askable("Where are the marked queens?", '{"ask": "list", "state": "marked"}'),
    Askable("How many laying queens are for sale?", '{"ask": "count", "for_sale": true}'),
    Askable("How many hives do I have?", '{"ask": "count", "what": "hives"}'),
    Askable("How many queens did I sell?", '{"ask": "count", "kind": "sale", "what": "queens"}'),
    Askable("How much honey did I take?", '{"ask": "count", "what": "honey"}'),
    Askable("How many larvae with each tool?", '{"ask": "count", "what": "larvae", "by": "tool"}'),
    Askable("How many hives were lost?", '{"ask": "count", "kind": "loss", "what": "hives"}'),
    Askable("How well do the queens mate?", '{"ask": "count", "what": "matings"}'),
    Askable("When does the feeder run dry?", '{"ask": "due", "what": "feeder"}', None, "Feeder dry at {place}?"),
    Askable("When was the excluder put in?", '{"ask": "history", "kind": "builder", "step": "excluder in"}'),
    Askable("What was the last note?", '{"ask": "last"}', None, "Last note of {place}"),
    Askable("What did I do this week?", '{"ask": "history"}', "What was done in round {round}?", "History of {place}"),
    Askable("How old are the queens?", '{"ask": "age"}', None, "How old is the queen of {place}?"),
    Askable("Which hives need a super?", '{"ask": "list", "state": "needs super", "what": "hives"}'),
    Askable("Which hive is strongest?", '{"ask": "list", "rank": "most", "state": "strong", "what": "hives"}'),
    Askable("Which hive is weakest?", '{"ask": "list", "rank": "least", "state": "weak", "what": "hives"}'),
    Askable("Which hive has most brood?", '{"ask": "list", "rank": "most", "of": "brood_frames", "what": "hives"}'),
    Askable("Which hive has most mites?", '{"ask": "list", "rank": "most", "of": "mites_percent", "what": "hives"}'),
    Askable("How many hives by next year?", '{"ask": "growth"}'),
    Askable("Plan the season", '{"ask": "plan"}'),
    Askable("When is a hive broodless?", '{"ask": "broodless"}', None, "Broodless window of {place}?"),
    Askable("Whom should I breed from?", '{"ask": "breeders"}'),
    Askable("How is the take by bar?", '{"ask": "take", "by": "bar"}', "Take by bar in round {round}?"),
    Askable("Which queens are not marked?", '{"ask": "list", "state": "unmarked"}'),
    Askable("Which nucs are laying?", '{"ask": "list", "queen": "laying", "what": "nucs"}'),
    Askable(
        "What did I feed this season?", '{"ask": "history", "kind": "feed", "season": 0}', None, "Feed of {place}?"
    ),
    Askable("How many cells are there?", '{"ask": "count", "what": "cells"}', "How many cells in round {round}?"),
    Askable("When are drones needed?", '{"ask": "drones"}', "Drones for round {round}?"),
    Askable("Which hives show disease?", '{"ask": "list", "state": "disease", "what": "hives"}'),
    Askable(
        "What was treated this season?",
        '{"ask": "history", "kind": "treatment", "season": 0}',
        None,
        "Treatments of {place}?",
    ),
    Askable("What did I sell this season?", '{"ask": "count", "kind": "sale", "what": "sales", "season": 0}'),
)
"""The place in the list travels in a button: append only."""
_SMALL_WORDS = (
    "a an the is are was were do does did i my me we you of in on at to for and or it this that what which when how "
    "who where why many much have has had be been will would should can could there any all hive nuc round last"
)
_SMALL = frozenset(_SMALL_WORDS.split())


def _words(text: str) -> set[str]:
    return {w.rstrip("s") for w in re.findall(r"[a-z]+", text.lower())} - _SMALL


def nearest(text: str, guess: Question | None = None, most: int = 2) -> list[int]:
    """Indexes of the askable questions nearest to a text.

    guess: the reading that leaves words over; what it asks comes first, then shared words, then likeness of letters.
    """
    ours = _words(text)
    asked = {} if guess is None else guess.model_dump(mode="json", exclude_none=True)

    def score(index: int) -> tuple[float, float]:
        known = ASKABLE[index]
        slots = json.loads(known.slots)
        theirs = _words(" ".join(w for w in (known.words, known.of_round, known.of_place) if w)) - {"round", "place"}
        shared = len(ours & theirs) / (len(theirs) or 1)
        if slots["ask"] == asked.get("ask"):
            same = sum(asked.get(name) == value for name, value in slots.items())
            shared += 0.15 + 0.3 * (same - 1)
        if guess is not None:
            fits = (guess.round is not None and known.of_round) or (guess.place is not None and known.of_place)
            shared += 1.0 if fits else 0.0
        return shared, SequenceMatcher(None, text.lower(), known.words.lower()).ratio()

    return sorted(range(len(ASKABLE)), key=score, reverse=True)[:most]


def question(data: str) -> Question | None:
    """The question of a button made here, or None."""
    index, _, about = data.partition(":")
    if index in ("last", "history") and about:
        return Question(ask=index, place=about)
    if not index.isdigit() or int(index) >= len(ASKABLE):
        return None
    slots = json.loads(ASKABLE[int(index)].slots)
    if about.isdigit():
        slots["round"] = int(about)
    elif about:
        slots["place"] = about
    return Question.model_validate(slots)


def offer(text: str, guess: Question | str | None = None, said: str = NO_MATCH) -> Reply:
    """A reply that says so and offers the two nearest questions.

    guess: the reading that is not sure of all words, or the hive or nuc that was named.
    """
    if isinstance(guess, str):
        guess = Question(ask="last", place=guess)
    offered = [_offered(index, guess) for index in nearest(text, guess)]
    rows = tuple((Button(words, data),) for words, data in offered if len(data.encode()) <= LONGEST_BUTTON_DATA)
    return Reply("\n".join([said, "Nearest I can answer:", *(f"· {words}" for words, _ in offered)]), rows)


def _offered(index: int, guess: Question | None) -> tuple[str, str]:
    """The words of a question and the data of its button, with the round or place that was named."""
    known = ASKABLE[index]
    if guess is not None and guess.round is not None and known.of_round:
        return known.of_round.format(round=guess.round), f"q:{index}:{guess.round}"
    if guess is not None and guess.place is not None and known.of_place:
        return known.of_place.format(place=guess.place), f"q:{index}:{guess.place}"
    return known.words, f"q:{index}"
