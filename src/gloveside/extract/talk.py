"""Questions: what is asked of the record."""

from __future__ import annotations

from datetime import date

from gloveside.extract import (
    asked_beside,
    asked_places,
    asked_time,
    coverage,
    follow,
    preambles,
    queries,
    question_slots,
    stretches_of_time,
    tools,
)
from gloveside.extract.models import Question
from gloveside.extract.note import STOPS, Note
from gloveside.extract.patterns import Pattern, State
from gloveside.extract.talk_rules import Ask, rules

LONGEST_QUESTION = 36
_NAMED = {"R", "P", "HP", "YP", "D"}
"""What a clause that only tells may name for the question after it."""
_OF_ONE_PLACE = {"last", "history", "due"}
"""Questions whose answer is about the one place they hold: another place named beside it is left over."""
_PLACELESS = {"splits", "breeders", "plan", "growth", "odds", "drones"}
"""Questions whose answer is the same for every hive: one that names a hive asks something else."""
_SAME_FOR_ALL = {"splits", "ripe"}
"""Questions of a round whose answer is the same whatever is done with it."""
_PLANNED = {"graft", "feed", "treatment"}
_FIRST = {
    "when": "asks_when", "when's": "asks_when", "where": "asks_which", "where's": "asks_which", "which": "asks_which",
    "who": "asks_which", "whose": "asks_which", "what": "asks_what", "what's": "asks_what", "whether": "asks_yesno",
    "if": "asks_yesno",
}  # fmt: skip
_WITH_DAYS = {"growth", "plan", "same"}
_TOOL_LABELS = {"tool_noun", "tool_kind", "tool_alone"}
_ASKING = {"what", "which", "when", "where", "who", "how", "whose"}
_VERBS_FIRST = {
    "is", "are", "was", "were", "do", "does", "did", "will", "would", "can", "could", "should", "must", "shall",
}  # fmt: skip
_SUBJECTS = {"i", "we", "you", "it", "they", "she", "he", "the", "a", "an", "my", "our", "there", "any", "that", "this"}
_OF_THE = (["the"], ["those"], ["these"], ["of"], ["my"], ["all"])
_WISHING = {"like", "want", "love", "need", "keen", "curious", "ask", "wondering", "wonder", "know", "wanted"}
_TELLERS = {"i", "we", "i've", "we've", "have", "just", "and", "so"}
_ALONE = {
    "what": "asks_what", "which": "asks_which", "where": "asks_which", "who": "asks_which", "when": "asks_when",
    "number": "asks_count", "count": "asks_count", "total": "asks_count",
}  # fmt: skip
"""What a bare question word asks for."""
_GRAFTED = {
    "graft_verb", "graft_noun", "cell_word", "take_from", "by_what", "tool_noun", "mother_word", "breed_noun",
    "take_count_of", "=builder",
}  # fmt: skip
_DONE = {"did", "had", "happened", "since", "been"}
_MEANT = {"meant", "supposed", "booked", "planned", "scheduled", "ought"}
_RIVALS = 1.6
"""A reading that leaves no word over is taken before a better scored one that does, within so much of a score."""
_NEARLY = 0.2
_ALIKE = {"history", "last"}
"""The last note and all notes of a place answer each other's questions."""
POLITE = {"and", "so", "but", ",", "now", "also", "no", "hey"}


def sentences(note: Note) -> list[tuple[int, int]]:
    """Token ranges of the sentences, with their stop."""
    out: list[tuple[int, int]] = []
    start = 0
    for at, word in enumerate(note.lower):
        if word in STOPS:
            if at > start:
                out.append((start, at + 1))
            start = at + 1
    if start < len(note.lower):
        out.append((start, len(note.lower)))
    return out


def _sounds(note: Note, start: int, end: int) -> int | None:
    """Where the question of a sentence starts, or None when it does not sound like one."""
    cues = {c.start: c for c in note.cues if c.scope == "question" and start <= c.start < end}
    at = start
    while at < end and at not in cues and (at in note.filler or note.lower[at] in POLITE):
        at += 1
    if at in cues:
        return at
    strong = [s for s, c in cues.items() if "weak" not in c.concept]
    if strong and end - start <= LONGEST_QUESTION:
        return min(strong)
    return start if note.lower[end - 1] == "?" else None


def question(note: Note, start: int, end: int, on: date) -> tuple[Question, int] | None:
    """The question that a sentence asks and its first token, or None.

    What was said before the question word belongs to the question unless the trade was talked of there.
    """
    talk = rules()
    for ask in talk.asks:
        if any(_covers(note, pattern, start, end) for pattern in ask.whole):
            return _asked(note, ask, start, start, end, on)
    if (follows := follow.question(note, start, end, on)) is not None:
        return follows, start
    for opens in preambles.after_preambles(note, start, end, talk.asking):
        # "I'm at the shed counting boxes, so how many splits do I want": what comes last is asked
        if (asked := _read(note, opens, end, on)) is not None and not (asked[0].model_extra or {}).get("unsure"):
            if (whole := _read(note, start, end, on)) is not None and says_more(whole[0], asked[0]):
                return whole
            told = _told_first(note, start, opens, end)
            here = asked_places.named_before(note, start, opens, end) if asked[0].place is None else None
            tail = asked[0] if here is None else asked[0].model_copy(update={"place": here})
            return tail, opens if told else start
    return _read(note, start, end, on)


def whole(note: Note, on: date) -> Question | None:
    """The only question of a note of one sentence."""
    spans = sentences(note)
    asked = question(note, *spans[0], on) if len(spans) == 1 else None
    return asked[0] if asked else None


def says_more(whole: Question, tail: Question) -> bool:
    """Whether what leads up to a question is part of it after all: the same is asked, of more than another day."""
    more, less = whole.model_dump(exclude_none=True), tail.model_dump(exclude_none=True)
    added = {name for name in more if more.get(name) != less.get(name)}
    return "unsure" not in more and more["ask"] == less["ask"] and not added & {"since", "until", "days", "place"}


def _read(note: Note, start: int, end: int, on: date) -> tuple[Question, int] | None:
    """The question of one sentence, read by the rules that count labels."""
    talk = rules()
    begin = _sounds(note, start, end)
    if begin is None:
        return None
    stop = coverage.aside(note, begin, end, talk.asking)
    labels = queries.labels(note, begin, stop)
    # what was said before the question word belongs to it: "round three, when is it ripe"
    own = begin if _told_first(note, start, begin, end) else preambles.own_words(note, start, begin)
    before = queries.labels(note, min(own, begin), begin) | (queries.labels(note, start, begin) & _NAMED)
    labels |= {label for label in before if label != "W" and not label.startswith("=")}
    if note.lower[end - 1] == "?":
        labels |= {"asks", *_bare(note, start, end), *_first_word(note, begin)}
    if _wonders_if(note, begin, stop):
        labels = labels - {"asks_what"} | {"asks_yesno"}
    where = asked_places.place(note, begin, stop)
    if where is not None:
        labels |= {"P", "YP"} if where.startswith("yard ") else {"P"}
        labels -= {"W"}
    elif asked_places.place(note, start, stop) is None:
        labels -= {"P", "HP", "YP"}
    scored = [
        (len(ask.need) + ask.weight, ask)
        for ask in talk.asks
        if ask.need and not ask.never & labels and all(group & labels for group in ask.need)
    ]
    if not scored:
        return None
    scored.sort(key=lambda found: -found[0])
    first: tuple[Question, int] | None = None
    best: float | None = None
    for score, ask in scored:
        asked, opens = _asked(note, ask, start, begin, end, on)
        left = _left_over(note, ask, asked, (own, begin, stop), on)
        if not left:
            rival = _rival(note, ask, score, scored, (start, own, begin, end, stop), on)
            if rival is not None:
                asked = Question.model_validate({**asked.model_dump(exclude_none=True), "unsure": [rival]})
            return asked, opens
        if best is None and not _ill_fitting(note, ask, asked, own, begin, stop):
            best = score
        if first is None:
            first = Question.model_validate({**asked.model_dump(exclude_none=True), "unsure": left}), opens
        if best is not None and score < best - _RIVALS:
            break
    return first


def _rival(
    note: Note,
    taken: Ask,
    score: float,
    scored: list[tuple[float, Ask]],
    spans: tuple[int, int, int, int, int],
    on: date,
) -> str | None:
    """The topic of another reading that accounts for every word and is nearly as good, so that both are offered."""
    start, own, begin, end, stop = spans
    for other_score, ask in scored:
        near = score - _NEARLY <= other_score <= score
        if not near or ask.ask == taken.ask or {ask.ask, taken.ask} <= _ALIKE:
            continue
        asked, _ = _asked(note, ask, start, begin, end, on)
        if asked.ask != taken.ask and not _left_over(note, ask, asked, (own, begin, stop), on):
            return ask.ask
    return None


def _left_over(note: Note, ask: Ask, asked: Question, span: tuple[int, int, int], on: date) -> list[str]:
    """The words that a reading leaves over; span: where its own words begin, where its question word does, its end."""
    own, start, end = span
    talk = rules()
    extra = asked.model_extra or {}
    dated = asked.since is not None or asked.until is not None
    yes_or_no = note.lower[start] in _VERBS_FIRST and not _ASKING & set(note.lower[max(own, start - 2) : start])
    past = bool({"did", "was", "were", "have", "has"} & set(note.lower[start : start + 1])) and extra.get("kind")
    if extra.get("loose") and not (dated and (past or not yes_or_no)):
        return ["?"]
    if _ill_fitting(note, ask, asked, own, start, end):
        return ["?"]
    if (
        ask.ask == "list"
        and set(asked.model_dump(exclude_none=True)) <= {"ask", "what", "since", "until", "days", "of", "place"}
        and (asked.place is None or extra.get("of"))
    ):
        return ["?"]  # it names nothing that tells the ones asked for
    labels = {"aside_said"}.union(*ask.need, talk.own.get(ask.ask, frozenset()))
    for table in (talk.extras.get("all", {}), talk.extras.get(ask.ask, {})):
        for slot, labelled in table.items():
            if slot != "by" or ask.ask in question_slots.WITH_TOOLS:
                labels |= set(labelled)
    if asked.tool is None and extra.get("by") != "tool":
        labels = labels - _TOOL_LABELS
    spoken_for = note.of_rounds()
    if asked.round is not None or ask.ask == "last":  # "round, hang on, round 9", "the last time round"
        spoken_for.update(at for at in range(own, end) if note.lower[at] == "round")
    if ask.ask in ("list", "count") and not extra.get("kind"):
        spoken_for |= asked_time.after_season(note, own, end)
    if extra.get("rounds"):
        spoken_for.update(at for n in note.numbers.values() for at in range(n.start, n.end))
    for place in note.places:
        held = asked.place in place.places or ask.ask not in _OF_ONE_PLACE or extra.get("kind") == "move"
        if not asked_places.is_asking(note, place) and held and (ask.ask not in _PLACELESS or place.sort == "yard"):
            spoken_for.update(range(place.start, place.end))
    if asked.place is not None and (ask.ask not in _PLACELESS or asked.place.startswith("yard ")):
        name = asked.place.split(" ", 1)[-1].lower()
        spoken_for.update(at for at in range(own, end) if note.lower[at] == name)
    if asked.since or asked.until or extra.get("days") or extra.get("compare"):
        spoken_for.update(note.of_dates())
    if (asked.since or asked.until) and ask.ask not in question_slots.OF_YEARS:
        spoken_for |= stretches_of_time.find(note, own, end, on, ask.ahead)[1]
    days = extra.get("days") if asked.until or ask.ask in _WITH_DAYS else None
    if ask.ask == "ripe":
        spoken_for.update(note.of_dates())
    if asked.since or asked.until or days or "season" in extra or ask.ask == "ripe":
        timed = coverage.TIME_WORDS | queries.SINCE | queries.UNTIL | set(queries.MONTHS)
        if days:
            timed = timed | {"more", "longer", "than", "over", "least"}
        if asked.since and asked.until:
            timed = timed | {"between"}
        elif asked.since:
            timed = timed | {"start", "beginning"}
        spoken_for.update(at for at in range(own, end) if note.lower[at] in timed)
    counted = (
        extra.get("by") in ("mother", "builder") or extra.get("rank") or extra.get("for_sale") or extra.get("enough")
    )
    if days or asked.since or "N" in labels or counted:
        spoken_for.update(at for n in note.numbers.values() for at in range(n.start, n.end))
    if ask.ask in _SAME_FOR_ALL and (asked.round is not None or asked.place is not None):
        spoken_for |= asked_beside.doing(note, own, end)
    if ask.ask in question_slots.WITH_TOOLS and (asked.tool is not None or extra.get("by") == "tool"):
        spoken_for |= tools.tokens(note, own, end)
    left = coverage.unaccounted(note, own, end, labels, talk.small, spoken_for)
    return left or asked_time.not_held(note, own, end, asked)


def _ill_fitting(note: Note, ask: Ask, asked: Question, own: int, start: int, end: int) -> bool:
    """Whether a reading cannot be meant: a share taken of a hive that was not grafted, a job that was done."""
    words = set(note.lower[start:end])
    if ask.ask == "take" and asked.round is None and asked.place is not None and not asked.place.startswith("yard "):
        led = any(
            note.lower[p.start - 1 : p.start] in (["from"], ["off"]) for p in note.places if start < p.start < end
        )
        return not led and not _GRAFTED & queries.labels(note, own, end)
    if ask.ask == "due" and (asked.model_extra or {}).get("what") == "feeder":
        return asked.place is not None and asked.place.startswith("yard ")
    if ask.ask == "due":
        return bool(words & _DONE) and not words & _MEANT
    if ask.ask == "count" and (asked.model_extra or {}).get("kind") in _PLANNED and words & {"should", "ought"}:
        return True  # "how many larvae should I graft": no record says
    if ask.ask == "count" and asked.round is not None:
        return (asked.model_extra or {}).get("what") in ("supers", "hives")  # boxes for the cells of a round
    return False


def _asked(note: Note, ask: Ask, start: int, begin: int, end: int, on: date) -> tuple[Question, int]:
    """The question with its slots, and where it starts."""
    opens = begin if _told_first(note, start, begin, end) else start
    return question_slots.filled(note, ask, start, begin, end, on), opens


def _covers(note: Note, pattern: Pattern, start: int, end: int) -> bool:
    """Whether a pattern takes a whole sentence, fillers and the stop aside."""
    while start < end and start in note.filler:
        start += 1
    while end > start and note.lower[end - 1] in (*STOPS, ","):
        end -= 1
    least = end
    while least > start and (least - 1 in note.soft or note.lower[least - 1] == ","):
        least -= 1
    if start >= end or not pattern.first & set(note.lattice.edges[start]):
        return False
    return any(
        least <= s.end <= end and not s.left_over for s in note.lattice.match(pattern.node, State(start), first=True)
    )


def _first_word(note: Note, at: int) -> set[str]:
    """What the first word of a question asks for, as far as it tells: "when the slide goes in"."""
    while at < len(note.lower) - 1 and (at in note.filler or note.lower[at] in {*POLITE, *queries.LEADS}):
        at += 1
    if note.lower[at] == "how":
        return set() if note.lower[at + 1] in ("many", "much", "long", "soon", "often", "old", "far") else {"asks_what"}
    return {_FIRST[note.lower[at]]} if note.lower[at] in _FIRST else set()


def _bare(note: Note, start: int, end: int) -> set[str]:
    """Labels of question words that stand alone before a stop or a comma: "fed in November, what?"."""
    return {
        label
        for at in range(start + 1, end - 1)
        if (label := _ALONE.get(note.lower[at]))
        and note.lower[at + 1] in (*STOPS, ",", "and")
        and (label != "asks_count" or note.lower[at - 1] == ",")
    }


def _wonders_if(note: Note, start: int, end: int) -> bool:
    """Whether it asks for a yes or a no in a roundabout way: "do you happen to know whether …"."""
    ends = {c.end for c in note.cues if c.scope == "question" and start <= c.start < end}
    return any(note.lower[at] in ("whether", "if") and at in ends for at in range(start + 1, end))


def _told_first(note: Note, start: int, begin: int, end: int) -> bool:
    """Whether something of the trade was told before the question word: "fed hive three, when is it due again"."""
    if not any(at in note.trade for at in range(start, begin)):
        return False
    wishes = bool(_WISHING & set(note.lower[start:begin])) and note.lower[start] in coverage.SPEAKERS
    held = any(start <= p.start < begin for p in note.places) or any(
        start <= left < begin for left, _, _ in note.rounds
    )
    if note.lower[end - 1] != "?" and held and not wishes:
        return True
    named = note.of_places() | note.of_rounds() | note.of_dates()
    if any(
        at in note.numbers and at not in named and note.lower[at - 1 : at] not in _OF_THE for at in range(start, begin)
    ):
        return True
    clause = True
    for at in range(start, begin):
        word = note.lower[at]
        if clause and (word.endswith("ed") or word in coverage.PAST_FORMS) and at in note.content:
            return True
        clause = (word == "," and at - 1 not in note.filler) or (clause and (at in note.filler or word in _TELLERS))
    return False


def only_asks(note: Note, start: int, end: int) -> bool:
    """Whether a sentence is put as a question, so that it tells nothing: by its mark, or by a verb before its subject.

    "Was hive 31 the nasty one", "what does an excluder cost", "who did I sell nucs to"; but not "what we did: …".
    """
    if _sounds(note, start, end) is None:
        return False
    if note.lower[end - 1] == "?":
        return True
    while start < end and (start in note.filler or note.lower[start] in POLITE):
        start += 1
    words = note.lower[start:end]
    if words[:1] and words[0] in _ASKING and len(words) > 2:
        rest = words[1:] if words[1] in _VERBS_FIRST else words[2:] if words[2] in _VERBS_FIRST else None
        return rest is not None and _subject(note, end - len(rest) + 1, rest[1:])
    return bool(words[:1]) and words[0] in _VERBS_FIRST and words[0] != "did" and _subject(note, start + 1, words[1:])


def _subject(note: Note, at: int, words: list[str]) -> bool:
    """Whether a subject begins at a token."""
    return bool(words) and (words[0] in _SUBJECTS or any(p.start == at for p in note.places))


def sounds_asked(note: Note) -> bool:
    """Whether a note sounds like a question from its start, whatever it asks."""
    spans = sentences(note)
    return bool(spans) and all(_sounds(note, start, end) is not None for start, end in spans)
