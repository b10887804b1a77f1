"""The reply to a note: what was kept, what follows from it, the cautions, and at most one question."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from gloveside.bot import cautions, consequences, planning, tasks
from gloveside.bot.desk import Desk
from gloveside.bot.messages import Button, Reply
from gloveside.bot.wording.days import day
from gloveside.bot.wording.entries import line, placed_line, where
from gloveside.extract import models as m
from gloveside.storage.notes import KeptNote, OpenDoubt

_MOST_OPTIONS = 4
_ASK_AGAIN_WITHIN = timedelta(minutes=30)
_ASK_AGAIN_EVERY = 5  # notes: said in every reply, it is no longer heard


def for_note(
    desk: Desk,
    kept: KeptNote,
    *,
    still_open: Sequence[OpenDoubt] = (),
    again: bool = False,
    amended: bool = False,
) -> Reply:
    """The reply to one note as it stands now. still_open: questions of earlier notes that wait for an answer."""
    if kept.state == "asked":
        return _asking(desk, kept)
    if kept.state != "kept" or not kept.entries:
        return Reply("Nothing was kept of that note." if kept.state != "heard" else "Heard; nothing to keep.")
    planning.refresh(desk, [e.entry for e in kept.entries])
    entries: list[m.EntryBase] = [e.entry for e in kept.entries]
    word = "Kept already" if again else "Put right" if amended else "Kept"
    known = consequences.Known(desk.today, desk.settings, desk.round_of)
    lines = [
        *record_lines(entries, desk, word, kept.rounds),
        *consequences.follow(entries, known),
        *_tasks_done(desk, kept),
        *cautions.for_entries(entries, desk.settings.operation.emergency_number),
    ]
    recent = desk.now - _ASK_AGAIN_WITHIN
    open_before = [d for d in still_open if d.note_id != kept.note_id and d.asked_at > recent]
    if open_before and (kept.note_id - open_before[-1].note_id) % _ASK_AGAIN_EVERY == 1:
        lines.append(f"Still open: {open_before[-1].ask}")
    buttons = ((Button("Undo", f"u:{kept.note_id}"),),)
    return Reply("\n".join(lines), buttons, note_id=kept.note_id)


def _tasks_done(desk: Desk, kept: KeptNote) -> list[str]:
    """A line for each task that this note alone shows done: it leaves the list of what is due."""
    if not any(e.kind in tasks.KINDS for e in kept.entries):
        return []
    return [
        f"Task done: {task.text}"
        for _, task, doers in desk.tasks()
        if doers and {e.note_id for e in doers} == {kept.note_id}
    ]


def record_lines(entries: Sequence[m.EntryBase], desk: Desk, word: str, new_rounds: Sequence[int] = ()) -> list[str]:
    """The head (`Kept · hive 14 · Fri 20 Nov`) and a line for each entry; what all share stands in the head."""
    rounds = {r for e in entries if (r := getattr(e, "round", None)) is not None}
    spots = {where(e) for e in entries}
    dates = {e.on for e in entries}
    head = [word]
    if len(rounds) == 1:
        number = next(iter(rounds))
        head.append(f"round {number}{' (new)' if number in new_rounds else ''}")
    shared_spot = next(iter(spots)) if len(spots) == 1 else None
    if shared_spot and len(rounds) != 1:
        head.append(shared_spot[:1].lower() + shared_spot[1:])
    shared_day: date | None = next(iter(dates)) if len(dates) == 1 else None
    if shared_day is not None:
        head.append(day(shared_day, desk.today))
    lines = [" · ".join(head)]
    in_head = shared_spot is not None and len(rounds) != 1
    for entry in entries:
        text = line(entry) if in_head else placed_line(entry)
        if shared_day is None:
            text = f"{text} ({day(entry.on, desk.today)})"
        lines.append(text)
    return lines


def _asking(desk: Desk, kept: KeptNote) -> Reply:
    """What was understood and the first open question, with its answers as buttons."""
    note = desk.store.notes.get(kept.note_id)
    entries: list[m.EntryBase] = list(note.reading.entries) if note.reading else []
    lines = record_lines(entries, desk, "Not kept yet") if entries else [f"Not kept yet · “{note.heard or note.text}”"]
    if not kept.doubts:
        lines.append("Keep it like this?")
        row = (Button("Keep", f"y:{kept.note_id}"), Button("Drop", f"n:{kept.note_id}"))
        return Reply("\n".join(lines), (row,), note_id=kept.note_id)
    doubt = kept.doubts[0]
    lines.append(doubt.ask)
    options = tuple(
        Button(str(option)[:1].upper() + str(option)[1:], f"a:{doubt.id}:{index}")
        for index, option in enumerate(doubt.options[:_MOST_OPTIONS])
    )
    rows = tuple(options[i : i + 2] for i in range(0, len(options), 2))
    # a question that offers no values asks whether the note may stand as it is
    keep = (Button("Keep", f"y:{kept.note_id}"),) if doubt.field in ("all", "text") and not options else ()
    last = (*keep, Button("Drop", f"n:{kept.note_id}"))
    return Reply("\n".join(lines), (*rows, last), note_id=kept.note_id)
