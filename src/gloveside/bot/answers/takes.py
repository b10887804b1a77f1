"""Questions about the take: of a round, with a tool, against last year, and by what it may depend on."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from gloveside.bot.answers import rearing
from gloveside.bot.answers.answer import Answer, nothing, told
from gloveside.bot.answers.slots import BEGINNING, Period, period, season_before, season_name, season_start, slot
from gloveside.bot.desk import Desk
from gloveside.bot.rearing_record import take_rows, weather_of
from gloveside.bot.wording.days import day
from gloveside.bot.wording.entries import percent
from gloveside.bot.wording.rearing.compare import compare_lines, group_line, verdict_lines
from gloveside.extract.models import Question
from gloveside.rearing.records import Tally
from gloveside.rearing.take_compare import Comparison, Group, compare, compare_all, group, take_by
from gloveside.storage.rounds import RoundRow

MOST_LARVAE = 3000
"""More larvae than this on each side are not asked for to show a difference: some seasons' grafts."""


def take(desk: Desk, question: Question) -> Answer:
    """How it took, in the way that was asked."""
    by: Any = slot(question, "by")
    if by in rearing.FACTORS and not (question.round is not None and by != "bar"):
        return _by(desk, question, by)
    if slot(question, "rounds"):
        return _rounds(desk, slot(question, "rounds"))
    if question.tool:
        return _with_tool(desk, question)
    if slot(question, "compare"):
        return _against_last_season(desk, question)
    return _of_round(desk, question)


def _rows(desk: Desk, span: Period) -> list[RoundRow]:
    rows = desk.store.rounds.all(on=desk.today)
    return [r for r in rows if r.grafted and r.taken is not None and span.since <= r.grafted <= span.until]


def _ids(rows: list[RoundRow]) -> list[int]:
    return [d.entry_id for row in reversed(rows) for d in row.done if d.step == "take check"]


def _of_round(desk: Desk, question: Question) -> Answer:
    if question.round is not None:
        view = desk.round(question.round)
        if view is None:
            return nothing(f"There is no round {question.round} in the record.")
        row = view.row
        if row.taken is None:
            return nothing(
                f"No take of {view.name} is in the record; check it {day(view.on('take check'), desk.today)}."
            )
        return _told(row, desk)
    span = period(desk, question)
    rows = _rows(desk, span)
    if question.place is not None:
        rows = [r for r in rows if question.place in (r.builder, *r.mothers)]
    if not rows:
        about = f" of {question.place}" if question.place else ""
        return nothing(f"No take{about} is in the record{f' {span.words}' if span.said else ''}.")
    if span.said or question.place is not None:
        whole = _sum(f"{span.words}" if span.said else str(question.place), rows)
        each = [f"Round {r.number}: {r.taken}/{r.of or '?'}" for r in reversed(rows[-6:])]
        return told(f"Take {group_line(whole)}", *each, rests_on=_ids(rows))
    return _told(max(rows, key=lambda r: (r.did("take check") or r.grafted, r.number)), desk)


def _told(row: RoundRow, desk: Desk) -> Answer:
    head = f"Round {row.number}: {row.taken}"
    if row.of and row.taken is not None:
        head += f" of {row.of} ({percent(row.taken, row.of)})"
    bars = [f"{bar} {taken}{f'/{of}' if of else ''}" for bar, taken, of in row.takes_by_bar]
    lines = [head, *([", ".join(bars)] if bars else [])]
    checked = row.did("take check")
    if checked is not None:
        lines.append(f"Counted {day(checked, desk.today)}")
    if row.mothers or row.tools:
        lines.append(", ".join([*(f"from {m}" for m in row.mothers), *(f"with {t}" for t in row.tools)]))
    return told(*lines, rests_on=_ids([row]))


def _rounds(desk: Desk, numbers: list[int]) -> Answer:
    """Several rounds side by side."""
    rows = [r for r in _rows(desk, Period(BEGINNING, desk.today, "", said=False)) if r.number in numbers]
    groups = [_sum(f"round {r.number}", [r]) for r in rows]
    missing = [f"No take of round {n} is in the record." for n in numbers if n not in {r.number for r in rows}]
    verdict = verdict_lines(within_reach(compare(groups[0], groups[1]))) if len(groups) == 2 else []
    return told(*map(group_line, groups), *missing, *verdict, rests_on=_ids(rows)) if rows else nothing(*missing)


def _sum(name: str, rows: list[RoundRow]) -> Group:
    told_rows = [r for r in rows if r.of and r.taken is not None and r.taken <= r.of]
    tally = Tally(sum(r.taken or 0 for r in told_rows), sum(r.of or 0 for r in told_rows))
    return group(name, tally, [r.number for r in told_rows])


def same_tool(asked: str, used: str) -> bool:
    """Whether two names mean one tool: `Chinese` and `the Chinese grafting tool`."""
    small = {"the", "a", "my", "tool", "grafting"}
    ours, theirs = (set(text.lower().replace("paint brush", "paintbrush").split()) - small for text in (asked, used))
    return bool(ours) and ours == theirs


def _with_tool(desk: Desk, question: Question) -> Answer:
    span = period(desk, question)
    every = _rows(desk, span)
    rows = [r for r in every if len(r.tools) == 1 and same_tool(question.tool or "", r.tools[0])]
    if not rows:
        known = sorted({t for r in every for t in r.tools})
        return nothing(
            f"No take with the {question.tool} is in the record{f' {span.words}' if span.said else ''}.",
            *([f"Tools noted: {', '.join(known)}"] if known else []),
        )
    whole = _sum(str(question.tool), rows)
    rest = _sum("other tools", [r for r in every if r.tools and r not in rows])
    lines = [f"Take {group_line(whole)}", f"{len(rows)} rounds {span.words}"]
    if rest.tally.of:
        lines += [group_line(rest), *verdict_lines(within_reach(compare(whole, rest)))]
    return told(*lines, rests_on=_ids(rows))


def within_reach(found: Comparison) -> Comparison:
    """The comparison, without a number of larvae that nobody will graft: the two take alike as far as can be told."""
    return replace(found, more_cells=None) if (found.more_cells or 0) > MOST_LARVAE else found


def _against_last_season(desk: Desk, question: Question) -> Answer:
    start = season_start(desk.today, desk.settings.operation.season_month)
    first, last = season_before(start)
    before_rows = _rows(desk, Period(first, last, "", said=True))
    if question.round is not None:
        view = desk.round(question.round)
        if view is None or view.row.taken is None or not view.row.of:
            return _of_round(desk, question)
        rows = [view.row]
        now = _sum(f"round {question.round}", rows)
    else:
        rows = _rows(desk, Period(start, desk.today, "", said=True))
        now = _sum(f"{season_name(start)} so far", rows)
    before = _sum(season_name(first), before_rows)
    if not now.tally.of:
        return nothing("No take of this season is in the record yet.")
    if not before.tally.of:
        return told(group_line(now), f"No take of {season_name(first)} is in the record.", rests_on=_ids(rows))
    each = [100 * (r.taken or 0) / r.of for r in before_rows if r.of]
    lines = [group_line(now), group_line(before)]
    if len(each) > 1:
        lines.append(f"Its {len(each)} rounds: {min(each):.0f}–{max(each):.0f} %")
    return told(*lines, *verdict_lines(within_reach(compare(now, before))), rests_on=[*_ids(rows), *_ids(before_rows)])


def _by(desk: Desk, question: Question, by: Any) -> Answer:
    rows = _rows(desk, period(desk, question))
    if question.round is not None:
        rows = [r for r in rows if r.number == question.round]
    sky = weather_of(desk.store.entries.find(kind="weather")) if by == "weather" else None
    groups = take_by(take_rows(rows, sky), by)
    if not groups:
        return nothing(f"No take with its {by} is in the record yet.")
    return told(*compare_lines(groups, [within_reach(c) for c in compare_all(groups)]), rests_on=_ids(rows))
