"""Tables, indexes and views of the record, as sqlite-utils migrations. One that was released is never edited."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

import sqlite_utils
from sqlite_utils import Migrations

from gloveside.storage import views
from gloveside.storage.errors import RecordDamaged

migrations = Migrations("gloveside")


def _run(db: sqlite_utils.Database, *statements: str) -> None:
    for statement in statements:
        db.conn.execute(statement)


@migrations()
def m001_the_record(db: sqlite_utils.Database) -> None:
    """Notes, what was read in them, what was asked back, what was done, and the entries."""
    _run(
        db,
        """CREATE TABLE notes (
            id INTEGER PRIMARY KEY,
            chat TEXT NOT NULL,
            user TEXT NOT NULL,
            source TEXT NOT NULL,
            message_id TEXT,
            spoken_at TEXT NOT NULL,
            received_at TEXT NOT NULL,
            spoken_on TEXT,
            state TEXT NOT NULL CHECK (state IN
                ('new', 'asked', 'kept', 'heard', 'dropped', 'undone', 'unreadable')),
            text TEXT,
            audio_sha256 TEXT,
            raw TEXT,
            heard TEXT,
            engine TEXT,
            seconds REAL,
            error TEXT
        ) STRICT""",
        "CREATE UNIQUE INDEX notes_message ON notes (chat, message_id) WHERE message_id IS NOT NULL",
        "CREATE INDEX notes_chat_spoken ON notes (chat, spoken_at)",
        "CREATE INDEX notes_state ON notes (state) WHERE state IN ('new', 'asked')",
        "CREATE INDEX notes_audio ON notes (audio_sha256) WHERE audio_sha256 IS NOT NULL",
        """CREATE TABLE readings (
            id INTEGER PRIMARY KEY,
            note_id INTEGER NOT NULL REFERENCES notes (id),
            why TEXT NOT NULL CHECK (why IN ('read', 'answer', 'amend')),
            made_at TEXT NOT NULL,
            superseded_at TEXT,
            data TEXT NOT NULL CHECK (json_valid(data))
        ) STRICT""",
        "CREATE UNIQUE INDEX readings_current ON readings (note_id) WHERE superseded_at IS NULL",
        "CREATE INDEX readings_note ON readings (note_id)",
        """CREATE TABLE doubts (
            id INTEGER PRIMARY KEY,
            note_id INTEGER NOT NULL REFERENCES notes (id),
            entry_index INTEGER,
            field TEXT NOT NULL,
            said TEXT NOT NULL,
            options TEXT NOT NULL CHECK (json_valid(options)),
            ask TEXT NOT NULL,
            state TEXT NOT NULL CHECK (state IN ('open', 'answered', 'void')),
            asked_at TEXT NOT NULL,
            answer TEXT,
            closed_at TEXT
        ) STRICT""",
        "CREATE INDEX doubts_note ON doubts (note_id)",
        "CREATE INDEX doubts_open ON doubts (state) WHERE state = 'open'",
        """CREATE TABLE acts (
            id INTEGER PRIMARY KEY,
            what TEXT NOT NULL CHECK (what IN ('ask', 'keep', 'change', 'amend', 'undo')),
            at TEXT NOT NULL,
            chat TEXT NOT NULL,
            user TEXT NOT NULL,
            note_id INTEGER REFERENCES notes (id),
            detail TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(detail)),
            ended_by INTEGER REFERENCES acts (id)
        ) STRICT""",
        "CREATE INDEX acts_chat ON acts (chat, id)",
        "CREATE INDEX acts_note ON acts (note_id)",
        """CREATE TABLE entries (
            id INTEGER PRIMARY KEY,
            note_id INTEGER NOT NULL REFERENCES notes (id),
            position INTEGER NOT NULL,
            kind TEXT NOT NULL,
            place TEXT,
            round INTEGER,
            on_date TEXT NOT NULL,
            kept_at TEXT NOT NULL,
            data TEXT NOT NULL CHECK (json_valid(data)),
            supersedes INTEGER REFERENCES entries (id),
            superseded_by INTEGER REFERENCES entries (id),
            ended_at TEXT,
            made_by_act INTEGER NOT NULL REFERENCES acts (id),
            ended_by_act INTEGER REFERENCES acts (id)
        ) STRICT""",
        "CREATE INDEX entries_note ON entries (note_id)",
        "CREATE INDEX entries_kind_date ON entries (kind, on_date) WHERE ended_at IS NULL",
        "CREATE INDEX entries_round ON entries (round, on_date) WHERE round IS NOT NULL",
        "CREATE INDEX entries_date ON entries (on_date) WHERE ended_at IS NULL",
        "CREATE INDEX entries_made ON entries (made_by_act)",
        "CREATE INDEX entries_ended ON entries (ended_by_act) WHERE ended_by_act IS NOT NULL",
        "CREATE INDEX entries_supersedes ON entries (supersedes) WHERE supersedes IS NOT NULL",
        """CREATE TABLE entry_places (
            entry_id INTEGER NOT NULL REFERENCES entries (id),
            place TEXT NOT NULL,
            role TEXT NOT NULL CHECK (role IN ('place', 'mother', 'from', 'into', 'to')),
            PRIMARY KEY (entry_id, role, place)
        ) STRICT, WITHOUT ROWID""",
        "CREATE INDEX entry_places_place ON entry_places (place, role)",
    )


@migrations()
def m002_the_operation(db: sqlite_utils.Database) -> None:
    """Places, rounds closed by hand, the operator's words, and settings changed in the chat."""
    _run(
        db,
        """CREATE TABLE places (
            place TEXT PRIMARY KEY,
            kind TEXT NOT NULL CHECK (kind IN ('hive', 'nuc', 'yard')),
            yard TEXT REFERENCES places (place),
            breeder INTEGER NOT NULL DEFAULT 0 CHECK (breeder IN (0, 1)),
            builder INTEGER NOT NULL DEFAULT 0 CHECK (builder IN (0, 1)),
            remark TEXT,
            added_at TEXT NOT NULL,
            retired_at TEXT
        ) STRICT""",
        """CREATE TABLE round_marks (
            id INTEGER PRIMARY KEY,
            round INTEGER NOT NULL,
            open INTEGER NOT NULL CHECK (open IN (0, 1)),
            at TEXT NOT NULL,
            why TEXT
        ) STRICT""",
        "CREATE INDEX round_marks_round ON round_marks (round, id)",
        """CREATE TABLE words (
            word TEXT PRIMARY KEY,
            added_at TEXT NOT NULL,
            removed_at TEXT
        ) STRICT""",
        """CREATE TABLE corrections (
            heard TEXT PRIMARY KEY,
            meant TEXT NOT NULL,
            times INTEGER NOT NULL,
            first_at TEXT NOT NULL,
            last_at TEXT NOT NULL,
            removed_at TEXT
        ) STRICT""",
        """CREATE TABLE chosen_settings (
            id INTEGER PRIMARY KEY,
            key TEXT NOT NULL,
            value TEXT NOT NULL CHECK (json_valid(value)),
            at TEXT NOT NULL,
            by TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX chosen_settings_key ON chosen_settings (key, id)",
    )


@migrations()
def m003_the_chat(db: sqlite_utils.Database) -> None:
    """The inbox, the outbox, and who may speak."""
    _run(
        db,
        """CREATE TABLE intake (
            id INTEGER PRIMARY KEY,
            update_id INTEGER UNIQUE,
            chat TEXT NOT NULL,
            message_id TEXT,
            edited_at TEXT NOT NULL DEFAULT '',
            user TEXT NOT NULL,
            sent_at TEXT NOT NULL,
            kind TEXT NOT NULL,
            file_id TEXT,
            text TEXT,
            payload TEXT NOT NULL CHECK (json_valid(payload)),
            taken_at TEXT NOT NULL,
            state TEXT NOT NULL CHECK (state IN ('new', 'working', 'done', 'poison')),
            tries INTEGER NOT NULL DEFAULT 0,
            retry_at TEXT,
            note_id INTEGER REFERENCES notes (id),
            error TEXT,
            done_at TEXT
        ) STRICT""",
        # Two presses of one button come with the same message: only the update id tells them apart.
        """CREATE UNIQUE INDEX intake_message ON intake (chat, message_id, edited_at)
            WHERE message_id IS NOT NULL AND kind <> 'callback'""",
        "CREATE INDEX intake_open ON intake (state, id) WHERE state IN ('new', 'working')",
        """CREATE TABLE outbox (
            id INTEGER PRIMARY KEY,
            chat TEXT NOT NULL,
            kind TEXT NOT NULL,
            text TEXT NOT NULL,
            attachments TEXT NOT NULL CHECK (json_valid(attachments)),
            buttons TEXT NOT NULL CHECK (json_valid(buttons)),
            reply_to TEXT,
            not_before TEXT,
            dedupe_key TEXT UNIQUE,
            queued_at TEXT NOT NULL,
            state TEXT NOT NULL CHECK (state IN ('queued', 'sending', 'sent', 'given up')),
            tries INTEGER NOT NULL DEFAULT 0,
            retry_at TEXT,
            sent_at TEXT,
            sent_message_id TEXT,
            error TEXT
        ) STRICT""",
        "CREATE INDEX outbox_open ON outbox (chat, id) WHERE state IN ('queued', 'sending')",
        """CREATE INDEX outbox_sent ON outbox (chat, sent_message_id) WHERE sent_message_id IS NOT NULL""",
        """CREATE TABLE people (
            user TEXT PRIMARY KEY,
            name TEXT NOT NULL,
            role TEXT NOT NULL CHECK (role IN ('owner', 'helper')),
            chat TEXT NOT NULL,
            added_at TEXT NOT NULL,
            removed_at TEXT
        ) STRICT""",
        """CREATE TABLE group_chats (
            chat TEXT PRIMARY KEY,
            title TEXT NOT NULL,
            added_by TEXT NOT NULL REFERENCES people (user),
            added_at TEXT NOT NULL,
            removed_at TEXT
        ) STRICT""",
        """CREATE TABLE pairing_codes (
            id INTEGER PRIMARY KEY,
            salt TEXT NOT NULL,
            code_hash TEXT NOT NULL,
            role TEXT NOT NULL CHECK (role IN ('owner', 'helper')),
            made_at TEXT NOT NULL,
            expires_at TEXT NOT NULL,
            used_at TEXT,
            used_by TEXT
        ) STRICT""",
        """CREATE TABLE pairing_tries (
            id INTEGER PRIMARY KEY,
            user TEXT NOT NULL,
            at TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX pairing_tries_user ON pairing_tries (user, at)",
    )


@migrations()
def m004_reminders(db: sqlite_utils.Database) -> None:
    """Reminders: one row for each moment at which the phone should ring."""
    _run(
        db,
        """CREATE TABLE reminders (
            id INTEGER PRIMARY KEY,
            subject TEXT NOT NULL,
            step TEXT NOT NULL,
            step_date TEXT NOT NULL,
            moment TEXT NOT NULL,
            due_at TEXT NOT NULL,
            text TEXT NOT NULL,
            chat TEXT,
            payload TEXT NOT NULL CHECK (json_valid(payload)),
            state TEXT NOT NULL CHECK (state IN ('waiting', 'sent', 'done', 'dropped')),
            made_at TEXT NOT NULL,
            sent_at TEXT,
            times_sent INTEGER NOT NULL DEFAULT 0,
            outbox_id INTEGER REFERENCES outbox (id),
            closed_at TEXT,
            UNIQUE (subject, step, step_date, moment)
        ) STRICT""",
        "CREATE INDEX reminders_due ON reminders (due_at) WHERE state = 'waiting'",
        "CREATE INDEX reminders_outbox ON reminders (outbox_id) WHERE outbox_id IS NOT NULL",
    )


def _known() -> set[str]:
    """Names of all migrations of this version: those that an empty file still lacks."""
    empty = sqlite_utils.Database(memory=True)
    try:
        return {migration.name for migration in migrations.pending(empty)}
    finally:
        empty.close()


def upgrade(db: sqlite_utils.Database, writing: Callable[[], AbstractContextManager[sqlite_utils.Database]]) -> None:
    """Bring an open file to the present schema and its views to the present models.

    Raises RecordDamaged when a newer version of the program has migrated the file further.
    """
    if newer := sorted({migration.name for migration in migrations.applied(db)} - _known()):
        raise RecordDamaged(
            f"This record was written by a newer Gloveside (it knows {newer[-1]}). "
            "Update the program, then open it again."
        )
    if migrations.pending(db):
        with writing():
            # Again inside the lock: another process may have migrated the file meanwhile.
            if migrations.pending(db):
                migrations.apply(db)
    if views.stale(db):
        with writing():
            views.rebuild(db)
