"""Questions answered from the record. One module for each family of questions; what none answers says so."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gloveside.bot.answers import (
    ages,
    counts,
    due,
    follow_up,
    lists,
    nearest,
    outlook,
    places,
    ranks,
    rearing,
    rounds,
    takes,
)
from gloveside.bot.answers.answer import Answer, ask_back, ids_of, notes_button, told, trim
from gloveside.bot.answers.follow_up import few_words
from gloveside.bot.answers.nearest import offer
from gloveside.bot.desk import Desk
from gloveside.bot.messages import Reply
from gloveside.bot.wording.days import day
from gloveside.extract import talk
from gloveside.extract.annotate import annotate
from gloveside.extract.models import Question

Answering = Callable[[Desk, Question], Answer]


def _worked_out(function: Callable[[Desk, Question], str]) -> Answering:
    """An answer of the rearing arithmetic, which comes as text."""
    return lambda desk, question: told(*function(desk, question).splitlines())


def _listed(desk: Desk, question: Question) -> Answer:
    """Places in a state, or in order where the question asks for the most or least."""
    if (question.model_extra or {}).keys() & {"rank", "most"}:
        return ranks.ranked(desk, question)
    return lists.places_in_state(desk, question)


def _last(desk: Desk, question: Question) -> Answer:
    """The last of a place: its note, where it stands, how old its queen is, whose daughter she is."""
    match (question.model_extra or {}).get("about"):
        case "yard":
            return lists.whereabouts(desk, question)
        case "age":
            return ages.age(desk, question)
        case "mother":
            return ages.mother(desk, question)
    return places.last(desk, question)


ANSWERS: dict[str, Answering] = {
    "ripe": rounds.ripe,
    "take": takes.take,
    "splits": rounds.splits,
    "due": due.due,
    "list": _listed,
    "count": counts.count_of,
    "last": _last,
    "history": places.history,
    "odds": _worked_out(rearing.odds),
    "breeders": _worked_out(rearing.breeders),
    "drones": _worked_out(rearing.drones),
    "age": ages.age,
    "growth": outlook.growth,
    "plan": outlook.plan,
    "broodless": outlook.broodless,
}
"""By the question's `ask`."""


def answer(desk: Desk, question: Question) -> Answer:
    """The answer to one whole question."""
    answering = ANSWERS.get(question.ask)
    if answering is None:
        return Answer((nearest.NO_MATCH,), known=False)
    return answering(desk, question)


def answer_all(desk: Desk, questions: Sequence[Question], text: str = "") -> Reply:
    """The answers to all questions of a note, in order. text: what was said, for what to offer where none is found.

    A follow-up is completed from the question before; the last whole question is kept for the next one.
    """
    answers: list[Answer] = []
    for said in questions:
        if _bare_list(said) and (few := follow_up.few_words(desk, text)) is not None:
            said = few
        if said.ask not in ANSWERS and said.ask != "same":
            return nearest.offer(text, said)
        if (said.model_extra or {}).get("unsure"):
            return nearest.offer(text, said, nearest.NOT_SURE)
        question = follow_up.completed(desk, said) if said.ask == "same" else said
        if isinstance(question, str):
            answers.append(ask_back(question))
            continue
        answers.append(answer(desk, question))
        follow_up.remember(desk, question)
    unique = list(dict.fromkeys(answers))
    lines = [line for n, a in enumerate(unique) for line in (*(("",) if n else ()), *a.lines)]
    button = notes_button([i for a in unique for i in a.rests_on])
    return Reply("\n".join(trim(lines)), ((button,),) if button else ())


def _bare_list(question: Question) -> bool:
    """Whether a question only names a sort of place: "what about the nucs?"."""
    return question.ask == "list" and set(question.model_dump(exclude_none=True)) <= {"ask", "what", "unsure"}


def sounds_asked(desk: Desk, text: str) -> bool:
    """Whether a text sounds like a question, whatever it asks."""
    return talk.sounds_asked(annotate(text, desk.on, desk.register))


def show_notes(desk: Desk, data: str) -> Reply:
    """The notes that an answer rests on, as they were said."""
    lines: list[str] = []
    seen: set[int] = set()
    for entry_id in ids_of(data):
        kept = desk.store.entries.get(entry_id)
        if kept.note_id in seen:
            continue
        seen.add(kept.note_id)
        gone = "" if kept.current else " (put right or undone since)"
        lines.append(f"{day(kept.on, desk.today)}: “{_short(kept.said)}”{gone}")
    return Reply("\n".join(trim(lines)) or "That answer rests on no note.")


def asked_by_button(desk: Desk, data: str) -> Reply:
    """The answer to a question that was offered as a button."""
    question = nearest.question(data)
    if question is None:
        return Reply("That button is of an older version. Ask instead.")
    return answer_all(desk, [question])


def _short(text: str, most: int = 110) -> str:
    return text if len(text) <= most else text[: most - 1].rsplit(" ", 1)[0] + " …"


__all__ = [
    "ANSWERS",
    "Answer",
    "answer",
    "answer_all",
    "asked_by_button",
    "few_words",
    "offer",
    "show_notes",
    "sounds_asked",
]
