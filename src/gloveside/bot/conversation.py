"""The conversation: what is said goes into the record, an answer, an order or a question comes out of it."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime

from gloveside.bot import answers, hand_over, kept_reply, left_over, orders
from gloveside.bot.choice import choose, is_short, says_only
from gloveside.bot.desk import Desk
from gloveside.bot.ear import Ear
from gloveside.bot.messages import Incoming, Reply
from gloveside.bot.settings import Settings
from gloveside.extract.models import Note, Reading
from gloveside.storage.errors import NotFound, Refused
from gloveside.storage.notes import OpenDoubt
from gloveside.storage.store import Store

log = logging.getLogger(__name__)

BROKEN = "Something went wrong here while I worked on that note. It is kept; nothing was entered. Say it once more."


class Conversation:
    """Hears one thing at a time and says what to answer. Blocking: call it off the event loop."""

    def __init__(self, store: Store, ear: Ear, settings: Settings, clock: Callable[[], datetime]) -> None:
        """clock: gives the present moment, aware."""
        self._store = store
        self._ear = ear
        self._settings = settings
        self._clock = clock

    def hear(self, said: Incoming) -> Reply:
        """Answer one incoming thing; what was said is in the record before any work on it begins."""
        try:
            if said.tap is not None:
                return orders.tapped(self._desk(said), said.tap)
            return self._note(said)
        except (Refused, NotFound) as trouble:
            return Reply(str(trouble))

    # -- a note --------------------------------------------------------------------------------------------------
    def _note(self, said: Incoming) -> Reply:
        desk = self._desk(said)
        old = self._store.notes.by_message(str(said.chat), str(said.amends or said.message_id))
        if old is not None and old.state != "new" and said.amends is None:
            return kept_reply.for_note(desk, self._store.notes.kept(old.id), again=True)
        sound = self._store.audio.keep(said.audio) if said.audio is not None else None
        note_id = old.id if old is not None else self._store.notes.add(
            chat=str(said.chat), user=str(said.user), source=said.audio.name if said.audio else "text",
            spoken_at=said.spoken_at, received_at=said.received_at, text=said.text, audio_sha256=sound,
            message_id=str(said.message_id),
        )  # fmt: skip
        reading = self._read(said, desk)
        if said.amends is not None and old is not None and old.state != "new":
            kept = self._store.notes.amend(note_id, reading, desk.on, reading.keep)
            return kept_reply.for_note(desk, kept, amended=True)
        request = hand_over.requested(reading.heard or reading.raw) if reading.error is None else None
        if request is not None:
            self._store.notes.finish(note_id, _without_entries(reading), desk.on, keep=False)
            return hand_over.hand_over(desk, request)
        waiting = self._waiting(said)
        if waiting and (answered := self._as_answer(desk, reading, waiting)) is not None:
            self._store.notes.finish(note_id, _without_entries(reading), desk.on, keep=False)
            return answered
        return self._work(desk, note_id, reading, waiting, said.spoken_at)

    def _read(self, said: Incoming, desk: Desk) -> Reading:
        try:
            if said.audio is not None:
                return self._ear.read_audio(
                    said.audio, source=said.audio.name, on=desk.on, register=desk.register, now=said.spoken_at
                )
            return self._ear.read_text(
                said.text or "", source="text", on=desk.on, register=desk.register, now=said.spoken_at
            )
        except Exception:
            # Whatever breaks in reading, the note itself is in the record: say so instead of losing the operator.
            log.exception("reading a note failed")
            return Reading(source="", raw=said.text or "", keep=False, error=BROKEN)

    def _work(
        self, desk: Desk, note_id: int, reading: Reading, waiting: Sequence[OpenDoubt], spoken_at: datetime
    ) -> Reply:
        if reading.error is not None:
            self._store.notes.finish(note_id, reading, desk.on, keep=False)
            return Reply(reading.error, note_id=note_id)
        if reading.orders and (reading.entries or reading.questions):
            # "Forget that, I'm grafting on Friday": first the order, then what was said besides is a note of its own.
            first = orders.carried_out(desk, reading.orders, (), spoken_at, reading.heard)
            rest = self._work(desk, note_id, reading.model_copy(update={"orders": []}), waiting, spoken_at)
            return replace(rest, text=f"{first.text}\n\n{rest.text}")
        if reading.orders:
            self._store.notes.finish(note_id, _without_entries(reading), desk.on, keep=False)
            return orders.carried_out(desk, reading.orders, waiting, spoken_at, reading.heard)
        only_asked = reading.questions and all(isinstance(e, Note) for e in reading.entries)
        if only_asked:
            self._store.notes.finish(note_id, _without_entries(reading), desk.on, keep=False)
            return answers.answer_all(desk, reading.questions, reading.heard)
        placeless = bool(reading.doubts) and all(getattr(e, "place", None) is None for e in reading.entries)
        if placeless or (all(isinstance(e, Note) for e in reading.entries) and not reading.doubts):
            follow = answers.few_words(desk, reading.heard)
            if follow is not None:
                self._store.notes.finish(note_id, _without_entries(reading), desk.on, keep=False)
                return answers.answer_all(desk, [follow], reading.heard)
        if reading.entries or reading.doubts:
            asks = all(isinstance(e, Note) for e in reading.entries) and answers.sounds_asked(desk, reading.heard)
            reading, left = left_over.to_keep(reading, asks)
            kept = self._store.notes.finish(note_id, reading, desk.on, reading.keep)
            reply = kept_reply.for_note(desk, kept, still_open=waiting)
            if left is not None and kept.state == "kept":
                reply = left_over.asked(reply, reading, left, note_id)
            if reading.questions:
                told = answers.answer_all(desk, reading.questions, reading.heard)
                reply = Reply(f"{reply.text}\n\n{told.text}", reply.buttons, pictures=told.pictures, note_id=note_id)
            elif asks:
                named = next((e.place for e in reading.entries if isinstance(e, Note) and e.place), None)
                near = answers.offer(reading.heard, named)
                reply = Reply(f"{reply.text}\n{near.text}", (*near.buttons, *reply.buttons), note_id=note_id)
            return reply
        self._store.notes.finish(note_id, reading, desk.on, keep=False)
        return Reply("I heard nothing to keep in that. It is stored as heard.", note_id=note_id)

    # -- answers to what was asked -------------------------------------------------------------------------------
    def _waiting(self, said: Incoming) -> list[OpenDoubt]:
        doubts = self._store.notes.waiting(str(said.chat))
        return [d for d in doubts if orders.can_answer(said.spoken_at, d.asked_at)]

    def _as_answer(self, desk: Desk, reading: Reading, waiting: Sequence[OpenDoubt]) -> Reply | None:
        """The reply when this note answers the question asked last; None when it is a note of its own."""
        text = reading.heard or reading.raw
        if reading.error is not None or not is_short(text) or reading.questions:
            return None
        doubt = waiting[-1]
        for order in reading.orders:
            if order.do in ("yes", "no"):
                return orders.settle(desk, doubt, order.do == "yes")
            if order.do != "change":
                return None
        if any(not isinstance(e, Note) and len(text.split()) > 4 for e in reading.entries):
            return None
        # The question asked last comes first, but an older one that alone fits the answer is meant just as well.
        for asked in reversed(waiting):
            if not says_only(text, f"{asked.ask} {' '.join(map(str, asked.options))}"):
                continue
            value = choose(text, asked.options) if asked.options else None
            if value is None:
                value = orders.value_for(asked.field, text)
            if value is not None:
                return orders.answer(desk, asked, value)
        return None

    def _desk(self, said: Incoming) -> Desk:
        local = said.spoken_at.astimezone(self._settings.operation.zone)
        return Desk(
            store=self._store,
            settings=self._settings,
            now=self._clock(),
            on=local.date(),
            chat=str(said.chat),
            user=str(said.user),
            register=replace(
                self._store.places.register(local, str(said.chat), str(said.user)),
                northern=not self._settings.operation.southern,
            ),
        )


def _without_entries(reading: Reading) -> Reading:
    return reading.model_copy(update={"entries": [], "doubts": []})
