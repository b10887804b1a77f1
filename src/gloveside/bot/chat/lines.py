"""The chat service's own lines: everything that is said without asking the conversation."""

from __future__ import annotations

HELP = (
    "Speak a voice note at the hive, or type. Say the place, then what you saw or did: "
    "“hive twelve, queenright, eight frames of brood”.\n"
    "“Scratch that” takes back the last note. “Hive fourteen, not forty” mends it. Ask “what's due” or “when are the "
    "cells ripe in round three”.\n"
    "Each answer says what was kept. Tap a reminder's button, or say “done”, once it is done."
)
STRANGER = "This is a private notebook. If it is yours, send the code that its console shows."
WRONG_CODE = "That code is not right, was used, or is too old. Make a new one on the console and send that."
PAIRED_ALREADY = "You are paired already. Just speak."
GROUP_INVITE = "An owner of this notebook can let me listen here: send /pair in this group."
GROUP_OWNER_ONLY = "Only an owner of this notebook can let me listen in a group."
GROUP_PAIRED = (
    "Listening here to everybody who is paired. If I don't hear voice notes in this group, make me an administrator, "
    "or switch my privacy mode off where the bot was made."
)
NOT_READABLE = "I can hear voice notes and sound files, and read text. This I can't read, so nothing was kept."
CAPTION_ONLY = "I read the words under it. The picture or file itself is not kept."
TOO_MUCH = (
    "That was more than I can take from one person at once. What you sent in the last moments was not taken in. "
    "Wait five minutes, then send it again."
)
READING = "Heard, reading it…"
UNREADABLE = (
    "Something went wrong while I read this note, three times. Nothing of it was kept in the record, but the message "
    "is kept. Type it, or say it again in other words."
)
NO_DOWNLOAD = (
    "The chat service will not hand over this recording, so nothing was kept. Send it again, or copy it to the "
    "computer and use: gloveside take-in FOLDER"
)
CODE_ON_CONSOLE = "To pair your phone, open the chat with @{name} and send this code within 15 minutes: {code}"

CODE_FOR_ANOTHER = (
    "To pair one more phone as {role}: let them open the chat with the bot and send this code within {minutes} "
    "minutes: {code}"
)


def paired(name: str, role: str) -> str:
    """Welcome for somebody who has just sent a right code."""
    return f"Welcome, {name}. You are paired as {role}.\n\n{HELP}"


def too_big(size: int, limit: int) -> str:
    """A recording over the size that the chat service hands to bots (bytes)."""
    return (
        f"This recording has {size / 1e6:.0f} MB; the chat service hands me at most {limit / 1e6:.0f} MB, so nothing "
        "was kept. Send it in shorter parts, or copy it to the computer and use: gloveside take-in FOLDER"
    )


def too_long(seconds: float, limit: float) -> str:
    """A recording over the length that one note may have (seconds)."""
    return (
        f"This recording lasts {seconds / 60:.0f} minutes; one note may last {limit / 60:.0f}, so nothing was kept. "
        "Speak shorter notes, or copy it to the computer and use: gloveside take-in FOLDER"
    )


def reading_many(notes: int) -> str:
    """Acknowledges several notes that wait."""
    return READING if notes == 1 else f"Heard {notes} notes, reading them…"


def still_reading(notes: int) -> str:
    """Under an answer that overtook notes which are not read yet."""
    which = "One earlier note is" if notes == 1 else f"{notes} earlier notes are"
    return f"({which} still being read; this answer does not know them yet.)"
