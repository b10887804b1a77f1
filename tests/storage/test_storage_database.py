"""The file itself: whole units of work or none, several writers, crashes, older and newer files."""

# ruff: noqa: PT012 - a unit of work that fails half-way is the thing tested.
from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
import sqlite_utils

from gloveside.extract.models import Inspection, Reading
from gloveside.storage import schema, views
from gloveside.storage.database import RecordFile
from gloveside.storage.errors import RecordDamaged, StoreError
from gloveside.storage.store import FILE_NAME, Store

ON = date(2026, 11, 20)
AT = datetime(2026, 11, 20, 1, 0, tzinfo=UTC)


def keep_one(store: Store, message: str, place: str = "hive 1") -> None:
    note = store.notes.add(chat="c", user="u", source="t", spoken_at=AT, text=message, message_id=message)
    store.notes.finish(note, Reading(entries=[Inspection(on=ON, place=place)]), ON, True)


def test_the_file_is_set_up_for_safety(store):
    pragmas = {name: store.file.row(f"PRAGMA {name}") for name in ("journal_mode", "foreign_keys", "synchronous")}
    assert pragmas == {
        "journal_mode": {"journal_mode": "wal"},
        "foreign_keys": {"foreign_keys": 1},
        "synchronous": {"synchronous": 2},
    }


def test_an_exception_leaves_nothing_of_the_unit_of_work(store):
    class Stop(Exception):
        pass

    with pytest.raises(Stop), store.together():
        keep_one(store, "a")
        store.outbox.queue("c", "text", "kept")
        store.intake.take_in(update_id=1, chat="c", message_id="1", user="u", sent_at=AT, kind="text")
        assert store.entries.count() == 1, "the unit of work sees its own writes"
        raise Stop
    assert store.entries.count() == 0
    assert store.notes.by_message("c", "a") is None
    assert (store.outbox.waiting(), store.intake.pending()) == (0, [])


def test_a_failing_inner_unit_leaves_the_outer_one_whole(store):
    with store.together():
        keep_one(store, "a")
        with pytest.raises(ZeroDivisionError), store.together():
            keep_one(store, "b")
            raise ZeroDivisionError
        keep_one(store, "c")
    assert [n.id for n in store.notes.unfinished()] == []
    assert store.entries.count() == 2
    assert store.notes.by_message("c", "b") is None


def test_foreign_keys_hold(store):
    with pytest.raises(sqlite3.IntegrityError), store.file.writing() as db:
        db.conn.execute("INSERT INTO doubts VALUES (1, 99, 0, 'place', '', '[]', '?', 'open', 'now', NULL, NULL)")


def test_columns_hold_their_types_and_states(store):
    keep_one(store, "a")
    for broken in (
        "UPDATE entries SET round = 'three'",
        "UPDATE notes SET state = 'lost'",
        "UPDATE entries SET data = '{'",
    ):
        with pytest.raises(sqlite3.IntegrityError), store.file.writing() as db:
            db.conn.execute(broken)


def test_reading_connections_cannot_write(store):
    with pytest.raises(sqlite3.OperationalError, match="readonly"), store.file.reading() as db:
        db.conn.execute("DELETE FROM notes")


def test_a_reader_keeps_its_snapshot_while_another_thread_writes(store):
    keep_one(store, "a")
    with store.file.reading() as db:
        before = db.conn.execute("SELECT count(*) FROM entries").fetchone()[0]
        writer = threading.Thread(target=keep_one, args=(store, "b"))
        writer.start()
        writer.join(10)
        assert not writer.is_alive()
        assert db.conn.execute("SELECT count(*) FROM entries").fetchone()[0] == before == 1
    assert store.entries.count() == 2


def test_two_threads_write_at_once_and_nothing_is_lost(store):
    errors: list[BaseException] = []

    def work(name: str) -> None:
        try:
            for i in range(40):
                keep_one(store, f"{name}{i}", f"hive {i}")
                store.entries.find(place=f"hive {i}")
        except BaseException as error:
            errors.append(error)

    threads = [threading.Thread(target=work, args=(name,)) for name in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert errors == []
    assert store.entries.count() == 80
    assert store.file.row("SELECT count(*) AS n FROM entry_places") == {"n": 80}


def test_two_stores_read_then_write_without_database_is_locked(store, folder, clock):
    """With a plain BEGIN the second one would fail at once: a stale read transaction cannot become a write."""
    with Store.open(folder, clock) as other:
        errors: list[BaseException] = []

        def work(which: Store, name: str) -> None:
            try:
                for i in range(30):
                    with which.together():
                        which.entries.count()
                        keep_one(which, f"{name}{i}")
            except BaseException as error:
                errors.append(error)

        threads = [threading.Thread(target=work, args=pair) for pair in ((store, "a"), (other, "b"))]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(60)
        assert errors == []
    assert store.entries.count() == 60


CHILD = """
import sys
from datetime import date, datetime, UTC
from pathlib import Path
from gloveside.extract.models import Inspection, Reading
from gloveside.storage.store import Store
store = Store.open(Path(sys.argv[1]))
on, at = date(2026, 11, 20), datetime(2026, 11, 20, 1, tzinfo=UTC)
for i in range(100_000):
    with store.together():
        name = f"{sys.argv[2]}-{i}"
        note = store.notes.add(chat="c", user="u", source="t", spoken_at=at, text=name, message_id=name)
        store.notes.finish(note, Reading(entries=[Inspection(on=on, place="hive 1")] * 3), on, True)
        store.outbox.queue("c", "text", name)
    print(name, flush=True)
"""


def test_kills_keep_all_that_was_confirmed_and_no_halves(folder):
    for run, lines in enumerate((1, 13, 29)):
        child = subprocess.Popen(
            [sys.executable, "-c", CHILD, str(folder), str(run)], stdout=subprocess.PIPE, text=True
        )
        assert child.stdout is not None
        confirmed = [child.stdout.readline().strip() for _ in range(lines)]
        os.kill(child.pid, signal.SIGKILL)
        confirmed += [line.strip() for line in child.stdout if line.endswith("\n")]
        child.wait(10)
        child.stdout.close()
        with Store.open(folder) as store:
            notes = store.file.row("SELECT count(*) AS n FROM notes")["n"]
            assert all(store.notes.by_message("c", message) for message in confirmed)
            assert len(confirmed) >= lines
            assert store.entries.count() == 3 * notes
            assert store.outbox.waiting() == notes
            assert store.file.row("PRAGMA integrity_check") == {"integrity_check": "ok"}
            assert store.file.rows("PRAGMA foreign_key_check") == []


# -- schema ----------------------------------------------------------------------------------------------


def _older_file(path: Path, before: str) -> None:
    path.parent.mkdir(parents=True)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        db = sqlite_utils.Database(connection)
        schema.migrations.apply(db, stop_before=before)
        connection.execute(
            "INSERT INTO notes (chat, user, source, spoken_at, received_at, spoken_on, state, text) VALUES "
            "('c', 'u', 't', '2026-11-20T01:00:00.000000+00:00', '2026-11-20T01:00:00.000000+00:00', '2026-11-20', "
            "'kept', 'hive 1')"
        )
        connection.execute("INSERT INTO acts (what, at, chat, user, note_id) VALUES ('keep', 'now', 'c', 'u', 1)")
        connection.execute(
            "INSERT INTO entries (note_id, position, kind, place, on_date, kept_at, data, made_by_act) VALUES (1, 0, "
            "'inspection', 'hive 1', '2026-11-20', '2026-11-20T01:00:00.000000+00:00', "
            """'{"kind": "inspection", "on": "2026-11-20", "sure": 1.0, "place": "hive 1"}', 1)"""
        )
        connection.execute("INSERT INTO entry_places VALUES (1, 'hive 1', 'place')")


@pytest.mark.parametrize("before", ["m002_the_operation", "m003_the_chat", "m004_reminders"])
def test_an_older_file_is_brought_up_with_all_its_rows(folder, clock, before):
    _older_file(folder / FILE_NAME, before)
    with Store.open(folder, clock) as store:
        assert [e.entry for e in store.entries.find()] == [Inspection(on=ON, place="hive 1")]
        assert store.notes.undo("c") is not None
        assert store.reminders.due(AT) == []
        assert schema.migrations.pending(sqlite_utils.Database(store.file.path)) == []


def test_opening_twice_writes_nothing(folder, clock):
    Store.open(folder, clock).close()
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        before = (
            connection.execute("PRAGMA schema_version").fetchone(),
            list(connection.execute("SELECT * FROM _sqlite_migrations")),
        )
    Store.open(folder, clock).close()
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        after = (
            connection.execute("PRAGMA schema_version").fetchone(),
            list(connection.execute("SELECT * FROM _sqlite_migrations")),
        )
    assert before == after


def test_a_newer_file_is_refused_and_left_alone(folder, clock):
    Store.open(folder, clock).close()
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        connection.execute(
            "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('gloveside', 'm999_later', 'x')"
        )
        connection.commit()
    with pytest.raises(RecordDamaged, match=r"newer Gloveside.*Update the program"):
        Store.open(folder, clock)


@pytest.mark.parametrize("content", [b"not a record at all" * 100, b"SQLite format 3\x00" + b"\x00" * 200])
def test_a_file_that_is_no_record_is_refused_with_a_sentence_and_kept(folder, clock, content):
    folder.mkdir()
    (folder / FILE_NAME).write_bytes(content)
    with pytest.raises(RecordDamaged, match="restore the last backup"):
        Store.open(folder, clock)
    assert (folder / FILE_NAME).read_bytes() == content


def test_a_folder_that_cannot_be_made_is_refused_with_a_sentence(tmp_path, clock):
    (tmp_path / "file").write_text("x")
    with pytest.raises(StoreError, match="cannot be opened"):
        Store.open(tmp_path / "file" / "home", clock)


def test_a_closed_store_says_so(folder, clock):
    store = Store.open(folder, clock)
    store.close()
    store.close()
    with pytest.raises(StoreError, match="closed"):
        store.entries.count()
    with pytest.raises(StoreError, match="closed"):
        keep_one(store, "x")


def test_every_kind_has_a_view_that_reads_well(store, say):
    say(Inspection(on=ON, place="hive 12", queen="queenright", brood_frames=8), text="hive 12 is queenright")
    row = store.file.row("SELECT * FROM kept_inspection")
    assert (row["on"], row["place"], row["queen"], row["brood_frames"]) == ("2026-11-20", "hive 12", "queenright", 8)
    assert row["said"] == "hive 12 is queenright"
    names = {r["name"] for r in store.file.rows("SELECT name FROM sqlite_master WHERE type = 'view'")}
    assert {f"kept_{views.kind_of(model)}" for model in views.entry_models()} <= names
    for name in names:
        store.file.rows(f'SELECT * FROM "{name}"')


def test_views_of_an_older_version_are_made_anew_and_own_views_stay(folder, clock):
    Store.open(folder, clock).close()
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        connection.execute("DROP VIEW kept_graft")
        connection.execute("CREATE VIEW kept_graft AS SELECT 1 AS old")
        connection.execute("CREATE VIEW my_hives AS SELECT 'mine' AS hive")
    with Store.open(folder, clock) as store:
        assert store.file.rows("SELECT * FROM kept_graft") == []
        assert store.file.rows("SELECT * FROM my_hives") == [{"hive": "mine"}]


def test_a_full_disk_gets_a_sentence_and_leaves_nothing(store):
    keep_one(store, "a")
    pages = store.file.row("PRAGMA page_count")["page_count"]
    store.file._writer.conn.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(StoreError, match="Free some disk space"), store.together():
        for n in range(500):
            keep_one(store, f"more{n}")
    assert store.entries.count() == 1
    store.file._writer.conn.execute("PRAGMA max_page_count = 1000000")
    keep_one(store, "b")
    assert store.entries.count() == 2


def test_an_old_sqlite_gets_a_sentence(folder, clock, monkeypatch):
    monkeypatch.setattr("sqlite3.sqlite_version_info", (3, 31, 1))
    with pytest.raises(StoreError, match="Install a newer Python"):
        Store.open(folder, clock)
    assert not folder.exists()


def test_a_writer_that_waits_too_long_gets_a_sentence(folder, clock, monkeypatch):
    monkeypatch.setattr("gloveside.storage.database.BUSY_SECONDS", 0.05)
    file = RecordFile(folder / FILE_NAME, clock)
    with closing(sqlite3.connect(folder / FILE_NAME, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        started = time.monotonic()
        with pytest.raises(StoreError, match="busy"), file.writing():
            pass
        assert time.monotonic() - started < 5
    file.close()
