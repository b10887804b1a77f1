"""A note that takes back the note before, and may go on: "forget that, I'm grafting on Friday"."""

from __future__ import annotations

import re

from gloveside.extract.coverage import PAST_FORMS
from gloveside.extract.note import STOPS, Note

LONGEST_EXCUSE = 24
_BEFORE = {
    "no",
    "nope",
    "nah",
    "oh",
    "please",
    "kindly",
    "just",
    "sorry",
    "right",
    "okay",
    "ok",
    "actually",
    "well",
    "so",
    "um",
    "uh",
    "er",
    "can",
    "could",
    "would",
    "you",
    "let's",
    "let",
    "'s",
    "i",
    "want",
    "to",
    "bother",
    "wait",
    "hang",
    "on",
    "yes",
    "yeah",
    "ah",
    "i'd",
    "like",
    "better",
    "me",
    "we",
    "need",
    "whoops",
    "oops",
    "and",
    "then",
    "mate",
}
_BEHIND = {
    "please",
    "again",
    "altogether",
    "completely",
    "then",
    "would",
    "you",
    "will",
    "could",
    "thanks",
    "sorry",
    "and",
    "but",
    "because",
    "cause",
    "mate",
    "love",
    "now",
    "so",
    "ya",
}
_GOES_ON = {
    "i",
    "i'm",
    "i'll",
    "i'd",
    "i've",
    "we",
    "we're",
    "we'll",
    "we've",
    "he",
    "he's",
    "she",
    "she's",
    "they",
    "they're",
    "it",
    "it's",
    "there",
    "there's",
    "hive",
    "hives",
    "nuc",
    "nucs",
    "round",
    "yard",
    "the",
    "my",
    "remind",
    "that",
    "that's",
    "this",
    "no",
    "wrong",
    "must",
    "note",
    "new",
    "not",
    "make",
    "change",
    "all",
    "just",
    "delete",
    "wipe",
    "had",
    "was",
    "got",
    "too",
    "if",
    "since",
    "as",
    "for",
}
"""What a clause of its own begins with where no stop is heard: "forget that I'm grafting", not "drop that box off"."""
_OF_NOTES = {
    "forget",
    "ignore",
    "disregard",
    "scratch",
    "undo",
    "delete",
    "cancel",
    "erase",
    "strike",
    "withdraw",
    "retract",
    "never",
    "scrub",
    "scrap",
}
_NAMES_NOTE = {"note", "entry", "record", "message", "recording", "said", "say"}
_NO_ORDER = {
    "to",
    "i",
    "we",
    "he",
    "she",
    "they",
    "you",
    "don't",
    "can't",
    "not",
    "never",
    "'ll",
    "will",
    "would",
    "could",
    "must",
    "might",
    "did",
    "i'll",
    "we'll",
    "they'll",
    "couldn't",
    "won't",
    "wouldn't",
    "didn't",
    "had",
    "the",
    "a",
    "who",
    "which",
    "that",
}
"""Before a verb they make it no order: "I had to scrap that"."""
_FROM = ("record", "book", "log", "notes", "notebook", "list", "records")
_NOTE = r"(?:note|one|entry|record|message|bit|thing|lot|recording)"
_LAST = (
    rf"(?:(?:that|the|my|this) (?:very |whole )?(?:last|previous) {_NOTE}|(?:that|my|this) {_NOTE}|the (?:last|"
    rf"lot)|the {_NOTE} (?:before|i just \w+))"
)
_THING = (
    rf"(?:{_LAST}|it|that|this|all (?:of )?that|what i(?:'ve| have)? (?:just )?(?:said|"
    rf"told you|told|recorded|spoke|dictated)(?: just now| last| there| before| a (?:moment|minute) ago)?)"
)
_AWAY = r"(?:out|off|away|back)"
_DROPPING = (
    r"(?:deleting|removing|scrapping|erasing|cancelling|canceling|scratching|undoing|wiping|dropping|binning|"
    r"forgetting|striking|discarding|ditching|"
    r"ignoring|disregarding|losing|clearing)"
)
_DROPPED = (
    r"(?:deleted|removed|scrapped|erased|cancelled|canceled|scratched|undone|wiped|dropped|binned|forgotten|struck|"
    r"discarded|ditched|ignored|thrown|"
    r"taken|left|crossed|rubbed|cleared|gone)"
)
_CLAUSES = re.compile(
    rf" (?:(?:take|throw|rub|cross|strike|cut|chuck|leave|wipe|scrub|knock) {_THING} {_AWAY} (?:of (?:the|my|"
    rf"your) (?:record|book|notes|log) )?|"
    rf"(?:would|do|could|can) you mind {_DROPPING} {_THING} |{_DROPPING} {_LAST} |"
    rf"{_LAST} (?:should|can|has to|needs to|must|ought to|wants to|had better|is to|may) (?:be {_DROPPED}|go|"
    rf"come) (?:{_AWAY} )?)"
)
_NONSENSE = re.compile(
    rf" (?:sorry |oh |no )*{_THING} (?:was|is|'s) (?:\S+ ){{0,3}}?(?:nonsense|rubbish|wrong|"
    rf"mistake|right|garbage|"
    rf"good|true|mess|muddle|error) (?:so |and )*"
)


def after(note: Note) -> int | None:
    """The token at which a note goes on after taking back the one before, its length when it does not; else None."""
    first = _skipped(note, _NONSENSE, 0) or 0
    for start in range(first, min(first + 7, len(note.lower))):
        end = max(_ends(note, start) | {_skipped(note, _CLAUSES, start) or 0})
        if end:
            behind = _behind(note, end)
            return behind if _parts(note, end, behind) and _is_of_notes(note, start, end) else None
        if note.lower[start] not in _BEFORE and note.lower[start] not in (*STOPS, ","):
            return None
    return None


def excused(note: Note) -> int | None:
    """The token at which a note that begins with an excuse takes back the one before; None where it does not end so."""
    if len(note.lower) > LONGEST_EXCUSE:
        return None
    for start in range(1, len(note.lower) - 1):
        ends = _ends(note, start)
        if ends and _behind(note, max(ends)) == len(note.lower) and note.lower[start - 1] not in _NO_ORDER:
            of_notes = _NAMES_NOTE & set(note.lower[start:]) or not any(at in note.trade for at in range(start))
            return start if of_notes else None
    return None


def _parts(note: Note, end: int, behind: int) -> bool:
    """Whether the words after an order to take back are a clause of their own, or none."""
    words = note.lower
    if behind >= len(words) or any(w in STOPS or w == "," for w in words[end:behind]):
        return True
    if words[end - 2 : end] == ["never", "mind"]:
        return False  # "never mind the weather"
    if words[behind] in _GOES_ON:
        return True
    return words[behind].endswith("ed") or words[behind] in PAST_FORMS or any(p.start == behind for p in note.places)


def _is_of_notes(note: Note, start: int, end: int) -> bool:
    """Whether a note is taken back rather than a thing: not "bin the lot, wax moth in every frame"."""
    words = set(note.lower[start:end])
    if "back" in words or {"no", "nope", "nah", "oh", "sorry", "wait", "whoops", "oops"} & set(note.lower[:start]):
        return True
    return bool(_OF_NOTES & words and "lot" not in words) or bool(_NAMES_NOTE & words) or not _told_of_trade(note, end)


def _told_of_trade(note: Note, end: int) -> bool:
    return any(at in note.trade for at in range(end, len(note.lower)))


def _ends(note: Note, start: int) -> set[int]:
    """Where an order to take back may end that begins at a token."""
    edges = note.lattice.edges
    ends = {stop for stop, _ in edges[start].get("undo_phrase", ()) if stop - start > 1}
    for middle, _ in edges[start].get("undo_verb", ()):
        article = middle < len(edges) and note.lower[middle] in ("the", "my", "that", "this")
        for at in range(middle, min(middle + 1 + article, len(edges))):
            ends |= {stop for stop, _ in edges[at].get("undo_thing", ())}
    return ends


def _skipped(note: Note, pattern: re.Pattern[str], start: int) -> int | None:
    """The token after words of a pattern that begin at a token; stops are passed over."""
    kept = [at for at in range(start, len(note.lower)) if note.lower[at] not in (*STOPS, ",")]
    found = pattern.match(f" {' '.join(note.lower[at] for at in kept)} ")
    if found is None:
        return None
    count = len(found.group().split())
    return kept[count] if count < len(kept) else len(note.lower)


def _behind(note: Note, at: int) -> int:
    """The first token after politeness and "from the record"."""
    words = note.lower
    while at < len(words):
        if words[at] in ("from", "off", "out") and any(w in _FROM for w in words[at + 1 : at + 4]):
            at = next(k for k in range(at + 1, at + 4) if words[k] in _FROM) + 1
        elif words[at] in _BEHIND or words[at] in (*STOPS, ","):
            at += 1
        else:
            break
    return at
