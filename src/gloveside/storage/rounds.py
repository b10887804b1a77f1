"""The rounds of the record, found from the entries, and the round that an entry without one belongs to."""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import json
import threading
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta

import sqlite_utils

from gloveside.extract.models import Entry
from gloveside.extract.register import RoundKnown
from gloveside.storage.database import RecordFile, Row, fetch, insert
from gloveside.storage.errors import NotFound
from gloveside.storage.moments import moment_text
from gloveside.storage.round_rows import (
    CLOSED_AFTER_DAYS,
    PREPARED_WITHIN_DAYS,
    Done,
    Fact,
    Outcome,
    RoundRow,
    facts_of,
    outcomes_of,
    round_row,
)

__all__ = ["Done", "RoundRow", "Rounds"]

_WINDOW = {"take": (0, 9), "cells": (0, 16), "incubator": (3, 25), "plant": (7, 18), "builder": (0, 9)}
"""Days after the graft in which a step can belong to a round: the calendar's days, widened for late notes."""
_KINDS_OF_ROUND = ("graft", "take", "cells", "incubator", "plant", "builder")
ANSWERS_REMEMBERED = 64
"""How many sets of rounds are held in memory until something changes."""

_SELECT = (
    "SELECT e.id, e.kind, e.round, e.place, e.on_date, e.data, n.spoken_at, n.spoken_on "
    "FROM entries e JOIN notes n ON n.id = e.note_id WHERE e.ended_at IS NULL"
)


class Rounds:
    """The rounds of one record. Nothing here is stored but a closing or opening by hand."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file
        self._lock = threading.Lock()
        self._version: tuple[int | None, int | None, int | None] = (None, None, None)
        self._remembered: dict[tuple[tuple[int, ...], date | None], list[RoundRow]] = {}

    def get(self, number: int, on: date | None = None) -> RoundRow:
        """One round as seen on a local date (default: the date of the latest entry). Raises NotFound."""
        with self._file.reading() as db:
            found = self._rows(db, [number], on)
        if not found:
            raise NotFound(f"There is no round {number} in the record yet. Say what was grafted to begin it.")
        return found[0]

    def all(self, *, on: date | None = None, open: bool | None = None, since: date | None = None) -> list[RoundRow]:
        """All rounds by number, or only the open or closed ones, or those of which something was done since a date."""
        with self._file.reading() as db:
            if open and on is not None and since is None:
                # Older ones are closed, but for those that were opened again by hand.
                numbers = sorted({*self._numbers(db, on - timedelta(days=CLOSED_AFTER_DAYS)), *self._marked_open(db)})
            else:
                numbers = self._numbers(db, since)
            found = self._rows(db, numbers, on)
        return [row for row in found if open is None or row.open == open]

    def known(self, on: date) -> dict[int, RoundKnown]:
        """Every round in short, for the reader of notes."""
        recent = {row.number: row.known() for row in self.all(on=on, since=on - timedelta(days=CLOSED_AFTER_DAYS + 1))}
        old: dict[int, RoundKnown] = {}
        grafts = self._file.rows(
            "SELECT round, on_date, place, data FROM entries "
            "WHERE kind = 'graft' AND ended_at IS NULL AND round IS NOT NULL ORDER BY on_date, id"
        )
        for row in grafts:
            number, fields = row["round"], json.loads(row["data"])
            if number in recent:
                continue
            before = old.get(number) or RoundKnown(number, date.fromisoformat(row["on_date"]), builder=row["place"])
            bars = tuple(fields.get("bars", ()))
            larvae = fields.get("larvae") or sum(bars)
            larvae = (before.larvae or 0) + larvae or None
            old[number] = replace(before, bars=before.bars + bars, larvae=larvae, open=False)
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

    def _marked_open(self, db: sqlite_utils.Database) -> list[int]:
        return [row["round"] for row in fetch(db, "SELECT DISTINCT round FROM round_marks WHERE open")]

    def _rows(self, db: sqlite_utils.Database, numbers: Sequence[int], on: date | None) -> list[RoundRow]:
        """The given rounds, as worked out before when nothing was kept, changed or closed since."""
        if self._file.in_unit_of_work:
            # Not committed yet, so it must not get into the memory that outlives a rollback.
            return self._work_out(db, numbers, on)
        last = fetch(
            db,
            "SELECT (SELECT max(id) FROM acts) AS act, (SELECT max(id) FROM entries) AS entry, "
            "(SELECT max(id) FROM round_marks) AS mark",
        )[0]
        version = (last["act"], last["entry"], last["mark"])
        key = (tuple(numbers), on)
        with self._lock:
            if version != self._version:
                self._version, self._remembered = version, {}
            if key in self._remembered:
                return list(self._remembered[key])
        found = self._work_out(db, numbers, on)
        with self._lock:
            if version == self._version and len(self._remembered) < ANSWERS_REMEMBERED:
                self._remembered[key] = found
        return list(found)

    def _work_out(self, db: sqlite_utils.Database, numbers: Sequence[int], on: date | None) -> list[RoundRow]:
        """Work out the given rounds in a handful of queries, however many they are."""
        if not numbers:
            return []
        if on is None:
            latest = fetch(db, "SELECT max(on_date) AS d FROM entries WHERE ended_at IS NULL")[0]["d"]
            if latest is None:
                return []
            on = date.fromisoformat(latest)
        marks = ",".join("?" * len(numbers))
        of_round: dict[int, list[Fact]] = defaultdict(list)
        kinds = ",".join(f"'{kind}'" for kind in _KINDS_OF_ROUND)
        sql = f"{_SELECT} AND e.round IN ({marks}) AND e.kind IN ({kinds}) ORDER BY e.on_date, e.id"
        for row, fact in _with_rows(fetch(db, sql, list(numbers))):
            of_round[row["round"]].append(fact)
        if not of_round:
            return []
        first = min(fact.on for facts in of_round.values() for fact in facts)
        early = (first - timedelta(days=PREPARED_WITHIN_DAYS)).isoformat()
        last = (max(f.on for facts in of_round.values() for f in facts) + timedelta(days=CLOSED_AFTER_DAYS)).isoformat()
        loose = facts_of(
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
                "SELECT round, place, on_date FROM entries "
                "WHERE kind = 'graft' AND ended_at IS NULL AND round IS NOT NULL AND on_date BETWEEN ? AND ?",
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
        loose_of = _loose_by_round(loose, grafts)
        outcomes = _outcomes(db, first.isoformat(), last)
        return [
            round_row(n, of_round[n], loose_of.get(n, []), outcomes.get(n, Outcome()), closed.get(n), on)
            for n in numbers
            if n in of_round
        ]


def _with_rows(rows: list[Row]) -> Iterable[tuple[Row, Fact]]:
    return zip(rows, facts_of(rows), strict=True)


def _lacks(row: RoundRow, entry: Entry) -> bool:
    """Whether the thing that an entry tells is still missing in a round."""
    if entry.kind == "take":
        return row.taken is None
    if entry.kind == "plant":
        return row.planted is None
    if entry.kind == "cells" and entry.state == "ripe":
        return row.count_ripe is None
    return True


def _loose_by_round(loose: list[Fact], grafts: list[tuple[int, str | None, date]]) -> dict[int, list[Fact]]:
    """Builder steps and splits without a round, by the round whose graft is the nearest in reach.

    grafts: (round, cell builder, date).
    """
    found: dict[int, list[Fact]] = defaultdict(list)
    grafts = sorted(grafts, key=lambda graft: graft[2])
    dates = [grafted for _, _, grafted in grafts]
    for fact in loose:
        if fact.kind == "split":
            # Splits are made the day before the cells are ripe, about 9 days after the graft.
            first, last, ideal = fact.on - timedelta(days=12), fact.on - timedelta(days=6), fact.on - timedelta(days=9)
        else:
            first, last, ideal = fact.on, fact.on + timedelta(days=PREPARED_WITHIN_DAYS), fact.on
        here = fact.fields.get("place") if fact.kind == "builder" else None
        near = grafts[bisect_left(dates, first) : bisect_right(dates, last)]
        fits = [
            (abs((grafted - ideal).days), n) for n, place, grafted in near if not (here and place and here != place)
        ]
        if fits:
            found[min(fits)[1]].append(fact)
    return found


def _outcomes(db: sqlite_utils.Database, first: str, last: str) -> dict[int, Outcome]:
    rows = db.conn.execute(
        "SELECT p.place, e.kind, e.on_date, e.round, json_extract(e.data, '$.result') "
        "FROM entries e JOIN entry_places p ON p.entry_id = e.id AND p.role = 'place' "
        "WHERE e.kind IN ('plant', 'mating', 'loss') AND e.ended_at IS NULL AND e.on_date BETWEEN ? AND ? "
        "ORDER BY e.on_date, e.id",
        [first, last],
    )
    return outcomes_of(rows)
