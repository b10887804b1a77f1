"""Work told in the present with a day to come is a plan: "I'm putting two supers on hive 9 on Friday".

Nobody tells what was done that way: "I was putting", "I put" and "I've put" do. So a weekday, which elsewhere may be
the last or the next one, is the next one beside such a verb. Without a day such talk tells what is being done ("I'm
feeding hive 6 two litres").
"""

from __future__ import annotations

from gloveside.extract.dates import DateSpan
from gloveside.extract.note import PREPOSITIONS, STOPS, Cue, Note
from gloveside.extract.task_text import BARE

PEOPLE = frozenset(("i", "we", "he", "she", "they", "dave"))
SHORT = frozenset(("i'm", "we're", "they're", "he's", "she's"))
BE = frozenset(("am", "are", "is", "'m", "'re", "'s", "will", "shall", "'ll", "be"))
BETWEEN = frozenset(
    ("just", "also", "only", "then", "definitely", "probably", "likely", "all", "both", "still", "now", "not", "be",
     "again", "first", "maybe", "actually", "certainly", "meanwhile", "personally")
)  # fmt: skip
# Nobody plans these: what is found, thought or told, not done.
NO_WORK = frozenset(
    ("laying", "emerging", "hatching", "flying", "seeing", "thinking", "hoping", "guessing", "assuming", "wondering",
     "reckoning", "expecting", "bringing in", "dying", "starving", "robbing", "building", "drawing", "filling",
     "swarming", "recording", "noting", "writing", "logging", "telling", "talking", "saying", "speaking", "dictating",
     "uploading", "reading", "remembering", "missing", "hanging", "failing", "dwindling", "evening", "morning",
     "spring", "being",
     "worrying", "wishing", "feeling", "finding", "noticing", "catching", "something", "nothing", "anything", "string",
     "ring", "during", "king", "thing", "sting", "bring", "growing", "working", "running", "calling",
     "getting on", "standing", "struggling", "referring", "meaning", "supposing", "betting", "judging",
     "including", "according", "following", "having", "sitting", "living", "breeding", "raising", "balling")
)  # fmt: skip
# What a thing does when somebody is going to do it: "the slide is coming out on Thursday", "nuc 4 is getting a queen".
PASSED_ON = frozenset(("going", "coming", "getting", "moving", "leaving", "joining", "receiving", "being"))
# Verbs whose plain form is not their past: "we feed the builder on Saturday", "so join nuc 3 and nuc 4".
PLAIN = frozenset(BARE.values()) - {"put", "split", "cut", "set", "run", "super", "slide", "go", "get", "do", "look"}
# Where somebody goes is no work, unless it is to a hive or a yard.
TRAVEL = frozenset(("going", "coming", "leaving"))
SCHEDULED = frozenset(("gets", "goes", "comes", "moves", "leaves", "joins", "go", "come", "get"))
POINTING = frozenset(("it", "them", "they", "her", "there", "one", "ones", "those"))
# What happens by itself, so that it is no work either: "two virgins are emerging on Friday".
BY_ITSELF = frozenset(("emerging", "hatching", "ripening", "sealing", "swarming", "arriving"))
LEADING = frozenset(
    (
        ",",
        ":",
        "on",
        "so",
        "and",
        "then",
        "right",
        "okay",
        "ok",
        "um",
        "er",
        "uh",
        "next",
        "this",
        "well",
        "also",
        "plan",
    )
)
# Work that nobody but a beekeeper does by these words, and words that say only that it is done again.
OWN = frozenset(("treating", "grafting", "splitting", "requeening", "supering", "extracting", "planting", "marking"))
ONCE_MORE = frozenset(("more", "again", "another", "extra", "straight", "instead"))
# After these another clause begins, whose day is its own.
APART = frozenset(
    ("because", "cos", "cause", "since", "as", "after", "that", "which", "who", "when", "while", "where", "like",
     "than", "though", "although", "if")
)  # fmt: skip
TELLING = frozenset(
    ("was", "were", "had", "did", "went", "came", "saw", "found", "gave", "took", "fed", "made", "got", "been", "i've",
     "we've", "said", "told", "has")
)  # fmt: skip
REASONS = (["because"], ["cos"], ["since"], ["as"], ["cause"])
# Before a day: when something began or was done, never when it is to be done.
BACKWARDS = frozenset(("since", "from", "of", "than", "last", "like", "until", "till", "after"))
TO_NIGHT = frozenset(("tonight", "evening"))
LATER = frozenset(("later", "soon", "shortly", "tonight"))


def to_come(note: Note, span: DateSpan) -> bool:
    """Whether a day may be one to come, and is not said of what began or was done."""
    if span.future is None or (span.length and note.lower[span.start] != "in"):
        return False
    if span.past == span.future and not TO_NIGHT & set(note.lower[span.start : span.end]):
        return False
    before = note.lower[span.start - 1] if span.start else ""
    if before in ("on", "this", "the") and span.start > 1:
        before = note.lower[span.start - 2]
    return before not in BACKWARDS


def _clause_end(note: Note, at: int) -> int:
    """Where the clause of a verb ends: at a stop, at words that open another clause, or before a verb that tells."""
    last = at
    while last < len(note.lower) and note.lower[last] not in STOPS:
        if note.lower[last] in APART and last > at:
            return last
        if note.lower[last] in TELLING and last > at:
            return _opened_by(note, last, at)
        last += 1
    return last


def _opened_by(note: Note, verb: int, least: int) -> int:
    """Where the clause of a verb begins: after the last comma, "and", "so" or "but" before it."""
    at = verb
    while at > least and note.lower[at] not in (",", "and", "so", "but", "then"):
        at -= 1
    return at if at > least else verb


def _day_of(note: Note, subject: int, verb: int, alone: bool = False) -> bool:
    """Whether a day to come belongs to the verb: behind it in its clause, or right before its subject.

    alone: nobody is named who does it, so that the day must stand in the same breath.
    """
    end = _clause_end(note, verb)
    if alone:
        end = next((k for k in range(verb, end) if note.lower[k] in (",", "and", "so")), end)
    for span in note.dates:
        if not to_come(note, span):
            continue
        if verb < span.start < end or subject <= span.start < verb:
            return True
        gap = note.lower[span.end : subject]
        if span.end <= subject and all(w in (",", "and", "so", "then", "um", "er") or w in BETWEEN for w in gap):
            return True
    return any(note.lower[k] in LATER and note.lower[k - 1] not in ("no", "a", "how", "as") for k in range(verb, end))


def _subject(note: Note, verb: int) -> tuple[int, int] | None:
    """Where the subject of a verb in the continuous begins and where its helper ends, or None."""
    at = verb - 1
    while at >= 0 and (note.lower[at] in BETWEEN or note.lower[at] in ("um", "er", "uh", ",")):
        at -= 1
    if at < 0:
        return None
    if note.lower[at] in SHORT:
        return at, at + 1
    if note.lower[at] in BE:
        before = at - 1
        while before >= 0 and (note.lower[before] in BE or note.lower[before] in BETWEEN):
            before -= 1
        if before >= 0 and note.lower[before] not in (*STOPS, ","):
            return before, at + 1
    return None


def _opens(note: Note, at: int) -> bool:
    """Whether a token opens its sentence or its clause, a day, a place and words that say nothing aside."""
    before = at - 1
    apart = note.of_dates() | note.of_places()
    while before >= 0 and note.lower[before] not in STOPS:
        if note.lower[before] not in LEADING and before not in apart and before not in note.filler:
            return False
        before -= 1
    return True


def coming(note: Note) -> None:
    """Add a cue of the future before work that is told in the present, with a day to come."""
    found: list[Cue] = []
    dated = note.of_dates()
    for at, word in enumerate(note.lower):
        if at in dated or any(c.start <= at < c.end and c.scope in ("future", "condition") for c in note.cues):
            continue
        if word.endswith("ing") and len(word) > 4 and (word not in NO_WORK or word in PASSED_ON | BY_ITSELF):
            who = _subject(note, at)
            if who is None:
                if word in BARE and _opens(note, at) and _day_of(note, at, at, alone=True):
                    found.append(Cue(at, at, "future", "coming"))
                continue
            if word in BY_ITSELF:
                if _day_of(note, who[0], at):
                    start = _thing(note, who[0])
                    found.append(Cue(start, start, "condition", "by_itself"))
                continue
            start, _ = who
            acting = note.lower[start] in PEOPLE | SHORT
            if not acting and word not in PASSED_ON:
                continue
            if acting and word == "being":
                continue
            if note.lower[at : at + 2] == ["going", "to"] or not _day_of(note, start, at):
                continue
            if "not" in note.lower[start:at] or note.lower[start - 1 : start] in REASONS:
                # no plan, or only the reason for what was done: "because I'm grafting later in the week"
                found.append(Cue(start, start, "condition", "not_coming"))
                continue
            if word in TRAVEL and acting and not any(at < p.start <= at + 4 for p in note.places):
                continue
            own = note.lower[start] in ("i", "we", "i'm", "we're")
            if not acting:
                start = _thing(note, start)
            found.append(Cue(start, at if own else start, "future", "coming"))
        elif word in PLAIN and note.lower[at - 1 : at] in (["i"], ["we"]) and _day_of(note, at - 1, at):
            found.append(Cue(at - 1, at, "future", "coming"))
        elif word in PLAIN and note.lower[at - 1 : at] == ["so"] and note.lower[at + 1 : at + 2] != ["far"]:
            found.append(Cue(at, at, "future", "coming"))
        elif word == "want" and note.lower[at - 1 : at] in (["i"], ["we"]) and _day_of(note, at - 1, at):
            found.append(Cue(at - 1, at - 1, "future", "coming"))
        elif word in SCHEDULED and _scheduled(note, at) and _day_of(note, _thing(note, at - 1), at):
            start = _thing(note, at - 1)
            found.append(Cue(start, start, "future", "coming"))
    note.cues.extend(found)


def _thing(note: Note, last: int) -> int:
    """Where the words of a thing begin that end at a token: "the strips in hive 30"."""
    at = last
    while at > 0 and note.lower[at - 1] not in (*STOPS, ",", "and", "so", "but", "then"):
        at -= 1
    return at


def of_work(note: Note, start: int, end: int) -> bool:
    """Whether a plan speaks of the hives: it holds words that the rules know, and none that nothing knows."""
    dated, named = note.of_dates(), note.of_places()
    said = [k for k in range(start, end) if note.lower[k].isalpha() and k not in dated]
    if any(k in named or k in note.trade for k in said):
        return True
    known = [k for k in said if k in note.content and k not in note.soft and note.lower[k] not in PREPOSITIONS]
    pointed = any(note.lower[k] in POINTING for k in said) and any(p.start < start for p in note.places)
    own = any(note.lower[k] in OWN for k in said)
    return len(known) + pointed + own > 1 and not any(
        note.lattice.unknown[k] and note.lower[k] not in ONCE_MORE for k in said
    )


def _scheduled(note: Note, at: int) -> bool:
    """Whether a verb of the plain present has a thing before it: "hive 12 gets", "the slide goes"."""
    if at == 0:
        return False
    named = any(p.end == at for p in note.places)
    return named or (at - 1 in note.content and not any(c.start <= at - 1 < c.end for c in note.cues))
