"""Rings what is due: from the record's reminders into its outbox, each once, whatever restarts in between.

Nothing here keeps time: `ring` is called every few seconds with the store's clock, and looks at the record. Queuing a
message and marking its reminders happen in one unit of work.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from gloveside.bot.chat.outgoing import button_rows
from gloveside.bot.reminders import wording
from gloveside.bot.reminders.plan import Rhythm
from gloveside.bot.reminders.wording import Item
from gloveside.storage.reminders import NewReminder, ReminderRow
from gloveside.storage.store import Store

LATE_AFTER = timedelta(minutes=15)
"""A reminder that goes out this long after its moment says so."""
DIGEST = "digest"
OVERDUE_DAYS = 7
"""The digest names steps of so many days back that were never answered."""
MOST_BUTTON_ROWS = 8

DigestLines = Callable[[str, date], Sequence[str]]
"""More lines for a chat's digest of a local date."""
OpenSteps = Callable[[], set[tuple[str, str]]]
"""(subject, step) of everything that still wants doing, by the record."""


class _Withdrawn(Exception):
    """A reminder was answered between looking and marking: the whole message is made anew at the next tick."""


@dataclass(slots=True)
class Ringer:
    """The reminders of one record. A reminder without a chat goes to every owner.

    digest: whether each morning has its list of the day; more: further lines for it; open_steps: what the digest may
    still call open (default: whatever rang and was not answered).
    """

    store: Store
    rhythm: Rhythm
    digest: bool = True
    more: DigestLines | None = None
    open_steps: OpenSteps | None = None
    _digest_done: date | None = None

    def ring(self) -> bool:
        """Put everything due into the outbox; whether something was. Nothing rings in the quiet hours."""
        now = self.store.file.clock()
        if self.rhythm.quiet(now):
            return False
        owners = [person.chat for person in self.store.people.all() if person.role == "owner"]
        if not owners:
            return False
        today = now.astimezone(self.rhythm.zone).date()
        self._plan_digests(today, now)
        due = self.store.reminders.due(now)
        if not due:
            return False
        queued = False
        for chat in dict.fromkeys(row.chat for row in due):
            rows = [row for row in due if row.chat == chat]
            try:
                with self.store.together():
                    queued |= self._ring_chats([chat] if chat is not None else owners, rows, today, now)
            except _Withdrawn:
                continue
        return queued

    # -- one chat, or all owners' -------------------------------------------------------------------------------------

    def _ring_chats(self, chats: Sequence[str], rows: Sequence[ReminderRow], today: date, now: datetime) -> bool:
        digests = [row for row in rows if row.step == DIGEST]
        steps = [row for row in rows if row.step != DIGEST]
        if digests:
            return self._ring_digest(chats, digests, steps, today, now)
        for on in dict.fromkeys(row.step_date for row in steps):
            group = [row for row in steps if row.step_date == on]
            items = _items(group, self.rhythm, now)
            self._send(chats, group, wording.message(items, today), items)
        return bool(steps)

    def _ring_digest(
        self,
        chats: Sequence[str],
        digests: Sequence[ReminderRow],
        steps: Sequence[ReminderRow],
        today: date,
        now: datetime,
    ) -> bool:
        """One message for the morning: all steps of today, those still open, what else is due now, and more lines."""
        items = _items(steps, self.rhythm, now)
        items += self._also_open(digests[0].chat, {(item.subject, item.step) for item in items}, today)
        extra = list(self.more(chats[0], today)) if self.more is not None else []
        if not items and not extra:
            for row in digests:
                self.store.reminders.drop(row.subject)
            return False
        text = wording.message(items, today, extra)
        if not items:
            text = f"{wording.heading(today, today)}:\n{text}"
        self._send(chats, [*steps, *digests], text, items)
        for row in digests:
            # So that "done" never means the list itself.
            self.store.reminders.mark_done(row.subject, row.step)
        return True

    def _also_open(self, chat: str | None, named: set[tuple[str, str]], today: date) -> list[Item]:
        """Steps of today and of the last days that nobody answered, beyond those named already."""
        known = self.store.reminders.between(today - timedelta(days=OVERDUE_DAYS), today)
        unanswered = _unanswered(row for row in known if row.step != DIGEST and row.chat == chat)
        wanted = self.open_steps() if self.open_steps is not None else None
        return [
            Item(row.id, row.subject, row.step, row.text, row.step_date)
            for row in unanswered
            if (row.subject, row.step) not in named and (wanted is None or (row.subject, row.step) in wanted)
        ]

    def _send(self, chats: Sequence[str], rows: Sequence[ReminderRow], text: str, items: Sequence[Item]) -> None:
        """Queue one message for these reminders in each chat and mark them. Raises _Withdrawn."""
        shown = button_rows(wording.buttons(items[:MOST_BUTTON_ROWS]))
        key = "reminder:" + ",".join(f"{row.id}.{row.times_sent}" for row in rows)
        ids = [self.store.outbox.queue(chat, "text", text, buttons=shown, dedupe_key=f"{key}:{chat}") for chat in chats]
        for row in rows:
            if not self.store.reminders.mark_reminded(row.id, ids[0]):
                raise _Withdrawn

    # -- the daily list -----------------------------------------------------------------------------------------------

    def _plan_digests(self, today: date, now: datetime) -> None:
        """From the morning on, a row for today's list; before the evening, so that a late start still gives it."""
        if not self.digest or self._digest_done == today:
            return
        morning = self.rhythm.when_allowed(self.rhythm.local(today, self.rhythm.morning))
        if not morning <= now < self.rhythm.local(today, self.rhythm.evening):
            return
        near = self.store.reminders.between(today - timedelta(days=OVERDUE_DAYS), today)
        for chat in {None, *(row.chat for row in near)}:
            subject = "the day" if chat is None else f"the day, {chat}"
            self.store.reminders.add(NewReminder(subject, DIGEST, today, "morning", morning, "The day", chat))
        self._digest_done = today


def _items(rows: Iterable[ReminderRow], rhythm: Rhythm, now: datetime) -> list[Item]:
    """One item a step, however many of its moments are due at once: the last one speaks."""
    latest: dict[tuple[str, str, date], ReminderRow] = {}
    for row in sorted(rows, key=lambda r: (r.due_at, r.id)):
        latest[row.subject, row.step, row.step_date] = row
    return [
        Item(
            row.id,
            row.subject,
            row.step,
            row.text,
            row.step_date,
            repeat=re.match("again|later", row.moment) is not None or row.times_sent > 0,
            late_since=row.due_at.astimezone(rhythm.zone) if now - row.due_at > LATE_AFTER else None,
        )
        for row in latest.values()
    ]


def _unanswered(rows: Iterable[ReminderRow]) -> list[ReminderRow]:
    """The last row of each step none of whose rows is done."""
    by_step: dict[tuple[str, str], list[ReminderRow]] = {}
    for row in rows:
        by_step.setdefault((row.subject, row.step), []).append(row)
    open_steps = (group for group in by_step.values() if all(row.state != "done" for row in group))
    return sorted((group[-1] for group in open_steps), key=lambda row: row.step_date)
