"""Follow-ups: a few words that only make sense after a question ("and tomorrow?", "now the same for the Creek")."""

from __future__ import annotations

from datetime import date
from typing import Any

from gloveside.extract import asked_places, coverage, queries, stretches_of_time, tools
from gloveside.extract.models import Question
from gloveside.extract.note import STOPS, Note
from gloveside.extract.talk_rules import rules

MOST_WORDS = 16
_THANKS = {
    "lovely", "beauty", "good", "great", "grand", "right", "ok", "okay", "cheers", "thanks", "ta", "sweet", "perfect",
    "fair", "enough", "fine", "nice", "thank", "you", "brilliant", "yes", "yeah", "well", "now", "oh", "ah", "much",
    "very", "mate", "then", "so", "alright", "excellent", "marvellous", "wonderful", "that's", "love", "one", "stuff",
    "righto", "rightio", "awesome", "choice", "cool", "gotcha", "see", "i", "hmm", "that", "is", "helpful", "handy",
}  # fmt: skip
_HEADS = (
    "and what about", "and how about", "what about", "how about", "what of", "and if", "what if", "and", "or", "same",
    "the same", "only the ones", "just the ones", "only those", "only the", "now", "do me", "instead", "then", "but",
)  # fmt: skip
_JOINTS = {
    "different",
    "otherwise",
    "other",
    "comes",
    "case",
    "same",
    "instead",
    "likewise",
    "ditto",
    "again",
    "too",
    "also",
    "else",
    "rather",
    "suppose",
    "change",
}
_REFUSED = {
    "no",
    "not",
    "that",
    "this",
    "one",
    "hang",
    "on",
    "wait",
    "sorry",
    "oops",
    "i",
    "mean",
    "meant",
    "you",
    "other",
}
_SHORT = 7
_IDLE = {
    "i",
    "we",
    "you",
    "what've",
    "what's",
    "is",
    "are",
    "was",
    "do",
    "does",
    "did",
    "has",
    "have",
    "got",
    "can",
} | {
    "still",
    "while",
    "off",
    "yet",
    "ready",
    "far",
    "long",
    "soon",
    "much",
    "many",
    "good",
    "well",
    "any",
    "all",
    "okay",
}
"""Words that carry nothing in a whole question but make one of a few words: "round 3, still a while off"."""
_AGAIN = {"same_count", "year_before", "stretch_before", "same_list", "same_those"}
_BEFORE = ("and ", "or ", "what about ", "how about ", "same for ", "the ", "a ", "one ", "but ")
_NARROWS = {"queen", "state", "colour", "place"}
"""What tells some apart of those just named: "which of those are marked"."""
_SAME = {"same", "likewise", "ditto"}


def short(note: Note, start: int, end: int, on: date) -> Question | None:
    """A few words with a question mark that hold nothing but slots: "by needle?", "the white ones, then?", "and 6?"."""
    begin = _after_thanks(note, start, end)
    words = [w for w in note.lower[begin:end] if w not in STOPS and w != ","]
    if note.lower[end - 1] != "?" or not 0 < len(words) <= _SHORT or _asks_itself(note, begin, end):
        return None
    head = begin
    while head < end and note.lower[head] in (
        "and",
        "or",
        "for",
        "with",
        "in",
        "on",
        "what",
        "about",
        "um",
    ):
        head += 1
    number = note.numbers.get(head)
    if number is not None and not number.ordinal and note.lower[number.end] in (*STOPS, ",", "then", "please"):
        return Question(ask="same", number=int(number.value))
    number = note.numbers.get(head + 1) if note.lower[head] == "the" and head > begin else None
    if number is not None and number.ordinal and note.lower[number.end] in (*STOPS, "one", "round"):
        return Question(ask="same", number=int(number.value))  # "and the fourth?"
    asked = slots(note, begin, end, on)
    if asked is None or set(asked.model_dump(exclude_none=True)) <= {"ask", "what"}:
        return None
    return None if _own_words(note, begin, end, asked) or _IDLE & set(words) else asked


def other(note: Note, start: int, end: int) -> Question | None:
    """The other of two, whatever was said against the first: "no no, not that one, the other one"."""
    stop = end
    while stop > start and (note.lower[stop - 1] in (*STOPS, ",") or stop - 1 in note.filler):
        stop -= 1
    last = next((at for at in range(stop, start, -1) if note.lower[at - 1] == ","), start)
    if last == start or not any(s == stop for s, _ in note.lattice.edges[last].get("other_one", ())):
        return None
    refused = note.lower[start] in _REFUSED and not any(note.places) and not note.rounds
    return Question(ask="same", other=True) if refused else None


def question(note: Note, start: int, end: int, on: date) -> Question | None:
    """The follow-up that a sentence is, as `same` with its slots; None where it asks something of its own."""
    if note.lower[end - 1] != "?" and (start, end) != (0, len(note.lower)):
        return None  # "now nuc three." in a walk round the nucs
    if (second := other(note, start, end)) is not None:
        return second
    begin = _after_thanks(note, start, end)
    words = [w for w in note.lower[begin:end] if w not in STOPS and w != ","]
    if not words or len(words) > MOST_WORDS:
        return None
    said = " ".join(words) + " "
    again = queries.labels(note, begin, end) & _AGAIN
    again_it = _only_it(note, begin, end)
    if (
        not again
        and not again_it
        and not _SAME & set(words)
        and not said.startswith(tuple(f"{head} " for head in _HEADS))
    ):
        return None
    asked = slots(note, begin, end, on)
    held = set(asked.model_dump(exclude_none=True)) if asked is not None else set()
    for label, slot in (("same_count", "counted"), ("same_list", "listed")):
        if label in again and held - {"what"} != {"ask", slot}:
            return None
    if "stretch_before" in again and not said.startswith(_BEFORE):
        return None  # "what did I do the week before"
    if "same_those" in again and not held & _NARROWS:
        return None
    if not again and _asks_itself(note, begin, end):
        return None
    if asked is None or _own_words(note, begin, end, asked):
        return None
    return asked


_LIGHT_CUE = {"what", "how", "was", "is", "were", "would", "will", "it", "that", "be", "about", "and", "did", "does"}


def _only_it(note: Note, start: int, end: int) -> bool:
    """Whether "it" stands for what was asked: "and how would it be for round two"."""
    words = [w for w in note.lower[start:end] if w not in (",", "so", "now")]
    return (
        words[:1] == ["and"]
        and words[1:2] in (["what"], ["how"], ["is"], ["was"], ["would"])
        and bool({"it", "that"} & set(words[2:5]))
        and not {"i", "we", "he", "has", "have", "given", "many", "much"} & set(words)
    )


def _asks_itself(note: Note, start: int, end: int) -> bool:
    """Whether a question word stands in it, other than "what about", "what if" and a verb before "the same"."""
    for cue in note.cues:
        if cue.scope == "question" and start <= cue.start < end:
            said = note.lower[cue.start : cue.end]
            if said[-1] in ("about", "of", "if") or (
                said[0] in ("would", "is", "was") and "same" in note.lower[start:end]
            ):
                continue
            if _only_it(note, start, end) and set(said) <= _LIGHT_CUE:
                continue
            if len(said) > 1 or said[0] in _ASKED:
                return True
    return False


def _after_thanks(note: Note, start: int, end: int) -> int:
    """Where a sentence goes on after words of thanks and a comma: "lovely, now …", "fair enough, and …"."""
    at = start
    while at < end and (note.lower[at] in _THANKS or at in note.filler or note.lower[at] == ","):
        at += 1
        if note.lower[at - 1] == ",":
            start = at
    while start < end and (note.lower[start] in ("so", "then", "well") or start in note.filler):
        start += 1
    return start if start < end else end


def slots(note: Note, start: int, end: int, on: date) -> Question | None:
    """The slots that tokens start..end-1 hold, as `same`; None without any."""
    talk = rules()
    fields: dict[str, Any] = {}
    for left, right, number in note.rounds:
        if start <= left and right <= end:
            fields["round"] = number
    if (where := asked_places.place(note, start, end) or asked_places.unknown_yard(note, start, end)) is not None:
        fields["place"] = where
    for name, table in {**talk.extras.get("all", {}), **talk.extras.get("same", {})}.items():
        if (value := queries.about(note, start, end, table)) is not None:
            fields[name] = value
    if fields.get("place") or fields.get("listed"):
        fields.pop("what", None)
    if (named := tools.named(note, start, end)) and fields.get("by") != "tool":
        fields["tool"] = named[0]
    for ahead in () if "earlier" in fields else (False, True):
        stretch, _ = stretches_of_time.find(note, start, end, on, ahead)
        if days := stretch or queries.period(note, start, end, on, ahead):
            fields.update(days)
            break
    return Question(ask="same", **fields) if fields else None


def _own_words(note: Note, start: int, end: int, asked: Question) -> list[str]:
    """Words that ask something of their own, so that the sentence is a question by itself."""
    talk = rules()
    labels = {
        label
        for table in (talk.extras.get("all", {}), talk.extras.get("same", {}))
        for t in table.values()
        for label in t
    }
    covered = note.of_rounds() | note.of_places()
    covered.update(at for at in range(start, end) if note.lower[at] in _JOINTS)
    if asked.place is not None:
        name = asked.place.split(" ", 1)[-1].lower()
        covered.update(at for at in range(start, end) if note.lower[at] == name)
    if asked.since or asked.until:
        covered.update(note.of_dates())
        covered |= stretches_of_time.find(note, start, end, asked.since or asked.until or date.max, False)[1]
        timed = coverage.TIME_WORDS | queries.SINCE | queries.UNTIL | set(queries.MONTHS)
        covered.update(at for at in range(start, end) if note.lower[at] in timed)
        covered.update(at for n in note.numbers.values() for at in range(n.start, n.end))
    if asked.tool is not None:
        covered |= tools.tokens(note, start, end)
    return coverage.unaccounted(note, start, end, labels | {"aside_said", "spot_word"}, talk.small - _ASKED, covered)


_ASKED = frozenset({"list", "count", "when", "where", "who", "how", "which", "many", "much", "next", "brought", "long"})
"""Small words that make a question of its own of a sentence."""
