"""Questions whose answer is a number: colonies, queens, larvae, sales, losses, feed, honey, rounds."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import timedelta

from gloveside.bot.answers import places as place_answers
from gloveside.bot.answers import rearing
from gloveside.bot.answers.answer import Answer, basis, nothing, told
from gloveside.bot.answers.lists import found_in_state, in_scope, sort_asked
from gloveside.bot.answers.slots import Period, as_of, of_product, past, period, season_start, slot, this_season
from gloveside.bot.answers.states import laying
from gloveside.bot.answers.takes import same_tool
from gloveside.bot.desk import Desk
from gloveside.bot.wording.days import day
from gloveside.bot.wording.entries import count, line, placed_line
from gloveside.bot.wording.places import places
from gloveside.extract import talk
from gloveside.extract.annotate import annotate
from gloveside.extract.models import Question
from gloveside.storage.entries import KeptEntry
from gloveside.storage.places import place_order
from gloveside.storage.rounds import RoundRow

_GOODS = {"queens": "queen", "nucs": "nuc", "virgins": "virgin", "cells": "cell", "honey": "honey"}


def count_of(desk: Desk, question: Question) -> Answer:
    """How many, of what was asked."""
    kind, what = slot(question, "kind"), slot(question, "what")
    if slot(question, "money"):
        return income(desk, question)
    if slot(question, "for_sale") or (kind == "sale" and question.queen == "laying"):
        return for_sale(desk, question)
    if what == "matings":
        return told(*rearing.mating(desk, question).splitlines())
    if kind == "sale" or what == "sales":
        return sold(desk, question)
    if kind == "loss":
        return lost(desk, question)
    if kind == "graft" or what in ("larvae", "rounds") or question.tool:
        return grafted(desk, question)
    if kind in ("feed", "harvest") or what in ("feed", "honey"):
        asked = "harvest" if kind == "harvest" or what == "honey" else "feed"
        return amounts(desk, question, asked)
    if kind == "inspection":
        return looked_at(desk, question)
    if kind == "split":
        return summed(desk, question, "split", "split")
    if what == "cells":
        return cells(desk, question, planted=kind == "plant")
    if kind in ("treatment", "plant", "mark"):
        return times(desk, question, str(kind))
    if what == "mites":
        return mites(desk, question)
    if what == "supers":
        return supers(desk, question)
    found = found_in_state(desk, question)
    if found is not None:
        wanted, chosen = found
        on = as_of(desk, question)
        then = f" as of {day(on, desk.today)}" if past(desk, question) else ""
        sort = sort_asked(question) or "place"
        head = f"{count(len(chosen), sort)}: {wanted.name}{then}"
        listed = [places(s.place for s in chosen)] if chosen else []
        return told(head, *listed, rests_on=[s.last_entry or 0 for s in chosen])
    if slot(question, "state") or question.queen:
        return nothing(f"I can't count from the record which are: {slot(question, 'state') or question.queen}.")
    if what == "incubator":
        return incubator(desk)
    if question.place is not None and not question.place.startswith("yard "):
        return place_answers.standing(desk, question.place, as_of(desk, question))
    if what in (None, "hives", "nucs", "queens"):
        return colonies(desk, question)
    return nothing(f"I can't count the {what} from the record.")


def colonies(desk: Desk, question: Question) -> Answer:
    """How many hives, nucs or queens there are."""
    on = as_of(desk, question)
    then = f" as of {day(on, desk.today)}" if past(desk, question) else ""
    living = in_scope(desk, question, on)
    hives = [s for s in living if s.place.startswith("hive ")]
    start = season_start(on, desk.settings.operation.season_month)
    nucs = [s for s in living if s.place.startswith("nuc ") and s.last_on is not None and s.last_on >= start]
    yard = (
        f" at {question.place.removeprefix('yard ')}" if question.place and question.place.startswith("yard ") else ""
    )
    if slot(question, "what") == "queens":
        found = [s for s in living if s.queenright is True]
        by = Counter(s.place.split(" ")[0] for s in found)
        return told(f"{count(len(found), 'queen')}{yard}{then}", f"{by['hive']} in hives, {by['nuc']} in nucs")
    lines = []
    if sort_asked(question) != "nuc":
        lines.append(f"{count(len(hives), 'hive')}{yard}{then}")
        gone = [s for s in desk.store.states.all(on).values() if not s.alive and s.place.startswith("hive ")]
        if gone and not yard:
            lines.append(f"{len(gone)} more died out or were united")
        named = sorted(Counter(s.yard.removeprefix("yard ") for s in hives if s.yard).items())
        if named and not yard:
            lines.append(", ".join(f"{y} {n}" for y, n in named))
    if sort_asked(question) != "hive":
        known = len(desk.store.places.all(kind="nuc"))
        registered = f" ({known} in the register)" if known and not yard else ""
        lines.append(f"{count(len(nucs), 'nuc')} in use this season{yard}{then}{registered}")
    return told(*lines)


def for_sale(desk: Desk, question: Question) -> Answer:
    """Nucs with a queen found laying that was not caught since; what was sold meanwhile without a nuc named."""
    on = as_of(desk, question)
    found = [s for s in desk.store.states.where(lambda s: s.alive and laying(s), on) if s.place.startswith("nuc ")]
    named: dict[str, KeptEntry] = {}
    if found:
        earliest = min(s.mating_on for s in found if s.mating_on)
        named = sold_places(desk, _sales(desk, Period(earliest, on, "", said=True), ("queen", "nuc")))
        found = [s for s in found if not (s.place in named and s.mating_on and named[s.place].on >= s.mating_on)]
    if not found:
        return nothing("No nuc with a laying queen is in the record.")
    first = min(s.mating_on for s in found if s.mating_on)
    lines = [f"{count(len(found), 'laying queen')} in nucs", places(s.place for s in found)]
    marked = Counter(s.mark for s in found if s.mark)
    if marked:
        lines.append("Marked: " + ", ".join(f"{n} {colour}" for colour, n in marked.most_common()))
    since = Period(first, on, "", said=True)
    sales = _sales(desk, since, ("queen", "nuc"))
    told_of = Counter(e.id for e in sold_places(desk, sales).values())
    gone = sum(max(0, e.fields.get("count", 1) - told_of[e.id]) for e in sales)
    steps = [e.fields["step"] for e in desk.store.entries.find(kind="queen", since=first, until=on)]
    caught = steps.count("caught")
    if gone > caught:
        lines.append(f"{gone - caught:g} sold since {day(first, desk.today)} name no nuc: not taken off")
    return told(*lines, rests_on=[s.last_entry or 0 for s in found])


def sold_places(desk: Desk, sales: list[KeptEntry]) -> dict[str, KeptEntry]:
    """The nucs that sales name, each with its last sale: "sold nucs five to seven to Tony".

    A sale holds no place, so its sentence is read again; a nuc of which the same note tells something else is not sold.
    """
    found: dict[str, KeptEntry] = {}
    for kept in sales:
        if "nuc" not in kept.said.lower():
            continue
        note = annotate(kept.said, kept.on, desk.register)
        others = {e.place for e in desk.store.entries.find(note_id=kept.note_id) if e.kind != "sale"}
        for start, end in talk.sentences(note):
            if not any("sell_verb" in note.lattice.edges[at] for at in range(start, end)):
                continue
            spans = [p for p in note.places if start <= p.start < end]
            for place in (p for span in spans for p in span.places if p.startswith("nuc ")):
                if place not in others:
                    found[place] = kept
    return found


def _sales(desk: Desk, span: Period, goods: tuple[str, ...] | None) -> list[KeptEntry]:
    found = desk.store.entries.find(kind="sale", since=span.since, until=span.until)
    return [e for e in found if goods is None or e.fields.get("goods") in goods]


def sold(desk: Desk, question: Question) -> Answer:
    """How many were sold: in the time asked about, else in all and this season."""
    what = str(slot(question, "what"))
    good = _GOODS.get(what)
    span = period(desk, question)
    found = _sales(desk, span, (good,) if good else None)
    if not found:
        return nothing(f"No sale of {what if good else 'anything'} is in the record {span.words}.")
    if good is None:
        by: dict[str, float] = defaultdict(float)
        for e in found:
            by[str(e.fields.get("goods") or "not said")] += e.fields.get("count", 1)
        lines = [f"Sold {span.words}:", *(count(n, g, g if g == "honey" else None) for g, n in sorted(by.items()))]
        return told(*lines, basis(found), rests_on=_newest(found))
    number = sum(e.fields.get("count", 1) for e in found)
    lines = [f"{_goods(number, good)} sold {span.words}"]
    if not span.said:
        season = this_season(desk)
        lines.append(f"{sum(e.fields.get('count', 1) for e in found if e.on >= season.since):g} {season.words}")
    return told(*lines, basis(found), rests_on=_newest(found))


def _goods(number: float, good: str) -> str:
    return f"{number:g} of honey" if good == "honey" else count(number, good)


def income(desk: Desk, question: Question) -> Answer:
    """What sales brought in, of those with a price."""
    good = _GOODS.get(str(slot(question, "what")))
    span = period(desk, question)
    found = _sales(desk, span, (good,) if good else None)
    priced = [e for e in found if e.fields.get("price") is not None]
    if not priced:
        return nothing(f"No sale with a price is in the record {span.words}.")
    money = sum(e.fields["price"] * e.fields.get("count", 1) for e in priced)
    currency = desk.settings.operation.currency
    lines = [f"{currency}{money:,.10g} {span.words}" + (f" for {slot(question, 'what')}" if good else "")]
    if len(priced) < len(found):
        lines.append(f"{len(found) - len(priced)} sales without a price are not in it")
    return told(*lines, basis(priced), rests_on=_newest(priced))


def lost(desk: Desk, question: Question) -> Answer:
    """Colonies lost, by cause: in the time asked about, else this season and in all."""
    span = period(desk, question) if (question.since or question.until) else this_season(desk)
    sort = sort_asked(question)
    everything = [
        e
        for e in desk.store.entries.find(kind="loss", until=span.until)
        if sort is None or e.place is None or e.place.startswith(sort)
    ]
    found = [e for e in everything if e.on >= span.since]
    name = sort or "colony"
    many = "colonies" if name == "colony" else None
    lines = [f"{count(len(found), name, many)} lost {span.words}"]
    if found:
        causes = Counter(str(e.fields.get("cause") or "cause not said") for e in found)
        lines.append(", ".join(f"{n} {cause}" for cause, n in causes.most_common()))
        if all(e.place for e in found):
            lines.append(places(dict.fromkeys(str(e.place) for e in found)))
    if not span.said:
        lines.append(f"{len(everything)} in all")
    return told(*lines, rests_on=_newest(found or everything))


def grafted(desk: Desk, question: Question) -> Answer:
    """Larvae or rounds grafted, with a tool, from a mother, or by tool or mother."""
    span = period(desk, question)
    by = slot(question, "by")
    found = desk.store.entries.find(kind="graft", since=span.since, until=span.until)
    if question.round is not None:
        found = [e for e in found if e.round == question.round]
    if question.place is not None:
        found = [e for e in found if question.place in (e.place, e.fields.get("mother"))]
    if question.tool and by != "tool":
        mine = [e for e in found if e.fields.get("tool") and same_tool(question.tool, e.fields["tool"])]
        if not mine:
            used = sorted({e.fields["tool"] for e in found if e.fields.get("tool")})
            known = [f"Tools noted: {', '.join(used)}"] if used else []
            return nothing(f"No graft with the {question.tool} is in the record {span.words}.", *known)
        found = mine
    if not found:
        return nothing(f"No graft is in the record {span.words}.")
    if by in ("tool", "mother", "builder"):
        groups: dict[str, int] = defaultdict(int)
        for e in found:
            name = e.place if by == "builder" else e.fields.get(by)
            groups[str(name or "not said")] += larvae_of(e)
        lines = [f"{name}: {n} larvae" for name, n in sorted(groups.items(), key=lambda i: (-i[1], i[0]))]
        return told(f"Grafted {span.words}:", *lines, rests_on=_newest(found))
    tool = f" with the {question.tool}" if question.tool else ""
    at = f", {question.place}" if question.place else ""
    if slot(question, "what") == "rounds":
        numbers = {e.round for e in found if e.round is not None}
        lines = [f"{count(len(numbers), 'round')} grafted {span.words}{tool}{at}"]
        if not span.said:
            season = this_season(desk)
            lines.append(f"{len({e.round for e in found if e.on >= season.since})} {season.words}")
        return told(*lines, basis(found), rests_on=_newest(found))
    number = sum(map(larvae_of, found))
    lines = [f"{number} larvae{tool}{at} {span.words}"]
    if not span.said and question.round is None:
        season = this_season(desk)
        lines.append(f"{sum(larvae_of(e) for e in found if e.on >= season.since)} {season.words}")
    return told(*lines, basis(found), rests_on=_newest(found))


def larvae_of(entry: KeptEntry) -> int:
    """Larvae of one graft: the number said, else its bars added up."""
    return int(entry.fields.get("larvae") or sum(entry.fields.get("bars") or ()))


def amounts(desk: Desk, question: Question, kind: str) -> Answer:
    """Feed or honey, added up by kind and unit."""
    span = period(desk, question)
    place = question.place if question.place and not question.place.startswith("yard ") else None
    found = desk.store.entries.find(kind=kind, place=place, since=span.since, until=span.until, newest_first=True)
    return place_answers.summed(found, kind, place, span.words)


def summed(desk: Desk, question: Question, kind: str, one: str) -> Answer:
    """Pieces of a kind of work, added up; an entry without a number counts its places, else one."""
    span = period(desk, question)
    found = desk.store.entries.find(kind=kind, place=question.place, since=span.since, until=span.until)
    if not found:
        return nothing(f"No {one} is in the record {span.words}.")
    number = sum(e.fields.get("count") or len(e.fields.get("places") or ()) or 1 for e in found)
    return told(f"{count(number, one)} made {span.words}", basis(found), rests_on=_newest(found))


def looked_at(desk: Desk, question: Question) -> Answer:
    """How many places were looked into in a time."""
    span = period(desk, question)
    sort = sort_asked(question) or ""
    entries = desk.store.entries.find(kind=["inspection", "mating", "mites"], since=span.since, until=span.until)
    found = [e for e in entries if e.place is not None and e.place.startswith(sort)]
    spots = list(dict.fromkeys(str(e.place) for e in found))
    listed = [places(sorted(spots, key=place_order))] if spots else []
    return told(f"{count(len(spots), sort or 'place')} looked at {span.words}", *listed, rests_on=_newest(found))


def times(desk: Desk, question: Question, kind: str) -> Answer:
    """How often something was done."""
    span = period(desk, question)
    found = desk.store.entries.find(kind=kind, place=question.place, since=span.since, until=span.until)
    found = of_product(question, found)
    at = f" of {question.place}" if question.place else ""
    name = {"mark": "queen marked", "plant": "planting"}.get(kind, kind)
    many = "queens marked" if kind == "mark" else None
    return told(f"{count(len(found), name, many)}{at} {span.words}", basis(found), rests_on=_newest(found))


def cells(desk: Desk, question: Question, *, planted: bool) -> Answer:
    """Cells of a round, or cells planted in a time."""
    if question.round is None:
        span = period(desk, question)
        found = desk.store.entries.find(kind="plant", since=span.since, until=span.until)
        if planted and found:
            number = sum(e.fields.get("count") or len(e.fields.get("places") or ()) for e in found)
            return told(f"{count(number, 'cell')} planted {span.words}", basis(found), rests_on=_newest(found))
        views = [v for v in desk.open_rounds() if v.cells is not None and v.row.planted is None]
        if not views:
            return nothing("No cells are waiting in an open round.")
        lines = [f"{v.name.capitalize()}: {_cells_line(v.row)}" for v in views]
        rests = [d.entry_id for v in views for d in v.row.done if d.step.startswith(("take", "cells"))]
        return told(*lines, rests_on=rests)
    view = desk.round(question.round)
    if view is None:
        return nothing(f"There is no round {question.round} in the record.")
    if view.cells is None:
        return nothing(f"No cells of {view.name} were counted yet.")
    rests = [d.entry_id for d in view.row.done if d.step.startswith(("take", "cells", "plant"))]
    return told(f"{view.name.capitalize()}: {_cells_line(view.row)}", rests_on=rests)


def _cells_line(row: RoundRow) -> str:
    parts = [
        f"{n} {name}"
        for n, name in (
            (row.taken, "started"), (row.count_capped, "capped"), (row.count_ripe, "ripe"), (row.planted, "planted"),
        )
        if n is not None
    ]  # fmt: skip
    return ", ".join(parts)


def incubator(desk: Desk) -> Answer:
    """What went into the incubator less what came out, of the last weeks."""
    found = desk.store.entries.find(kind="incubator", since=desk.today - timedelta(days=30), until=desk.today)
    left: Counter[str] = Counter()
    for e in found:
        what, number = str(e.fields.get("what") or "cells"), int(e.fields.get("count") or 0)
        step = e.fields.get("step")
        if step == "emerged":
            left["cells"] -= number
            left["virgins"] += number
        else:
            left[what] += number if step == "in" else -number
    there = [f"{n} {what}" for what, n in left.items() if n > 0]
    if not there:
        return nothing("Nothing is in the incubator by the record.")
    return told("In the incubator: " + ", ".join(there), basis(found), rests_on=_newest(found))


def mites(desk: Desk, question: Question) -> Answer:
    """The last mite counts of a hive and where they are heading; without a hive, the last counts of all."""
    span = period(desk, question)
    found = desk.store.entries.find(
        kind="mites", place=question.place, since=span.since, until=span.until, newest_first=True, limit=12
    )
    if not found:
        return nothing(f"No mite count{f' of {question.place}' if question.place else ''} is in the record.")
    if question.place is None:
        counted = [f"{day(e.on, desk.today)}: {placed_line(e.entry)}" for e in found]
        return told(*counted, rests_on=[e.id for e in found])
    head = [f"{question.place}, {day(e.on, desk.today)}: {line(e.entry)}" for e in found[:1]]
    before = [f"{day(e.on, desk.today)}: {line(e.entry)}" for e in found[1:3]]
    trend = [] if past(desk, question) else rearing.mites(desk, question).splitlines()[1:]
    return told(*head, *before, *trend, rests_on=[e.id for e in found])


def supers(desk: Desk, question: Question) -> Answer:
    """Supers on the hives by the record."""
    living = in_scope(desk, question, as_of(desk, question))
    if question.place and not question.place.startswith("yard "):
        living = [s for s in living if s.place == question.place]
    on = [s for s in living if s.supers]
    return told(
        f"{count(sum(s.supers for s in on), 'super')} on {count(len(on), 'hive')} by the record",
        rests_on=[s.last_entry or 0 for s in on],
    )


def _newest(found: list[KeptEntry]) -> list[int]:
    return [e.id for e in sorted(found, key=lambda e: (e.on, e.id), reverse=True)]
