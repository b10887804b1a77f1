"""Sums over the record: what a season amounts to. Every number is one SQL query over the standing entries."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from gloveside.storage.database import RecordFile, Row
from gloveside.storage.rounds import RoundRow, Rounds

_SPAN = "e.ended_at IS NULL AND e.on_date BETWEEN ? AND ?"


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of something: what, in which unit, in how many entries. total: None where no entry gave an amount."""

    what: str | None
    unit: str | None
    total: float | None
    times: int


@dataclass(frozen=True, slots=True)
class Sold:
    """Sales of one kind of goods. income: of those entries that gave a price (`priced` pieces of `count`)."""

    goods: str | None
    count: float
    priced: float
    income: float
    times: int


@dataclass(frozen=True, slots=True)
class Reared:
    """What rounds of one group came to. taken, of: of rounds with a take check; laying, checked: nucs looked into."""

    group: str
    rounds: int
    larvae: int
    taken: int
    of: int
    planted: int
    laying: int
    checked: int


@dataclass(frozen=True, slots=True)
class MiteCount:
    """One count. percent: mites in 100 bees; None for a drop count (then mites a day is in `per_day`)."""

    entry_id: int
    place: str | None
    on: date
    method: str | None
    percent: float | None
    per_day: float | None


class Totals:
    """Totals of one record. since, until: local dates of the events, both included."""

    def __init__(self, file: RecordFile, rounds: Rounds) -> None:
        self._file = file
        self._rounds = rounds

    def counts(self, since: date, until: date) -> dict[str, int]:
        """How many entries of each kind."""
        return {
            r["kind"]: r["n"]
            for r in self._span("SELECT e.kind, count(*) AS n", "", since, until, "GROUP BY 1 ORDER BY 1")
        }

    def feed(self, since: date, until: date, place: str | None = None) -> list[Amount]:
        """Feed given, by what and unit."""
        return self._amounts("feed", "$.feed", since, until, place)

    def harvest(self, since: date, until: date, place: str | None = None) -> list[Amount]:
        """Honey taken, by unit."""
        return self._amounts("harvest", None, since, until, place)

    def sales(self, since: date, until: date) -> list[Sold]:
        """Goods sold; an entry without a count counts as one piece."""
        rows = self._span(
            "SELECT json_extract(e.data, '$.goods') AS goods, sum(coalesce(json_extract(e.data, '$.count'), 1)) AS n, "
            "sum(CASE WHEN json_extract(e.data, '$.price') IS NOT NULL "
            "THEN coalesce(json_extract(e.data, '$.count'), 1) ELSE 0 END) AS priced, "
            "total(json_extract(e.data, '$.price') * coalesce(json_extract(e.data, '$.count'), 1)) AS income, "
            "count(*) AS times",
            "AND e.kind = 'sale'",
            since,
            until,
            "GROUP BY 1 ORDER BY 1",
        )
        return [Sold(row["goods"], row["n"], row["priced"], row["income"], row["times"]) for row in rows]

    def matings(self, since: date, until: date) -> dict[str, int]:
        """How many mating checks gave each result (a nuc looked into twice counts twice; see `reared` for queens)."""
        rows = self._span(
            "SELECT json_extract(e.data, '$.result') AS result, count(*) AS n",
            "AND e.kind = 'mating'",
            since,
            until,
            "GROUP BY 1",
        )
        return {row["result"]: row["n"] for row in rows}

    def mites(self, since: date, until: date, place: str | None = None) -> list[MiteCount]:
        """Every mite count, by date."""
        rows = self._span(
            "SELECT e.id, e.place, e.on_date, json_extract(e.data, '$.method') AS method, "
            "coalesce(json_extract(e.data, '$.percent'), "
            "100.0 * json_extract(e.data, '$.mites') / json_extract(e.data, '$.bees')) AS percent, "
            "1.0 * json_extract(e.data, '$.mites') / json_extract(e.data, '$.days') AS per_day",
            "AND e.kind = 'mites' AND (? IS NULL OR e.place = ?)",
            since,
            until,
            "ORDER BY e.on_date, e.id",
            [place, place],
        )
        return [
            MiteCount(r["id"], r["place"], date.fromisoformat(r["on_date"]), r["method"], r["percent"], r["per_day"])
            for r in rows
        ]

    def losses(self, since: date, until: date) -> dict[str, int]:
        """Colonies lost, by cause (`not said` where none was)."""
        rows = self._span(
            "SELECT coalesce(json_extract(e.data, '$.cause'), 'not said') AS cause, count(*) AS n",
            "AND e.kind = 'loss'",
            since,
            until,
            "GROUP BY 1 ORDER BY 2 DESC",
        )
        return {row["cause"]: row["n"] for row in rows}

    def rounds(self, since: date, until: date) -> list[RoundRow]:
        """Rounds grafted on these dates, as they stand at the end of the record."""
        return [row for row in self._rounds.all() if row.grafted and since <= row.grafted <= until]

    def reared(
        self,
        since: date,
        until: date,
        by: Literal["mother", "tool", "builder", "season", "all"],
        season_begins: int = 7,
    ) -> list[Reared]:
        """What the rounds grafted on these dates came to, by mother, tool or cell builder (`not said` where none was).

        A round with several mothers or tools counts for the group `several`. `season`: by the year in which the season
        began; season_begins: its first month (7 in the south, 1 in the north); `all`: one group.
        """
        group_of: dict[str, Callable[[RoundRow], str]] = {
            "mother": lambda r: _one(r.mothers),
            "tool": lambda r: _one(r.tools),
            "builder": lambda r: r.builder or "not said",
            "season": lambda r: _season(r.grafted, season_begins),
            "all": lambda _: "all",
        }
        groups: dict[str, list[RoundRow]] = {}
        for row in self.rounds(since, until):
            groups.setdefault(group_of[by](row), []).append(row)
        return [_reared(group, rows) for group, rows in sorted(groups.items())]

    def larvae_by_tool(self, since: date, until: date) -> dict[str, int]:
        """Larvae grafted with each tool, entry by entry (`not said` where no tool was)."""
        rows = self._span(
            "SELECT coalesce(json_extract(e.data, '$.tool'), 'not said') AS tool, "
            "total(json_extract(e.data, '$.larvae')) AS n",
            "AND e.kind = 'graft'",
            since,
            until,
            "GROUP BY 1 ORDER BY 1",
        )
        return {row["tool"]: int(row["n"]) for row in rows}

    def _amounts(self, kind: str, what: str | None, since: date, until: date, place: str | None) -> list[Amount]:
        column = f"json_extract(e.data, '{what}')" if what else "NULL"
        rows = self._span(
            f"SELECT {column} AS what, json_extract(e.data, '$.unit') AS unit, "
            "sum(json_extract(e.data, '$.amount')) AS total, count(*) AS times",
            "AND e.kind = ? AND (? IS NULL OR e.place = ?)",
            since,
            until,
            "GROUP BY 1, 2 ORDER BY 1, 2",
            [kind, place, place],
        )
        return [Amount(row["what"], row["unit"], row["total"], row["times"]) for row in rows]

    def _span(
        self, select: str, more: str, since: date, until: date, tail: str, values: list[str | None] | None = None
    ) -> list[Row]:
        sql = f"{select} FROM entries e WHERE {_SPAN} {more} {tail}"
        return self._file.rows(sql, [since.isoformat(), until.isoformat(), *(values or [])])


def _season(grafted: date | None, first_month: int) -> str:
    if grafted is None:
        return "not said"
    return str(grafted.year if grafted.month >= first_month else grafted.year - 1)


def _one(names: tuple[str, ...]) -> str:
    return "not said" if not names else names[0] if len(names) == 1 else "several"


def _reared(group: str, rows: list[RoundRow]) -> Reared:
    told = [row for row in rows if row.taken is not None and row.of is not None]
    return Reared(
        group=group,
        rounds=len(rows),
        larvae=sum(row.larvae or 0 for row in rows),
        taken=sum(row.taken or 0 for row in told),
        of=sum(row.of or 0 for row in told),
        planted=sum(row.planted or 0 for row in rows),
        laying=sum(row.laying for row in rows),
        checked=sum(len(row.matings) for row in rows),
    )
