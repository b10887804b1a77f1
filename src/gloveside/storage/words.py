"""The operator's own words, and what the ear hears for them: both feed the reader and the engine's prompt."""

from __future__ import annotations

from gloveside.storage.database import RecordFile
from gloveside.storage.errors import Refused
from gloveside.storage.moments import moment_text

LONGEST = 80


class Words:
    """Words and corrections of one record. Removing keeps the row, so it can come back."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file

    def add(self, word: str) -> None:
        """Teach a word or name in its preferred spelling."""
        word = _tidy(word)
        with self._file.writing() as db:
            db.conn.execute(
                "INSERT INTO words (word, added_at) VALUES (?, ?) ON CONFLICT (word) DO UPDATE SET removed_at = NULL",
                [word, moment_text(self._file.clock())],
            )

    def remove(self, word: str) -> bool:
        """Forget a word; False when it was not known."""
        with self._file.writing() as db:
            done = db.conn.execute(
                "UPDATE words SET removed_at = ? WHERE word = ? AND removed_at IS NULL",
                [moment_text(self._file.clock()), _tidy(word)],
            )
            return bool(done.rowcount)

    def all(self) -> list[str]:
        """Known words, in the order in which they were taught."""
        rows = self._file.rows("SELECT word FROM words WHERE removed_at IS NULL ORDER BY added_at, word")
        return [row["word"] for row in rows]

    def learn(self, heard: str, meant: str) -> None:
        """Note that `meant` was said where `heard` was heard. A newer meaning takes the place of an older one."""
        heard, meant = _tidy(heard).lower(), _tidy(meant)
        if heard == meant.lower():
            return
        now = moment_text(self._file.clock())
        with self._file.writing() as db:
            db.conn.execute(
                "INSERT INTO corrections (heard, meant, times, first_at, last_at) VALUES (?, ?, 1, ?, ?) "
                "ON CONFLICT (heard) DO UPDATE SET times = CASE WHEN meant = excluded.meant THEN times + 1 ELSE 1 END, "
                "meant = excluded.meant, last_at = excluded.last_at, removed_at = NULL",
                [heard, meant, now, now],
            )

    def unlearn(self, heard: str) -> bool:
        """Forget a correction; False when there was none."""
        with self._file.writing() as db:
            done = db.conn.execute(
                "UPDATE corrections SET removed_at = ? WHERE heard = ? AND removed_at IS NULL",
                [moment_text(self._file.clock()), _tidy(heard).lower()],
            )
            return bool(done.rowcount)

    def corrections(self, at_least: int = 1) -> dict[str, str]:
        """Heard -> meant, for those corrected at least so often with the same meaning."""
        rows = self._file.rows(
            "SELECT heard, meant FROM corrections WHERE removed_at IS NULL AND times >= ? ORDER BY heard", [at_least]
        )
        return {row["heard"]: row["meant"] for row in rows}


def _tidy(text: str) -> str:
    tidy = " ".join(text.split())
    if not tidy or len(tidy) > LONGEST:
        raise Refused(f"A word to learn has between 1 and {LONGEST} letters. Say it shorter.")
    return tidy
