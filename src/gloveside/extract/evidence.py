"""What speaks against a reading: words that no rule accounts for, by what they say, and how firmly each entry stands.

A rule that fits says little about phrasing that nobody thought of; what the rules leave over says more. Nothing here
knows a kind of entry by its words: only classes of words, where they stand, and how near another reading came.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from gloveside.extract import talk
from gloveside.extract.draft import Draft
from gloveside.extract.left_words import HEAVY, POINTING, SORTS, pieces_of, sort_of
from gloveside.extract.leftovers import Stretch
from gloveside.extract.models import Entry, Question
from gloveside.extract.note import Note
from gloveside.extract.scopes import IMPERATIVES

# Between two values of one sort such a word puts the first right; before one value it may.
SECOND_THOUGHTS = frozenset(
    ["no", "not", "sorry", "wait", "er", "um", "uh", "erm", "rather", "mean", "meant", "actually"]
)
HESITATING = frozenset(["er", "um", "uh", "erm"])
PERHAPS = frozenset(
    ["may", "might", "could", "maybe", "perhaps", "possibly", "either", "call", "unless", "think", "guess"]
)
TURNED = ("am i saying", "back to front", "other way about", "other way round", "other way around", "vice versa")
# Between a word of doubt and its value.
BETWEEN = frozenset([",", ".", "the", "it", "was", "be", "that's", "on"])
# Verbs of what was done: a task that has one was none.
TOLD = frozenset(
    ["took", "gave", "fed", "saw", "found", "made", "did", "was", "were", "had", "sold", "caught", "died", "went"]
)
# How a note that was not understood may begin when it gives an order after all, and of what an order speaks.
ORDERING = frozenset(
    (
        "change", "make", "delete", "undo", "forget", "cancel", "wrong", "fix", "scrap", "remove", "scratch", "swap",
        "set", "no", "nope", "not", "put", "take", "leave", "drop", "that's", "that", "yes", "yep", "yeah", "done",
        "later",
    )
)  # fmt: skip
ORDERED = frozenset(
    ["that", "that's", "it", "last", "instead", "wrong", "said", "say", "entry", "note", "record", "place", "one"]
)
REMINDING = frozenset(["remind", "reminder", "reminding", "remember", "nudge", "forget"])
OF_NOTE = (
    *(f"in_{sort}" for sort in SORTS), *(f"out_{sort}" for sort in SORTS), "lost_place", "noted_place", "noted",
    "unread_piece", "questions", "unsure", "both", "bare", "bare_place", "bare_trade", "bare_number", "bare_asks",
    "bare_order", "bare_remind", "bare_value", "bare_count", "bare_short", "plan_number", "plan_trade", "plan_negation",
    "mute_number", "not_put_right", "pointed", "tried_right", "second_value", "perhaps", "turned",
    "entries", "words", "more_words", "loose", "shaky",
)  # fmt: skip
OF_LOOSE = (
    *(f"in_{sort}" for sort in SORTS), *(f"out_{sort}" for sort in SORTS), "lost_place", "noted_place", "noted",
    "unread_piece", "both", "plan_number", "plan_trade", "plan_negation", "mute_number", "not_put_right",
    "second_value", "perhaps", "turned", "shaky",
)  # fmt: skip
OF_ENTRY = (
    *(f"own_{sort}" for sort in SORTS), "carried", "placeless", "plain", "thin", "twin", "bystander", "lost", "passed",
    "near", "worded", "task", "task_head", "task_long", "task_number", "task_past", "vague",
    "bare_entry", "turned_fact",
)  # fmt: skip
FREE = frozenset(
    [("task", "text"), ("weather", "words"), ("loss", "cause"), ("sale", "to"), ("graft", "tool"), ("disease", "signs")]
)
# By how much a rival reading of the same words must be worse to be no rival.
FAR = 2.0
# Shaky signs only where something was left over: a short note that reads fully is right whatever its entry rests on.
ONLY_LOOSE = ("thin", "plain", "carried", "bystander", "vague")
# Tokens of a short note.
SHORT = 8
# What one more word of a sort leaves of the doubt-free rest: the first says the most.
ONE_MORE = 0.3


@dataclass(slots=True)
class Evidence:
    """What speaks against a reading: features of 0..1, the higher the more.

    note: of the whole reading, by name; entries: of each entry; quote: words that were left over, or None; apart:
    whether they are a piece of the note by itself, beside what was understood.
    """

    note: dict[str, float] = field(default_factory=dict)
    entries: list[dict[str, float]] = field(default_factory=list)
    quote: str | None = None
    apart: bool = False

    def add(self, other: Evidence) -> None:
        """Take in the evidence of the next part of the same note."""
        names = {*self.note, *other.note}
        self.note = {name: max(self.note.get(name, 0.0), other.note.get(name, 0.0)) for name in names}
        self.entries.extend(other.entries)
        if self.quote is None:
            self.quote, self.apart = other.quote, other.apart


def _much(count: float) -> float:
    return float(1.0 - ONE_MORE**count)


def gather(
    note: Note,
    drafts: Mapping[int, Draft],
    entries: Sequence[Entry],
    questions: Sequence[Question],
    accounted: set[int],
    said_again: set[str],
    rest: Sequence[Stretch],
    understood: bool,
    shaky: Mapping[int, str],
) -> Evidence:
    """The evidence of one reading.

    drafts: entry -> its draft; accounted: tokens that anything claims; said_again: numbers of the entries; rest: what
    became notes; understood: whether anything but a note came out; shaky: see `accounts`.
    """
    found = Evidence()
    pieces = pieces_of(note)
    named = note.of_places() | note.of_rounds() | note.of_dates()
    again = {at for n in note.numbers.values() if str(n.value) in said_again for at in range(n.start, n.end)}
    inside = {at for n in note.numbers.values() for at in range(n.start + 1, n.end)}
    left: dict[int, str] = {}
    planned: dict[str, int] = {}
    for at in range(len(note.lower)):
        if at in accounted or at in named or at in again or at in inside:
            continue
        sort = sort_of(note, at)
        if sort is not None and at in note.blocked:
            planned[sort] = planned.get(sort, 0) + 1
        elif sort is not None:
            left[at] = sort
    facts = {index: {at for m in d.matches for at in m.tokens} for index, d in drafts.items()}
    held = {pieces[at] for own in facts.values() for at in own}
    values = dict.fromkeys(OF_NOTE, 0.0)
    if understood:
        _left_over(left, pieces, held, values)
        _places(note, drafts, entries, questions, rest, values)
        for sort in ("number", "trade", "negation"):
            values[f"plan_{sort}"] = _much(planned.get(sort, 0))
        values["mute_number"] = _much(_mute(note, entries, questions, said_again, named, set(left)))
        unread = {pieces[at] for at, sort in left.items() if sort in HEAVY} - held
        values["unread_piece"] = _much(len(unread))
        telling = [at for at, sort in left.items() if sort != "common"] or list(left)
        if telling:
            found.quote, piece = _quote(note, telling, left, pieces)
            found.apart = piece not in held
    else:
        _bare(note, values)
    values["shaky"] = float(bool(shaky))
    fixes = {c.start for c in note.cues if c.scope == "correction" and c.concept not in ("fix_weak", "restart")}
    values["not_put_right"] = _much(len(fixes))
    values["tried_right"] = _much(sum(w in ("no", "sorry", "wait") for w in note.lower))
    values["pointed"] = _much(sum(w in POINTING for w in note.lower))
    values["second_value"], values["perhaps"] = _second_thoughts(note)
    said = f" {' '.join(note.lower)} "
    values["turned"] = float(any(f" {words} " in said for words in TURNED))
    values["questions"] = float(bool(questions))
    values["unsure"] = float(any((q.model_extra or {}).get("unsure") for q in questions))
    values["both"] = float(bool(questions) and bool(drafts))
    values["entries"] = min(1.0, len(drafts) / 8)
    values["words"] = min(1.0, len(note.lower) / 100)
    values["more_words"] = float(len(note.lower) > SHORT)
    values["loose"] = float(any(values[name] for name in OF_LOOSE))
    found.note = values
    found.entries = [_of_entry(note, i, e, drafts, facts, left, pieces, values) for i, e in enumerate(entries)]
    for row in found.entries:
        row.update({name: row[name] * values["loose"] for name in ONLY_LOOSE})
    return found


def _quote(note: Note, telling: Sequence[int], left: Mapping[int, str], pieces: Sequence[int]) -> tuple[str, int]:
    """The piece of the note in which most was left over, from its first to its last word that says something."""
    weights = {"common": 0.2, "uncommon": 0.7}
    much: dict[int, float] = {}
    for at in telling:
        much[pieces[at]] = much.get(pieces[at], 0.0) + weights.get(left[at], 1.0)
    piece = max(much, key=lambda p: much[p])
    within = [k for k in telling if pieces[k] == piece]
    start, end = within[0], within[-1] + 1
    for place in note.places:
        if pieces[place.start] == piece and place.end <= start and start - place.end <= 3:
            start = place.start
        if pieces[place.start] == piece and place.start >= end and place.start - end <= 4:
            end = place.end
    return note.text(start, end), piece


def _left_over(left: Mapping[int, str], pieces: Sequence[int], held: set[int], values: dict[str, float]) -> None:
    counts: dict[str, int] = {}
    for at, sort in left.items():
        name = f"{'in' if pieces[at] in held else 'out'}_{sort}"
        counts[name] = counts.get(name, 0) + 1
    for name, count in counts.items():
        values[name] = _much(count)


def _strings(value: Any) -> list[str]:
    if isinstance(value, dict):
        return [s for v in value.values() for s in _strings(v)]
    if isinstance(value, list):
        return [s for v in value for s in _strings(v)]
    return [value] if isinstance(value, str) else []


def _second_thoughts(note: Note) -> tuple[float, float]:
    """How many values still stand after a word of second thoughts, and how many after one of doubt.

    What was put right is gone from the text that is read; what still stands there was not understood as put right.
    """
    ends: dict[int, str] = {}
    starts: dict[int, str] = {}
    spans = [(p.start, p.end, "place") for p in note.places if not p.deictic]
    spans += [(d.start, d.end, "day") for d in note.dates]
    spans += [(n.start, n.end, "number") for n in note.numbers.values() if not n.ordinal]
    for start, end, sort in sorted(spans, key=lambda s: s[1] - s[0]):
        starts[start], ends[end] = sort, sort
    second = perhaps = 0
    for at, sort in starts.items():
        before = [w for w in note.lower[max(0, at - 4) : at] if w not in BETWEEN]
        if before and before[-1] in SECOND_THOUGHTS:
            back = range(max(0, at - 6), at)
            second += any(ends.get(k) == sort for k in back) or before[-1] not in HESITATING
        perhaps += not PERHAPS.isdisjoint(before[-2:])
    return _much(second), _much(perhaps)


def _mute(
    note: Note,
    entries: Sequence[Entry],
    questions: Sequence[Question],
    said_again: set[str],
    named: set[int],
    left: set[int],
) -> int:
    """How many numbers some rule took and no entry holds."""
    texts = " ".join(s for e in entries for s in _strings(e.model_dump(by_alias=True, mode="json"))).lower().split()
    texts += " ".join(s for q in questions for s in _strings(q.model_dump(by_alias=True, mode="json"))).lower().split()
    mute = 0
    for at, span in note.numbers.items():
        if at in named or at in left or span.ordinal or str(span.value) in said_again or at in note.blocked:
            continue
        words = note.lower[at : span.end]
        if words in (["one"], ["a"], ["an"]) or str(span.value) in texts or " ".join(words) in " ".join(texts):
            continue
        mute += 1
    return mute


def _places(
    note: Note,
    drafts: Mapping[int, Draft],
    entries: Sequence[Entry],
    questions: Sequence[Question],
    rest: Sequence[Stretch],
    values: dict[str, float],
) -> None:
    """Places of which nothing, or only a note, was written down."""
    in_notes = {at for s in rest for at in range(s.start, s.end)}
    known = {s for e in entries if e.kind != "note" for s in _strings(e.model_dump(by_alias=True))}
    known |= {s for q in questions for s in _strings(q.model_dump(by_alias=True))}
    planned = " ".join(e.text.lower() for e in entries if e.kind == "task")
    # "sold nuc 2 to Tony": a sale holds no place
    placeless = {at for d in drafts.values() if d.kind.place is None for m in d.matches for at in range(m.start, m.end)}
    lost = noted = 0
    for span in note.places:
        if span.deictic or span.sort not in ("hive", "nuc") or not span.places or span.start in note.blocked:
            continue
        if span.start in placeless:
            continue
        if any(p in known for p in span.places) or note.text(span.start, span.end).lower() in planned:
            continue
        if span.start in in_notes:
            noted += 1
        else:
            lost += 1
    values["lost_place"], values["noted_place"] = _much(lost), _much(noted)
    values["noted"] = _much(len(rest))


def _bare(note: Note, values: dict[str, float]) -> None:
    """A note of which nothing was understood: what in it looks as if something should have been."""
    words = [w for at, w in enumerate(note.lower) if w[:1].isalnum() and at not in note.filler]
    named = note.of_places() | note.of_rounds()
    # one word of the trade alone ("the queen of our house") is any talk
    trade = max(0, len(note.trade - named) - 1)
    known = sum(at not in note.light and at not in note.trade and at not in named for at in note.content)
    numbers = any(not n.ordinal and at not in named for at, n in note.numbers.items())
    values["bare"] = 1.0
    values["bare_place"] = float(bool(named))
    values["bare_trade"], values["bare_value"] = _much(trade), _much(known)
    values["bare_number"] = float(numbers)
    values["bare_count"] = float(numbers and bool(trade or known))
    values["bare_asks"] = float(talk.sounds_asked(note) or note.lower[-1] == "?")
    values["bare_order"] = float(
        len(words) <= 12 and not ORDERING.isdisjoint(words[:1]) and not ORDERED.isdisjoint(words[1:])
    )
    values["bare_remind"] = float(not REMINDING.isdisjoint(words))
    values["bare_short"] = float(len(words) <= 8)


def _touches(at: int, own: set[int], note: Note) -> bool:
    """Whether a negation stands inside a fact or right before it, soft words aside."""
    if min(own) < at < max(own):
        return note.sentence[at] == note.sentence[min(own)]
    step = at + 1
    while step < len(note.lower) and step in note.soft and step not in own:
        step += 1
    return step in own


def _twins(one: Draft, other: Draft) -> bool:
    """Whether two entries of one kind speak of the same place or round, where one entry was to be expected."""
    if one.kind is not other.kind or one.kind.place == "places" or one.key != other.key:
        return False
    return bool(one.key) or (one.kind.place is not None and one.fields.get("round") == other.fields.get("round"))


def _of_entry(
    note: Note,
    index: int,
    entry: Entry,
    drafts: Mapping[int, Draft],
    facts: Mapping[int, set[int]],
    left: Mapping[int, str],
    pieces: Sequence[int],
    whole: Mapping[str, float],
) -> dict[str, float]:
    values = dict.fromkeys(OF_ENTRY, 0.0)
    fields = entry.model_dump(by_alias=True, exclude_none=True)
    values["worded"] = float(any(entry.kind == kind and name in fields for kind, name in FREE))
    values["bare_entry"] = float(entry.kind == "note" and whole["bare"] > 0)
    if entry.kind == "task":
        words = entry.text.lower().split()
        values["task"] = 1.0
        values["task_head"] = float(not words or words[0].strip(",") not in IMPERATIVES)
        values["task_long"] = float(len(words) > 7 or "," in entry.text)
        said = entry.text.lower()
        named = {note.text(p.start, p.end).lower() for p in note.places}
        named |= {note.text(left, right).lower() for left, right, _ in note.rounds}
        for name in named:
            said = said.replace(name, " ")
        values["task_number"] = float(any(w.strip(",").isdigit() for w in said.split()))
        values["task_past"] = float(any(w in TOLD for w in words))
    draft = drafts.get(index)
    if draft is None:
        return values
    own = facts[index]
    where = {pieces[at] for at in own}
    for at, sort in left.items():
        if pieces[at] in where:
            values[f"own_{sort}"] = 1.0 - ONE_MORE * (1.0 - values[f"own_{sort}"])
    values["turned_fact"] = float(any(left.get(at) == "negation" and _touches(at, own, note) for at in left))
    first = min(own, default=draft.start)
    if draft.places:
        apart = min(abs(pieces[p.start] - pieces[at]) for p in draft.places for at in (first, max(own, default=first)))
        values["carried"] = min(1.0, apart / 3)
    values["placeless"] = float(bool(draft.kind.place) and draft.kind.place not in draft.fields)
    values["plain"] = float(not own & note.trade)
    values["thin"] = float(sum(at not in note.soft and note.lower[at][:1].isalnum() for at in own) <= 1)
    others = [d for i, d in drafts.items() if i != index]
    values["twin"] = float(any(_twins(draft, other) for other in others))
    small = set(draft.fields) <= {"place", "strength", "temper", "signs"}
    beside = {note.sentence[at] for at in own}
    values["bystander"] = float(
        draft.kind.name == "inspection"
        and small
        and any(note.sentence[m.start] in beside for d in others for m in d.matches)
    )
    values["lost"] = _much(sum(len(m.lost) for m in draft.matches))
    values["passed"] = _much(sum(len(m.passed) for m in draft.matches))
    values["near"] = max((1.0 - min(m.lead, FAR) / FAR for m in draft.matches), default=0.0)
    values["vague"] = float(len(set(draft.fields) - {"place", "places", "round", "from", "into"}) <= 1)
    return values
