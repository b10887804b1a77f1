"""Kept entries: how they are written, found, and followed through their history."""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Any

import sqlite_utils
from pydantic import TypeAdapter

from gloveside.extract.models import Entry
from gloveside.storage.database import RecordFile, insert
from gloveside.storage.errors import NotFound
from gloveside.storage.moments import moment_from, moment_text

entry_adapter: TypeAdapter[Entry] = TypeAdapter(Entry)
"""Reads and checks one entry of any kind."""

_CANONICAL = re.compile(r"(hive|nuc|yard) \S.*")
_ROLE_OF_FIELD = {"place": "place", "places": "place", "mother": "mother", "from": "from", "into": "into", "to": "to"}

COLUMNS = (
    "e.id, e.note_id, e.kind, e.place, e.round, n.user AS operator, n.chat, coalesce(n.heard, n.text, '') AS said, "
    "e.data, e.supersedes, e.superseded_by, e.on_date, n.spoken_at, e.kept_at, e.ended_at"
)
"""What a KeptEntry is made of, in the order of its fields."""
FROM = "FROM entries e JOIN notes n ON n.id = e.note_id"


@dataclass(eq=False)
class KeptEntry:
    """An entry in the record. Read only. Dates and fields are parsed when asked for, as lists can be long.

    said: the text the note was read from.  data: the entry as JSON text.  supersedes, superseded_by: ids of the
    versions before and after it.  …_text: as stored; see `on`, `spoken_at`, `kept_at`, `ended_at`.
    """

    id: int
    note_id: int
    kind: str
    place: str | None
    round: int | None
    operator: str
    chat: str
    said: str
    data: str
    supersedes: int | None
    superseded_by: int | None
    on_text: str
    spoken_text: str
    kept_text: str
    ended_text: str | None

    @cached_property
    def entry(self) -> Entry:
        """The entry as its model."""
        return entry_adapter.validate_json(self.data)

    @cached_property
    def fields(self) -> dict[str, Any]:
        """The entry as a plain dictionary, spelt as in the contract; quicker than `entry`."""
        found: dict[str, Any] = json.loads(self.data)
        return found

    @property
    def on(self) -> date:
        """Local date of the event."""
        return date.fromisoformat(self.on_text)

    @property
    def spoken_at(self) -> datetime:
        """When the note was spoken (UTC)."""
        return moment_from(self.spoken_text)

    @property
    def kept_at(self) -> datetime:
        """When it entered the record (UTC)."""
        return moment_from(self.kept_text)

    @property
    def ended_at(self) -> datetime | None:
        """When it was undone or superseded (UTC); None: it stands."""
        return moment_from(self.ended_text)

    @property
    def current(self) -> bool:
        """Whether it still stands."""
        return self.ended_text is None

    def __eq__(self, other: object) -> bool:
        return isinstance(other, KeptEntry) and self.id == other.id

    def __hash__(self) -> int:
        return hash(self.id)


def kept_entries(db: sqlite_utils.Database, sql: str, values: Sequence[Any] = ()) -> list[KeptEntry]:
    """The entries that a query of COLUMNS finds."""
    return [KeptEntry(*row) for row in db.conn.execute(sql, values)]


def entry_json(entry: Entry) -> str:
    """An entry as it is stored: absent fields left out, aliases as in the contract."""
    return json.dumps(entry_adapter.dump_python(entry, mode="json", by_alias=True), ensure_ascii=False)


def places_in(fields: dict[str, Any]) -> list[tuple[str, str]]:
    """(place, role) of every canonical place that an entry names, without repeats, in order."""
    found: dict[tuple[str, str], None] = {}
    for field, role in _ROLE_OF_FIELD.items():
        value = fields.get(field)
        for name in value if isinstance(value, list) else [value]:
            if isinstance(name, str) and _CANONICAL.fullmatch(name):
                found[(name, role)] = None
    return list(found)


def write_entry(
    db: sqlite_utils.Database,
    *,
    note_id: int,
    position: int,
    data: str,
    act: int,
    at: str,
    supersedes: int | None = None,
) -> int:
    """Write one entry with its places inside the caller's unit of work; ends the one it supersedes."""
    fields = json.loads(data)
    entry_id = insert(
        db,
        "entries",
        {
            "note_id": note_id,
            "position": position,
            "kind": fields["kind"],
            "place": fields.get("place"),
            "round": fields.get("round"),
            "on_date": fields["on"],
            "kept_at": at,
            "data": data,
            "supersedes": supersedes,
            "made_by_act": act,
        },
    )
    db.conn.executemany(
        "INSERT INTO entry_places (entry_id, place, role) VALUES (?, ?, ?)",
        [(entry_id, place, role) for place, role in places_in(fields)],
    )
    if supersedes is not None:
        end_entries(db, [supersedes], act=act, at=at, superseded_by=entry_id)
    return entry_id


def end_entries(
    db: sqlite_utils.Database, ids: Iterable[int], *, act: int, at: str, superseded_by: int | None = None
) -> None:
    """Mark entries as no longer standing; they stay in the history."""
    db.conn.executemany(
        "UPDATE entries SET ended_at = ?, ended_by_act = ?, superseded_by = coalesce(?, superseded_by) "
        "WHERE id = ? AND ended_at IS NULL",
        [(at, act, superseded_by, entry_id) for entry_id in ids],
    )


def by_ids(db: sqlite_utils.Database, ids: Sequence[int]) -> tuple[KeptEntry, ...]:
    """Entries by id, in the order asked for."""
    marks = ",".join("?" * len(ids))
    found = {kept.id: kept for kept in kept_entries(db, f"SELECT {COLUMNS} {FROM} WHERE e.id IN ({marks})", list(ids))}
    return tuple(found[entry_id] for entry_id in ids)


class Entries:
    """The kept entries of one record."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file

    def find(
        self,
        *,
        kind: str | Sequence[str] | None = None,
        place: str | Sequence[str] | None = None,
        role: str | None = None,
        round: int | None = None,
        since: date | None = None,
        until: date | None = None,
        as_of: datetime | None = None,
        text: str | None = None,
        note_id: int | None = None,
        newest_first: bool = False,
        limit: int | None = None,
    ) -> list[KeptEntry]:
        """Entries that stand, by date of the event and then in the order they were kept.

        place: named in the entry in any role, or in `role` (`place`, `mother`, `from`, `into`, `to`) only.
        since, until: local dates of the event, both included.  text: words said in the note or written in the entry.
        as_of: the record as it stood at that moment (aware), without later changes and undos; default: as it stands.
        """
        where: list[str] = []
        values: list[Any] = []
        if as_of is None:
            where.append("e.ended_at IS NULL")
        else:
            where.append("e.kept_at <= ? AND (e.ended_at IS NULL OR e.ended_at > ?)")
            values += [moment_text(as_of)] * 2
        if kind is not None:
            several = [kind] if isinstance(kind, str) else list(kind)
            where.append(f"e.kind IN ({','.join('?' * len(several))})")
            values += several
        if place is not None:
            several = [place] if isinstance(place, str) else list(place)
            in_role = " AND p.role = ?" if role else ""
            where.append(
                "e.id IN (SELECT p.entry_id FROM entry_places p "
                f"WHERE p.place IN ({','.join('?' * len(several))}){in_role})"
            )
            values += several + ([role] if role else [])
        for condition, value in (
            ("e.round = ?", round),
            ("e.note_id = ?", note_id),
            ("e.on_date >= ?", since and since.isoformat()),
            ("e.on_date <= ?", until and until.isoformat()),
        ):
            if value is not None:
                where.append(condition)
                values.append(value)
        if text:
            where.append("(said LIKE ? ESCAPE '\\' OR e.data LIKE ? ESCAPE '\\')")
            values += ["%" + re.sub(r"([\\%_])", r"\\\1", text) + "%"] * 2
        way = "DESC" if newest_first else "ASC"
        sql = f"SELECT {COLUMNS} {FROM} WHERE {' AND '.join(where)} ORDER BY e.on_date {way}, e.id {way}"
        if limit is not None:
            sql += " LIMIT ?"
            values.append(limit)
        with self._file.reading() as db:
            return kept_entries(db, sql, values)

    def get(self, entry_id: int) -> KeptEntry:
        """One entry, standing or not. Raises NotFound."""
        with self._file.reading() as db:
            found = kept_entries(db, f"SELECT {COLUMNS} {FROM} WHERE e.id = ?", [entry_id])
        if not found:
            raise NotFound(f"There is no entry {entry_id} in the record.")
        return found[0]

    def history(self, entry_id: int) -> list[KeptEntry]:
        """All versions of one entry, oldest first, whichever of them is asked for; the last may stand or be undone."""
        chain = f"""WITH RECURSIVE
            back (id) AS (
                SELECT ? UNION
                SELECT e.supersedes FROM entries e JOIN back ON e.id = back.id WHERE e.supersedes IS NOT NULL),
            line (id) AS (
                SELECT id FROM back UNION SELECT e.id FROM entries e JOIN line ON e.supersedes = line.id)
            SELECT {COLUMNS} {FROM} WHERE e.id IN (SELECT id FROM line) ORDER BY e.id"""
        with self._file.reading() as db:
            found = kept_entries(db, chain, [entry_id])
        if not found:
            raise NotFound(f"There is no entry {entry_id} in the record.")
        return found

    def count(self) -> int:
        """How many entries stand."""
        row = self._file.row("SELECT count(*) AS n FROM entries WHERE ended_at IS NULL")
        return int(row["n"]) if row else 0
