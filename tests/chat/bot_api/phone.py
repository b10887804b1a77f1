"""The operator's side: types, speaks, taps, edits and forwards, and reads what comes back."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

from bot_api.world import Json, Sent, World


class Phone:
    """One person in one chat (their private chat with the bot, or a group)."""

    def __init__(self, world: World, user: int, name: str = "Moana", chat: int | None = None) -> None:
        self.world = world
        self.user = user
        self.chat = user if chat is None else chat
        self.person: Json = {"id": user, "is_bot": False, "first_name": name, "language_code": "en"}
        if chat is None:
            world.chats.setdefault(user, {"id": user, "type": "private", "first_name": name})
        else:
            world.chats.setdefault(chat, {"id": chat, "type": "supergroup", "title": "Marrow Hill yard"})

    def _post(self, body: Json, spoken: int | None = None) -> int:
        message = self.world.keep_message(self.chat, {"from": self.person, **body})
        if spoken is not None:
            message["date"] = spoken
        self.world.push("message", message)
        return int(message["message_id"])

    def type(self, text: str, **more: Any) -> int:
        """Send a text; returns its message id."""
        body: Json = {"text": text, **more}
        if text.startswith("/"):
            body["entities"] = [{"type": "bot_command", "offset": 0, "length": len(text.split()[0])}]
        return self._post(body)

    def voice(
        self, audio: Path | bytes, seconds: int = 3, *, size: int | None = None, spoken: int | None = None, **more: Any
    ) -> int:
        """Send a voice note; `size` pretends another file size. Returns its message id."""
        data = audio.read_bytes() if isinstance(audio, Path) else audio
        described = self.world.store_file("voice", "note.oga", data)
        if size is not None:
            described["file_size"] = size
        return self._post({"voice": {**described, "duration": seconds, "mime_type": "audio/ogg"}, **more}, spoken)

    def send_audio(
        self, name: str, data: bytes, kind: str = "audio", mime: str = "audio/mpeg", seconds: int = 3
    ) -> int:
        """Send a sound file as `audio` or `document`."""
        described = self.world.store_file("music" if kind == "audio" else "documents", name, data)
        extra: Json = {"duration": seconds} if kind == "audio" else {}
        return self._post({kind: {**described, "file_name": name, "mime_type": mime, **extra}})

    def forward_voice(self, audio: Path | bytes, spoken: int, seconds: int = 3) -> int:
        """Forward a voice note that was first sent at `spoken` (epoch seconds)."""
        origin = {"type": "user", "date": spoken, "sender_user": self.person}
        return self.voice(audio, seconds, forward_origin=origin)

    def edit(self, message_id: int, text: str) -> None:
        """Change the text (or, for a voice note, the caption) of an own message."""
        with self.world.changed:
            message = self.world.messages[self.chat, message_id]
            message = {**message, ("text" if "text" in message else "caption"): text, "edit_date": int(time.time())}
            self.world.messages[self.chat, message_id] = message
        self.world.push("edited_message", message)

    def tap(self, sent: Sent, data: str | None = None) -> str:
        """Press a button under a message of the bot (the first, or the one with this data); returns the query's id."""
        if data is None:
            data = sent.buttons[0]["callback_data"]
        query = self.world.new_query()
        with self.world.changed:
            message = self.world.messages[sent.chat, sent.message_id]
        self.world.push(
            "callback_query",
            {"id": query, "from": self.person, "message": message, "chat_instance": "71", "data": data},
        )
        return query

    @property
    def inbox(self) -> list[Sent]:
        """What the bot has sent here, in order."""
        return self.world.to(self.chat)

    def read(self, containing: str, after: int = 0, deadline: float = 10.0) -> Sent:
        """Wait for a message of the bot with this text in it, with a message id over `after`."""
        found: Sent = self.world.wait(
            lambda: next((s for s in self.inbox if containing in s.text and s.message_id > after), None),
            deadline,
            f"a message with {containing!r}",
        )
        return found
