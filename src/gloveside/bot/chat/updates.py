"""Reads what the service delivers. Takes nothing for granted: an update may hold anything."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal

Json = dict[str, Any]
Kind = Literal["text", "voice", "callback", "other", "joined", "moved"]

ALLOWED = ("message", "edited_message", "callback_query", "my_chat_member")
"""The kinds of update that we ask the service for."""

LARGEST_ID = 2**53
"""Identifiers have at most 52 significant bits (Bot API)."""

_SOUND_NAME = re.compile(r"\.(ogg|oga|opus|mp3|m4a|mp4|aac|wav|flac|wma|amr|3gp|aiff?|webm|mka)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SoundFile:
    """An audio file before it is fetched. size in bytes and seconds as the service states them, where it does."""

    file_id: str
    size: int | None
    seconds: float | None
    name: str


@dataclass(frozen=True, slots=True)
class Arrival:
    """One update that somebody caused in a chat.

    spoken_at: when the words were first sent (a forwarded message: by the original); edited_at: seconds, for the new
    wording of an earlier message. kind `other`: something we do not read (a picture, a sticker); `joined`: we were put
    into a group; `moved`: the group has a new number, in moved_to. caption_only: the text stood under something that we
    do not read.
    """

    update_id: int
    kind: Kind
    chat: int
    chat_title: str
    private: bool
    user: int
    name: str
    message_id: int
    spoken_at: datetime
    text: str | None = None
    sound: SoundFile | None = None
    tap: str | None = None
    query: str | None = None
    edited_at: int | None = None
    moved_to: int | None = None
    forwarded: bool = False
    caption_only: bool = False


def _object(value: Any) -> Json:
    return value if isinstance(value, dict) else {}


def _id(value: Any) -> int | None:
    return value if isinstance(value, int) and not isinstance(value, bool) and 0 < abs(value) < LARGEST_ID else None


def _number(value: Any) -> float | None:
    ok = isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value < 1e12
    return float(value) if ok else None


def _words(value: Any) -> str | None:
    if not isinstance(value, str):
        return None
    return value.encode("utf-8", "replace").decode("utf-8")


def _moment(value: Any) -> datetime | None:
    """Epoch seconds within a sane span (2013, before bots, to 2100) as an aware moment."""
    if isinstance(value, int) and not isinstance(value, bool) and 1_356_998_400 < value < 4_102_444_800:
        return datetime.fromtimestamp(value, UTC)
    return None


def _sound(message: Json) -> SoundFile | None:
    for field in ("voice", "audio", "video_note", "document"):
        described = _object(message.get(field))
        file_id = _words(described.get("file_id"))
        if not file_id or len(file_id) > 400:
            continue
        name = _words(described.get("file_name")) or f"{field}.ogg"
        mime = _words(described.get("mime_type")) or ""
        if field == "document" and not mime.startswith("audio/") and not _SOUND_NAME.search(name):
            continue
        size = _number(described.get("file_size"))
        return SoundFile(file_id, None if size is None else int(size), _number(described.get("duration")), name[-120:])
    return None


def _spoken_at(message: Json, now: datetime) -> tuple[datetime, bool]:
    """When the words were said, and whether somebody forwarded them. A moment after `now` is taken as `now`."""
    origin = _object(message.get("forward_origin"))
    first = _moment(origin.get("date")) or _moment(message.get("forward_date"))
    sent = _moment(message.get("date"))
    return min(first or sent or now, now), first is not None


def _name(person: Json) -> str:
    parts = [_words(person.get(key)) or "" for key in ("first_name", "last_name")]
    return " ".join(part for part in parts if part).strip()[:80] or "somebody"


def update_id(update: Any) -> int | None:
    """The number of an update, where it has a proper one."""
    return _id(_object(update).get("update_id"))


def read(update: Any, now: datetime) -> Arrival | None:
    """What an update says, or None when nobody can be made out who said it, or a bot did. `now` is aware."""
    update = _object(update)
    number = update_id(update)
    if number is None or number < 0:
        return None
    if "callback_query" in update:
        return _tapped(number, _object(update["callback_query"]), now)
    if "my_chat_member" in update:
        return _joined(number, _object(update["my_chat_member"]), now)
    edited = "edited_message" in update
    message = _object(update.get("edited_message") if edited else update.get("message"))
    chat, person = _object(message.get("chat")), _object(message.get("from"))
    chat_id, user, message_id = _id(chat.get("id")), _id(person.get("id")), _id(message.get("message_id"))
    if chat_id is None or user is None or user < 0 or message_id is None or message_id < 0 or person.get("is_bot"):
        return None
    moved = _id(message.get("migrate_to_chat_id"))
    sound = _sound(message)
    text = _words(message.get("text")) or _words(message.get("caption"))
    edit_date = _moment(message.get("edit_date"))
    if edited and edit_date is None:
        return None
    kind: Kind = "moved" if moved else "voice" if sound else "text" if text and text.strip() else "other"
    spoken_at, forwarded = _spoken_at(message, now)
    return Arrival(
        update_id=number,
        kind=kind,
        chat=chat_id,
        chat_title=(_words(chat.get("title")) or "")[:120],
        private=chat.get("type") == "private",
        user=user,
        name=_name(person),
        message_id=message_id,
        spoken_at=spoken_at,
        text=text,
        sound=sound,
        edited_at=int(edit_date.timestamp()) if edit_date else None,
        moved_to=moved,
        forwarded=forwarded,
        caption_only=sound is None and "text" not in message,
    )


def _tapped(number: int, query: Json, now: datetime) -> Arrival | None:
    person, message = _object(query.get("from")), _object(query.get("message"))
    chat = _object(message.get("chat"))
    chat_id, user, message_id = _id(chat.get("id")), _id(person.get("id")), _id(message.get("message_id"))
    data, query_id = _words(query.get("data")), _words(query.get("id"))
    if chat_id is None or user is None or user < 0 or message_id is None or person.get("is_bot"):
        return None
    if not data or len(data.encode()) > 64 or not query_id or len(query_id) > 64:
        return None
    private = chat.get("type") == "private"
    title = (_words(chat.get("title")) or "")[:120]
    return Arrival(
        number, "callback", chat_id, title, private, user, _name(person), message_id, now, tap=data, query=query_id
    )


def _joined(number: int, change: Json, now: datetime) -> Arrival | None:
    chat, person = _object(change.get("chat")), _object(change.get("from"))
    chat_id, user = _id(chat.get("id")), _id(person.get("id"))
    status = _object(change.get("new_chat_member")).get("status")
    if chat_id is None or user is None or user < 0 or chat.get("type") == "private":
        return None
    if status not in ("member", "administrator"):
        return None
    title = (_words(chat.get("title")) or "")[:120]
    return Arrival(number, "joined", chat_id, title, False, user, _name(person), 0, now)
