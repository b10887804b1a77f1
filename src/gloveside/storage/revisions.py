"""Taking back and putting right: undo and change, as new versions of entries. What they replace stays as history."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from typing import Any

import sqlite_utils

from gloveside.storage import corrections
from gloveside.storage.database import Row, fetch, update
from gloveside.storage.entries import by_ids, end_entries, write_entry
from gloveside.storage.errors import NotFound, Refused
from gloveside.storage.keeping import Keeper
from gloveside.storage.note_rows import Changed


def undo(db: sqlite_utils.Database, keeper: Keeper, chat: str, user: str | None) -> Changed | None:
    """Take back the last act of a chat (by one user, where given) that was not taken back; None: there is none."""
    sql = "SELECT id, what, note_id FROM acts WHERE chat = ? AND what <> 'undo' AND ended_by IS NULL"
    values = [chat]
    if user is not None:
        sql += " AND user = ?"
        values.append(user)
    rows = fetch(db, f"{sql} ORDER BY id DESC LIMIT 1", values)
    if not rows:
        return None
    act, what = rows[0]["id"], rows[0]["what"]
    note = keeper.note(db, rows[0]["note_id"])
    ended = fetch(db, "SELECT * FROM entries WHERE ended_by_act = ? ORDER BY position, id", [act])
    if what == "change":
        made = fetch(db, "SELECT * FROM entries WHERE made_by_act = ? ORDER BY position, id", [act])
        standing = [row for row in made if row["ended_at"] is None]
        if not standing:
            raise Refused("Somebody changed that again since. Say which entry to change, and to what.")
    else:
        standing = keeper.standing(db, note["id"])
    taken_back = keeper.act(db, "undo", note, {"undoes": act}, by=user)
    # A later change of the same note by somebody else goes with the note that it changed.
    db.conn.execute(
        "UPDATE acts SET ended_by = ? WHERE id = ? "
        "OR (? AND note_id = ? AND id > ? AND what <> 'undo' AND ended_by IS NULL)",
        [taken_back, act, what != "change", note["id"], act],
    )
    if what != "change":
        keeper.close_doubts(db, note["id"], "void", None)
    end_entries(db, [row["id"] for row in standing], act=taken_back, at=keeper.now())
    revived = [_revive(db, row, standing, keeper.now()) for row in ended]
    if what != "change":
        keeper.state(db, note["id"], "kept" if revived else "dropped" if what == "ask" else "undone")
    return _changed(db, taken_back, what, note, [row["id"] for row in standing], revived)


def change_entries(
    db: sqlite_utils.Database,
    keeper: Keeper,
    field: str,
    to: Any,
    *,
    note_id: int | None,
    entry_id: int | None,
    was: Any,
    by: str | None,
) -> Changed:
    """Put a field right in one entry, or in those of a note that are meant."""
    if entry_id is not None:
        chosen = fetch(db, "SELECT * FROM entries WHERE id = ?", [entry_id])
        if not chosen:
            raise NotFound(f"There is no entry {entry_id} in the record.")
        if chosen[0]["ended_at"] is not None:
            raise Refused("That entry was undone or changed already. Ask for its history to see what stands now.")
        note = keeper.note(db, chosen[0]["note_id"])
    elif note_id is not None:
        note = keeper.note(db, note_id)
        standing = keeper.standing(db, note_id)
        if not standing:
            raise Refused("Nothing of that note stands in the record, so there is nothing to change.")
        meant = corrections.meant_by_change([json.loads(row["data"]) for row in standing], field, was)
        chosen = [standing[i] for i in meant]
    else:
        raise ValueError("give a note or an entry")
    plain = to.isoformat() if isinstance(to, date) else to
    act = keeper.act(db, "change", note, {"field": field, "to": plain}, by=by)
    after = []
    for row in chosen:
        fields = corrections.with_value(json.loads(row["data"]), field, to, () if was is None else (was,))
        data = json.dumps(fields, ensure_ascii=False)
        position, old = row["position"], row["id"]
        after.append(
            write_entry(db, note_id=note["id"], position=position, data=data, act=act, at=keeper.now(), supersedes=old)
        )
    return _changed(db, act, "change", note, [row["id"] for row in chosen], after)


def _changed(
    db: sqlite_utils.Database, act: int, what: Any, note: Row, before: Sequence[int], after: Sequence[int]
) -> Changed:
    said = note["heard"] or note["text"] or ""
    return Changed(act, what, note["id"], said, before=by_ids(db, before), after=by_ids(db, after))


def _revive(db: sqlite_utils.Database, old: Row, undone: Sequence[Row], at: str) -> int:
    """Put an ended entry back into force: a new row at the end of its line, as the work of the same act as before."""
    position, data, act = old["position"], old["data"], old["made_by_act"]
    revived = write_entry(db, note_id=old["note_id"], position=position, data=data, act=act, at=at)
    successor = next((row["id"] for row in undone if row["supersedes"] == old["id"]), old["id"])
    update(db, "entries", revived, {"supersedes": successor})
    update(db, "entries", successor, {"superseded_by": revived})
    return revived
