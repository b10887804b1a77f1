"""Whatever was done, undoing it step by step goes back through exactly the records that stood before."""

from __future__ import annotations

import tempfile
from datetime import UTC, date, datetime
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gloveside.extract.models import Doubt, Feed, Inspection, Reading
from gloveside.storage.errors import Refused
from gloveside.storage.store import Store

ON = date(2026, 11, 20)
AT = datetime(2026, 11, 20, 1, tzinfo=UTC)
PLACES = ["hive 1", "hive 2", "hive 3"]
DOUBT = Doubt(entry=0, field="place", said="hive", options=PLACES, ask="Which hive?")

steps = st.lists(
    st.one_of(
        st.tuples(st.just("keep"), st.sampled_from(PLACES), st.booleans()),
        st.tuples(st.just("ask"), st.sampled_from(PLACES), st.booleans()),
        st.tuples(st.just("answer"), st.sampled_from(PLACES), st.booleans()),
        st.tuples(st.just("change"), st.sampled_from(PLACES), st.booleans()),
        st.tuples(st.just("amend"), st.sampled_from(PLACES), st.booleans()),
    ),
    max_size=12,
)


def standing(store: Store) -> list[tuple[int, str]]:
    return sorted((e.note_id, e.data) for e in store.entries.find())


def reading(place: str, both: bool, doubtful: bool) -> Reading:
    entries = [Inspection(on=ON, place=place), *([Feed(on=ON, place=place)] if both else [])]
    return Reading(entries=entries, doubts=[DOUBT] if doubtful else [])


def do(store: Store, step: tuple[str, str, bool], n: int) -> bool:
    """Do one step on the newest note; False when it changed nothing that an undo could take back."""
    what, place, both = step
    notes = store.file.rows("SELECT id, state FROM notes ORDER BY id DESC LIMIT 1")
    if what in ("keep", "ask"):
        note = store.notes.add(chat="c", user="u", source="t", spoken_at=AT, text=str(n))
        store.notes.finish(note, reading(place, both, what == "ask"), ON, what == "keep")
        return True
    if not notes:
        return False
    try:
        if what == "answer":
            store.notes.answer_doubt(notes[0]["id"], "place", place)
            # The question and its answer are one thing to take back.
            return False
        if what == "change":
            store.notes.change("place", place, note_id=notes[0]["id"])
            return True
        if notes[0]["state"] != "kept":
            return False
        store.notes.amend(notes[0]["id"], reading(place, both, False), ON, True)
        return True
    except Refused:
        return False


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(steps)
def test_undo_goes_back_through_every_record_that_stood(done):
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder)) as store:
        before: list[list[tuple[int, str]]] = []
        for n, step in enumerate(done):
            now = standing(store)
            if do(store, step, n):
                before.append(now)
        while before:
            assert store.notes.undo("c") is not None
            assert standing(store) == before.pop()
        assert store.notes.undo("c") is None
        assert standing(store) == []
        assert store.file.rows("PRAGMA foreign_key_check") == []
        rows = store.file.row("SELECT count(*) AS n FROM entries WHERE ended_at IS NOT NULL AND ended_by_act IS NULL")
        assert rows == {"n": 0}
