"""Whether what sounds like a question asks, or tells: "have you put …", "how about that, 28 of 30 took"."""

from __future__ import annotations

from typing import Any

from gloveside.extract.frames import Match
from gloveside.extract.models import Question
from gloveside.extract.note import Note

# A note with so many facts beside a question is a record.
TELLING = 3
VAGUE = frozenset(["ask", "place", "what", "goods", "loose", "since", "until"])

# Before a number of a question: "more than eight frames", "for 40 queens", "in the last 10 days".
COMPARING = {
    "than",
    "over",
    "under",
    "least",
    "most",
    "below",
    "above",
    "last",
    "next",
    "past",
    "for",
    "first",
    "with",
    "about",
}


# "Have put ...", "had a look ...": told by one who leaves themselves out.
HELPING = {"have", "has", "had", "did", "am", "was", "been", "will"}


ASKING_VERBS = frozenset(["have", "had", "did", "do", "does", "has", "is", "are", "was", "were", "can", "could"])


ASKED_OF = frozenset(["you", "we", "they", "he", "she", "it", "anyone", "anybody", "somebody", "someone"])


DONE_WORDS = frozenset(
    [
        "put",
        "been",
        "got",
        "a",
        "an",
        "had",
        "done",
        "made",
        "set",
        "just",
        "now",
        "also",
        "already",
        "finally",
        "pulled",
        "took",
        "fed",
        "cut",
    ]
)


def turned_round(note: Note, start: int, end: int) -> bool:
    """Whether a sentence asks by its order of words alone: "have you put the excluder in hive 7"."""
    words = [note.lower[k] for k in range(start, end) if note.lower[k].isalpha() and k not in note.filler][:2]
    if len(words) < 2:
        return False
    asks_of = (
        ASKED_OF if words[0] in ("have", "had", "did", "do", "can", "could") else ASKED_OF | {"the", "any", "there"}
    )
    return words[0] in ASKING_VERBS and words[1] in asks_of


def _no_subject(note: Note, start: int, end: int) -> bool:
    """Whether a sentence begins with a verb that helps another, and no one who asks: "have put the excluder in"."""
    words = [k for k in range(start, end) if note.lower[k].isalpha() and k not in note.filler][:2]
    if len(words) < 2 or note.lower[words[0]] not in HELPING:
        return False
    after = note.lower[words[1]]
    return after in DONE_WORDS or after.endswith(("ed", "en"))


# Before "what" and what somebody was up to, told and not asked.
SEEN = frozenset(["see", "saw", "knew", "guessed", "like", "liked", "tell", "understood", "noticed"])
SO = frozenset(["so", "and"])
I_DID = frozenset(["i", "we", "i've", "we've", "i'd", "we'd"])


def _so_i_did(note: Note, start: int, end: int) -> bool:
    """Whether "what" stands in the midst of what was seen, and then what was done: "saw what …, so I split it"."""
    if note.lower[end - 1] == "?":
        return False
    at = next((k for k in range(start, end) if note.lower[k] == "what"), None)
    if at is None or at == start or note.lower[at - 1] not in SEEN:
        return False
    subject = any(note.lower[k] in ("i", "we") for k in range(start, at)) and "me" not in note.lower[start:at]
    did = any(
        note.lower[k] in SO
        and k + 2 < end
        and note.lower[k + 1] in I_DID
        and any(
            w in DONE_WORDS or w in ("taken", "moved", "split", "gave", "made", "knocked") or w.endswith(("ed", "en"))
            for w in note.lower[k + 2 : k + 4]
        )
        for k in range(at, end)
    )
    return subject and did


def to_oneself(note: Note, said: list[Match], asked: Question, start: int, end: int) -> bool:
    """Whether a question in the midst of a long record is talk to oneself: "where did I put my hive tool"."""
    facts = [m for m in said if m.rule.role == "fact" and not start <= m.start < end]
    plain = [note.lower[k] for k in range(start, end) if note.lower[k].isalpha()]
    while plain and plain[0] in ("right", "okay", "ok", "so", "now", "well", "um", "er", "and"):
        plain.pop(0)
    if facts and plain[:1] == ["what"] and plain[1:3] in (["i", "did"], ["we", "did"]) and note.lower[end - 1] != "?":
        return True  # "right, what I did on Sunday. Hive 4, strong"
    if len(facts) < TELLING or len({note.sentence[m.start] for m in facts}) < 2:
        return False
    slots = set(asked.model_dump(exclude_none=True)) | set(asked.model_extra or {})
    vague = asked.ask in ("list", "history", "last") and slots <= VAGUE
    return vague or bool((asked.model_extra or {}).get("unsure"))


# A few words with one of these head what is counted next: "round 7 take. Top bar 14 of 15".
HEADINGS = {"take": ("take_noun", "take_verb"), "cells": ("cell_word",), "split": ("split_noun",)}
LONGEST_HEADING = 6


def _heading(note: Note, said: list[Match], start: int, end: int) -> bool:
    """Whether a fragment without a word of asking is the heading of the counts that follow it."""
    words = [k for k in range(start, end) if note.lower[k].isalnum()]
    named = {label for labels in HEADINGS.values() for label in labels}
    asking = [c for c in note.cues if c.scope == "question" and start <= c.start < end]
    if len(words) > LONGEST_HEADING or any(named.isdisjoint(note.lattice.edges[c.start]) for c in asking):
        return False
    ahead = [m for m in said if end <= m.start and note.sentence[m.start] == note.sentence[end - 1] + 1]
    return any(
        m.rule.kind in HEADINGS
        and any(numbers_in(v) for v in m.sets.values())
        and any(label in note.lattice.edges[k] for label in HEADINGS[m.rule.kind] for k in words)
        for m in ahead
    )


def tells(note: Note, said: list[Match], start: int, end: int) -> bool:
    """Whether what sounds like a question tells an amount: "how about that, 28 of 30 took in round four"."""
    if _no_subject(note, start, end) or _so_i_did(note, start, end) or _heading(note, said, start, end):
        return True
    for match in said:
        if match.rule.role == "anchor" or not (match.start < end and start < match.end) or match.rule.kind == "weather":
            continue
        counts = [k for k in range(match.start, match.end) if "N" in note.lattice.edges[k]]
        if any(note.lower[k - 1] not in COMPARING for k in counts if k) and any(
            numbers_in(v) for v in match.sets.values()
        ):
            return True
    return False


def numbers_in(value: Any) -> list[int | float]:
    """All numbers of an entry, and how many places it lists."""
    if isinstance(value, dict):
        return [n for v in value.values() for n in numbers_in(v)]
    if isinstance(value, list):
        return [len(value), *(n for v in value for n in numbers_in(v))]
    return [value] if isinstance(value, int | float) and not isinstance(value, bool) else []
