"""Reminders kept in step with the record: whenever a round or task moves, its waiting reminders are made anew."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from gloveside.bot import tasks
from gloveside.bot.desk import Desk
from gloveside.bot.due import Due, steps_due, tasks_due
from gloveside.bot.reminders.plan import DueStep, Rhythm, plan_moments
from gloveside.bot.rounds import RoundView
from gloveside.bot.settings import Settings
from gloveside.extract import models as m
from gloveside.storage.reminders import NewReminder, ReminderRow

COMING = "next round"
_STEP_OF: dict[type[m.EntryBase], str] = {m.Take: "take check", m.Split: "splits", m.Plant: "plant"}
_ANSWERED_WITHIN = timedelta(days=3)
CLOCKS_DIFFER = timedelta(minutes=2)
"""The phone's clock and ours."""


def rhythm(settings: Settings) -> Rhythm:
    """When the phone may ring, as set for this operation."""
    r = settings.reminders
    return Rhythm(settings.operation.zone, r.evening, r.morning, r.quiet_from, r.quiet_until)


def refresh(desk: Desk, touched: Iterable[m.EntryBase]) -> None:
    """Plan anew what these kept or withdrawn entries may have moved: their rounds, and tasks."""
    listed = list(touched)
    numbers = {r for e in listed if (r := getattr(e, "round", None)) is not None}
    if any(isinstance(e, m.Split | m.Mating) for e in listed):
        numbers |= {v.number for v in desk.open_rounds() if v.number is not None}
    for number in sorted(numbers):
        _plan_round(desk, number)
    if any(isinstance(e, m.Builder | m.Graft) for e in listed):
        view = desk.coming_round()
        desk.store.reminders.replace(COMING, [] if view is None else _rows(desk, COMING, steps_due(view), view))
    if any(getattr(e, "kind", None) in ("task", *tasks.KINDS) for e in listed):
        _plan_tasks(desk)


def withdrawn(desk: Desk, entries: Iterable[m.EntryBase]) -> None:
    """Ring again for the steps that these entries, now taken back, had said were done."""
    for entry in entries:
        step = entry.step if isinstance(entry, m.Builder) else _STEP_OF.get(type(entry))
        view = desk.round_of(entry)
        if step is not None and view is not None:
            subject = COMING if view.number is None else f"round {view.number}"
            desk.store.reminders.reopen(subject, step)


def _plan_round(desk: Desk, number: int) -> None:
    view = desk.round(number)
    if view is None or not view.row.open:
        desk.store.reminders.drop(f"round {number}")
        return
    for step in view.did:
        desk.store.reminders.mark_done(f"round {number}", step)
    desk.store.reminders.replace_round(number, _rows(desk, f"round {number}", steps_due(view), view))


def _plan_tasks(desk: Desk) -> None:
    subjects = {f"task {item.entry}": item for item in tasks_due(desk.open_tasks())}
    for subject in desk.store.reminders.waiting_subjects("task "):
        if subject not in subjects:
            desk.store.reminders.replace(subject, [])
    for subject, item in subjects.items():
        desk.store.reminders.replace(subject, _rows(desk, subject, [item], None))


def _rows(desk: Desk, subject: str, items: Sequence[Due], view: RoundView | None) -> list[NewReminder]:
    """The moments still to come; a step whose moments are all past but that can still be done rings once."""
    name = f"{view.name[:1].upper()}{view.name[1:]}: " if view is not None else ""
    steps = {
        (d.step or "task"): DueStep(
            subject=subject,
            step=d.step or "task",
            on=d.on,
            text=f"{name}{d.text}",
            urgent=d.cannot_wait,
            until=d.latest,
        )
        for d in items
    }
    # What should have rung and still waits (quiet hours, a computer that was off) is not dropped for being late.
    waiting = {r.key for r in desk.store.reminders.of(subject) if r.state == "waiting"}
    rows: list[NewReminder] = []
    for item in items:
        step = steps[item.step or "task"]
        moments = plan_moments([step], rhythm(desk.settings))
        ahead = [p for p in moments if p.at > desk.now or (subject, step.step, step.on, p.moment) in waiting]
        if not ahead and moments and not item.late(desk.today):
            ahead = moments[-1:]
        rows += [NewReminder(subject, step.step, step.on, p.moment, p.at, step.text) for p in ahead]
    return rows


def last_sent(desk: Desk, spoken_at: datetime) -> ReminderRow | None:
    """The reminder that had rung last when something was spoken (aware) and is not answered, or None."""
    rows = desk.store.reminders.between(desk.today - _ANSWERED_WITHIN, desk.today + timedelta(days=1))
    heard = spoken_at + CLOCKS_DIFFER
    sent = [(r.sent_at, r.id, r) for r in rows if r.state == "sent" and r.sent_at is not None and r.sent_at < heard]
    return max(sent)[2] if sent else None
