"""The methods of the Bot API that a note-taking bot may use, with the refusals of the real service."""

from __future__ import annotations

import re
import struct
import time
from collections.abc import Callable
from typing import Any

from bot_api.world import ApiError, Json, Sent, World

Files = dict[str, tuple[str, bytes]]
LONGEST_TEXT = 4096
LONGEST_CAPTION = 1024
LARGEST_DOWNLOAD = 20 * 1024 * 1024
LARGEST_UPLOAD = 50 * 1024 * 1024
LARGEST_PHOTO = 10 * 1024 * 1024
ACTIONS = {
    "typing", "upload_photo", "record_video", "upload_video", "record_voice", "upload_voice", "upload_document",
    "choose_sticker", "find_location", "record_video_note", "upload_video_note",
}  # fmt: skip


def bad(reason: str) -> ApiError:
    return ApiError(400, f"Bad Request: {reason}")


def utf16(text: str) -> int:
    """Length as the service counts it."""
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


class Methods:
    """Called with the parameters as sent (nested ones already decoded) and the uploaded files."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.table: dict[str, Callable[[Json, Files], Any]] = {
            name.lower(): getattr(self, name)
            for name in dir(self)
            if re.match(r"(get|send|edit|delete|answer|set)", name)
        }

    def call(self, method: str, params: Json, files: Files) -> Any:
        handler = self.table.get(method)
        if handler is None:
            raise ApiError(404, "Not Found")
        return handler(params, files)

    # -- the bot itself -----------------------------------------------------------------------------------------------

    def getMe(self, params: Json, files: Files) -> Json:
        return self.world.me

    def deleteWebhook(self, params: Json, files: Files) -> bool:
        self.world.webhook = ""
        if params.get("drop_pending_updates"):
            with self.world.changed:
                self.world.updates.clear()
        return True

    def getWebhookInfo(self, params: Json, files: Files) -> Json:
        return {
            "url": self.world.webhook,
            "has_custom_certificate": False,
            "pending_update_count": len(self.world.updates),
        }

    def setMyCommands(self, params: Json, files: Files) -> bool:
        commands = params.get("commands")
        if not isinstance(commands, list):
            raise bad("can't parse commands")
        for command in commands:
            if not re.fullmatch(r"[a-z0-9_]{1,32}", command["command"]):
                raise bad("BOT_COMMAND_INVALID")
            if not 1 <= len(command["description"]) <= 256:
                raise bad("BOT_COMMAND_DESCRIPTION_INVALID")
        self.world.commands = commands
        return True

    # -- files --------------------------------------------------------------------------------------------------------

    def getFile(self, params: Json, files: Files) -> Json:
        file_id = str(params.get("file_id", ""))
        if file_id not in self.world.files:
            raise bad("wrong file_id or the file is temporarily unavailable")
        path, data = self.world.files[file_id]
        if len(data) > LARGEST_DOWNLOAD:
            raise bad("file is too big")
        return {"file_id": file_id, "file_unique_id": f"u{file_id}", "file_size": len(data), "file_path": path}

    # -- sending ------------------------------------------------------------------------------------------------------

    def _chat(self, params: Json) -> int:
        try:
            chat = int(params["chat_id"])
        except KeyError:
            raise bad("chat_id is empty") from None
        except ValueError:
            raise bad("chat not found") from None
        if chat in self.world.migrated:
            raise ApiError(
                400,
                "Bad Request: group chat was upgraded to a supergroup chat",
                {"migrate_to_chat_id": self.world.migrated[chat]},
            )
        if chat not in self.world.chats:
            raise bad("chat not found")
        if chat in self.world.blocked:
            raise ApiError(403, "Forbidden: bot was blocked by the user")
        return chat

    def _markup(self, params: Json) -> None:
        markup = params.get("reply_markup")
        if markup is None:
            return
        if not isinstance(markup, dict):
            raise bad("object expected as reply markup")
        for row in markup.get("inline_keyboard", []):
            for button in row:
                if not button.get("text"):
                    raise bad('can\'t parse inline keyboard button: Field "text" must be of type String')
                if "callback_data" in button and not 1 <= len(button["callback_data"].encode()) <= 64:
                    raise bad("BUTTON_DATA_INVALID")

    def _text(self, text: Any, longest: int, *, empty: str | None) -> str:
        text = "" if text is None else str(text)
        if not text.strip():
            if empty:
                raise bad(empty)
            return ""
        if utf16(text) > longest:
            raise bad("message is too long" if longest == LONGEST_TEXT else "message caption is too long")
        return text

    def _reply_to(self, chat: int, params: Json) -> None:
        reply = params.get("reply_parameters")
        if not reply:
            return
        if (chat, int(reply["message_id"])) not in self.world.messages and not reply.get("allow_sending_without_reply"):
            raise bad("message to be replied not found")

    def _accept(self, method: str, chat: int, text: str, params: Json, body: Json, files: Files) -> Json:
        message = self.world.keep_message(
            chat, {"from": {k: self.world.me[k] for k in ("id", "is_bot", "first_name", "username")}, **body}
        )
        if markup := params.get("reply_markup"):
            message["reply_markup"] = markup
        sent = Sent(chat, message["message_id"], method, text, params, time.monotonic(), dict(files))
        with self.world.changed:
            self.world.sent.append(sent)
            self.world.changed.notify_all()
        return message

    def sendMessage(self, params: Json, files: Files) -> Json:
        chat = self._chat(params)
        text = self._text(params.get("text"), LONGEST_TEXT, empty="message text is empty")
        self._markup(params)
        self._reply_to(chat, params)
        return self._accept("sendMessage", chat, text, params, {"text": text}, files)

    def _upload(self, params: Json, files: Files, field: str, kind: str) -> tuple[str, bytes]:
        if field in files:
            name, data = files[field]
        elif str(params.get(field, "")).startswith("attach://"):
            name, data = files[str(params[field])[len("attach://") :]]
        else:
            raise bad(f"there is no {kind} in the request")
        if not data:
            raise bad("file must be non-empty")
        if len(data) > LARGEST_UPLOAD:
            raise ApiError(413, "Request Entity Too Large")
        return name, data

    def sendVoice(self, params: Json, files: Files) -> Json:
        chat = self._chat(params)
        name, data = self._upload(params, files, "voice", "voice")
        caption = self._text(params.get("caption"), LONGEST_CAPTION, empty=None)
        self._markup(params)
        described = self.world.store_file("voice", name or "voice.oga", data)
        kind = "voice" if data.startswith(b"OggS") else "document"
        body: Json = {kind: {**described, "duration": 1, "mime_type": "audio/ogg"}, "caption": caption}
        return self._accept("sendVoice", chat, caption, params, body, files)

    def sendPhoto(self, params: Json, files: Files) -> Json:
        chat = self._chat(params)
        name, data = self._upload(params, files, "photo", "photo")
        caption = self._text(params.get("caption"), LONGEST_CAPTION, empty=None)
        self._markup(params)
        if len(data) > LARGEST_PHOTO:
            raise bad("file is too big for a photo")
        if not data.startswith(b"\x89PNG\r\n\x1a\n") and not data.startswith(b"\xff\xd8"):
            raise bad("IMAGE_PROCESS_FAILED")
        width, height = struct.unpack(">II", data[16:24]) if data.startswith(b"\x89PNG") else (100, 100)
        if width + height > 10_000 or max(width, height) > 20 * min(width, height):
            raise bad("PHOTO_INVALID_DIMENSIONS")
        described = self.world.store_file("photos", name or "photo.png", data)
        body: Json = {"photo": [{**described, "width": width, "height": height}], "caption": caption}
        return self._accept("sendPhoto", chat, caption, params, body, files)

    def sendDocument(self, params: Json, files: Files) -> Json:
        chat = self._chat(params)
        name, data = self._upload(params, files, "document", "document")
        caption = self._text(params.get("caption"), LONGEST_CAPTION, empty=None)
        self._markup(params)
        described = self.world.store_file("documents", name, data)
        body: Json = {"document": {**described, "file_name": name}, "caption": caption}
        return self._accept("sendDocument", chat, caption, params, body, files)

    def sendChatAction(self, params: Json, files: Files) -> bool:
        self._chat(params)
        if params.get("action") not in ACTIONS:
            raise bad("wrong parameter action in request")
        return True

    # -- changing what was sent ---------------------------------------------------------------------------------------

    def _own(self, params: Json) -> tuple[int, Json]:
        chat = self._chat(params)
        message = self.world.messages.get((chat, int(params.get("message_id", 0))))
        if message is None:
            raise bad("message to edit not found")
        if message["from"]["id"] != self.world.me["id"]:
            raise bad("message can't be edited")
        return chat, message

    def _edit(self, method: str, params: Json, changes: Json) -> Json:
        chat, message = self._own(params)
        self._markup(params)
        # Without a markup in the call the service takes the buttons away.
        changes = changes | {"reply_markup": params.get("reply_markup")}
        if all(message.get(key) == value for key, value in changes.items()):
            raise bad(
                "message is not modified: specified new message content and reply markup are exactly the same as a "
                "current content and reply markup of the message"
            )
        message.update(changes, edit_date=int(time.time()))
        if message["reply_markup"] is None:
            del message["reply_markup"]
        edit = Sent(chat, message["message_id"], method, message.get("text", ""), params, time.monotonic())
        with self.world.changed:
            self.world.edits.append(edit)
            self.world.changed.notify_all()
        return message

    def editMessageText(self, params: Json, files: Files) -> Json:
        text = self._text(params.get("text"), LONGEST_TEXT, empty="message text is empty")
        return self._edit("editMessageText", params, {"text": text})

    def editMessageReplyMarkup(self, params: Json, files: Files) -> Json:
        return self._edit("editMessageReplyMarkup", params, {})

    def deleteMessage(self, params: Json, files: Files) -> bool:
        chat = self._chat(params)
        key = (chat, int(params.get("message_id", 0)))
        if key not in self.world.messages:
            raise bad("message to delete not found")
        with self.world.changed:
            del self.world.messages[key]
            self.world.deleted.append(key)
            self.world.changed.notify_all()
        return True

    def answerCallbackQuery(self, params: Json, files: Files) -> bool:
        query = str(params.get("callback_query_id", ""))
        with self.world.changed:
            if query not in self.world.open_queries:
                raise bad("query is too old and response timeout expired or query ID is invalid")
            if len(str(params.get("text", ""))) > 200:
                raise bad("MESSAGE_TOO_LONG")
            self.world.open_queries.discard(query)
            self.world.answered[query] = params
            self.world.changed.notify_all()
        return True
