"""A question without the frame of speech round it: "I was wondering when …", "…, if you don't mind", "let me have …".

A frame says that something is asked and who asks, never what is asked. What stands before the question word is a frame
when it names nothing of the record, or opens with its speaker; what stands after the question is one when it only talks
to the notebook. What is left is read as a question of its own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from gloveside.extract import coverage, preambles, queries
from gloveside.extract.note import STOPS, Note
from gloveside.extract.talk_rules import rules

_WH = {
    "what", "what's", "which", "when", "when's", "where", "where's", "who", "who's", "whose", "whom", "how",
    "how's", "whereabouts", "what're", "what've", "how'd", "when'd", "what'll",
}  # fmt: skip
_IF = {
    "if", "whether",
}  # fmt: skip
_BEFORE_WH = {
    "in", "on", "at", "by", "from", "for", "with", "since", "to", "of", "until", "till", "out", "under", "about",
}  # fmt: skip
_HELPERS = {
    "is", "are", "was", "were", "do", "does", "did", "have", "has", "had", "will", "would", "can", "could",
    "should", "must", "shall", "am", "isn't", "aren't", "don't", "didn't", "haven't", "hasn't", "doesn't",
}  # fmt: skip
_SUBJECTS = {
    "i", "we", "it", "they", "there", "any", "the", "my", "our", "that", "this", "those", "these", "anything",
}  # fmt: skip
_LEADS_IN = {
    "wondering", "wonder", "know", "knows", "knowing", "tell", "telling", "told", "remember", "recall", "of",
    "idea", "sure", "ask", "asking", "asks", "asked", "say", "says", "said", "out", "see", "check", "forget",
    "forgot", "forgotten", "me", "us", "you", "it", "clue", "curious", "interested", "hear", "is", "was", "this",
    "explain", "show", "work", "whisper", "exactly", "about", "notion", "certain", "guess", "figure", "up", "again",
    "wants", "just", "so", "and", "look", "now", "then", "please", "remind", "question", "but", "or", "like", "on",
    "mate", "for",
}  # fmt: skip
"""Words after which an indirect question begins."""
_ENDED_BY = {
    "find", "work", "track", "idea", "figure", "note", "notion", "clue", "count", "look", "hold", "sure", "hear",
}  # fmt: skip
"""With "of", "out" or "about" after it, such a word ends what leads in: "I have lost track of when …"."""
_YOU = {
    "you", "you'd", "you'll", "you're", "anyone", "anybody", "someone", "somebody", "the", "that", "it", "it's",
}  # fmt: skip
_PLAIN = frozenset({
    "due_said", "due_word", "forget_said", "history_word", "order_word", "past_word", "wrote_word", "said_word",
    "went_word", "doing_word", "used_word", "share_word", "started_word", "moved_word", "last_word", "last_noun",
    "next_word", "live_word", "spot_word", "told_of", "story_noun", "on_record", "give_verb", "put_in_word",
    "reach_word", "grow_word", "chance_word", "bought_word", "take_q", "take_said", "emerge_word", "emerge_said",
    "ripe_word", "ripe_said", "need_nucs", "need_said", "take_verb", "left_word", "look_verb", "looked_word",
    "time_to", "future_have", "money_said", "money_word", "compare_word", "better_word", "over_last", "most_word",
    "top_word", "least_word", "plan_word", "q_plan_weak", "year_seasons", "month_name", "list_all", "take_period",
    "q_weak_word", "which_told_weak", "count_told_weak", "unseen_said", "unlooked_said", "feeder_gone",
    "alone_word", "write_off_word", "flights_word", "sell_verb", "sold_said", "buy_said", "sale_said", "other_one",
    "q_short_weak", "q_short_what_weak", "q_notes_weak", "top_up_word", "box_noun", "accept_said", "lost_said",
    "lost_verb", "colony_word", "last_opened", "seen_last", "treat_verb", "feed_verb", "ask_measure", "split_verb",
    "cell_word", "harvest_verb", "mark_verb", "differ_word", "enough_word",
})  # fmt: skip
"""Labels that words of all talk carry too: in a frame they name nothing of the record."""
_SAYS = ("HP", "YP", "P", "R")
_HEADS = re.compile(
    r"^(?:please\s+|just\s+|now\s+|right\s+|so\s+|and\s+|okay\s+|ok\s+|then\s+|well\s+|oh\s+|hey\s+|quickly\s+|,\s*)*"
    r"(?:(?:please\s+)?(?:can|could|would|will|might|may)\s+(?:you|i|we)\s+(?:please\s+|possibly\s+|just\s+|quickly\s+)*"
    r"(?:have|get|see|hear|give|show|read|find|fetch|bring|dig|look|pull|tell|list|name|remind)(?:\s+(?:up|out|back))?"
    r"(?:\s+(?:me|us))?(?:\s+(?:of|about|out|up|back))?(?:\s+for me)?"
    r"|(?:let|give|show|read|get|fetch|find|bring|send|hand|tell|dig|pull|look|call|put|hunt)\s+(?:me|us|up|out)"
    r"(?:\s+(?:have|see|hear|up|out|back))?(?:\s+(?:me|us))?"
    r"|let's\s+(?:have|see|hear)|remind\s+me\s+(?:of|about)"
    r"|(?:i'd|we'd|i would|we would)\s+(?:quite\s+|really\s+)?(?:like|love|appreciate)"
    r"(?:\s+to\s+(?:see|have|hear|know))?"
    r"|(?:i'm|we're|i am)\s+(?:after|looking for|chasing|keen on)"
    r"|i\s+(?:want|need|wanted|could do with|can do with|could use)(?:\s+to\s+(?:see|hear|know))?"
    r"|have\s+you\s+got|do\s+you\s+have|you\s+got|you\s+wouldn't\s+have|would\s+you\s+have|what\s+about|how\s+about"
    r"|what's|what is|what was|what are|what were)\s+",
)  # fmt: skip
"""What asks for a thing that is named after it."""
_NAMED = re.compile(
    r"^(?:the|a|an|all|every|each|my|our|your|today's|tomorrow's|tonight's|this|next|last|whatever|everything|hive|nuc|round|"
    r"any|how|what|where|which|when)\b"
)
_TAGS = re.compile(
    r"[\s,]*\b(?:"
    r"(?:do|would|did|can|could|will|might)\s+you\s+(?:happen\s+to\s+|at\s+all\s+|please\s+|by\s+any\s+chance\s+)?"
    r"(?:know|remember|recall|say|tell|tell\s+me|tell\s+us|have\s+that|mind|see|reckon|think|help|look\s+it\s+up|check)"
    r"|(?:can|could|would|will)\s+you(?:\s+please)?|if\s+(?:you|i)\s+(?:don't|wouldn't|do\s+not|would\s+not)\s+mind"
    r"|if\s+you\s+(?:would|can|could|please|like|know|remember|have\s+it|got\s+it|have\s+a\s+moment)|if\s+i\s+may(?:\s+ask)?"
    r"|(?:i'?ve|i\s+have|i)\s+(?:just\s+|clean\s+|completely\s+|totally\s+|quite\s+|honestly\s+|already\s+)*"
    r"(?:forget|forgot|forgotten|lost\s+track|lost\s+count|lost\s+the\s+thread)"
    r"|i\s+(?:really\s+|just\s+|honestly\s+)?(?:can't|cannot|couldn't|don't|can\s+not)\s+(?:quite\s+|for\s+the\s+life\s+of\s+me\s+)?"
    r"(?:think|remember|recall|tell|say|know|see\s+it)"
    r"|remind\s+me|tell\s+me|help\s+me(?:\s+out)?|have\s+you\s+got\s+(?:that|it)|any\s+idea|any\s+clue|got\s+that"
    r"|or\s+(?:so|thereabouts|roughly)|roughly\s+speaking|more\s+or\s+less|by\s+the\s+way|just\s+(?:wondering|asking|curious)"
    r"|for\s+(?:me|us)(?:\s+please)?|please|thanks|thank\s+you|ta|cheers|mate|love|dear|hey|eh|huh|right|then|again|exactly"
    r"|if\s+(?:any|at\s+all)|anyway|though|actually|now|so\s+far\s+as\s+you\s+know|off\s+the\s+top\s+of\s+your\s+head"
    r"|as\s+far\s+as\s+you\s+know|according\s+to\s+(?:the\s+book|the\s+notes|my\s+notes|you)|in\s+your\s+book|in\s+there"
    r"|am\s+i\s+right|is\s+that\s+right|or\s+not|or\s+what|innit|correct|true|yeah|yes|no|is\s+that\s+so|or\s+am\s+i\s+wrong"
    r")[\s,]*$"
)  # fmt: skip
_LATE = re.compile(
    r"^(?P<before>(?:for|of|from|in|over|since|on)\b.+?),?\s+(?:i'd|i would|we'd|we would)\s+(?:like|love|want)"
    r"(?:\s+to\s+(?:see|have|know|hear))?\s+(?P<thing>(?:the|how|what|which|all)\b.+)$",
    re.IGNORECASE,
)
"""What is asked for after what it is asked of: "for each tool I'd like the number of larvae"."""
_WANTING = re.compile(
    r"(?:i|we|i'd|we'd)\s+(?:would\s+)?(?:need|want|like|wanted)\s+(?:to\s+(?:see|know|have|hear)\s+)?"
    r"(?:every|all|a\s+list|the\s+(?:list|number|total|count|date|dates|history|record|records|figures|figure|last|latest|"
    r"notes|take|takes|treatments|feeds|sales))\b|(?:give|show|read|find|list)\s+(?:me|us|all|every)\b"
)
_NEEDS = re.compile(r"\b(?:need|want|wanted)\s+$")
_RECORDS = re.compile(
    r"^(?:how|what|where|which|when|any)\b|\b(?:number|list|total|count|dates?|history|records?|figures?|last|latest|notes?|take|takes|"
    r"treatments?|feeds?|sales|jobs|tasks|story|breakdown|percentage|rate|ripe|age|results?|everything|all\s+of)\b"
)
_ECHO = re.compile(
    r",?\s+(?:is|are|was|were|do|does|did|have|has|had|can|could|will|would|should|must|am|ai|wo|ca)(?:n't)?\s+"
    r"(?:it|they|he|she|i|we|you|there|that|one)[\s,]*$"
)
"""A verb and its subject that only ask for a yes: "…, isn't it", "…, are they", "…, couldn't I"."""
_DENIES = re.compile(r"\s+not\b|n't\b", re.IGNORECASE)
_OF_DAY = re.compile(
    r"\b(today|tomorrow|tonight|yesterday|(?:mon|tues|wednes|thurs|fri|satur|sun)day)'s\s+(\w+)", re.IGNORECASE
)
"""A day as the owner of what is asked: "tomorrow's jobs"."""
_NOTE_OF = re.compile(
    r"^(?:a|any|the)\s+(?:note|record|word)\s+(?:of|on|about)\s+(?=(?:what|when|where|which|how|who|if|whether)\b)",
    re.IGNORECASE,
)
_NONE = re.compile(r"^(nothing|nobody|no one|none)\b", re.IGNORECASE)
_I_DID = re.compile(r"^(?:(?:so|and|now|but)\s+)?(?:i|we)\s+(?=\w+)", re.IGNORECASE)
_NOW = re.compile(
    r"^(?:(?:so|and|now|but)\s+)?(?:i|we)\s+(?:am|are|have|need|can|could|should|must|will|want|only|do)\b",
    re.IGNORECASE,
)
_NEVER_END = re.compile(
    r"\b(?:it|time|year|week|month|month|up|in|right) (?:again|now|then)$|\bwhere (?:it|they) (?:is|are)$"
)
_BIDS = re.compile(r"^(?:and\s+|so\s+|please\s+)?(?:tell|remind|warn|nudge|prompt|ping)\s+(?:me|us)\b.*\bto\s+\w+")
_ASKS = _WH | _IF | {
    "any", "anything", "anyone", "anybody", "list", "show", "tell", "read", "give", "find", "remind", "compare", "?",
    "question", "wonder", "wondering", "ask", "asking", "curious", "remember", "recall", "idea", "look", "see", "let",
}  # fmt: skip
MOST_PEELED = 4
_TIMES = coverage.TIME_WORDS - {"now", "few", "this", "last"}
_SHORT = 5
"""A clause of fewer words that names a day belongs to the question: "tomorrow, what is due"."""


def cores(note: Note, start: int, end: int) -> Iterator[tuple[str, bool]]:
    """What may be the question itself in tokens start..end-1 without its frame, the barest first.

    Each with whether the frame asks, so that no question mark is needed; words that only close a question do not.
    """
    stop = end - 1 if note.lower[end - 1] in STOPS else end
    seen: set[str] = set()
    plain = note.text(start, stop)
    if (dated := _OF_DAY.sub(r"\2 \1", plain)) != plain:
        yield f"{dated}?", False
    if (late := _LATE.match(plain)) is not None:
        yield f"{late['thing']} {late['before'].rstrip(' ,')}?", True
    onsets = _onsets(note, start, stop)
    yield from _here(note, start, stop)
    for begin in [*onsets, start]:
        left = coverage.aside(note, begin, stop, _topical())
        for until in dict.fromkeys((stop, left)):
            said = note.text(begin, until)
            bare = _confirmed(_without_tags(said))
            named = _named(bare)
            for core, asks in (
                (named, True),
                (bare if begin != start or bare != note.text(start, stop) else None, begin != start),
            ):
                if core and core not in seen and len(core.split()) > 1:
                    seen.add(core)
                    yield f"{core}?", asks


def _here(note: Note, start: int, stop: int) -> Iterator[tuple[str, bool]]:
    """What is asked of "here" by one who says at which hive they are: "I'm at hive 12, I forget what I found here"."""
    asks = [at for at in range(start + 1, stop) if note.lower[at] in _WH]
    if not asks or "here" not in note.lower[asks[-1] : stop]:
        return
    held = [p for p in note.places if start <= p.start < asks[-1] and p.sort != "yard" and len(p.places) == 1]
    led = len(held) == 1 and note.lower[held[0].start - 1] in ("at", "by", "with", "over")
    if led and note.lower[start] in coverage.WHOSE:
        said = re.sub(r"\bhere\b", f"in {held[0].places[0]}", note.text(asks[-1], stop), count=1)
        yield f"{_without_tags(said)}?", True


def could_ask(note: Note, start: int, end: int) -> bool:
    """Whether anything in tokens start..end-1 asks: a question word, a helper before its subject, or a request.

    What is to be done some day is none: "tell me on the third to take the strips out".
    """
    words = note.lower[start:end]
    said = " ".join(words)
    if _BIDS.match(said) and not any(w in _WH | _IF for w in words):
        return False
    turned = any(
        b in _HELPERS and (c in _SUBJECTS or c in ("hive", "nuc", "round")) and a not in _SUBJECTS | {"only", "just"}
        for a, b, c in zip(["", *words], words, words[1:], strict=False)
    )
    return turned or bool(_ECHO.search(said)) or any(w in _ASKS for w in words)


def _onsets(note: Note, start: int, stop: int) -> list[int]:
    """Where the question itself may begin after a frame, the latest first."""
    found: list[int] = []
    for at in range(start + 1, stop - 1):
        if not _opens(note, start, at):
            continue
        if _is_frame(note, start, at):
            found.append(at)
        elif note.lower[at] in _WH or found:
            break
    return found[::-1]


def _opens(note: Note, start: int, at: int) -> bool:
    word, before, after = note.lower[at], note.lower[at - 1], note.lower[at + 1]
    clause = before in (",", ":", "-", "and", "but", "so") or at - 1 in note.filler
    ended = before in _LEADS_IN and note.lower[max(0, at - 2)] in _ENDED_BY
    if before in _BEFORE_WH and word in _WH and at - 1 > start and not ended:
        return False  # "in which nucs" begins before
    if word in _BEFORE_WH and after in _WH and (clause or before in _LEADS_IN):
        return True
    if word in _WH:
        return clause or before in _LEADS_IN or after in ("many", "much", "hives", "nucs", "day", "long")
    if word in _IF:
        return before in _LEADS_IN and after not in _YOU | {"i", "we"}
    if clause and _WANTING.match(" ".join(note.lower[at : at + 9])):
        return True
    return clause and word in _HELPERS and (after in _SUBJECTS or any(p.start == at + 1 for p in note.places))


def _is_frame(note: Note, start: int, stop: int) -> bool:
    """Whether tokens start..stop-1 name nothing of the record, clause by clause, or are told by their speaker."""
    for at in range(start, stop):
        edges = note.lattice.edges[at]
        if any(label in edges for label in _SAYS) or {"tool_noun", "tool_alone", "colour"} & set(edges):
            return False
    begin = start
    for at in range(start, stop + 1):
        if at < stop and note.lower[at] not in (",", ":"):
            continue
        if not _talks(note, begin, at):
            return False
        begin = at + 1
    return True


def _talks(note: Note, start: int, stop: int) -> bool:
    """Whether one clause only talks: its speaker tells of the day, or it names nothing of the record."""
    while start < stop and (note.lower[start] in coverage.JOINS | {"because"} or start in note.filler):
        start += 1
    if start >= stop:
        return True
    words = note.lower[start:stop]
    asks = any(w in _WH for w in words) and words[0] not in ("what", "tell") and "book" not in words
    if asks and not (words[0] in coverage.SPEAKERS or words[-1] in _LEADS_IN):
        return False
    if words[0] in coverage.SPEAKERS - coverage.OPENERS or (
        words[0] in coverage.OPENERS and words[1:2] and words[1] in coverage.WHOSE
    ):
        return not _told(note, start, stop)
    dated = any(start <= d.start < stop for d in note.dates) or bool((_TIMES | set(queries.MONTHS)) & set(words))
    if dated and (len(words) < _SHORT or not preambles.tells(note, start, stop)):
        return False  # "over the first week of November, what did I feed"
    return not _topics(note, start, stop)


def _told(note: Note, start: int, stop: int) -> bool:
    """Whether a clause of its speaker tells of work of the trade, so that it is a record: "I grafted this morning"."""
    return any(
        (note.lower[at].endswith("ed") or note.lower[at] in coverage.PAST_FORMS) and at in note.trade
        for at in range(start, stop)
    )


def _topics(note: Note, start: int, stop: int) -> bool:
    topical = _topical()
    return any(
        at in note.trade or any(label in topical for label in note.lattice.edges[at]) for at in range(start, stop)
    )


def _topical() -> frozenset[str]:
    return rules().asking - _PLAIN


def _without_tags(said: str) -> str:
    """A question without what only talks to the notebook after it."""
    for _ in range(MOST_PEELED):
        bare = said.rstrip(" ,-:")
        shorter = _TAGS.sub("", bare.lower())
        if shorter == bare.lower() or len(shorter.split()) < 2 or _NEVER_END.search(bare.lower()):
            return bare
        said = bare[: len(shorter)]
    return said


def _confirmed(said: str) -> str:
    """What is put to be confirmed, as a question: "the take was poor, wasn't it", "I fed hive nine, didn't I"."""
    echo = _ECHO.search(said.lower())
    if echo is None or len(said[: echo.start()].split()) < MOST_PEELED - 1:
        return said
    plain = _DENIES.sub("", _without_tags(said[: echo.start()]))
    plain = _NONE.sub(
        lambda m: {"nothing": "anything", "nobody": "anybody", "no one": "anyone", "none": "any"}[m[1].lower()], plain
    )
    return f"did {plain}" if _I_DID.match(plain) and not _NOW.match(plain) else plain


def _named(said: str) -> str | None:
    """The thing that is asked for by name: "the take of round three" of "I'm after the take of round three"."""
    head = _HEADS.match(said.lower())
    if head is None:
        return None
    core = _NOTE_OF.sub("", said[head.end() :])
    if _NEEDS.search(head[0]) and not _RECORDS.search(core.lower()):
        return None  # "I need the strips out of hive 5 by Friday" is work
    return core if _NAMED.match(core.lower()) else None
