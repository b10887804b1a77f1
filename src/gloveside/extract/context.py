"""What is in force for each fact of a note: its places, its date and its round."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from gloveside.extract import day_heading, day_reach, day_spill, references, round_reach, since_when, turns
from gloveside.extract.frames import Match
from gloveside.extract.note import PREPOSITIONS, Note
from gloveside.extract.places import PlaceSpan

# Kinds that count cells, whose place another fact of the sentence may own.
COUNTING = frozenset(["cells", "plant"])


@dataclass(slots=True)
class Context:
    """What holds for one match.

    places: spans in force, several when said together; on: a past day, if one was said; on_unsure: whether that day
    was said of another hive, and this may be of today; turn: where a turn of a place
    opened that is not named, if one is on.
    """

    places: tuple[PlaceSpan, ...] = ()
    on: date | None = None
    on_unsure: bool = False
    future: bool = False
    round: int | None = None
    round_span: tuple[int, int] | None = None
    turn: int | None = None


@dataclass(slots=True)
class Topic:
    """Places said together outside any rule: "hives three and four", "hive 3 and nuc 4"."""

    start: int
    end: int
    spans: list[PlaceSpan] = field(default_factory=list)


def topics(note: Note, matches: list[Match]) -> list[Topic]:
    """Place mentions that no match consumed, joined where only "and" or a comma stands between two."""
    used = {at for m in matches for p in m.places for at in range(p.start, p.end)}
    inside = {at for m in matches for at in range(m.start, m.end)}
    out: list[Topic] = []
    for place in note.places:
        if place.start in used or place.start in inside or note.lower[place.start] in ("it", "there"):
            continue
        if out and place.start < out[-1].end:
            continue
        if place.sort == "builder" and any(p.sort in ("hive", "nuc") for p in note.places):
            continue
        if place.deictic and (out or not place.places):
            # "this one" is the place in force; without one, the last note's
            continue
        if out and not set(place.places) < {p for s in out[-1].spans for p in s.places}:
            between = note.lower[out[-1].end : place.start]
            apart = references.next_clause(note, out[-1].spans[-1], place)
            joined = (
                between and not apart and all(w in ("and", ",", "&", "both", "also", "plus", "the") for w in between)
            )
            listed = between == [","] and place.sort != "yard" and not _subject(note, place)
            rest = note.lower[place.start] in ("the", "all", "everything", "every")  # "in 3, the rest laying"
            if rest:
                joined = listed = False
            if (joined and "and" in between) or listed:
                out[-1].spans.append(place)
                out[-1].end = place.end
                continue
        out.append(Topic(place.start, place.end, [place]))
    return out


# Words that may stand between a fact and the place that it runs up to.
RUNNING = PREPOSITIONS | {"and", ",", "the", "a", "an", "my", "our", "old", "both", "out", "more", "each", "up", "down"}
# After a place these say something of it alone: "1 from hive 41, hive 43 can keep what it has".
SUBJECT_VERBS = frozenset(
    "can is was has had got isn't hasn't hadn't didn't looks looked gave needs 's i i'm will won't could just".split()  # noqa: SIM905
)


def _subject(note: Note, place: PlaceSpan) -> bool:
    """Whether a place begins a clause of its own."""
    return note.lower[place.end : place.end + 1] != [] and note.lower[place.end] in SUBJECT_VERBS


def _preposition(note: Note, start: int) -> bool:
    at = start - 1
    while at >= 0 and note.lower[at] in ("the", "my", "our", "both", "all"):
        at -= 1
    return at >= 0 and note.lower[at] in PREPOSITIONS


def _adjacent_anchor(note: Note, matches: list[Match], start: int) -> bool:
    at = start - 1
    while at >= 0 and at in note.soft:
        at -= 1
    return any(m.end == at + 1 and (m.rule.role == "anchor" or _verb(note, m)) for m in matches)


def _verb(note: Note, match: Match) -> bool:
    """Whether a fact is a bare verb, whose place follows it: "fed hive 6 a litre"."""
    if match.end - match.start > 2 or match.places or match.passed:
        return False
    labels = note.lattice.edges[match.end - 1]
    return any(label.endswith("_verb") or label in ("fed_plain", "requeen", "supered") for label in labels)


def assign(note: Note, matches: list[Match], listing: set[str]) -> dict[int, Context]:
    """The context of each match, by its index in `matches` (ordered by start).

    listing: kinds that take further places of another sort ("hive 41, three splits, nucs 10 to 12").
    """
    contexts = {index: Context() for index in range(len(matches))}
    _assign_places(note, matches, contexts, listing)
    _assign_dates(note, matches, contexts)
    _assign_rounds(note, matches, contexts)
    return contexts


def _named_places(match: Match) -> tuple[PlaceSpan, ...]:
    """The place that a fact is about by a field of its own, which holds for what follows too."""
    starts = {match.spans[name][0] for name in ("places",) if name in match.spans}
    return tuple(p for p in match.places if p.start in starts and p.sort != "yard")[:1]


def _assign_places(note: Note, matches: list[Match], contexts: dict[int, Context], listing: set[str]) -> None:
    said = [t for t in topics(note, matches) if t.spans[0].sort != "yard" or len(note.places) == 1]
    events: list[tuple[int, Topic | int | bool]] = [(t.start, t) for t in said]
    events += turns.openers(note)
    events += [(m.start, index) for index, m in enumerate(matches)]
    events.sort(key=lambda e: e[0])
    force: tuple[PlaceSpan, ...] = ()
    left: tuple[PlaceSpan, ...] = ()  # the colony that is left of two united
    since: list[int] = []  # matches since the last topic
    turn: int | None = None
    told = -1  # where the last topic ended
    for position, (start, event) in enumerate(events):
        if isinstance(event, bool):
            if (since or (event and _words(note, told, start))) and force and not any(s.deictic for s in force):
                force, since, turn = (), [], start
            continue
        if isinstance(event, int):
            contexts[event].places = left if left and matches[event].rule.kind != "unite" else force
            contexts[event].turn = turn
            if matches[event].passed and matches[event].rule.kind != "no_record":
                force = matches[event].passed
                contexts[event].places = force
                for i in since:
                    here = note.sentence[start]
                    carried = all(note.sentence[p.start] != here for p in contexts[i].places)
                    if carried and note.sentence[matches[i].start] == here:
                        contexts[i].places = force
                if matches[event].rule.role == "fact":
                    since = []
            since.append(event)
            own = [p for p in matches[event].places if p.sort != "yard"]
            # "hive 21 to hive 7, 2 bars": the place of the fact, not the colony that it came from
            own = [p for p in own if p.start == matches[event].spans.get("place", (p.start,))[0]] or own
            if own and matches[event].rule.kind in listing and matches[event].sets.get("from") is not None:
                force = tuple(own[-1:]) if own[-1].sort == "hive" else force
            named = _named_places(matches[event])
            joined = matches[event].sets.get("into") if matches[event].rule.kind == "unite" else None
            if isinstance(joined, PlaceSpan) and joined.start >= start:
                left = (joined,)  # "united nuc 12 into hive 38 and gave them a litre"
                continue
            if own and matches[event].sets.get("place") is not None:
                force = tuple(own[:1])
            elif named:
                force = named
            continue
        spans, left = tuple(event.spans), ()
        if turn is not None and turns.names_back(note, start):
            # "next one along, 4 frames of brood, that's hive 8"
            for i in (i for i, c in contexts.items() if c.turn == turn and not c.places):
                contexts[i].places = spans
        turn, told = None, event.end
        sentence = note.sentence[start]
        back = [i for i in since if note.sentence[matches[i].start] == sentence]
        _planted_later(matches, contexts, back, spans)
        follower = next((e for e in events[position + 1 :]), None)
        followed = follower is not None and isinstance(follower[1], int) and note.sentence[follower[0]] == sentence
        more = [
            i
            for i in back
            if matches[i].rule.kind in listing
            and contexts[i].places
            and {p.sort for p in contexts[i].places}.isdisjoint(p.sort for p in spans)
            and not _anothers(note, matches, matches[i], event)
        ]
        for i in more:
            contexts[i].places += spans
        if more and force and spans[0].sort == "nuc":
            continue  # the nucs that a split went into are not what is spoken of next
        back = [i for i in back if i not in more]
        if start in note.blocked:
            # "hive 3 is queenless, so I'll unite it with nuc 4": the place of a plan
            back = [i for i in back if not contexts[i].places]
        if _preposition(note, start) or _adjacent_anchor(note, matches, start):
            close = _close_to(note, matches, back, start)
            for i in back:
                same_clause = i in close and note.clause[matches[i].start] == note.clause[start]
                if matches[i].rule.kind in COUNTING and _anothers(note, matches, matches[i], event):
                    continue
                if (
                    not contexts[i].places
                    or same_clause
                    or all(note.sentence[p.start] != sentence for p in contexts[i].places)
                ):
                    contexts[i].places = spans
        elif not followed:
            for i in back:
                if not contexts[i].places or all(note.sentence[p.start] != sentence for p in contexts[i].places):
                    contexts[i].places = spans
        force = spans
        since = []
    for index, match in enumerate(matches):
        if contexts[index].turn is not None:
            if contexts[index].places:
                contexts[index].turn = None
            continue
        if not contexts[index].places and said:
            later = [t for t in said if t.start >= match.end]
            near = [t for t in later if note.sentence[t.start] == note.sentence[match.start]]
            if match.rule.kind in COUNTING:
                near = [t for t in near if not _anothers(note, matches, match, t)]
                only = matches[index].rule.kind == "plant" and all(m.rule.kind == "plant" for m in matches)
                if later and not near and not only:
                    continue
            if near:
                contexts[index].places = tuple(near[0].spans)
            elif len(said) == 1:
                contexts[index].places = tuple(said[0].spans)


def _words(note: Note, start: int, end: int) -> bool:
    """Whether tokens start..end-1 say more than a word or two in passing."""
    return sum(note.lower[k][:1].isalpha() and k not in note.soft for k in range(max(start, 0), end)) > 1


def _close_to(note: Note, matches: list[Match], back: list[int], start: int) -> set[int]:
    """Those of the facts before a place that run up to it: of "hive 4 queen seen a litre to hive 5" the litre only."""
    out: set[int] = set()
    reach = start
    for i in reversed(back):
        ended = [k for k in range(matches[i].end, reach) if k not in note.soft and note.lower[k] not in RUNNING]
        joined = {"and", ","} & set(note.lower[matches[i].end : reach])
        apart = matches[i].rule.kind not in {matches[k].rule.kind for k in out} or not joined
        if ended or (out and apart and matches[i].rule.role == "fact"):
            break
        out.add(i)
        reach = min(reach, matches[i].start)
    return out


def _planted_later(
    matches: list[Match], contexts: dict[int, Context], back: list[int], spans: tuple[PlaceSpan, ...]
) -> None:
    """Give planting the nucs said after it: "made 3 splits out of hive 20 and planted them, nucs 16, 17 and 18"."""
    for i in back:
        carried = contexts[i].places and all(p.sort == "hive" and p.end <= matches[i].start for p in contexts[i].places)
        if matches[i].rule.kind == "plant" and "places" not in matches[i].sets and carried and spans[0].sort == "nuc":
            contexts[i].places = spans


def _anothers(note: Note, matches: list[Match], match: Match, topic: Topic) -> bool:
    """Whether a place belongs to another fact: "14 capped cells in round 1, and I put a super on hive 6"."""
    clause = note.clause[topic.start]
    return note.clause[match.start] != clause and any(
        note.clause[m.start] == clause and m.rule.kind != match.rule.kind for m in matches
    )


def _assign_dates(note: Note, matches: list[Match], contexts: dict[int, Context]) -> None:
    since_when.date_beginnings(note, matches, contexts)
    spans = [d for d in note.dates if d.start not in note.blocked and not (d.length or d.counted)]
    # "dropped 35 mites in a week": how long, not when
    lasting = {at for m in matches if "days" in m.sets or m.rule.kind == "no_record" for at in range(m.start, m.end)}
    heading = {d.start for d in spans if day_heading.heads(note, matches, d)}
    spans = [d for d in spans if d.start in heading or not day_reach.no_day_of_work(note, d.start)]
    spans = [d for d in spans if d.start not in lasting]
    spans = [d for d in spans if d.past is not None or not day_reach.alone(note, d.start)]
    for d in spans:
        sentence = note.sentence[d.start]
        before = [
            i
            for i, m in enumerate(matches)
            # a bare "had" or "put" says nothing yet: "had hive 50 open on Tuesday, no eggs"
            if m.start < d.start
            and note.sentence[m.start] == sentence
            and not (m.rule.role == "anchor" and m.rule.weight < 0)
        ]
        if d.start in heading:
            before = []  # "catching up, it was all done on Saturday"
        before = day_spill.of_day(note, matches, contexts, before)
        own = [m for m in matches if note.clause[m.start] == note.clause[d.start]]
        # "nearly dropped the tube, but yesterday the queen of nuc 7 got her dot"
        opens = (
            bool(own)
            and all(m.start >= d.end for m in own)
            and not (d.end < len(note.lower) and note.lower[d.end] == ",")
        )
        leading = not before or opens or day_reach.opens_clause(note, matches, d)
        holds_on = leading and (d.start in heading or day_reach.heads(note, d.start))
        if d.past is not None and day_reach.of_last_sentence(note, matches, contexts, d):
            continue
        for i, m in enumerate(matches):
            applies = m.start >= d.end if leading else i in before and contexts[i].on is None
            if leading and not holds_on and note.sentence[m.start] != sentence:
                continue  # "I did 6 on Friday. Nuc 7, missing"
            if not applies:
                continue
            if leading and any(o.start > d.start and o.end <= m.start for o in spans):
                continue
            contexts[i].on = d.past
            contexts[i].future = d.past is None and d.future is not None
        if holds_on and d.past is not None:
            day_spill.doubted(note, matches, contexts, d)
        if before and not leading and d.past is not None:
            day_reach.over_list(note, matches, contexts, d, before)
        if before and not leading and d.past is not None and len(spans) == 1:
            # "pulled 2 boxes off hive 9 yesterday and 2 off hive 10"
            kind, joined = matches[before[-1]].rule.kind, note.lower[d.end : d.end + 1] == ["and"]
            for i, m in enumerate(matches):
                if joined and m.start >= d.end and m.rule.kind == kind and note.sentence[m.start] == sentence:
                    contexts[i].on = contexts[i].on or d.past


def _assign_rounds(note: Note, matches: list[Match], contexts: dict[int, Context]) -> None:
    said = sorted(r for r in note.rounds if r[0] not in note.blocked or round_reach.trails(note, r))
    for i, m in enumerate(matches):
        before = [r for r in said if r[0] < m.end]
        after = [r for r in said if r[0] >= m.end]
        far = [r for r in after if not round_reach.own_fact(note, matches, m, r)]
        same = [r for r in far if note.sentence[r[0]] == note.sentence[m.start]]
        inside = [r for r in before if r[0] >= m.start]
        own = [r for r in before if note.sentence[r[0]] == note.sentence[m.start]]
        near = [r for r in same if note.clause[r[0]] == note.clause[m.start]]
        if own and near and note.clause[own[-1][0]] != note.clause[m.start]:
            own = near[:1]  # "planted round 4, and the slide came out of hive 7 for round 5"
        pick = (inside or own[-1:] or same[:1] or before[-1:] or (far if len(after) == 1 else []))[:1]
        if pick:
            contexts[i].round = pick[0][2]
            contexts[i].round_span = (pick[0][0], pick[0][1])
