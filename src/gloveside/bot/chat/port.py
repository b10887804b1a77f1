"""What the chat service needs from the conversation."""

from __future__ import annotations

from typing import Protocol

from gloveside.bot.messages import Incoming, Reply


class Conversation(Protocol):
    """Hears one thing and says what to answer."""

    def hear(self, said: Incoming) -> Reply:
        """Answer. Blocks (recognition may take seconds); called in one worker thread, one note at a time.

        The same message may be given twice, after a crash between keeping and marking done: it must then find the note
        by (chat, message_id) and keep nothing again.
        """
        ...
