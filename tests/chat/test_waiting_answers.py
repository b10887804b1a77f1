"""Notes that were spoken before a question was asked are notes, not its answer."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from knowing_ear import KnowingEar

from gloveside.bot.messages import Incoming, Reply
from gloveside.bot.settings import Settings
from gloveside.bot.wiring import Workshop
from gloveside.extract.reader import Reader

NOW = datetime(2026, 11, 20, 3, 0, tzinfo=UTC)


def test_a_late_note_does_not_answer_a_question_that_its_speaker_never_heard(tmp_path: Path) -> None:
    with Workshop(tmp_path, Settings(), lambda: NOW) as workshop:
        workshop.__dict__["ear"] = KnowingEar(workshop.settings, tmp_path, {}, Reader())
        workshop.store.places.add("hive 12")

        def say(number: int, text: str, spoken: datetime) -> Reply:
            return workshop.conversation.hear(Incoming(501, 501, number, spoken, NOW, text=text))

        asked = say(1, "hive seventy is queenright", NOW - timedelta(hours=3))
        assert workshop.store.notes.waiting("501"), asked.text
        say(2, "hive twelve", NOW - timedelta(hours=2))
        assert workshop.store.notes.waiting("501"), "spoken an hour before the question was asked"
        say(3, "hive twelve", NOW + timedelta(seconds=20))
        # The place said alone meanwhile asks a question of its own; that of the first note is answered.
        assert all(doubt.note_id != 1 for doubt in workshop.store.notes.waiting("501"))
        assert workshop.store.entries.find(place="hive 12")
