"""What a person at the desk should know about the chat: who may speak, and what has not gone through."""

from __future__ import annotations

from collections.abc import Iterator

from filelock import FileLock, Timeout

from gloveside.bot.chat.only_one import FILE_NAME
from gloveside.storage.store import Store

Line = tuple[bool, str]
"""Whether it is fine, and the sentence."""


def chat_health(store: Store) -> Iterator[Line]:
    """Look at one record; never raises for what it finds."""
    people = store.people.all()
    if people:
        names = ", ".join(f"{person.name} ({person.role})" for person in people)
        groups = len(store.people.groups())
        yield (
            True,
            f"chat: {names} may speak" + (f", and in {groups} group{'s' if groups > 1 else ''}" if groups else ""),
        )
    else:
        yield False, "chat: nobody is paired yet. Start the service and send the code that it shows: gloveside serve"
    yield True, f"chat: the service is {'running' if _serving(store) else 'not running'}"
    open_notes = len(store.intake.pending())
    waiting = store.outbox.waiting()
    if open_notes or waiting:
        yield True, f"chat: {open_notes} message{'s' if open_notes != 1 else ''} to read, {waiting} to send"
    if poison := store.intake.poison():
        last = poison[-1]
        yield (
            False,
            f"chat: {len(poison)} message{'s' if len(poison) > 1 else ''} could not be worked on, the last one from "
            f"{last.sent_at:%Y-%m-%d %H:%M} UTC ({last.error}). They are kept; say them again in other words.",
        )
    given_up = store.file.row("SELECT count(*) AS n, max(error) AS error FROM outbox WHERE state = 'given up'")
    if given_up and given_up["n"]:
        yield False, f"chat: {given_up['n']} answer(s) were refused by the service ({given_up['error']})."


def _serving(store: Store) -> bool:
    """Whether a service holds this record's folder."""
    path = store.file.path.parent / FILE_NAME
    if not path.exists():
        return False
    lock = FileLock(path)
    try:
        lock.acquire(timeout=0)
    except Timeout:
        return True
    except OSError:
        return False
    lock.release()
    return False
