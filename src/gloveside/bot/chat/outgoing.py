"""From a reply to rows of the outbox, with its files kept beside the record until they are sent."""

from __future__ import annotations

import hashlib
import os
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gloveside.bot.chat.message_text import clean, pieces
from gloveside.bot.messages import Button, Reply
from gloveside.storage.store import Store

FOLDER = "outgoing"
KEPT_DAYS = 14
_PART = ".part-"


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that goes with a message: where it lies, and the name that the reader sees."""

    path: Path
    name: str


class Outgoing:
    """The folder of files to send, named by content, and the way into the outbox."""

    def __init__(self, store: Store, home: Path) -> None:
        self._store = store
        self._folder = home / FOLDER

    def keep(self, data: bytes, suffix: str) -> str:
        """Store a file's bytes and return its name in the folder."""
        self._folder.mkdir(parents=True, exist_ok=True)
        name = hashlib.sha256(data).hexdigest() + suffix
        target = self._folder / name
        if not target.exists():
            handle, temporary = tempfile.mkstemp(prefix=_PART, dir=self._folder)
            with os.fdopen(handle, "wb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            Path(temporary).replace(target)
        return name

    def attachment(self, kept: dict[str, Any]) -> Attachment:
        """The file of an outbox row."""
        return Attachment(self._folder / Path(str(kept["file"])).name, str(kept["name"]))

    def queue(self, chat: int, reply: Reply, *, key: str, reply_to: int | None = None) -> int:
        """Put a reply into the outbox as one or more messages, in order: text, pictures, files, voice.

        key: names this reply; the same key again queues nothing. Returns the number of messages. The files are written
        first, so call it in the unit of work that marks the cause as done: a kill leaves at most an unused file.
        """
        rows: list[tuple[str, str, list[dict[str, Any]]]] = [("text", part, []) for part in pieces(reply.text)]
        for picture in reply.pictures:
            rows.append(("photo", "", [{"file": self.keep(picture.png, ".png"), "name": clean(picture.name)}]))
        for document in reply.documents:
            suffix = Path(document.name).suffix or ".bin"
            rows.append(("document", "", [{"file": self.keep(document.data, suffix), "name": clean(document.name)}]))
        if reply.voice is not None:
            kept = self.keep(reply.voice.read_bytes(), reply.voice.suffix or ".ogg")
            rows.append(("voice", "", [{"file": kept, "name": "answer.ogg"}]))
        last_text = max((i for i, row in enumerate(rows) if row[0] == "text"), default=0)
        for index, (kind, text, attachments) in enumerate(rows):
            self._store.outbox.queue(
                str(chat),
                kind,
                text,
                attachments=attachments,
                buttons=button_rows(reply.buttons) if index == last_text else [],
                reply_to=str(reply_to) if reply_to is not None and index == 0 else None,
                dedupe_key=f"{key}:{index}",
            )
        return len(rows)

    def tidy(self) -> int:
        """Remove files that were queued over two weeks ago and whose message went out; returns how many."""
        if not self._folder.is_dir():
            return 0
        open_rows = self._store.file.rows("SELECT attachments FROM outbox WHERE state IN ('queued', 'sending')")
        wanted = " ".join(str(row["attachments"]) for row in open_rows)
        oldest = time.time() - KEPT_DAYS * 86400
        gone = 0
        for path in self._folder.iterdir():
            if path.name not in wanted and path.stat().st_mtime < oldest:
                path.unlink(missing_ok=True)
                gone += 1
        return gone


def button_rows(buttons: tuple[tuple[Button, ...], ...]) -> list[list[dict[str, str]]]:
    """Buttons as plain data for the outbox."""
    return [[{"label": b.label, "data": b.data} for b in row] for row in buttons if row]
