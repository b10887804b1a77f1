"""Clauses before a question: those that only tell why it is asked, and those that belong to what is asked.

"A lady rang wanting one for Friday, so where have I got laying queens" asks of no Friday; "over the first week of
November, what did I feed" asks of that week. A clause with a subject and a verb of its own tells; a phrase without one
belongs to the question when it names a time, a place or a thing of the record.
"""

from __future__ import annotations

from collections.abc import Collection

from gloveside.extract import coverage
from gloveside.extract.note import Note

_IMPERATIVES = {
    "pour", "bear", "hang", "hold", "listen", "humour", "humor", "forgive", "excuse", "pardon", "no", "not", "let",
}  # fmt: skip
_MAY = {
    "may", "might", "will", "could", "is",
}  # fmt: skip
_PREPOSITIONS = {
    "in", "on", "over", "during", "for", "since", "between", "from", "at", "by", "within", "until", "till", "up",
    "through", "throughout", "of", "after", "before", "as", "around", "about", "across", "back",
}  # fmt: skip
_DETERMINERS = {
    "a", "an", "my", "our", "his", "her", "their", "some", "someone", "somebody", "another", "everyone", "everybody",
    "nobody", "there", "there's", "this", "that", "that's", "those", "these", "the", "one",
}  # fmt: skip
_VERBS = {
    "is", "are", "was", "were", "has", "have", "had", "wants", "want", "wanted", "wanting", "rang", "called", "needs",
    "need", "needed", "asked", "asks", "asking", "coming", "comes", "came", "popping", "calling", "turning", "says",
    "said", "rings", "phoned", "emailed", "texted", "going", "gone", "'s", "'ll", "'d", "'ve", "'re", "will", "would",
    "keeps", "kept", "reckons", "thinks", "likes", "looks", "pays", "'m", "visiting", "collecting", "picking", "got",
}  # fmt: skip
_WE = {"i", "we", "i'm", "we're", "i've", "we've", "i'll", "we'll"}
_ABOUT = {"at", "up", "out", "down", "over", "past", "around", "about", "free", "off", "going", "heading", "driving"}
_RELATIVE = {"that", "which", "who", "whose"} | {"i", "we", "i've", "we've"}
_GOES_ON = {"so", "but", "because", "and"}


def after_preambles(note: Note, start: int, end: int, asking: Collection[str]) -> list[int]:
    """Where a question may begin after clauses that only lead up to it, the latest first; empty without such clauses.

    A clause leads up when it opens with its speaker ("I'd rather not drive out there, so …") or names nothing that a
    question asks about ("pour yourself a cup of tea, …"); one with a hive or a round in it belongs to the question.
    """
    cues = {c.start for c in note.cues if c.scope == "question"}
    found: list[int] = []
    clause = start
    for at in range(start + 1, end - 1):
        if note.lower[at] not in (",", "so", "but") or (note.lower[at] != "," and note.lower[at - 1] == ","):
            continue
        if not _leads_up(note, clause, at, cues, asking):
            break
        opens = at
        while opens < end and (note.lower[opens] in coverage.JOINS or opens in note.filler):
            opens += 1
        if opens in cues:
            found.append(opens)
        clause = opens
    return found[::-1]


def _leads_up(note: Note, start: int, end: int, cues: Collection[int], asking: Collection[str]) -> bool:
    start = _opening(note, start, end)
    if start >= end:
        return True
    if any(start <= p.start < end and p.sort != "yard" for p in note.places):
        return False
    if any(start <= left < end for left, _, _ in note.rounds):
        return False
    if any(
        label in edges for edges in note.lattice.edges[start:end] for label in ("tool_noun", "tool_alone", "colour")
    ):
        return False
    first, follows = note.lower[start], note.lower[start + 1 : start + 2]
    if first not in coverage.OPENERS and first in coverage.SPEAKERS | _IMPERATIVES:
        return True
    if (
        first in coverage.OPENERS
        and follows
        and (follows[0] in coverage.WHOSE or (first == "this" and follows[0] in _MAY))
    ):
        return True
    if start in cues or any(_asks(note, at, asking) for at in range(start, end)):
        return False
    return not names_time(note, start, end) or tells(note, start, end)


def _opening(note: Note, start: int, end: int) -> int:
    while start < end and (
        note.lower[start] in coverage.JOINS or start in note.filler or note.lower[start] in ("look", "oh")
    ):
        start += 1
    return start


def _asks(note: Note, at: int, asking: Collection[str]) -> bool:
    return at in note.trade or any(label in asking for label in note.lattice.edges[at])


def names_time(note: Note, start: int, end: int) -> bool:
    """Whether tokens start..end-1 name a day, a month or a length of time."""
    words = set(note.lower[start + 1 : end])
    return (
        any(start <= d.start < end for d in note.dates)
        or bool(coverage.TIME_WORDS & words)
        or note.lower[start] in coverage.TIME_WORDS - {"this"}
        or any({"month_name", "year_seasons"} & set(edges) for edges in note.lattice.edges[start:end])
    )


def tells(note: Note, start: int, end: int) -> bool:
    """Whether a clause tells something of its own: it has a subject and a verb, and is no phrase of the question."""
    start = _opening(note, start, end)
    words = note.lower[start:end]
    if not words:
        return True
    if words[0] in coverage.WHOSE | {"sorry", "don't", "because", "while", "cause", "cos", "if"}:
        return True
    if len(words) > 1 and words[0] in coverage.OUTSIDE | {"after", "until", "till"} and words[1] in coverage.WHOSE:
        return True
    if words[0] in _PREPOSITIONS:
        return False
    if words[0] in ("the", "those", "these", "all") and _RELATIVE & set(words[2:4]):
        return False  # "the larvae that I grafted in October, how many"
    named = words[0] in _DETERMINERS or note.doc[start].text[:1].isupper()
    return named and any(word in _VERBS or word.endswith(("'s", "'ll", "'ve")) for word in words)


def clauses(note: Note, start: int, end: int) -> list[tuple[int, int]]:
    """Tokens start..end-1 parted at pauses and at words that go on with something new."""
    found: list[tuple[int, int]] = []
    begin = start
    for at in range(start, end):
        word = note.lower[at]
        goes_on = word in _GOES_ON and at > begin and note.lower[at + 1 : at + 2] != []
        goes_on = goes_on and (word != "and" or note.lower[at + 1] in coverage.WHOSE)
        if word in (",", ":", "-", ";") or goes_on:
            found.append((begin, at))
            begin = at + 1
    if begin < end:
        found.append((begin, end))
    return found


def own_words(note: Note, start: int, begin: int) -> int:
    """Where the words of a question begin that stand before its question word: after the last clause that tells."""
    opens = start
    for left, right in clauses(note, start, begin):
        if right < begin and tells(note, left, right):
            opens = right
    return opens


def days_from(note: Note, start: int, begin: int, ahead: bool) -> int:
    """From where on the days named are those asked about.

    The day of a clause that tells is none of them, but for what the speaker is about to do where the question looks
    ahead: "I'm going up to Creek this afternoon, what wants doing there".
    """
    opens = start
    for left, right in clauses(note, start, begin):
        if right >= begin or not tells(note, left, right):
            continue
        if ahead and goes(note, left, right) and any(left <= d.start < right and d.future for d in note.dates):
            continue
        opens = right
    return opens


def goes(note: Note, start: int, end: int) -> bool:
    """Whether the speaker says in a clause where they are or go: "I'm up at the Quarry", "we're free on Saturday"."""
    start = _opening(note, start, end)
    words = note.lower[start:end]
    return bool(words) and words[0] in _WE and bool(_ABOUT & set(words))


def here_before(note: Note, start: int, begin: int) -> list[tuple[int, int]]:
    """The clauses before a question in which its speaker says where they are."""
    return [
        (left, right)
        for left, right in clauses(note, start, begin)
        if right < begin
        and tells(note, left, right)
        and _WE & set(note.lower[left:right])
        and not {"if", "told", "said"} & set(note.lower[left:right])
    ]
