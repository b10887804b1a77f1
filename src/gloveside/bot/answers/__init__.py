"""Questions answered from the record. One module for each family of questions; what none answers says so."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gloveside.bot.answers import lists, places, rounds
from gloveside.bot.desk import Desk
from gloveside.bot.messages import Reply
from gloveside.extract.models import Question

Answer = Callable[[Desk, Question], str]

ANSWERS: dict[str, Answer] = {
    "ripe": rounds.ripe,
    "take": rounds.take,
    "splits": rounds.splits,
    "due": lists.due,
    "list": lists.places_in_state,
    "count": lists.count_of,
    "last": places.last,
    "history": places.history,
}
"""By the question's `ask`."""

NO_ANSWER = "I can't answer that yet. Ask: what's due, when are cells ripe, or the last note of a hive."


def answer_all(desk: Desk, questions: Sequence[Question]) -> Reply:
    """The answers to all questions of a note, in order."""
    told = [ANSWERS[q.ask](desk, q) if q.ask in ANSWERS else NO_ANSWER for q in questions]
    return Reply("\n\n".join(dict.fromkeys(told)))
