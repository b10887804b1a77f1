"""Words of a note that were not understood beside what was: the record is kept, they stand in it as a note meanwhile.

The reply quotes them. Said again they are a note of their own; left alone they stay as a note; a tap drops them.
"""

from __future__ import annotations

from gloveside.bot.desk import Desk
from gloveside.bot.messages import Button, Reply
from gloveside.extract.models import Doubt, Note, Reading
from gloveside.storage.errors import Refused

VERB = "l"
"""How the data of the button begins: `l:NOTE:ENTRY`, the entry as its index in the reading."""


def to_keep(reading: Reading, asks: bool) -> tuple[Reading, Doubt | None]:
    """What can be kept of a reading at once, and the doubt about words left over that does not hold it up.

    asks: the note sounds like a question. It then gets questions to choose from, and nothing else is asked about it.
    """
    if len(reading.doubts) != 1:
        return reading, None
    doubt = reading.doubts[0]
    at_once: dict[str, object] = {"doubts": [], "keep": True}
    if asks and doubt.field == "all" and all(isinstance(e, Note) for e in reading.entries):
        return reading.model_copy(update=at_once), None
    if doubt.field != "rest" or not reading.entries:
        return reading, None
    if _at(reading, doubt.said) is None:
        at_once["entries"] = [*reading.entries, Note(text=doubt.said, on=reading.entries[0].on)]
    return reading.model_copy(update=at_once), doubt


def _at(reading: Reading, said: str) -> int | None:
    """Which entry is the note that holds the words."""
    found = (i for i, e in enumerate(reading.entries) if isinstance(e, Note) and said.lower() in e.text.lower())
    return next(found, None)


def asked(reply: Reply, kept: Reading, doubt: Doubt, note_id: int) -> Reply:
    """The reply to what was kept, with the question about the words left over and a button that drops them."""
    index = _at(kept, doubt.said)
    drop = ((Button("Drop these words", f"{VERB}:{note_id}:{index}"),),) if index is not None else ()
    return Reply(f"{reply.text}\n{doubt.ask}", (*drop, *reply.buttons), pictures=reply.pictures, note_id=note_id)


def drop(desk: Desk, data: str) -> Reply:
    """Take the words out of the note again; what was heard stays as heard. Raises Refused on a button of no note."""
    number, _, index = data.partition(":")
    if not (number.isdigit() and index.isdigit()):
        raise Refused("That button is of an older version. Say it instead.")
    note = desk.store.notes.get(int(number))
    entries = list(note.reading.entries) if note.reading else []
    if note.state != "kept" or note.reading is None or int(index) >= len(entries):
        return Reply("That is settled already.")
    words = entries[int(index)]
    if not isinstance(words, Note):
        return Reply("That is settled already.")
    rest = [e for at, e in enumerate(entries) if at != int(index)]
    desk.store.notes.amend(note.id, note.reading.model_copy(update={"entries": rest}), words.on, True)
    return Reply(f"Dropped: “{words.text}”", note_id=note.id)
