"""Settings that are changed in the chat: a key and a value, with who chose it and when."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from gloveside.storage.database import RecordFile, insert
from gloveside.storage.moments import moment_from, moment_text


class ChosenSettings:
    """Small settings of one record. Values are plain data that JSON can hold."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file

    def get(self, key: str, default: Any = None) -> Any:
        """The value that holds now, or `default` when none was ever chosen."""
        row = self._file.row("SELECT value FROM chosen_settings WHERE key = ? ORDER BY id DESC LIMIT 1", [key])
        return default if row is None else json.loads(row["value"])

    def put(self, key: str, value: Any, by: str) -> None:
        """Choose a value; the earlier ones stay in the history."""
        with self._file.writing() as db:
            row = {"key": key, "value": json.dumps(value), "at": moment_text(self._file.clock()), "by": by}
            insert(db, "chosen_settings", row)

    def all(self) -> dict[str, Any]:
        """Every key with the value that holds now."""
        return {
            row["key"]: json.loads(row["value"]) for row in self._file.rows("SELECT key, value FROM current_settings")
        }

    def history(self, key: str) -> list[tuple[datetime, str, Any]]:
        """(when in UTC, by whom, value), oldest first."""
        rows = self._file.rows("SELECT at, by, value FROM chosen_settings WHERE key = ? ORDER BY id", [key])
        return [(moment_from(row["at"]), row["by"], json.loads(row["value"])) for row in rows]
