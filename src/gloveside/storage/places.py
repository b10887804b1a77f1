"""The register: hives, nucs and yards of the operation, and what a reader of notes may know of them."""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import sqlite_utils

from gloveside.extract.register import Register
from gloveside.storage.database import RecordFile, Row, fetch
from gloveside.storage.errors import NotFound, Refused
from gloveside.storage.moments import moment_from, moment_text
from gloveside.storage.rounds import Rounds
from gloveside.storage.words import Words

PlaceKind = Literal["hive", "nuc", "yard"]
_NAME = re.compile(r"(hive|nuc|yard) (\S(?:.*\S)?)")
LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """A registered place. yard: where it was registered to stand (moves since are in its state). retired_at: UTC."""

    place: str
    kind: PlaceKind
    yard: str | None
    breeder: bool
    builder: bool
    remark: str | None
    added_at: datetime
    retired_at: datetime | None


def kind_of_place(place: str) -> PlaceKind:
    """The kind of a canonical place. Raises Refused for anything else."""
    match = _NAME.fullmatch(place)
    if match is None or len(place) > LONGEST_NAME:
        raise Refused(f"{place!r} is not a place. Say it as hive 12, nuc 5 or yard Quarry.")
    kind: PlaceKind = match[1]  # type: ignore[assignment]
    return kind


class Places:
    """The registered places of one record."""

    def __init__(self, file: RecordFile, rounds: Rounds, words: Words) -> None:
        self._file = file
        self._rounds = rounds
        self._words = words

    def add(
        self,
        place: str,
        *,
        yard: str | None = None,
        breeder: bool | None = None,
        builder: bool | None = None,
        remark: str | None = None,
    ) -> PlaceRow:
        """Register a place, or put more about it into the register; what is not given stays. A retired one comes back.

        yard: canonical (`yard Quarry`); it is registered too when it is not yet.
        """
        with self._file.writing() as db:
            kind = kind_of_place(place)
            if yard is not None:
                if kind_of_place(yard) != "yard" or kind == "yard":
                    raise Refused(f"{place} cannot stand in {yard}. Give a yard, as in: yard Quarry.")
                if not fetch(db, "SELECT 1 FROM places WHERE place = ?", [yard]):
                    self._insert(db, yard, "yard")
            if not fetch(db, "SELECT 1 FROM places WHERE place = ?", [place]):
                self._insert(db, place, kind)
            given = {"yard": yard, "breeder": breeder, "builder": builder, "remark": remark}
            db.table("places").update(place, {k: v for k, v in given.items() if v is not None} | {"retired_at": None})
            return self.get(place)

    def _insert(self, db: sqlite_utils.Database, place: str, kind: PlaceKind) -> None:
        db.table("places").insert({"place": place, "kind": kind, "added_at": moment_text(self._file.clock())})

    def retire(self, place: str) -> None:
        """Take a place out of the register; its entries stay, and `add` brings it back. Raises NotFound."""
        with self._file.writing() as db:
            self.get(place)
            db.table("places").update(place, {"retired_at": moment_text(self._file.clock())})

    def get(self, place: str) -> PlaceRow:
        """One registered place. Raises NotFound."""
        row = self._file.row("SELECT * FROM places WHERE place = ?", [place])
        if row is None:
            raise NotFound(f"{place} is not in the register.")
        return _place_row(row)

    def all(self, *, kind: PlaceKind | None = None, retired: bool = False) -> list[PlaceRow]:
        """Registered places in the order of their numbers and names; retired ones only when asked for too."""
        rows = self._file.rows("SELECT * FROM places WHERE (? OR retired_at IS NULL)", [retired])
        return sorted((_place_row(r) for r in rows if kind in (None, r["kind"])), key=lambda r: place_order(r.place))

    def used(self) -> list[str]:
        """Every place that a standing entry names, registered or not, in order."""
        rows = self._file.rows(
            "SELECT DISTINCT p.place FROM entry_places p JOIN entries e ON e.id = p.entry_id WHERE e.ended_at IS NULL"
        )
        return sorted((row["place"] for row in rows), key=place_order)

    def register(self, now: datetime, chat: str, user: str | None = None) -> Register:
        """What a reader of notes may know: places, roles, rounds, the last place of this chat, words, corrections.

        now: aware, in the operation's zone; when the note was spoken, so that notes uploaded late see the place before
        them and not a later one. While nothing is registered `places` stays empty, whatever places were used.
        """
        with self._file.reading() as db:
            rows = fetch(db, "SELECT place, kind, breeder, builder FROM places WHERE retired_at IS NULL")
            builders = {r["place"] for r in rows if r["builder"]}
            mothers = {r["place"] for r in rows if r["breeder"]}
            builders |= {
                r["place"]
                for r in fetch(
                    db,
                    "SELECT DISTINCT place FROM entries WHERE kind IN ('graft', 'builder') AND ended_at IS NULL "
                    "AND place IS NOT NULL",
                )
            }
            mothers |= {
                r["place"]
                for r in fetch(
                    db,
                    "SELECT DISTINCT p.place FROM entries e JOIN entry_places p ON p.entry_id = e.id "
                    "WHERE e.kind = 'graft' AND p.role = 'mother' AND e.ended_at IS NULL",
                )
            }
            last = self._last_place(db, now, chat, user)
        return Register(
            places=frozenset(row["place"] for row in rows),
            builders=frozenset(builders),
            mothers=frozenset(mothers),
            rounds=self._rounds.known(now.date()),
            last_place=last["place"] if last else None,
            last_place_at=moment_from(last["spoken_at"]) if last else None,
            names=tuple(self._words.all()),
            corrections=self._words.corrections(),
        )

    def _last_place(self, db: sqlite_utils.Database, now: datetime, chat: str, user: str | None) -> Row | None:
        by_user, values = ("", []) if user is None else (" AND n.user = ?", [user])
        rows = fetch(
            db,
            "SELECT p.place, n.spoken_at FROM notes n JOIN entries e ON e.note_id = n.id AND e.ended_at IS NULL "
            "JOIN entry_places p ON p.entry_id = e.id AND p.role = 'place' "
            f"WHERE n.chat = ? AND n.state = 'kept' AND n.spoken_at <= ?{by_user} "
            "ORDER BY n.spoken_at DESC, n.id DESC, e.position DESC, e.id DESC LIMIT 1",
            [chat, moment_text(now), *values],
        )
        return rows[0] if rows else None


def place_order(place: str) -> tuple[int, int, str]:
    """Sort key: hives, nucs, yards; numbers by value before names."""
    kind, _, name = place.partition(" ")
    number = re.match(r"\d+", name)
    rank = {"hive": 0, "nuc": 1, "yard": 2}.get(kind, 3)
    return rank, int(number[0]) if number else 1_000_000, name


def _place_row(row: Row) -> PlaceRow:
    return PlaceRow(
        place=row["place"],
        kind=row["kind"],
        yard=row["yard"],
        breeder=bool(row["breeder"]),
        builder=bool(row["builder"]),
        remark=row["remark"],
        added_at=moment_from(row["added_at"]),
        retired_at=moment_from(row["retired_at"]),
    )
