"""What lies on the desk while one thing is answered: the record, the settings, the moment, who speaks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from gloveside.bot import due, tasks
from gloveside.bot.rounds import RoundView, coming, view
from gloveside.bot.settings import Settings
from gloveside.extract import models as m
from gloveside.extract.register import Register
from gloveside.storage.entries import KeptEntry
from gloveside.storage.errors import NotFound
from gloveside.storage.store import Store

_RECENT = timedelta(days=60)


@dataclass(frozen=True)
class Desk:
    """now: aware; on: local date on which the note was spoken; chat, user: as the record spells them."""

    store: Store
    settings: Settings
    now: datetime
    on: date
    chat: str
    user: str
    register: Register

    @property
    def today(self) -> date:
        """The local date now."""
        return self.now.astimezone(self.settings.operation.zone).date()

    def round(self, number: int) -> RoundView | None:
        """One round with its calendar; None when the record does not have it or nothing dates it."""
        try:
            row = self.store.rounds.get(number, self.today)
        except NotFound:
            return None
        return view(row, self.settings.rearing, number)

    def coming_round(self) -> RoundView | None:
        """The round that is prepared but not grafted yet, or None."""
        since = self.on - _RECENT
        return coming(
            self.store.entries.find(kind="builder", since=since),
            self.store.entries.find(kind="graft", since=since),
            self.settings.rearing,
            self.on,
        )

    def open_rounds(self) -> list[RoundView]:
        """All open rounds by number, then the one being prepared."""
        rows = self.store.rounds.all(on=self.today, open=True, since=self.today - _RECENT)
        views = [view(row, self.settings.rearing, row.number) for row in rows]
        return [v for v in (*views, self.coming_round()) if v is not None]

    def round_of(self, entry: m.EntryBase) -> RoundView | None:
        """The round that a kept entry belongs to: by its number, else by its days."""
        number = getattr(entry, "round", None)
        if isinstance(number, int):
            return self.round(number)
        if isinstance(entry, m.Split):
            near = [v for v in self.open_rounds() if abs((v.on("splits") - entry.on).days) <= 3]
            return near[0] if len(near) == 1 else None
        return self.coming_round() if isinstance(entry, m.Builder) else None

    def due_items(self) -> list[due.Due]:
        """Everything that is due or will be, in order: steps of open rounds, and tasks not done."""
        items = [d for v in self.open_rounds() for d in due.steps_due(v)]
        return list(due.in_order([*items, *due.tasks_due(self.open_tasks())]))

    def open_tasks(self) -> list[tuple[int, m.Task]]:
        """Tasks that nobody ticked off and no entry shows done, each with the row of its entry."""
        return [(kept.id, task) for kept, task, doers in self.tasks() if not doers]

    def tasks(self) -> list[tuple[KeptEntry, m.Task, list[KeptEntry]]]:
        """Tasks of the last weeks that nobody ticked off, each with the entries that do what it names."""
        found = [
            (kept, kept.entry)
            for kept in self.store.entries.find(kind="task", since=self.today - _RECENT)
            if isinstance(kept.entry, m.Task) and not self._ticked_off(kept.id)
        ]
        named = {kind for _, task in found if (job := tasks.job_of(task)) is not None for kind in job.kinds}
        if not named:
            return [(kept, task, []) for kept, task in found]
        since = self.store.entries.find(kind=sorted(named), since=min(kept.on for kept, _ in found))
        return [(kept, task, tasks.done_by(kept, task, since, self._builder_of)) for kept, task in found]

    def _builder_of(self, number: int) -> str | None:
        found = self.round(number)
        return found.row.builder if found is not None else None

    def _ticked_off(self, entry_id: int) -> bool:
        return any(r.state == "done" for r in self.store.reminders.of(f"task {entry_id}"))
