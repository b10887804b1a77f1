"""Rounds as the record has them: two in one builder, and cells that spend a part of their time in an incubator."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from gloveside.bot.rounds import view
from gloveside.bot.settings import Rearing, Settings
from gloveside.bot.wiring import Workshop
from gloveside.cli.main import app
from gloveside.extract.models import Graft, Reading
from gloveside.storage.round_rows import Done, RoundRow

GRAFT = date(2026, 11, 20)


def emergence(incubated: date | None, celsius: float | None) -> date:
    done = (Done("incubator in", incubated, 1),) if incubated else ()
    row = RoundRow(number=3, grafted=GRAFT, builder="hive 7", done=done)
    return view(row, Rearing(incubator_c=celsius), 3).calendar.get("emergence").likely


def test_an_incubator_shifts_a_round_by_the_time_its_cells_spend_there():
    """32 °C for all of the sealed time costs 27 h (see `sources.py`), for the last day or so a few hours."""
    in_hive = emergence(None, 32)
    assert in_hive == emergence(GRAFT + timedelta(days=5), None) == GRAFT + timedelta(days=12)
    assert emergence(GRAFT + timedelta(days=5), 32) == in_hive + timedelta(days=1)
    assert emergence(GRAFT + timedelta(days=11), 32) == in_hive


def test_clashes_are_found_in_the_record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    home = tmp_path / "home"
    monkeypatch.setenv("GLOVESIDE_HOME", str(home))
    with Workshop(home, Settings()) as workshop:
        today = workshop.desk().today
        for place, back in (("hive 7", 9), ("hive 7", 0), ("hive 8", 0)):
            on = today - timedelta(days=back)
            note = workshop.store.notes.add(chat="0", user="0", source="t", spoken_at=workshop.clock(), text="grafted")
            reading = Reading(source="t", entries=[Graft(on=on, place=place, larvae=30)])
            workshop.store.notes.finish(note, reading, on, keep=True)
    lines = CliRunner().invoke(app, ["clashes"]).stdout.splitlines()
    assert lines[0].startswith("Hive 7: round 1 and round 2, ")
    assert not any("Hive 8" in line for line in lines)
