"""Which words of a question its reading accounts for, so that what is left over is never answered past."""

from __future__ import annotations

from collections.abc import Collection

from gloveside.extract.lexicon import concepts
from gloveside.extract.note import STOPS, Note

OUTSIDE = {
    "because", "cause", "cos", "coz", "while", "whilst", "before", "so", "as", "since", "seeing", "when", "if",
    "and", "but",
}  # fmt: skip
"""With a pronoun after it, such a word opens an aside: "… before I drive off", "… so I can tell the wife"."""
WHOSE = {
    "i", "i'm", "i've", "i'd", "i'll", "we", "we're", "we've", "we'd", "we'll", "he", "she", "they", "it", "it's",
    "you",
}  # fmt: skip
OPENERS = {
    "if", "since", "because", "as", "while", "my", "this", "these",
}  # fmt: skip
_THERE = {"there", "there's", "that's"}
_HELPERS = {"can", "could", "should", "shall", "do", "am", "will", "may"}
SPEAKERS = WHOSE | OPENERS | {"sorry", "don't", "that's", "there's"}
"""Words that open a clause which tells of the speaker or the day, not of the record."""
JOINS = {
    ",", "so", "but", "and", "now", "well", "then", "anyway", "just", "please", "right", "okay", "ok", "um", "er",
}  # fmt: skip
NEGATIONS = {
    "not", "never", "no", "none", "without", "n't", "cannot", "except", "but",
}  # fmt: skip
TIME_WORDS = {
    "day", "days", "week", "weeks", "fortnight", "month", "months", "year", "years", "today", "tonight", "tomorrow",
    "yesterday", "weekend", "this", "last", "next", "past", "coming", "morning", "afternoon", "evening", "now",
    "few",
}  # fmt: skip
_METHODS = {"way", "ways", "method", "methods", "trick", "technique", "secret"}
_GENERAL = {"you", "people", "beekeepers"}
_HELPS_YOU = {"do", "should", "would"}
_BEST = {"best", "right", "good", "ideal", "year"}
_ADVISED = {"time": _BEST, **{word: {"it"} for word in ("safe", "normal", "okay", "ok", "wise")}}
WEATHER = {
    "hot", "cold", "warm", "wet", "windy", "cool", "humid",
}  # fmt: skip
PAST_FORMS = {
    "fed", "put", "took", "gave", "made", "sold", "caught", "saw", "found", "cut", "split", "lost", "knocked",
}  # fmt: skip
ADVICE_VERBS = {
    "do", "should", "can", "could", "would", "to",
}  # fmt: skip


def aside(note: Note, start: int, end: int, asking: Collection[str]) -> int:
    """Where the question ends and an aside begins that holds no word of the trade or of a question; `end` without one.

    asking: labels that rules of questions look for.
    """
    for at in range(start + 2, end):
        opens = note.lower[at] in OUTSIDE or note.lower[at] == ","
        follows = note.lower[at + 1 : at + 3]
        if not opens or not follows:
            continue
        speaks = follows[0] in WHOSE or (follows[0] in OUTSIDE and follows[1:] and follows[1] in WHOSE | _THERE)
        speaks = speaks or (follows[0] == "or" and follows[1:] and follows[1] in _HELPERS)  # "…, or can I go fishing"
        named = any(at <= p.start < end for p in note.places) or any(at <= left < end for left, _, _ in note.rounds)
        if speaks and not named and not any(_asks(note, k, asking) for k in range(at, end)):
            return at
    return end


def _asks(note: Note, at: int, asking: Collection[str]) -> bool:
    return at in note.trade or any(label in asking for label in note.lattice.edges[at])


def unaccounted(
    note: Note, start: int, end: int, labels: Collection[str], small: Collection[str], spoken_for: Collection[int]
) -> list[str]:
    """The words of tokens start..end-1 that the reading of a question leaves over.

    labels: those that the reading uses; small: words that carry nothing; spoken_for: tokens that a slot holds.
    """
    covered = set(spoken_for)
    for cue in note.cues:
        # A cue that only asks says nothing more; one that also says what is asked must be used by the reading.
        concept = concepts().get(cue.concept)  # some cues are no words of the lexicon
        asks = concept is None or all(group.startswith("asks") or group in labels for group in concept.classes)
        if cue.scope in ("question", "correction", "break") and asks and start <= cue.start < end:
            covered.update(range(cue.start, cue.end))
    for at in range(start, end):
        for label, found in note.lattice.edges[at].items():
            if label in labels:
                covered.update(k for stop, _ in found if stop <= end for k in range(at, stop))
    covered -= _turned(note, start, end, labels)
    advice = _advice(note, start, end)
    covered -= advice
    left: list[str] = [note.lower[at] for at in sorted(advice)]
    for at in range(start, end):
        word = note.lower[at]
        if at in covered or word in STOPS or not word[:1].isalnum():
            continue
        if word in ("no", "wait") and {",", "no"} & set(note.lower[at - 1 : at]):
            continue  # "tomorrow, no wait, Sunday": what was put right is in the slots
        if word in NEGATIONS or word.endswith("n't"):
            if note.lower[at - 1 : at + 1] != ["or", "not"] and not _tag(note, at, end):
                left.append(word)
        elif word not in small and at not in note.filler and not _manner(note, at):
            left.append(word)
    return left


def _turned(note: Note, start: int, end: int, labels: Collection[str]) -> set[int]:
    """Negations inside a question that only a word of asking covers: "in which hives didn't I see her"."""
    held = {
        k
        for at in range(start, end)
        for label, found in note.lattice.edges[at].items()
        if label in labels and not label.startswith("asks")
        for stop, _ in found
        if stop <= end
        for k in range(at, stop)
    }
    first = next((at for at in range(start, end) if at not in note.filler), start)
    return {at for at in range(first + 1, end) if note.lower[at].endswith("n't") and at not in held}


def _advice(note: Note, start: int, end: int) -> set[int]:
    """Tokens that ask how something is done, or why: no record answers that."""
    named = any(start <= p.start < end for p in note.places) or any(start <= left < end for left, _, _ in note.rounds)
    found: set[int] = set()
    for at in range(start, end):
        if note.lower[at] == "why" or (note.lower[at] in _METHODS and note.lower[at + 1 : at + 2] in (["to"], ["of"])):
            found.add(at)
        elif note.lower[at] in _GENERAL and note.lower[at - 1] in _HELPS_YOU:
            found.add(at)  # "when do you graft", "how often do people treat"
        elif note.lower[at] in _ADVISED and note.lower[at + 1 : at + 2] == ["to"] and not named:
            led = _ADVISED[note.lower[at]] & set(note.lower[max(start, at - 3) : at])
            found.update({at} if led else ())  # "the best time to graft", "is it safe to open them"
        elif note.lower[at] == "how" and note.lower[at + 1 : at + 2] and note.lower[at + 1] in WEATHER:
            found.update((at, at + 1))
        elif note.lower[at] == "how" and note.lower[at + 1 : at + 2] and note.lower[at + 1] in ADVICE_VERBS:
            who = note.lower[at + 2 : at + 3]
            if note.lower[at + 1] == "to" or (who and who[0] in ("i", "we", "you")):
                found.update((at, at + 1))
    return found


def _manner(note: Note, at: int) -> bool:
    """Whether a word is an adverb that the lexicon does not know: "precisely", "by and largely"."""
    known = any(label[0].islower() for label in note.lattice.edges[at])
    return len(note.lower[at]) > 4 and note.lower[at].endswith("ly") and not known and at not in note.numbers


def _tag(note: Note, at: int, end: int) -> bool:
    """Whether a negation only closes the question: "… isn't it?", "… don't they?", or opens it: "haven't I got …"."""
    return note.lower[at].endswith("n't") and end - at <= 4 and note.lower[at - 1 : at] == [","]
