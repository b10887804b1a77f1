"""Long notes over many hives: which entries come out of them, place by place. The notes are our own.

`lacks` in the file is how many entries of a note the reader does not get right yet: not a wish, what is measured.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml
from one_reader import ON, read

NOTES = yaml.safe_load((Path(__file__).parent / "long_notes.yaml").read_text(encoding="utf-8"))
FREE = ("sure", "words", "text")


def plain(entry: dict[str, Any]) -> dict[str, Any]:
    """An entry without free text and `sure`, its dates as text."""
    kept = {k: str(v) if isinstance(v, date) else v for k, v in entry.items() if k not in FREE}
    return {"on": ON.isoformat(), **kept}


@pytest.mark.parametrize("note", NOTES, ids=lambda n: str(n["about"]))
def test_a_long_note_gives_its_entries(note: dict[str, Any]) -> None:
    read_out = [e.model_dump(mode="json", by_alias=True, exclude_none=True) for e in read(note["say"]).entries]
    got = [plain(e) for e in read_out if e["kind"] != "note"]
    missing = []
    for want in (plain(e) for e in note["entries"]):
        if want in got:
            got.remove(want)
        else:
            missing.append(want)
    assert len(missing) <= note.get("lacks", 0), f"missing {missing}, instead {got}"
    assert len(got) <= note.get("lacks", 0) + 1, f"too much: {got}"
