"""Questions and orders: what is asked of the record, and what is told to the notebook itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from typing import Any

from gloveside.extract import coverage, queries
from gloveside.extract.derive import tool_name
from gloveside.extract.lexicon import RuleError, concepts, read_yaml
from gloveside.extract.models import Order, Question
from gloveside.extract.note import STOPS, Note
from gloveside.extract.patterns import SPECIAL, Pattern, State, compile_pattern
from gloveside.extract.places import PlaceSpan
from gloveside.extract.rules import resolve

ASK_KEYS = {"ask", "need", "not", "set", "weight", "ahead", "whole"}
ORDER_KEYS = {"do", "match", "set"}
TALK_KEYS = {"asks", "orders", "slots", "parts", "tool", "extras", "small", "also", "own"}
LONGEST_QUESTION = 36
_COUNTED = {"odds": "queens", "plan": "queens", "growth": "target", "list": "top"}
"""Slots of questions that hold a number: queens wanted, hives aimed at, how many of a ranking."""
_PLACELESS = {"splits", "breeders", "plan", "growth", "odds", "drones"}
"""Questions whose answer is the same for every hive: one that names a hive asks something else."""
_WITH_DAYS = {"growth", "plan", "same"}
_TOOL_LABELS = {"tool_noun", "tool_kind", "tool_alone"}
_WITH_TOOLS = {"take", "count", "same"}
_AND_ROUND = {"and", "or", ",", "to", "with", "against", "versus"}
_ASKING = {"what", "which", "when", "where", "who", "how", "whose"}
_VERBS_FIRST = {
    "is", "are", "was", "were", "do", "does", "did", "will", "would", "can", "could", "should", "must", "shall",
}  # fmt: skip
_SUBJECTS = {"i", "we", "you", "it", "they", "she", "he", "the", "a", "an", "my", "our", "there", "any", "that", "this"}
_RIVALS = 1.6
"""A reading that leaves no word over is taken before a better scored one that does, within so much of a score."""
COURTESY = {
    "please", "kindly", "would", "could", "can", "you", "so", "just", "then", "mate", "love", "dear", "oh", "bother",
    "sorry",
}  # fmt: skip
EXCUSE = {"i", "i'd", "i'm", "i've", "because", "as", "it", "that", "we", "the", "cause", "since"}
POLITE = {"and", "so", "but", ",", "now", "also", "no", "hey"}


@dataclass(frozen=True, slots=True)
class Ask:
    """A question.

    need: groups of labels, one of each must be present; never: labels that rule it out; whole: patterns that take the
    whole sentence; ahead: days are read forwards.
    """

    ask: str
    need: tuple[frozenset[str], ...]
    never: frozenset[str]
    sets: dict[str, Any]
    weight: float
    ahead: bool
    whole: tuple[Pattern, ...] = ()


@dataclass(frozen=True, slots=True)
class Command:
    """An order. patterns must cover the whole note."""

    do: str
    sets: dict[str, Any]
    patterns: tuple[Pattern, ...]


@dataclass(frozen=True, slots=True)
class Talk:
    """All that `data/talk/*.yaml` holds.

    extras: ask -> slot -> label -> value; tool: how a tool is said; small: words that may be left over.
    """

    asks: tuple[Ask, ...]
    commands: tuple[Command, ...]
    extras: dict[str, dict[str, dict[str, Any]]]
    tool: tuple[Pattern, ...]
    small: frozenset[str]
    own: dict[str, frozenset[str]]
    asking: frozenset[str]


@cache
def rules() -> Talk:
    """Questions and orders, checked and compiled once."""
    lexicon = concepts()
    known = set(lexicon) | {c for concept in lexicon.values() for c in concept.classes}
    asks: list[Ask] = []
    commands: list[Command] = []
    extras: dict[str, dict[str, dict[str, Any]]] = {}
    tools: tuple[Pattern, ...] = ()
    parts: dict[str, str] = {}
    small: set[str] = set()
    own: dict[str, frozenset[str]] = {}
    files = read_yaml("talk")
    also: dict[str, list[str]] = {}
    for _where, data in files:
        also.update((data or {}).get("also") or {})

    def group(labels: Any) -> frozenset[str]:
        named = labels if isinstance(labels, list) else [labels]
        return frozenset(stand_in for label in named for stand_in in (label, *also.get(label, ())))

    for _where, data in read_yaml("parts"):
        parts.update(data or {})
    for where, data in files:
        if set(data) - TALK_KEYS:
            raise RuleError(f"{where}: unknown keys {sorted(set(data) - TALK_KEYS)}")
        here = {**parts, **(data.get("parts") or {})}
        for raw in data.get("asks") or []:
            if set(raw) - ASK_KEYS:
                raise RuleError(f"{where}: question {raw} has unknown keys {sorted(set(raw) - ASK_KEYS)}")
            need = tuple(map(group, raw.get("need") or []))
            whole = tuple(compile_pattern(m, here, known, where) for m in raw.get("whole") or [])
            never = group(list(raw.get("not") or ()))
            for label in never.union(*need):
                if label not in known and label not in SPECIAL and not label.startswith("="):
                    raise RuleError(f"{where}: question {raw['ask']}: {label!r} is neither a concept nor a class")
            weight, ahead = float(raw.get("weight", 0)), bool(raw.get("ahead", False))
            asks.append(Ask(raw["ask"], need, never, dict(raw.get("set") or {}), weight, ahead, whole))
        for raw in data.get("orders") or []:
            if set(raw) - ORDER_KEYS:
                raise RuleError(f"{where}: order {raw} has unknown keys {sorted(set(raw) - ORDER_KEYS)}")
            patterns = tuple(compile_pattern(m, here, known, where) for m in raw["match"])
            commands.append(Command(raw["do"], dict(raw.get("set") or {}), patterns))
        for ask_name, slots in (data.get("extras") or {}).items():
            for slot, table in slots.items():
                wider = {stand_in: value for label, value in table.items() for stand_in in group(label)}
                extras.setdefault(ask_name, {}).setdefault(slot, {}).update(wider)
        tools += tuple(compile_pattern(m, here, known, where) for m in data.get("tool") or [])
        small.update(str(word) for word in data.get("small") or ())
        own.update({name: group(labels) for name, labels in (data.get("own") or {}).items()})
    asking = frozenset(label for ask in asks for need in ask.need for label in need if label not in SPECIAL)
    asking = frozenset(label for label in asking if not label.startswith(("=", "asks")))
    return Talk(tuple(asks), tuple(commands), extras, tools, frozenset(small), own, asking)


def order(note: Note, on: date) -> Order | None:
    """The order that the whole note is, or None."""
    length = len(note.lower)
    ends = {length}
    at = length
    while at > 0 and (note.lower[at - 1] in (*STOPS, ",") or at - 1 in note.soft):
        at -= 1
        ends.add(at)
    start, starts = 0, [0]
    while start < length and (start in note.soft or note.lower[start] in (*STOPS, ",")):
        start += max(1, note.lattice.soft[start])
        starts.append(start)
    if length <= 16:  # "Er, yes. Yes please."
        note.lattice.comma = [c or w in STOPS for c, w in zip(note.lattice.comma, note.lower, strict=True)]
    asked = note.lower[-1] == "?" or note.lower[0] in ("is", "was", "are", "were")
    for command in rules().commands:
        if asked and command.do == "change":
            continue
        for pattern in command.patterns:
            for begin in starts:
                if begin >= length:
                    continue
                for state in note.lattice.match(pattern.node, State(begin), first=True):
                    if state.end in ends and not state.left_over:
                        return _order(note, command, state, on)
    return None


def wrapped_order(note: Note, on: date) -> tuple[Order, int, int] | None:
    """An order to undo or change with an excuse around it, and its first and last token.

    "I'm a silly old fool, so please change the round to four", "forget that last note, I had my glasses off". The
    caller must see that the rest of the note records nothing.
    """
    length = len(note.lower)
    for command in rules().commands:
        if command.do not in ("undo", "change"):
            continue
        clear = {"undo_phrase", "undo_verb"} if command.do == "undo" else {"change_verb", "should_have"}
        for pattern in command.patterns:
            for begin in range(length):
                if not pattern.first & set(note.lattice.edges[begin]) or not _opens(note, begin):
                    continue
                for state in note.lattice.match(pattern.node, State(begin), first=True):
                    told = clear & _labels(note, begin, state.end)
                    if not told or state.left_over or not _closes(note, state.end):
                        continue
                    outside = [*range(begin), *range(state.end, length)]
                    if not any({"N", "P", "R"} & set(note.lattice.edges[at]) for at in outside):
                        return _order(note, command, state, on), begin, state.end
    return None


def _opens(note: Note, at: int) -> bool:
    """Whether a clause may begin here, politeness aside."""
    if note.lower[at - 1 : at] in (["so"], ["please"], ["kindly"]):
        return True
    while at not in note.lattice.starts and (at - 1 in note.soft or note.lower[at - 1] in COURTESY):
        at -= 1
    return at in note.lattice.starts


def _closes(note: Note, at: int) -> bool:
    """Whether a clause may end here, politeness aside; without stops an excuse begins with one of a few words."""
    while at not in note.lattice.ends and note.lower[at] in COURTESY:
        at += 1
    return at in note.lattice.ends or note.lower[at] in EXCUSE


def _order(note: Note, command: Command, state: State, on: date) -> Order:
    captures: dict[str, Any] = {}
    for name, value, left, right in state.captures:
        captures[name] = value
        captures[name + "~"] = note.text(left, right)
    sets = {k: _value(v) for k, v in (resolve(command.sets, captures) or {}).items()}
    day = captures.get("day")
    if day is not None:
        sets["on"] = day.past or on
    return Order(do=command.do, **sets)


def _value(value: Any) -> Any:
    if isinstance(value, PlaceSpan):
        return value.places[0] if value.places else None
    return value


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


def _labels(note: Note, start: int, end: int) -> set[str]:
    edges = note.lattice.edges
    return {label for at in range(start, end) for label, found in edges[at].items() if any(e <= end for e, _ in found)}


def question(note: Note, start: int, end: int, on: date) -> tuple[Question, int] | None:
    """The question that a sentence asks and its first token, or None.

    What was said before the question word belongs to the question unless the trade was talked of there.
    """
    talk = rules()
    for ask in talk.asks:
        if any(_covers(note, pattern, start, end) for pattern in ask.whole):
            return _asked(note, ask, start, start, end, on)
    begin = _sounds(note, start, end)
    if begin is None:
        return None
    stop = coverage.aside(note, begin, end, talk.asking)
    labels = _labels(note, begin, stop)
    # what was said before the question word belongs to it: "round three, when is it ripe"
    labels |= {label for label in _labels(note, start, begin) if label != "W" and not label.startswith("=")}
    if note.lower[end - 1] == "?":
        labels |= {"asks"}
    where = queries.place(note, begin, stop)
    if where is not None:
        labels |= {"P", "YP"} if where.startswith("yard ") else {"P"}
        labels -= {"W"}
    elif queries.place(note, start, stop) is None:
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
    for score, ask in scored:
        asked, opens = _asked(note, ask, start, begin, end, on)
        left = _left_over(note, ask, asked, begin, stop)
        if not left:
            return asked, opens
        if first is None:
            first = Question.model_validate({**asked.model_dump(exclude_none=True), "unsure": left}), opens
        if score < scored[0][0] - _RIVALS:
            break
    return first


def _left_over(note: Note, ask: Ask, asked: Question, start: int, end: int) -> list[str]:
    """The words that a reading does not account for."""
    talk = rules()
    extra = asked.model_extra or {}
    if extra.get("loose") and asked.since is None and asked.until is None:
        return ["?"]
    if ask.ask == "list" and set(asked.model_dump(exclude_none=True)) <= {"ask", "what"}:
        return ["?"]  # it names nothing that tells the ones asked for
    labels = set().union(*ask.need, talk.own.get(ask.ask, frozenset()))
    for table in (talk.extras.get("all", {}), talk.extras.get(ask.ask, {})):
        for slot, labelled in table.items():
            if slot != "by" or ask.ask in _WITH_TOOLS:
                labels |= set(labelled)
    if asked.tool is None and extra.get("by") != "tool":
        labels = labels - _TOOL_LABELS
    spoken_for = {at for left, right, _ in note.rounds for at in range(left, right)}
    if extra.get("rounds"):
        spoken_for.update(at for n in note.numbers.values() for at in range(n.start, n.end))
    for place in note.places:
        if not queries.is_asking(note, place) and (ask.ask not in _PLACELESS or place.sort == "yard"):
            spoken_for.update(range(place.start, place.end))
    if asked.place is not None and (ask.ask not in _PLACELESS or asked.place.startswith("yard ")):
        name = asked.place.split(" ", 1)[-1].lower()
        spoken_for.update(at for at in range(start, end) if note.lower[at] == name)
    if asked.since or asked.until or extra.get("days") or extra.get("compare"):
        spoken_for.update(at for span in note.dates for at in range(span.start, span.end))
    days = extra.get("days") if asked.until or ask.ask in _WITH_DAYS else None
    if asked.since or asked.until or days or "season" in extra:
        timed = coverage.TIME_WORDS | queries.SINCE | queries.UNTIL | set(queries.MONTHS)
        if asked.since and asked.until:
            timed = timed | {"between"}
        elif asked.since:
            timed = timed | {"start", "beginning"}
        spoken_for.update(at for at in range(start, end) if note.lower[at] in timed)
    if days or asked.since or "N" in labels or extra.get("by") in ("mother", "builder") or extra.get("rank"):
        spoken_for.update(at for n in note.numbers.values() for at in range(n.start, n.end))
    if ask.ask in _WITH_TOOLS and (asked.tool is not None or extra.get("by") == "tool"):
        spoken_for |= _tool_tokens(note, start, end)
    return coverage.unaccounted(note, start, end, labels, talk.small, spoken_for)


def _covers(note: Note, pattern: Pattern, start: int, end: int) -> bool:
    """Whether a pattern takes a whole sentence, fillers and the stop aside."""
    while start < end and start in note.filler:
        start += 1
    while end > start and (note.lower[end - 1] in (*STOPS, ",") or end - 1 in note.soft):
        end -= 1
    if start >= end or not pattern.first & set(note.lattice.edges[start]):
        return False
    return any(
        s.end == end and not s.lost and not s.passed for s in note.lattice.match(pattern.node, State(start), first=True)
    )


def _asked(note: Note, ask: Ask, start: int, begin: int, end: int, on: date) -> tuple[Question, int]:
    """The question with its slots, and where it starts."""
    talk = rules()
    fields: dict[str, Any] = {}
    for left, right, number in note.rounds:
        if start <= left and right <= end:
            fields["round"] = number
    numbers = list(dict.fromkeys(_rounds(note, start, end)))
    if len(numbers) > 1:
        fields["rounds"] = numbers
    where = queries.place(note, start, end)
    if where is not None:
        fields["place"] = where
    # "which hives, I mean nucs": what was put right last is meant
    right_of = max((c.end for c in note.cues if c.scope == "correction" and start < c.start < end), default=start)
    for name, table in {**talk.extras.get("all", {}), **talk.extras.get(ask.ask, {})}.items():
        value = queries.about(note, right_of, end, table)
        if value is None and right_of > start:
            value = queries.about(note, start, end, table)
        if value is not None:
            fields[name] = value
    if ask.ask in ("growth", "plan") and (year := _season_of_year(note, start, end)):
        fields["season_said"] = year
    tool = _tool(note, start, end)
    if tool and fields.get("by") != "tool":
        fields["tool"] = tool
    if (wanted := queries.wanted(note, start, end)) is not None and ask.ask in _COUNTED:
        fields[_COUNTED[ask.ask]] = wanted
    quiet = fields.get("state") == "not looked at"
    days = queries.days(note, start, end, dated=quiet)
    ahead = ask.ahead or fields.get("state") == "to look at"
    span = {} if quiet and days else queries.period(note, start, end, on, ahead)
    if days is not None and not span:
        fields["days"] = days
    fields.update(span)
    fields.update(ask.sets)
    if fields.get("compare") or fields.get("days"):
        fields.pop("since", None)
        fields.pop("until", None)
    if fields.get("days") and fields.get("state") == "not looked at":
        fields["until"] = on - timedelta(days=fields["days"])
    told = any(at in note.trade for at in range(start, begin))
    return Question(ask=ask.ask, **fields), begin if told else start


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


def follow_up(note: Note, on: date) -> Question | None:
    """The slots of a few words that only make sense after a question ("and tomorrow?"), as `same`; None without any."""
    talk = rules()
    end = len(note.lower)
    fields: dict[str, Any] = {"round": note.rounds[-1][2]} if note.rounds else {}
    if (where := queries.place(note, 0, end)) is not None:
        fields["place"] = where
    for name, table in {**talk.extras.get("all", {}), **talk.extras.get("same", {})}.items():
        if (value := queries.about(note, 0, end, table)) is not None:
            fields[name] = value
    if (tool := _tool(note, 0, end)) and fields.get("by") != "tool":
        fields["tool"] = tool
    fields.update(queries.period(note, 0, end, on, ahead=False) or queries.period(note, 0, end, on, ahead=True))
    return Question(ask="same", **fields) if fields else None


def _season_of_year(note: Note, start: int, end: int) -> str | None:
    """The words that name a season of the year: "next spring"."""
    found = [
        (stop - at, note.text(at, stop).lower())
        for at in range(start, end)
        for stop, _ in note.lattice.edges[at].get("year_seasons", ())
        if stop <= end
    ]
    return max(found)[1] if found else None


def _rounds(note: Note, start: int, end: int) -> list[int]:
    """All rounds named: "rounds two and three" are two."""
    found: list[int] = []
    for left, right, number in sorted(note.rounds, key=lambda r: r[0]):
        if not (start <= left and right <= end):
            continue
        found.append(number)
        at = right
        while at + 1 < end and note.lower[at] in _AND_ROUND and at + 1 in note.numbers and note.lower[left] == "rounds":
            found.append(int(note.numbers[at + 1].value))
            at = note.numbers[at + 1].end
    return found


def _tool_tokens(note: Note, start: int, end: int) -> set[int]:
    found: set[int] = set()
    for pattern in rules().tool:
        for at in range(start, end):
            if pattern.first & set(note.lattice.edges[at]):
                for state in note.lattice.match(pattern.node, State(at), first=True):
                    found.update(range(at, min(state.end, end)))
    return found


def _tool(note: Note, start: int, end: int) -> str | None:
    for pattern in rules().tool:
        for at in range(start, end):
            if not pattern.first & set(note.lattice.edges[at]):
                continue
            for state in note.lattice.match(pattern.node, State(at), first=True):
                for name, _held, left, right in state.captures:
                    if name == "tool" and right <= end:
                        return tool_name(note.text(left, right))
    return None
