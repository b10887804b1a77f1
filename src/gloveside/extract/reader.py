"""The reader: one note in, its reading out. Rules, lexicon and pipeline are loaded once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Any

from pydantic import TypeAdapter

from gloveside.extract import (
    accounts,
    alternatives,
    commands,
    corrections,
    each_buyer,
    figures_alone,
    gaps,
    in_a_row,
    leftovers,
    likewise,
    named_again,
    named_wrong,
    only_order,
    plain_words,
    planned,
    put_right,
    restarts,
    said_shorter,
    said_twice,
    second_guess,
    split_each,
    stretches,
    swapped,
    taken_back,
    talk,
    talk_rules,
    walk,
    wrong_half,
)
from gloveside.extract import asked as asking
from gloveside.extract.annotate import annotate, pipeline
from gloveside.extract.assemble import drafts
from gloveside.extract.bare_places import bare_places
from gloveside.extract.chatter import is_talk
from gloveside.extract.context import assign, topics
from gloveside.extract.doubts import entry_doubts
from gloveside.extract.draft import Draft
from gloveside.extract.evidence import Evidence, gather
from gloveside.extract.frames import Match, understand
from gloveside.extract.models import Doubt, Entry, Order, Question, Reading
from gloveside.extract.note import Cue, Note
from gloveside.extract.places import PlaceSpan
from gloveside.extract.register import Register
from gloveside.extract.rules import kinds
from gloveside.extract.sounding import numbers_in, tells, to_oneself, turned_round
from gloveside.extract.tokens import MAX_CHARACTERS, foreign_share, tidy

MOST_CORRECTIONS = 24
LONGEST_ORDER = 40
NO_REGISTER = Register()
NO_WORDS = "There are no words in this note. Say or type it again."
NOT_ENGLISH = "I read English only. Say or type this note again in English; what came in is kept."
NOT_READ = "I made nothing of that. Keep it as a note?"
UNCLEAR = "I could not tell what to put right, so nothing was changed. Keep it as a new note?"
VISIT = timedelta(minutes=30)
_ENTRY: TypeAdapter[Any] = TypeAdapter(Entry)


@dataclass(frozen=True, slots=True)
class Parse:
    """How a text reads.

    unclaimed: words that no rule claimed; score: 0..1, how well it parsed (for rival texts); shaky: entries beside
    which words that say something were left over -> these words; evidence: what speaks against the reading.
    """

    text: str
    entries: list[Entry] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    orders: list[Order] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    unclaimed: list[str] = field(default_factory=list)
    score: float = 0.0
    shaky: dict[int, str] = field(default_factory=dict)
    evidence: Evidence = field(default_factory=Evidence)


def unreadable(text: str) -> Reading | None:
    """The answer to a text without words or in another script; None for one that can be read."""
    if not text.strip():
        return Reading(raw=text, heard="", keep=False, error=NO_WORDS)
    if foreign_share(text) > 0.5:
        return Reading(raw=text, heard=text.strip(), keep=False, error=NOT_ENGLISH)
    return None


# What a note puts right or leaves out is written out, one thing at a time: the first of these that finds something.
MENDS: tuple[Callable[[Note], str | None], ...] = (
    wrong_half.dropped, swapped.swapped, second_guess.joined, named_wrong.put_right, named_wrong.said_late,
    corrections.correct_once, corrections.contrast, said_twice.once, said_twice.after_hundred, in_a_row.parted,
    split_each.spread, likewise.again, figures_alone.filled, gaps.filled, each_buyer.said_for_each, named_again.filled,
    each_buyer.first_for_all, alternatives.drawn_together, said_shorter.whole,
)  # fmt: skip


class Reader:
    """Reads notes. Cheap to keep, safe to share between calls in one thread."""

    def __init__(self) -> None:
        self.kinds = kinds()
        talk_rules.rules()
        pipeline()

    def read(
        self,
        text: str,
        *,
        on: date,
        register: Register = NO_REGISTER,
        now: datetime | None = None,
    ) -> Reading:
        """The reading of one note. on: local date on which it was spoken; now: when, for "here" and "this one"."""
        refused = unreadable(text)
        if refused is not None:
            return refused
        parse = self.parse(text, on=on, register=register, now=now)
        return Reading(
            raw=text,
            heard=parse.text,
            entries=parse.entries,
            questions=parse.questions,
            orders=parse.orders,
            doubts=parse.doubts,
            keep=not parse.doubts,
        )

    def parse(
        self,
        text: str,
        *,
        on: date,
        register: Register = NO_REGISTER,
        now: datetime | None = None,
    ) -> Parse:
        """Read a text and say how well it reads; never raises for any text."""
        heard = tidy(text)[:MAX_CHARACTERS]
        note = annotate(heard, on, register)
        if not note.lower:
            return Parse(heard)
        command = only_order.order(note, on) if len(note.lower) <= LONGEST_ORDER else None
        if command is not None:
            return Parse(heard, orders=[command], score=1.0)
        undone = self._taken_back(heard, on, register, now)
        if undone is not None:
            return undone
        wrapped = commands.wrapped_order(note, on) if len(note.lower) <= LONGEST_ORDER else None
        if wrapped is not None:
            told, first, last = wrapped
            asides = self._matches(annotate(heard, on, register), set(range(first, last)))
            if not any(m.rule.role == "fact" for m in asides):
                return Parse(heard, orders=[told], score=1.0)
        unclear = False
        if len(note.lower) <= LONGEST_ORDER:
            note = annotate(heard, on, register)  # looking for an order changed its pauses
            unclear = put_right.sounds(note, on)
        fixed = plain_words.plain(corrections.half_first(heard))
        if fixed != heard:
            note = annotate(fixed, on, register)
        for plainer in (walk.named, restarts.parted, stretches.parted):
            better = plainer(note)
            if better is not None:
                fixed = better
                note = annotate(fixed, on, register)
        for _ in range(MOST_CORRECTIONS):
            better = next((mended for mend in MENDS if (mended := mend(note))), None)
            if better is None or better == fixed:
                break
            fixed = better
            note = annotate(fixed, on, register)
        questions: list[Question] = []
        claimed: set[int] = set()
        unread: set[int] = set()
        said: list[Match] | None = None
        for start, end in talk.sentences(note):
            if planned.asks_reminder(note, start, end):
                continue
            asked = asking.question(note, start, end, on, register)
            if asked is not None and note.lower[end - 1] != "?":
                said = self._matches(note, set()) if said is None else said
                if tells(note, said, asked[1], end):
                    continue
            if asked is not None:
                said = self._matches(note, set()) if said is None else said
                if to_oneself(note, said, asked[0], start, end):
                    if not any(start <= m.start < end for m in said):
                        unread.update(range(start, end))
                    continue
            if asked is not None:
                questions.append(asked[0])
                claimed.update(range(asked[1], end))
            elif talk.only_asks(note, start, end) or turned_round(note, start, end):
                unread.update(range(start, end))
        extra: tuple[PlaceSpan, ...] = ()
        matches = self._matches(note, claimed | unread)
        for _ in range(2):
            more = bare_places(note, matches, claimed | unread)
            if not more:
                break
            extra = (*extra, *more)
            note = annotate(fixed, on, register, extra)
            matches = self._matches(note, claimed | unread)
        for at in unread:
            note.blocked.pop(at, None)
        made = self._finish(note, heard, matches, claimed, questions, on, register, now)
        if (haste := asking.hasty(note, questions, [e.kind for e in made.entries], on, register)) is not None:
            return Parse(heard, questions=[haste], score=1.0)
        if fixed != heard and [e.kind for e in made.entries] == ["note"] and not questions:
            made.entries[0] = made.entries[0].model_copy(update={"text": heard})
        if unclear and made.entries and not (made.doubts or questions):
            made.doubts.append(Doubt(entry=None, field="all", said=heard, options=[], ask=UNCLEAR))
        return made

    def _taken_back(self, heard: str, on: date, register: Register, now: datetime | None) -> Parse | None:
        """The reading of a note that takes back the one before, and of what it goes on with; not of an excuse."""
        note = annotate(heard, on, register)
        start = taken_back.after(note)
        undo = Order(do="undo")
        if start is None:
            begins = taken_back.excused(note)
            if begins is None:
                return None
            excuse = self.parse(note.text(0, begins), on=on, register=register, now=now)
            bare = not (excuse.orders or excuse.questions) and all(e.kind == "note" for e in excuse.entries)
            named = any(getattr(e, "place", None) for e in excuse.entries)
            return Parse(heard, orders=[undo], score=1.0) if bare and not named else None
        if start >= len(note.lower):
            return Parse(heard, orders=[undo], score=1.0)
        rest = self.parse(note.text(start, len(note.lower)), on=on, register=register, now=now)
        if rest.orders:
            changes = [o for o in rest.orders if o.do == "change"]
            return Parse(heard, orders=changes or [undo], score=1.0)
        ahead = commands.planned(note, list(range(start, len(note.lower))))
        if ahead or rest.questions or any(e.kind != "note" for e in rest.entries):
            if ahead and all(e.kind == "note" for e in rest.entries) and rest.entries and not rest.doubts:
                rest.doubts.append(Doubt(entry=0, field="all", said=rest.text, options=[], ask=NOT_READ))
            return replace(rest, text=heard, orders=[undo])
        return Parse(heard, orders=[undo], score=1.0)

    def _matches(self, note: Note, claimed: set[int]) -> list[Match]:
        for at in claimed:
            if at not in note.blocked:
                note.blocked[at] = _QUESTION
        # rules that hold under "maybe" pass what blocks; none may take words of a question
        found = [m for m in understand(note, self.kinds) if claimed.isdisjoint(m.tokens)]
        return sorted(found, key=lambda m: m.start)

    def _finish(
        self,
        note: Note,
        heard: str,
        matches: list[Match],
        claimed: set[int],
        questions: list[Question],
        on: date,
        register: Register,
        now: datetime | None,
    ) -> Parse:
        for at in claimed:
            note.blocked.pop(at, None)
        contexts = assign(note, matches, {k.name for k in self.kinds.values() if k.sorts})
        made = drafts(note, matches, contexts, self.kinds)
        restarts.ask(note, made)
        made = [d for d in made if not is_talk(note, d, alone=len(made) == 1 and not questions)]
        used = {id(m) for d in made for m in d.matches}
        claimed = set(claimed)
        for match in matches:
            if id(match) in used:
                claimed |= match.tokens
        stretches = planned.tasks(note, claimed)
        for stretch in stretches:
            claimed.update(range(stretch.start, stretch.end))
        understood = bool(made or questions or stretches)
        silent = set(claimed)
        if understood:
            for match in matches:
                for place in match.passed:
                    silent.update(range(place.start, place.end))
            for topic in topics(note, matches):
                silent.update(range(max(0, topic.start), topic.end))
            for left, right, _ in note.rounds:
                silent.update(range(left, right))
            for span in note.dates:
                silent.update(range(span.start, span.end))
            for cue in note.cues:
                if cue.scope in ("correction", "break"):
                    silent.update(range(cue.start, cue.end))
        counts = {str(n) for d in made for n in numbers_in(d.fields)}
        # "the two in nuc 1 and nuc 2": how many there are says nothing more
        counts |= {str(sum(d.kind is o.kind for d in made)) for o in made if o.key}
        rest = leftovers.notes(note, silent, understood, counts, claimed)
        entries: list[tuple[int, Entry, Draft | None]] = []
        for draft in made:
            entries.append((draft.start, self._entry(draft, on), draft))
        for stretch in [*stretches, *rest]:
            entries.append((stretch.start, self._stretch(note, stretch, on, matches), None))
        entries.sort(key=lambda entry: entry[0])
        doubts: list[Doubt] = []
        asked: set[str] = set()
        for index, (_, _entry, known) in enumerate(entries):
            if known is not None:
                doubts.extend(entry_doubts(note, index, known, register, on, asked))
                doubts.extend(_stale_here(note, index, known, register, now))
        if len(entries) == 1 and not understood and note.places and _only_place(note):
            only = note.places[0]
            named = " or ".join([*only.places[:1], *only.rivals]) or "that place"
            ask = f"{named[:1].upper()}{named[1:]}: what about it?"
            doubts.append(Doubt(entry=0, field="text", said=note.doc.text.strip(), options=[], ask=ask))
        unclaimed = [
            note.lower[at]
            for at in range(len(note.lower))
            if at not in silent and at not in note.soft and note.lower[at][:1].isalnum()
        ]
        words = sum(w[:1].isalnum() for w in note.lower) or 1
        score = max(0.0, (1 - len(unclaimed) / words) * (0.85 ** len(doubts)))
        facts = {
            index: {at for m in known.matches for at in m.tokens}
            for index, (_, _entry, known) in enumerate(entries)
            if known is not None
        }
        shaky = accounts.shaky(note, facts, silent, counts)
        if not understood and len(entries) == 1 and accounts.unread_trade(note):
            shaky[0] = heard
        known_drafts = {index: known for index, (_, _entry, known) in enumerate(entries) if known is not None}
        plain_entries = [e for _, e, _ in entries]
        found = gather(note, known_drafts, plain_entries, questions, silent, counts, rest, understood, shaky)
        final = [
            e.model_copy(update={"sure": _sure(score, index, doubts, index in shaky)})
            for index, (_, e, _) in enumerate(entries)
        ]
        return Parse(heard, final, questions, [], doubts, unclaimed, round(score, 3), shaky, found)

    def _entry(self, draft: Draft, on: date) -> Entry:
        fields = {name: value for name, value in draft.fields.items() if value is not None}
        when = draft.on or on
        entry: Entry = _ENTRY.validate_python({"kind": draft.kind.name, **fields, "on": when})
        return entry

    def _stretch(self, note: Note, stretch: leftovers.Stretch, on: date, matches: list[Match]) -> Entry:
        place = next(
            (p.places[0] for p in note.places if stretch.start <= p.start < stretch.end and len(p.places) == 1), None
        )
        if place is None:
            before = [t for t in topics(note, matches) if t.end <= stretch.start]
            if stretch.task:
                before = [t for t in before if note.sentence[t.start] == note.sentence[stretch.start]]
            if before and len(before[-1].spans) == 1 and len(before[-1].spans[0].places) == 1:
                place = before[-1].spans[0].places[0]
        fields: dict[str, Any] = {"text": stretch.text, "on": on, "place": place}
        if stretch.task:
            number = next((n for left, _, n in note.rounds if stretch.start <= left < stretch.end), None)
            own = [n for _, right, n in note.rounds if right <= stretch.start <= right + 1]
            number = own[0] if number is None and len(own) == 1 else number
            fields |= {"kind": "task", "due": stretch.due, "round": number}
        else:
            fields["kind"] = "note"
        entry: Entry = _ENTRY.validate_python(fields)
        return entry


def _only_place(note: Note) -> bool:
    """Whether a note says a place and nothing of it."""
    named = note.of_places()
    return all(at in named or at in note.soft or not word[:1].isalnum() for at, word in enumerate(note.lower))


def _sure(score: float, index: int, doubts: list[Doubt], shaky: bool) -> float:
    own = sum(d.entry == index for d in doubts) + shaky
    return round(max(0.05, min(0.99, 0.6 + 0.39 * score) * (0.6**own)), 3)


def _stale_here(note: Note, index: int, draft: Draft, register: Register, now: datetime | None) -> list[Doubt]:
    """A doubt when "here" rests on a note older than half an hour, or on none."""
    for span in draft.places:
        if not span.deictic:
            continue
        said = note.text(span.start, span.end)
        if not span.places:
            continue
        old = now is None or register.last_place_at is None or now - register.last_place_at > VISIT
        if old:
            place = span.places[0]
            return [Doubt(entry=index, field="place", said=said, options=[place], ask=f"Still {place}?")]
    return []


_QUESTION = Cue(0, 0, "question", "question")
