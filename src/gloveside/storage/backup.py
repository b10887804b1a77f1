"""Backups: record and sound files in one ZIP, made while the store is in use, verified when made and when restored."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import re
import shutil
import sqlite3
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from gloveside.storage.audio_files import file_sha256
from gloveside.storage.errors import RecordDamaged, Refused, StoreError
from gloveside.storage.moments import moment_from, moment_text
from gloveside.storage.names import AUDIO_FOLDER, FILE_NAME
from gloveside.storage.store import Store

MANIFEST = "manifest.json"
FORMAT = 1
_MEMBER = re.compile(rf"{re.escape(FILE_NAME)}|{AUDIO_FOLDER}/[0-9a-f]{{2}}/[0-9a-f]{{64}}(\.[a-z0-9]{{1,8}})?")


@dataclass(frozen=True, slots=True)
class BackupReport:
    """What a backup holds.

    size: bytes of the archive; missing_audio: SHA-256 of sounds that the record names but were not in the folder.
    """

    archive: Path
    made_at: datetime
    notes: int
    entries: int
    audio_files: int
    size: int
    missing_audio: tuple[str, ...] = ()


def make_backup(store: Store, target: Path) -> BackupReport:
    """Write a verified backup. target: the archive to write, or a folder, where it is named by the moment (UTC).

    The archive appears under its name only once it was read back and every checksum held. Writers are not held up.
    Raises StoreError when it cannot be written, RecordDamaged when the record itself does not pass SQLite's check.
    """
    made_at = store.file.clock()
    if target.is_dir():
        target = target / f"gloveside-{moment_text(made_at)[:19].replace(':', '')}Z.zip"
    if target.exists():
        raise Refused(f"{target} is there already. Give another name.")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".backup-", dir=target.parent) as work:
            copy = Path(work) / FILE_NAME
            _copy_record(store, copy)
            counts = _check_record(copy)
            # After the record: a sound is on disk before the note that names it, so none of the copy can be absent.
            sounds = list(store.audio.all())
            files = {FILE_NAME: file_sha256(copy)}
            part = Path(work) / "part.zip"
            with zipfile.ZipFile(part, "w") as archive:
                archive.write(copy, FILE_NAME, zipfile.ZIP_DEFLATED)
                for sha256, path in sounds:
                    name = f"{AUDIO_FOLDER}/{path.parent.name}/{path.name}"
                    archive.write(path, name, zipfile.ZIP_STORED)
                    files[name] = sha256
                missing = sorted(set(counts["audio"]) - {sha256 for sha256, _ in sounds})
                manifest = {
                    "format": FORMAT,
                    "made_at": moment_text(made_at),
                    "notes": counts["notes"],
                    "entries": counts["entries"],
                    "missing_audio": missing,
                    "files": files,
                }
                archive.writestr(MANIFEST, json.dumps(manifest, indent=1), zipfile.ZIP_DEFLATED)
            verify_backup(part)
            with part.open("rb+") as stream:
                os.fsync(stream.fileno())
            part.replace(target)
    except OSError as error:
        raise StoreError(
            f"The backup could not be written to {target.parent}: {error}. Choose another folder."
        ) from error
    store.settings.put("backup.last", {"at": moment_text(made_at), "archive": str(target)}, by="backup")
    return _report(target, manifest)


def last_backup(store: Store) -> datetime | None:
    """When the last backup was made (UTC), or None."""
    found = store.settings.get("backup.last")
    return moment_from(found["at"]) if found else None


def verify_backup(archive: Path) -> BackupReport:
    """Read a whole backup and check every file in it. Raises RecordDamaged with the first thing that is wrong."""
    with _opened(archive) as (pack, manifest):
        for name, sha256 in manifest["files"].items():
            if _member_sha256(pack, name) != sha256:
                raise RecordDamaged(f"{name} in {archive.name} is damaged. Use another backup.")
    return _report(archive, manifest)


def restore_backup(archive: Path, folder: Path, *, replace: bool = False) -> BackupReport:
    """Put a backup into a folder, after checking all of it. The store of that folder must not be open.

    replace: a record that is there is moved into `before-restore-…` inside the folder, never deleted; else Refused.
    Raises RecordDamaged, and leaves the folder as it was, when the backup is damaged.
    """
    report = verify_backup(archive)
    present = [
        name for name in (FILE_NAME, f"{FILE_NAME}-wal", f"{FILE_NAME}-shm", AUDIO_FOLDER) if (folder / name).exists()
    ]
    if present and not replace:
        raise Refused(
            f"There is a record in {folder} already. Restore into an empty folder, or say that it may be replaced."
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".restore-", dir=folder) as work, _opened(archive) as (pack, manifest):
            for name in manifest["files"]:
                path = Path(work) / name
                path.parent.mkdir(parents=True, exist_ok=True)
                with pack.open(name) as source, path.open("wb") as out:
                    shutil.copyfileobj(source, out)
                    out.flush()
                    os.fsync(out.fileno())
            _check_record(Path(work) / FILE_NAME)
            if present:
                aside = Path(tempfile.mkdtemp(prefix="before-restore-", dir=folder))
                for name in present:
                    (folder / name).replace(aside / name)
            for name in (AUDIO_FOLDER, FILE_NAME):
                if (Path(work) / name).exists():
                    (Path(work) / name).replace(folder / name)
    except OSError as error:
        raise StoreError(f"The backup could not be restored into {folder}: {error}.") from error
    return report


def _copy_record(store: Store, target: Path) -> None:
    with store.file.reading() as db, contextlib.closing(sqlite3.connect(target)) as copy:
        db.conn.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")


def _check_record(path: Path) -> dict[str, Any]:
    try:
        with contextlib.closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as record:
            verdict = record.execute("PRAGMA integrity_check(1)").fetchone()[0]
            if verdict != "ok":
                raise RecordDamaged(
                    f"The record does not pass SQLite's check: {verdict}. Restore the last good backup."
                )
            if record.execute("PRAGMA foreign_key_check").fetchone() is not None:
                raise RecordDamaged(
                    "Rows of the record point to rows that are not there. Restore the last good backup."
                )
            return {
                "notes": record.execute("SELECT count(*) FROM notes").fetchone()[0],
                "entries": record.execute("SELECT count(*) FROM entries WHERE ended_at IS NULL").fetchone()[0],
                "audio": [
                    row[0]
                    for row in record.execute("SELECT DISTINCT audio_sha256 FROM notes WHERE audio_sha256 NOT NULL")
                ],
            }
    except sqlite3.DatabaseError as error:
        raise RecordDamaged(f"{path.name} is no record that can be read: {error}. Use another backup.") from error


@contextlib.contextmanager
def _opened(archive: Path) -> Iterator[tuple[zipfile.ZipFile, dict[str, Any]]]:
    """(archive, manifest); names outside the expected ones are refused before anything is written."""
    damaged = f"{archive} is no whole backup of Gloveside. Use another backup."
    try:
        with zipfile.ZipFile(archive) as pack:
            manifest = json.loads(pack.read(MANIFEST))
            names = set(pack.namelist()) - {MANIFEST}
            if manifest["format"] != FORMAT or names != set(manifest["files"]) or FILE_NAME not in names:
                raise RecordDamaged(damaged)
            if not all(_MEMBER.fullmatch(name) for name in names):
                raise RecordDamaged(damaged)
            yield pack, manifest
    except (zipfile.BadZipFile, KeyError, ValueError, EOFError, zlib.error) as error:
        raise RecordDamaged(damaged) from error
    except FileNotFoundError as error:
        raise StoreError(f"There is no backup at {archive}.") from error


def _member_sha256(pack: zipfile.ZipFile, name: str) -> str:
    with pack.open(name) as stream:
        digest = hashlib.sha256()
        while chunk := stream.read(1 << 20):
            digest.update(chunk)
    return digest.hexdigest()


def _report(archive: Path, manifest: dict[str, Any]) -> BackupReport:
    return BackupReport(
        archive=archive,
        made_at=moment_from(manifest["made_at"]),
        notes=manifest["notes"],
        entries=manifest["entries"],
        audio_files=len(manifest["files"]) - 1,
        size=archive.stat().st_size,
        missing_audio=tuple(manifest["missing_audio"]),
    )
