"""Rounds of queen rearing, worked out from the entries: what was done when, what came of it, and whether it is open."""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

import sqlite_utils

from gloveside.extract.models import Entry
from gloveside.extract.register import RoundKnown
from gloveside.storage.database import RecordFile, Row, fetch, insert
from gloveside.storage.errors import NotFound
from gloveside.storage.moments import moment_from, moment_text

CLOSED_AFTER_DAYS = 45
"""A round closes by itself this long after its graft: emergence at 12 days and the last wait for a laying queen (28)."""
UNPLANTED_AFTER_DAYS = 20
"""A round of which nothing was planted or put by closes after this: its queens emerged about 12 days after the graft."""
PREPARED_WITHIN_DAYS = 14
"""A step at the cell builder without a round belongs to the next graft there within this time."""
FINAL_RESULTS = frozenset({"laying", "missing", "drone layer"})

_WINDOW = {"take": (0, 9), "cells": (0, 16), "incubator": (3, 25), "plant": (7, 18), "builder": (0, 9)}
"""Days after the graft in which a step can belong to a round: the calendar's days, widened for late notes."""
_KINDS_OF_ROUND = ("graft", "take", "cells", "incubator", "plant", "builder")


@dataclass(frozen=True, slots=True)
class Done:
    """One thing that was really done. step: as in the calendar where it has a name there; count: of cells or queens."""

    step: str
    on: date
    entry_id: int
    count: int | None = None


@dataclass(frozen=True, slots=True)
class RoundRow:
    """A round as the record has it. Numbers are None while nothing was said about them.

    grafted: local date of the (first) graft; grafted_at: UTC, when the graft was noted on its own day.
    bars: cups on each bar; larvae: total grafted; takes_by_bar: (bar, taken, of); count_ripe: last count of ripe cells.
    board: whether a slide or excluder step was noted; planted: cells; planted_places: where, if said.
    matings: last result in each place where this round was planted.  done: in order of date.
    """

    number: int
    grafted: date | None = None
    grafted_at: datetime | None = None
    builder: str | None = None
    mothers: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    bars: tuple[int, ...] = ()
    larvae: int | None = None
    board: bool = False
    taken: int | None = None
    of: int | None = None
    takes_by_bar: tuple[tuple[str, int | None, int | None], ...] = ()
    count_capped: int | None = None
    count_ripe: int | None = None
    planted: int | None = None
    planted_places: tuple[str, ...] = ()
    matings: tuple[tuple[str, str, date], ...] = ()
    done: tuple[Done, ...] = ()
    open: bool = True
    closed_why: str | None = None

    @property
    def mother(self) -> str | None:
        """The mother, where there was one only."""
        return self.mothers[0] if len(self.mothers) == 1 else None

    @property
    def laying(self) -> int:
        """Places of this round last found with a laying queen."""
        return sum(result == "laying" for _, result, _ in self.matings)

    def did(self, step: str) -> date | None:
        """The date on which a step was first done, or None."""
        return next((done.on for done in self.done if done.step == step), None)

    def known(self) -> RoundKnown:
        """What a reader of notes needs to know of it."""
        return RoundKnown(
            number=self.number,
            grafted=self.grafted,
            bars=self.bars,
            larvae=self.larvae,
            builder=self.builder,
            open=self.open,
        )


@dataclass(slots=True)
class _Fact:
    """One standing entry, parsed."""

    id: int
    kind: str
    on: date
    fields: dict[str, Any]
    noted_at: datetime | None


def _facts(rows: Iterable[Row]) -> list[_Fact]:
    return [
        _Fact(
            row["id"],
            row["kind"],
            date.fromisoformat(row["on_date"]),
            json.loads(row["data"]),
            moment_from(row["spoken_at"]) if row["spoken_on"] == row["on_date"] else None,
        )
        for row in rows
    ]


_SELECT = (
    "SELECT e.id, e.kind, e.round, e.place, e.on_date, e.data, n.spoken_at, n.spoken_on "
    "FROM entries e JOIN notes n ON n.id = e.note_id WHERE e.ended_at IS NULL"
)


class Rounds:
    """The rounds of one record. Nothing here is stored but a closing or opening by hand."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file

    def get(self, number: int, on: date | None = None) -> RoundRow:
        """One round as seen on a local date (default: the date of the latest entry). Raises NotFound."""
        with self._file.reading() as db:
            found = self._rows(db, [number], on)
        if not found:
            raise NotFound(f"There is no round {number} in the record yet. Say what was grafted to begin it.")
        return found[0]

    def all(self, *, on: date | None = None, open: bool | None = None, since: date | None = None) -> list[RoundRow]:
        """All rounds by number, or only the open or closed ones, or those grafted since a date."""
        with self._file.reading() as db:
            numbers = self._numbers(db, since)
            found = self._rows(db, numbers, on)
        return [row for row in found if open is None or row.open == open]

    def known(self, on: date) -> dict[int, RoundKnown]:
        """Every round in short, for the reader of notes."""
        recent = {row.number: row.known() for row in self.all(on=on, since=on - timedelta(days=CLOSED_AFTER_DAYS + 1))}
        old: dict[int, RoundKnown] = {}
        with self._file.reading() as db:
            for row in fetch(
                db,
                "SELECT round, min(on_date) AS on_date, place, data FROM entries "
                "WHERE kind = 'graft' AND ended_at IS NULL AND round IS NOT NULL GROUP BY round",
            ):
                if row["round"] not in recent:
                    fields = json.loads(row["data"])
                    old[row["round"]] = RoundKnown(
                        number=row["round"],
                        grafted=date.fromisoformat(row["on_date"]),
                        bars=tuple(fields.get("bars", ())),
                        larvae=fields.get("larvae"),
                        builder=row["place"],
                        open=False,
                    )
        return dict(sorted((old | recent).items()))

    def close(self, number: int, why: str | None = None) -> None:
        """Close a round by hand: it is no longer offered for notes without a round."""
        self._mark(number, False, why)

    def reopen(self, number: int, why: str | None = None) -> None:
        """Open a closed round again."""
        self._mark(number, True, why)

    def _mark(self, number: int, is_open: bool, why: str | None) -> None:
        self.get(number)
        with self._file.writing() as db:
            insert(
                db, "round_marks", {"round": number, "open": is_open, "at": moment_text(self._file.clock()), "why": why}
            )

    def next_number(self, on: date) -> int:
        """The number of a graft made on this date without one.

        A round that was prepared under its number but not grafted yet comes first; else one more than the last.
        """
        with self._file.reading() as db:
            grafted = (
                fetch(db, "SELECT max(round) AS n FROM entries WHERE kind = 'graft' AND ended_at IS NULL")[0]["n"] or 0
            )
            prepared = fetch(
                db,
                "SELECT min(round) AS n FROM entries WHERE kind = 'builder' AND ended_at IS NULL AND round > ? "
                "AND on_date BETWEEN ? AND ?",
                [grafted, (on - timedelta(days=PREPARED_WITHIN_DAYS)).isoformat(), on.isoformat()],
            )[0]["n"]
        return int(prepared or grafted + 1)

    def round_for(self, entry: Entry) -> int | list[int] | None:
        """The round that an entry without one belongs to: a number, several that it may be, or None.

        A graft gets the next number. Anything else goes by the days since the graft, by the cell builder where the
        entry names it, by what is still missing in each round, and by the number of cups where the entry gives it.
        None: no round fits (for a step at the cell builder: it prepares a round that is not grafted yet).
        """
        if entry.kind == "graft":
            return self.next_number(entry.on)
        if entry.kind not in _WINDOW:
            return None
        since = entry.on - timedelta(days=CLOSED_AFTER_DAYS)
        rows = [r for r in self.all(on=entry.on, open=True, since=since) if r.grafted and r.grafted <= entry.on]
        first, last = _WINDOW[entry.kind]
        fitting = [r for r in rows if r.grafted and first <= (entry.on - r.grafted).days <= last]
        if entry.kind == "builder":
            if entry.step != "slide out":
                return None
            fitting = [r for r in fitting if r.did("slide out") is None]
        elif not fitting:
            fitting = rows
        place = getattr(entry, "place", None)
        if place is not None and (there := [r for r in fitting if r.builder == place]):
            fitting = there
        if len(fitting) > 1 and (missing := [r for r in fitting if _lacks(r, entry)]):
            fitting = missing
        cups = getattr(entry, "of", None)
        if len(fitting) > 1 and cups is not None and (same := [r for r in fitting if r.larvae == cups]):
            fitting = same
        numbers = sorted(r.number for r in fitting)
        if not numbers:
            return None
        return numbers[0] if len(numbers) == 1 else numbers

    def _numbers(self, db: sqlite_utils.Database, since: date | None) -> list[int]:
        sql = "SELECT DISTINCT round FROM entries WHERE round IS NOT NULL AND ended_at IS NULL AND kind IN ({})".format(
            ",".join(f"'{kind}'" for kind in _KINDS_OF_ROUND)
        )
        values: list[str] = []
        if since is not None:
            sql += " AND on_date >= ?"
            values.append(since.isoformat())
        return [row["round"] for row in fetch(db, sql + " ORDER BY round", values)]

    def _rows(self, db: sqlite_utils.Database, numbers: Sequence[int], on: date | None) -> list[RoundRow]:
        """Work out the given rounds in a handful of queries, however many they are."""
        if not numbers:
            return []
        if on is None:
            latest = fetch(db, "SELECT max(on_date) AS d FROM entries WHERE ended_at IS NULL")[0]["d"]
            on = date.fromisoformat(latest)
        marks = ",".join("?" * len(numbers))
        of_round: dict[int, list[_Fact]] = defaultdict(list)
        kinds = ",".join(f"'{kind}'" for kind in _KINDS_OF_ROUND)
        sql = f"{_SELECT} AND e.round IN ({marks}) AND e.kind IN ({kinds}) ORDER BY e.on_date, e.id"
        for row, fact in _with_rows(fetch(db, sql, list(numbers))):
            of_round[row["round"]].append(fact)
        if not of_round:
            return []
        first = min(fact.on for facts in of_round.values() for fact in facts)
        early = (first - timedelta(days=PREPARED_WITHIN_DAYS)).isoformat()
        last = (max(f.on for facts in of_round.values() for f in facts) + timedelta(days=CLOSED_AFTER_DAYS)).isoformat()
        loose = _facts(
            fetch(
                db,
                f"{_SELECT} AND e.kind IN ('builder', 'split') AND e.round IS NULL AND e.on_date BETWEEN ? AND ? "
                "ORDER BY e.on_date, e.id",
                [early, last],
            )
        )
        grafts = [
            (row["round"], row["place"], date.fromisoformat(row["on_date"]))
            for row in fetch(
                db,
                "SELECT round, place, on_date FROM entries WHERE kind = 'graft' AND ended_at IS NULL AND round IS NOT NULL "
                "AND on_date BETWEEN ? AND ?",
                [early, last],
            )
        ]
        closed = {
            row["round"]: row
            for row in fetch(
                db,
                "SELECT round, open, why FROM round_marks WHERE id IN (SELECT max(id) FROM round_marks GROUP BY round)",
            )
        }
        matings = _matings(db, first.isoformat(), last)
        return [
            _round_row(number, of_round[number], _loose_of(number, loose, grafts), matings, closed.get(number), on)
            for number in numbers
            if number in of_round
        ]


def _with_rows(rows: list[Row]) -> Iterable[tuple[Row, _Fact]]:
    return zip(rows, _facts(rows), strict=True)


def _lacks(row: RoundRow, entry: Entry) -> bool:
    """Whether the thing that an entry tells is still missing in a round."""
    if entry.kind == "take":
        return row.taken is None
    if entry.kind == "plant":
        return row.planted is None
    if entry.kind == "cells" and entry.state == "ripe":
        return row.count_ripe is None
    return True


def _loose_of(number: int, loose: list[_Fact], grafts: list[tuple[int, str | None, date]]) -> list[_Fact]:
    """Builder steps and splits without a round that belong to this one: those for which it is the nearest graft in reach."""
    mine: list[_Fact] = []
    for fact in loose:
        best: tuple[int, int] | None = None
        for other, place, grafted in grafts:
            days = (fact.on - grafted).days
            if fact.kind == "split":
                if not 6 <= days <= 12:
                    continue
                distance = abs(days - 9)
            else:
                here = fact.fields.get("place")
                if not -PREPARED_WITHIN_DAYS <= days <= 0 or (here and place and here != place):
                    continue
                distance = -days
            if best is None or (distance, other) < best:
                best = (distance, other)
        if best is not None and best[1] == number:
            mine.append(fact)
    return mine


def _matings(db: sqlite_utils.Database, first: str, last: str) -> dict[str, list[tuple[date, str, str]]]:
    """By place, in order: (date, what, detail), what being `plant` (detail: round), `mating` or `loss`."""
    found: dict[str, list[tuple[date, str, str]]] = defaultdict(list)
    for row in fetch(
        db,
        "SELECT p.place, e.kind, e.on_date, e.round, json_extract(e.data, '$.result') AS result "
        "FROM entries e JOIN entry_places p ON p.entry_id = e.id AND p.role = 'place' "
        "WHERE e.kind IN ('plant', 'mating', 'loss') AND e.ended_at IS NULL AND e.on_date BETWEEN ? AND ? "
        "ORDER BY e.on_date, e.id",
        [first, last],
    ):
        detail = {"plant": str(row["round"]), "mating": row["result"], "loss": "missing"}[row["kind"]]
        found[row["place"]].append((date.fromisoformat(row["on_date"]), row["kind"], detail))
    return found


def _results(
    number: int, matings: dict[str, list[tuple[date, str, str]]]
) -> tuple[list[tuple[str, str, date]], date | None]:
    """Last result in each place where this round was planted, until another was; and the day of the first look."""
    found: list[tuple[str, str, date]] = []
    first_look: date | None = None
    for place, events in matings.items():
        planted_here = False
        last: tuple[str, str, date] | None = None
        for on, what, detail in events:
            if what == "plant":
                planted_here = detail == str(number)
            elif planted_here:
                last = (place, detail, on)
                first_look = min(first_look or on, on)
        if last is not None:
            found.append(last)
    return found, first_look


def _round_row(
    number: int,
    facts: list[_Fact],
    loose: list[_Fact],
    matings: dict[str, list[tuple[date, str, str]]],
    mark: Row | None,
    on: date,
) -> RoundRow:
    of_kind: dict[str, list[_Fact]] = defaultdict(list)
    for fact in sorted(facts + loose, key=lambda f: (f.on, f.id)):
        of_kind[fact.kind].append(fact)
    grafts, builder = of_kind["graft"], of_kind["builder"]
    bars = tuple(n for graft in grafts for n in graft.fields.get("bars", ()))
    larvae = [
        n for graft in grafts if (n := graft.fields.get("larvae") or sum(graft.fields.get("bars", ()))) is not None
    ]
    take = _take(of_kind["take"])
    planted_places = tuple(dict.fromkeys(p for plant in of_kind["plant"] for p in plant.fields.get("places", ())))
    planted = [
        n for f in of_kind["plant"] if (n := f.fields.get("count", len(f.fields.get("places", ())) or None)) is not None
    ]
    results, first_look = _results(number, matings)
    row = RoundRow(
        number=number,
        grafted=grafts[0].on if grafts else None,
        grafted_at=grafts[0].noted_at if grafts else None,
        builder=next((f.fields["place"] for f in grafts + builder if "place" in f.fields), None),
        mothers=_unique(f.fields.get("mother") for f in grafts),
        tools=_unique(f.fields.get("tool") for f in grafts),
        bars=bars,
        larvae=sum(larvae) if larvae and sum(larvae) else None,
        board=any(f.fields["step"] in ("excluder in", "slide in", "slide out") for f in builder),
        taken=take[0],
        of=take[1],
        takes_by_bar=take[2],
        count_capped=_last_count(of_kind["cells"], "capped"),
        count_ripe=_last_count(of_kind["cells"], "ripe"),
        planted=sum(planted) if planted else None,
        planted_places=planted_places,
        matings=tuple(results),
        done=_done(of_kind, first_look, len(results)),
    )
    is_open, why = _openness(row, of_kind, mark, on)
    return replace(row, open=is_open, closed_why=why)


def _unique(values: Iterable[str | None]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(value for value in values if value))


def _last_count(cells: list[_Fact], state: str) -> int | None:
    counts = [f.fields["count"] for f in cells if f.fields.get("state") == state and "count" in f.fields]
    return counts[-1] if counts else None


def _take(takes: list[_Fact]) -> tuple[int | None, int | None, tuple[tuple[str, int | None, int | None], ...]]:
    """(taken, of, by bar): the last word on each bar; a take without bars stands for the whole round."""
    by_bar: dict[str, tuple[int | None, int | None]] = {}
    taken: int | None = None
    of: int | None = None
    for fact in takes:
        bars = fact.fields.get("bars")
        if bars:
            for bar in bars:
                by_bar[str(bar["bar"])] = (bar.get("taken"), bar.get("of"))
            counted = [t for t, _ in by_bar.values() if t is not None]
            cups = [o for _, o in by_bar.values() if o is not None]
            taken = sum(counted) if counted else fact.fields.get("taken")
            of = sum(cups) if len(cups) == len(by_bar) else fact.fields.get("of")
        else:
            taken, of = fact.fields.get("taken", taken), fact.fields.get("of", of)
    return taken, of, tuple((bar, *numbers) for bar, numbers in by_bar.items())


def _done(of_kind: dict[str, list[_Fact]], first_look: date | None, looked_at: int) -> tuple[Done, ...]:
    steps: list[Done] = []
    for fact in (f for facts in of_kind.values() for f in facts):
        fields = fact.fields
        if fact.kind == "builder":
            steps.append(Done(fields["step"], fact.on, fact.id))
        elif fact.kind == "graft":
            steps.append(Done("graft", fact.on, fact.id, fields.get("larvae")))
        elif fact.kind == "take":
            steps.append(Done("take check", fact.on, fact.id, fields.get("taken")))
        elif fact.kind == "cells":
            steps.append(
                Done(
                    f"cells {fields['state']}" if "state" in fields else "cells", fact.on, fact.id, fields.get("count")
                )
            )
        elif fact.kind == "incubator":
            steps.append(Done(f"incubator {fields.get('step', '')}".strip(), fact.on, fact.id, fields.get("count")))
        elif fact.kind == "split":
            steps.append(Done("splits", fact.on, fact.id, fields.get("count", len(fields.get("places", ())) or None)))
        else:
            steps.append(Done("plant", fact.on, fact.id, fields.get("count")))
    if first_look is not None:
        steps.append(Done("laying check", first_look, 0, looked_at))
    return tuple(sorted(steps, key=lambda done: (done.on, done.entry_id)))


def _openness(row: RoundRow, of_kind: dict[str, list[_Fact]], mark: Row | None, on: date) -> tuple[bool, str | None]:
    if mark is not None:
        return bool(mark["open"]), None if mark["open"] else mark["why"] or "closed by hand"
    if row.taken == 0:
        return False, "nothing took"
    if (
        row.planted_places
        and len(row.matings) >= len(row.planted_places)
        and all(r in FINAL_RESULTS for _, r, _ in row.matings)
    ):
        return False, "every planted place has its result"
    begun = row.grafted or (row.done[0].on if row.done else None)
    if begun is None:
        return True, None
    age = (on - begun).days
    if age > CLOSED_AFTER_DAYS:
        return False, f"{CLOSED_AFTER_DAYS} days are over"
    if row.grafted and row.planted is None and not of_kind["incubator"] and age > UNPLANTED_AFTER_DAYS:
        return False, "nothing was planted"
    return True, None
