"""The question of a sentence: read as it stands, without its hesitations, and without its frame of speech."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from gloveside.extract import asked_beside, asked_places, asking_frames, follow, preambles, talk
from gloveside.extract.annotate import annotate
from gloveside.extract.fluent import fluent
from gloveside.extract.models import Question
from gloveside.extract.note import STOPS, Note
from gloveside.extract.register import Register

MOST_TRIED = 8
_LED = {"the", "a", "an", "in", "on", "at", "to", "for", "with", "of", "by", "from", "my", "our", "and", "or"}
_HELPS = {"is", "are", "was", "were", "do", "does", "did", "has", "have", "will", "can", "should", "must"}
_ASKS_LAST = {"when", "where", "which", "who", "what"}
_DONE = {"fed", "treated", "checked", "opened", "washed", "inspected", "seen", "marked", "looked", "topped"}
_FEWEST, _MOST = 2, 9
"""So many words are a question typed in haste."""
_TELLS = {
    "i", "we", "i've", "we've", "he", "she", "they", "it", "good", "fine", "well", "just", "ok", "okay", "same", "to",
    "after", "look", "going", "need", "needs", "still", "again", "done", "finished", "now", "is", "was", "are", "were",
    "has", "have", "had", "my",
}  # fmt: skip
_ALL_WELL = re.compile(
    r"\b(?:everything|things|all)(?:'s)?\s+(?:(?:is|was|looks|looking|looked|seems|very|pretty)\s+)*"
    r"(?:good|fine|ok|okay|normal|well|great|sweet|quiet|healthy|perfect|alright|right|as it should)\b"
    r"|\b(?:jobs?|tasks?|all)\s+(?:done|finished)\b"
)
"""What tells that nothing is amiss, or that the work is done."""
_ASKS_OR_MARK = re.compile(
    r"\?|\b(?:what|which|when|where|who|how|is|are|was|were|did|do|does|have|has|if|whether|tell|show|any)\b"
)
_OF_WHAT = {"place", "round", "since", "until", "state", "queen", "season", "colour", "for_sale", "by", "tool", "days"}
_POINTS = {"listed", "narrowed"}
"""What points back at an answer: behind other words, "which were they" points at those."""
_BEGINS = {
    "what", "what's", "which", "when", "when's", "where", "where's", "who", "who's", "whose", "how", "how's", "any",
    "is", "are", "was", "were", "did", "do", "does", "has", "will", "would", "can", "could", "tell", "show",
}  # fmt: skip
_LASTS = {"until", "till", "by", "before"}
_UNKNOWING = (
    "not sure",
    "don't know",
    "no idea",
    "unsure",
    "can't tell",
    "couldn't tell",
    "not certain",
    "didn't check",
)
"""With "if" after it, such words tell what was not seen at the hive: "not sure if hive twelve is queenright"."""


def sure(question: Question | None) -> bool:
    """Whether there is a reading that accounts for every word."""
    return question is not None and not (question.model_extra or {}).get("unsure")


def question(note: Note, start: int, end: int, on: date, register: Register) -> tuple[Question, int] | None:
    """The question that tokens start..end-1 ask and its first token, or None."""
    said = " ".join(note.lower[start:end])
    if _ALL_WELL.search(said) and not _ASKS_OR_MARK.search(said):
        return None
    found = _question(note, start, end, on, register)
    if found is None or not sure(found[0]) or "," in note.lower[start:end]:
        # the words of a reason that is read as part of the question may turn it: "…, I have cells to use up"
        bare = _beside(note, start, end, on, register)
        if bare is not None and (found is None or not sure(found[0]) or bare[0] != found[0]):
            found = bare
    if found is None:
        return None
    asked, opens = found
    told: dict[str, object] = {}
    if (yard := asked_places.stood_at(note, start, end, asked)) is not None:
        told["place"] = yard
    if asked.ask == "due" and asked.since is None and asked.until is None:
        told.update(_day_meant(note, start, end))
    return (asked.model_copy(update=told) if told else asked), opens


def _day_meant(note: Note, start: int, end: int) -> dict[str, date]:
    """The day on which the speaker says they will be about: "I'm at the Orchard on Saturday, anything due"."""
    begin = max((c.start for c in note.cues if c.scope == "question" and start < c.start < end), default=start)
    for left, right in preambles.here_before(note, start, begin):
        days = [d.future for d in note.dates if left <= d.start < right and d.future is not None and not d.length]
        if preambles.goes(note, left, right) and len(days) == 1 and not _LASTS & set(note.lower[left:right]):
            return {"since": days[0], "until": days[0]}
    return {}


def fragment(note: Note, on: date, register: Register) -> Question | None:
    """What a few words without a question mark ask ("Ripe date round 3"), or None where they may be a mere note.

    To be tried where no entry was made of them. They must name what is asked for and of which place, round, day or
    state, and leave no word over.
    """
    words = [w for w in note.lower if w[:1].isalnum()]
    stops = [at for at, w in enumerate(note.lower) if w in STOPS]
    if not _FEWEST <= len(words) <= _MOST or (stops and stops != [len(note.lower) - 1]) or _TELLS & set(words):
        return None
    said = note.text(0, len(note.lower)).rstrip(" .;!?")
    again = annotate(f"{said}?", on, register)
    asked = talk.whole(again, on)
    if asked is None or (asked.model_extra or {}).get("unsure"):
        asked = _with_yard(again, said, on, register) or asked
    if asked is None or not sure(asked) or asked.ask in ("same", "growth", "plan", "odds"):
        return None
    held = asked.model_dump(exclude_none=True)
    if asked.ask == "last" and (not {"measure", "about", "kind"} & set(held) or "check" in held):
        return None  # "hive 4 last look before winter" may as well tell
    if asked.ask != "due" and asked.since is not None and asked.since > on:
        return None
    return asked if _OF_WHAT & set(held) or asked.ask == "due" else None


def hasty(note: Note, found: list[Question], kinds: list[str], on: date, register: Register) -> Question | None:
    """What a note typed in haste asks; found, kinds: the questions and kinds of entries made of it.

    A note that ends with its question word or asks for a date ("slide out hive 7 when") tells nothing, whatever entry
    was made of it; another is tried where nothing sure was made of it.
    """
    words = [w for w in note.lower if w[:1].isalnum()]
    asks = words[-1:] and (words[-1] in _ASKS_LAST or words[-2:] in (["how", "many"], ["how", "much"]))
    asks = asks or any(a == "last" and b in _DONE for a, b in pairwise(words)) or "date" in words
    doubtful = not any(map(sure, found)) and kinds == ["note"] * (not found)
    return fragment(note, on, register) if (asks and not found) or doubtful else None


def _with_yard(note: Note, said: str, on: date, register: Register) -> Question | None:
    """A fragment that ends with an unknown word, read as of the yard of that name: "weak hives quarry"."""
    last = max((at for at, w in enumerate(note.lower) if w[:1].isalnum()), default=0)
    if note.lower[last - 1] in _LED or _HELPS & set(note.lower):
        return None  # "how did round three take in the freezer"
    if "W" not in note.lattice.edges[last] or len(note.lower[last]) < _FEWEST + 1 or register.places:
        return None
    if note.lower[last] in asked_places.NO_YARDS or note.lower[last].endswith(("ed", "ing", "s")):
        return None
    head = said[: said.lower().rindex(note.lower[last])].rstrip()
    return talk.whole(annotate(f"{head} at the {note.lower[last].capitalize()}?", on, register), on)


def _question(note: Note, start: int, end: int, on: date, register: Register) -> tuple[Question, int] | None:
    plain = talk.question(note, start, end, on)
    mark = note.lower[end - 1] == "?"
    if plain is not None and not sure(plain[0]) and not asking_frames.could_ask(note, start, end):
        plain = None
    said = " ".join(note.lower[start:end])
    tells = not mark and any(f"{words} {word}" in said for words in _UNKNOWING for word in ("if", "whether"))
    for core, asks in () if tells else _rewritten(note, start, end, on, register, mark or plain is not None):
        if plain is None and not mark and not asks:
            continue
        again = talk.whole(annotate(core, on, register), on)
        if again is None or not sure(again) or _POINTS & set(again.model_extra or {}):
            continue
        if plain is not None and sure(plain[0]) and (not asks or talk.says_more(plain[0], again)):
            break
        return again, start if plain is None else min(plain[1], start) if asks else plain[1]
    if plain is None or not sure(plain[0]):
        few = follow.short(note, start, end, on)
        return plain if few is None else (few, start)
    return plain


def _beside(note: Note, start: int, end: int, on: date, register: Register) -> tuple[Question, int] | None:
    """The question without what stands beside it and asks nothing: a reason, for whom it is asked."""
    # without a mark only what begins as a question: what tells something must not become one by losing its end
    begins = note.lower[start] in _BEGINS and asking_frames.could_ask(note, start, end)
    if not (note.lower[end - 1] == "?" or begins):
        return None
    for text in asked_beside.without(note, start, end):
        again = annotate(text, on, register)
        if len(talk.sentences(again)) != 1:
            continue
        asked = _question(again, 0, len(again.lower), on, register)
        if asked is not None and sure(asked[0]) and asked[0].ask != "same":
            return asked[0], start
    return None


def _rewritten(
    note: Note, start: int, end: int, on: date, register: Register, hesitant: bool
) -> Iterator[tuple[str, bool]]:
    """The question in other words, with whether the frame that was taken away asks; a few at most."""
    tried: list[tuple[str, bool]] = []
    if hesitant and (plain := fluent(note, start, end)) is not None:
        tried.append((plain, True))
        again = annotate(plain, on, register)
        tried += asking_frames.cores(again, 0, len(again.lower))
    tried += asking_frames.cores(note, start, end)
    return iter(list(dict.fromkeys(tried))[:MOST_TRIED])
