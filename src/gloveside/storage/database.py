"""The one SQLite file: one writer at a time, readers beside it, foreign keys on, migrations at open.

Writes go through `RecordFile.writing()`: it holds the process's write lock and a `BEGIN IMMEDIATE`, so another process
that writes at the same time is waited for (busy timeout) instead of failing at once, which is what would happen with
the plain `BEGIN` of `sqlite_utils.Database.atomic()` once something was read. Inside the block the write methods of
sqlite-utils nest by savepoint. Reads go through `RecordFile.reading()`, each on a snapshot of its own.
"""

from __future__ import annotations

import contextlib
import sqlite3
import threading
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import sqlite_utils

from gloveside.storage import schema
from gloveside.storage.errors import RecordDamaged, StoreError
from gloveside.storage.moments import Clock, utc_now

Row = dict[str, Any]
Values = Sequence[Any] | Mapping[str, Any]
BUSY_SECONDS = 30.0
OLDEST_SQLITE = (3, 37, 0)
"""The first with STRICT tables."""
_NO_ROOM = (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN)
IDLE_READERS = 8
"""Connections kept for reading; more are opened under load and closed after."""


class RecordFile:
    """An open record. Safe to use from any thread; close it once, when no thread uses it any more."""

    def __init__(self, path: Path, clock: Clock = utc_now) -> None:
        """Open or create the file and bring it to the present schema.

        Raises RecordDamaged when it is no SQLite file or was written by a newer version, StoreError when the folder
        cannot be used.
        """
        self.path = path
        self.clock = clock
        self._write_lock = threading.RLock()
        self._writer_thread: int | None = None
        self._readers: list[sqlite_utils.Database] = []
        self._readers_lock = threading.Lock()
        self._closed = False
        if sqlite3.sqlite_version_info < OLDEST_SQLITE:
            raise StoreError(
                f"This Python brings SQLite {sqlite3.sqlite_version}, and the record needs "
                f"{'.'.join(map(str, OLDEST_SQLITE))} or newer. Install a newer Python."
            )
        try:
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._writer = self._connect()
            try:
                if self._writer.journal_mode != "wal":
                    self._writer.enable_wal()
                schema.upgrade(self._writer, self.writing)
            except BaseException:
                self._writer.close()
                raise
        except (OSError, sqlite3.OperationalError) as error:
            message = f"{path} cannot be opened: {error}. Check the folder's permissions and free space."
            raise StoreError(message) from error
        except sqlite3.DatabaseError as error:
            message = f"{path} cannot be read as a record: {error}. Keep that file, and restore the last backup."
            raise RecordDamaged(message) from error

    def _connect(self, *, read_only: bool = False) -> sqlite_utils.Database:
        connection = sqlite3.connect(
            self.path, timeout=BUSY_SECONDS, isolation_level=None, check_same_thread=False, cached_statements=256
        )
        try:
            connection.execute("PRAGMA foreign_keys = ON")
            # FULL: a note that was confirmed to the chat service must outlive a power cut.
            connection.execute("PRAGMA synchronous = FULL")
            if read_only:
                connection.execute("PRAGMA query_only = ON")
        except BaseException:
            connection.close()
            raise
        return sqlite_utils.Database(connection)

    @contextlib.contextmanager
    def writing(self) -> Iterator[sqlite_utils.Database]:
        """One unit of work: all of it is kept, or, when the block raises, none. Nests: an inner one is a savepoint."""
        with self._write_lock:
            if self._closed:
                raise StoreError("The record is closed. Open it again.")
            if self._writer_thread is not None:
                with self._writer.atomic():
                    yield self._writer
                return
            try:
                self._writer.conn.execute("BEGIN IMMEDIATE")
            except sqlite3.OperationalError as error:
                raise StoreError(
                    f"The record is busy: {error}. Another program holds {self.path.name}; close it and try again."
                ) from error
            self._writer_thread = threading.get_ident()
            try:
                yield self._writer
                self._writer.conn.execute("COMMIT")
            except BaseException as error:
                if self._writer.conn.in_transaction:
                    self._writer.conn.execute("ROLLBACK")
                if isinstance(error, sqlite3.OperationalError) and error.sqlite_errorcode & 0xFF in _NO_ROOM:
                    raise StoreError(
                        f"The record could not be written: {error}. Nothing of this was kept. Free some disk space, "
                        f"check that {self.path.parent} can be written, and try again."
                    ) from error
                raise
            finally:
                self._writer_thread = None

    @property
    def in_unit_of_work(self) -> bool:
        """Whether this thread is inside `writing()`."""
        return self._writer_thread == threading.get_ident()

    @contextlib.contextmanager
    def reading(self) -> Iterator[sqlite_utils.Database]:
        """A consistent snapshot for reading. Inside this thread's `writing()` block: the unit of work itself."""
        if self.in_unit_of_work:
            yield self._writer
            return
        with self._readers_lock:
            if self._closed:
                raise StoreError("The record is closed. Open it again.")
            reader = self._readers.pop() if self._readers else None
        if reader is None:
            reader = self._connect(read_only=True)
        try:
            reader.conn.execute("BEGIN")
            try:
                yield reader
            finally:
                reader.conn.execute("ROLLBACK")
        finally:
            with self._readers_lock:
                keep = not self._closed and len(self._readers) < IDLE_READERS
                if keep:
                    self._readers.append(reader)
            if not keep:
                reader.close()

    def rows(self, sql: str, arguments: Values = ()) -> list[Row]:
        """All rows of one query, as dictionaries."""
        with self.reading() as db:
            return fetch(db, sql, arguments)

    def row(self, sql: str, arguments: Values = ()) -> Row | None:
        """The first row of one query, or None."""
        rows = self.rows(sql, arguments)
        return rows[0] if rows else None

    def close(self) -> None:
        """Close every connection; waits for a write in progress."""
        with self._write_lock, self._readers_lock:
            if self._closed:
                return
            self._closed = True
            for reader in self._readers:
                reader.close()
            self._readers.clear()
            self._writer.close()


def fetch(db: sqlite_utils.Database, sql: str, arguments: Values = ()) -> list[Row]:
    """All rows of one query on an open connection, as dictionaries."""
    cursor = db.conn.execute(sql, arguments)
    names = [column[0] for column in cursor.description]
    return [dict(zip(names, values, strict=True)) for values in cursor]


def insert(db: sqlite_utils.Database, table: str, row: Row) -> int:
    """Insert one row and return its id.

    Plain SQL on the same connection: `Table.insert` of sqlite-utils looks up the schema before every row.
    """
    names = ", ".join(row)
    marks = ", ".join("?" * len(row))
    cursor = db.conn.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", list(row.values()))  # noqa: S608
    assert cursor.lastrowid is not None  # noqa: S101 - set by every insert; for the type checker
    return cursor.lastrowid


def update(db: sqlite_utils.Database, table: str, row_id: int, values: Row) -> None:
    """Set columns of the row with this id."""
    columns = ", ".join(f"{name} = ?" for name in values)
    db.conn.execute(f"UPDATE {table} SET {columns} WHERE id = ?", [*values.values(), row_id])  # noqa: S608
