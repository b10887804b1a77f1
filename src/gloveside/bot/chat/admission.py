"""Who may speak, and what each arrival becomes: a row in the inbox, a line in answer, or nothing.

Everything here runs inside one unit of work on the record, before the service is told that the updates have arrived.
"""

from __future__ import annotations

import logging
import re
import sqlite3
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from gloveside.bot.chat import lines, updates
from gloveside.bot.chat.overtaking import looks_like_question
from gloveside.bot.chat.rate import RateLimit
from gloveside.bot.chat.updates import Arrival
from gloveside.storage.errors import Refused, StoreError
from gloveside.storage.store import Store

log = logging.getLogger(__name__)

LARGEST_DOWNLOAD = 20 * 1000 * 1000
"""Bytes that the service hands to a bot (Bot API, getFile: 20 MB)."""
LONGEST_NOTE = 600.0
"""Seconds."""
LONGEST_TYPED = 20_000
STRANGERS_ANSWERED_AN_HOUR = 30

COMMANDS = {"due": "what's due", "undo": "scratch that", "chart": "chart", "calendar": "calendar", "tables": "tables"}
"""Commands that stand for something said."""
MENU = (
    ("due", "What is due"),
    ("undo", "Take back the last note"),
    ("chart", "The timeline of the round"),
    ("calendar", "The rounds for your phone's calendar"),
    ("tables", "All entries as tables"),
    ("help", "How to speak to me"),
)

_CODE = re.compile(r"\s*(?:/start\s+)?([A-Za-z2-9]{4}\s?-?\s?[A-Za-z2-9]{4})\s*")
_PRINTED_CODE = re.compile(r"\s*(?:/start\s+)?[A-Z2-9]{4}-[A-Z2-9]{4}\s*")
_COMMAND = re.compile(r"/([a-z0-9_]{1,32})(?:@(\w+))?(?:\s+(.*))?", re.DOTALL)

VOICE, TEXT, QUESTION, TAP = "voice", "text", "question", "callback"


@dataclass(slots=True)
class Admitted:
    """What a batch of updates came to.

    heard, seconds: chat → number and length of new recordings; typed: chats with a new text; taps: queries to answer at
    once; queued: whether anything was put into the outbox; new: rows in the inbox.
    """

    heard: dict[int, int] = field(default_factory=dict)
    seconds: dict[int, float] = field(default_factory=dict)
    typed: set[int] = field(default_factory=set)
    taps: list[str] = field(default_factory=list)
    queued: bool = False
    new: int = 0


class Admission:
    """Decides for one record. username: the bot's own, to know commands meant for another bot."""

    def __init__(
        self,
        store: Store,
        *,
        rate: RateLimit | None = None,
        overtakes: Callable[[str], bool] = looks_like_question,
    ) -> None:
        self._store = store
        self._rate = rate or RateLimit()
        self._overtakes = overtakes
        self._strangers: list[datetime] = []
        self.username = ""

    def admit(self, batch: Iterable[Any], now: datetime) -> Admitted:
        """Take in raw updates; committed as one unit of work. An update that cannot be understood is left out.

        Raises StoreError, sqlite3.Error or OSError when the record cannot be written: nothing was taken in then.
        """
        result = Admitted()
        with self._store.together():
            for update in batch:
                try:
                    arrival = updates.read(update, now)
                    if arrival is not None:
                        with self._store.together():
                            self._one(arrival, now, result)
                except (StoreError, sqlite3.Error, OSError):
                    raise
                except Exception:
                    # One update that trips us must not hold up those behind it for ever.
                    log.exception("update %s left out", updates.update_id(update))
        return result

    # -- one arrival --------------------------------------------------------------------------------------------------

    def _one(self, a: Arrival, now: datetime, result: Admitted) -> None:
        person = self._store.people.get(str(a.user))
        if a.kind == "moved":
            if person is not None and a.moved_to is not None:
                self._store.people.move_group(str(a.chat), str(a.moved_to))
                self._store.outbox.move_chat(str(a.chat), str(a.moved_to))
            return
        if person is None:
            self._stranger(a, now, result)
            return
        if not a.private and not self._store.people.may_speak(str(a.user), str(a.chat)):
            self._unpaired_group(a, person.role == "owner", result)
            return
        if a.kind == "joined":
            return
        if not self._rate.allows(a.user, now):
            self._say(a, lines.TOO_MUCH, f"too much:{a.user}:{int(now.timestamp()) // 300}", result)
            return
        if a.kind == "callback":
            self._take(a, TAP, result, payload={"tap": a.tap, "query": a.query})
        elif a.kind == "voice":
            self._recording(a, result)
        elif a.kind == "text":
            if a.caption_only:
                self._say(a, lines.CAPTION_ONLY, f"caption:{a.update_id}", result)
            self._typed(a, result)
        else:
            self._say(a, lines.NOT_READABLE, f"unreadable:{a.update_id}", result)

    def _recording(self, a: Arrival, result: Admitted) -> None:
        sound = a.sound
        if sound is None:
            return
        if sound.size is not None and sound.size > LARGEST_DOWNLOAD:
            self._say(a, lines.too_big(sound.size, LARGEST_DOWNLOAD), f"too big:{a.update_id}", result)
            return
        if sound.seconds is not None and sound.seconds > LONGEST_NOTE:
            self._say(a, lines.too_long(sound.seconds, LONGEST_NOTE), f"too long:{a.update_id}", result)
            return
        payload = {"name": sound.name, "size": sound.size, "seconds": sound.seconds, "forwarded": a.forwarded}
        if self._take(a, VOICE, result, text=a.text, file_id=sound.file_id, payload=payload):
            result.heard[a.chat] = result.heard.get(a.chat, 0) + 1
            result.seconds[a.chat] = result.seconds.get(a.chat, 0.0) + (sound.seconds or 0.0)

    def _typed(self, a: Arrival, result: Admitted) -> None:
        text = (a.text or "")[:LONGEST_TYPED]
        if _PRINTED_CODE.fullmatch(text):
            self._say(a, lines.PAIRED_ALREADY, f"paired already:{a.update_id}", result)
            return
        if command := _COMMAND.fullmatch(text):
            name, addressee, rest = command.group(1), command.group(2), command.group(3)
            if addressee and self.username and addressee.lower() != self.username.lower():
                return
            if name in COMMANDS:
                text = COMMANDS[name]
            elif name in ("help", "start"):
                self._say(a, lines.HELP, f"help:{a.update_id}", result)
                return
            elif name == "pair" and not a.private:
                self._say(a, lines.GROUP_PAIRED, f"group:{a.update_id}", result)
                return
            else:
                text = f"{name.replace('_', ' ')} {rest or ''}".strip()
        kind = QUESTION if a.edited_at is None and self._overtakes(text) else TEXT
        if self._take(a, kind, result, text=text, payload={"forwarded": a.forwarded}):
            result.typed.add(a.chat)

    # -- those who are not let in -------------------------------------------------------------------------------------

    def _stranger(self, a: Arrival, now: datetime, result: Admitted) -> None:
        """A right code pairs. Anything else gets one polite line a day and is not kept."""
        if not a.private or a.kind in ("callback", "joined") or a.edited_at is not None:
            return
        code = _CODE.fullmatch(a.text or "") if a.kind == "text" else None
        if code:
            try:
                person = self._store.people.pair(code.group(1), user=str(a.user), name=a.name, chat=str(a.chat))
            except Refused as refused:
                self._say(a, str(refused), f"tries:{a.user}:{now.date()}", result)
                return
            line = lines.WRONG_CODE if person is None else lines.paired(person.name, person.role)
            self._say(a, line, f"pairing:{a.update_id}", result)
            return
        self._strangers = [at for at in self._strangers if now - at < timedelta(hours=1)]
        if len(self._strangers) >= STRANGERS_ANSWERED_AN_HOUR:
            return
        if self._say(a, lines.STRANGER, f"stranger:{a.user}:{now.date()}", result):
            self._strangers.append(now)

    def _unpaired_group(self, a: Arrival, owner: bool, result: Admitted) -> None:
        command = _COMMAND.fullmatch(a.text or "") if a.kind == "text" else None
        if command and command.group(1) == "pair":
            if not owner:
                self._say(a, lines.GROUP_OWNER_ONLY, f"group:{a.update_id}", result)
                return
            self._store.people.add_group(str(a.chat), a.chat_title, str(a.user))
            self._say(a, lines.GROUP_PAIRED, f"group:{a.update_id}", result)
        elif a.kind == "joined" and owner:
            self._say(a, lines.GROUP_INVITE, f"invite:{a.chat}", result)

    # -- writing ------------------------------------------------------------------------------------------------------

    def _take(
        self,
        a: Arrival,
        kind: str,
        result: Admitted,
        *,
        payload: dict[str, Any],
        text: str | None = None,
        file_id: str | None = None,
    ) -> bool:
        new = self._store.intake.take_in(
            update_id=a.update_id,
            chat=str(a.chat),
            message_id=str(a.message_id),
            user=str(a.user),
            sent_at=a.spoken_at,
            kind=kind,
            file_id=file_id,
            text=text,
            payload=payload,
            edited_at=None if a.edited_at is None else datetime.fromtimestamp(a.edited_at, UTC),
        )
        result.new += new
        if a.query:
            result.taps.append(a.query)
        return new

    def _say(self, a: Arrival, text: str, key: str, result: Admitted) -> bool:
        """Queue a line of our own, once for this key; whether it is new."""
        before = self._store.outbox.waiting()
        self._store.outbox.queue(str(a.chat), "text", text, dedupe_key=key)
        new = self._store.outbox.waiting() > before
        result.queued |= new
        return new
