"""The record in open formats: CSV, one file a kind (RFC 4180), and JSON Lines with their schema."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict

from gloveside.extract.models import Entry
from gloveside.storage.database import RecordFile
from gloveside.storage.entries import COLUMNS, FROM, Entries, KeptEntry, kept_entries
from gloveside.storage.views import entry_models, fields_of, kind_of

_ABOUT = ("entry", "note", "operator", "spoken_at", "kept_at", "said")
_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


class ExportedEntry(BaseModel):
    """One line of the JSON Lines export. Moments are UTC; `ended_at` and what follows only in a history export."""

    model_config = ConfigDict(extra="forbid")

    id: int
    note: int
    operator: str
    spoken_at: datetime
    kept_at: datetime
    said: str
    entry: Entry
    supersedes: int | None = None
    superseded_by: int | None = None
    ended_at: datetime | None = None


class Exports:
    """Exports of one record."""

    def __init__(self, file: RecordFile, entries: Entries) -> None:
        self._file = file
        self._entries = entries

    def csv_texts(self, since: date | None = None, until: date | None = None) -> dict[str, str]:
        """File name -> CSV text, for each kind that has entries on these local dates (both included).

        Columns: `on`, the kind's fields as in the contract, `sure`, then `entry`, `note`, `operator`, `spoken_at`,
        `kept_at` (UTC) and `said`. Lists are joined by `; `, nested values are JSON. A text that a spreadsheet would
        run as a formula begins with an apostrophe.
        """
        by_kind: dict[str, list[KeptEntry]] = {}
        for kept in self._entries.find(since=since, until=until):
            by_kind.setdefault(kept.kind, []).append(kept)
        texts: dict[str, str] = {}
        for model in entry_models():
            kind = kind_of(model)
            if kind not in by_kind:
                continue
            fields = fields_of(model)
            out = io.StringIO()
            writer = csv.writer(out)
            writer.writerow(["on", *fields, "sure", *_ABOUT])
            for kept in by_kind[kind]:
                values = [_cell(kept.fields.get(name)) for name in ("on", *fields, "sure")]
                about = [
                    kept.id,
                    kept.note_id,
                    _cell(kept.operator),
                    kept.spoken_at.isoformat(),
                    kept.kept_at.isoformat(),
                ]
                writer.writerow([*values, *about, _cell(kept.said)])
            texts[f"{kind}.csv"] = out.getvalue()
        return texts

    def write_csv(self, target: Path, since: date | None = None, until: date | None = None) -> list[str]:
        """Write the CSV files into a folder, or into one archive where `target` ends in `.zip`; returns their names."""
        texts = self.csv_texts(since, until)
        if target.suffix.lower() == ".zip":
            target.parent.mkdir(parents=True, exist_ok=True)
            with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
                for name, text in texts.items():
                    archive.writestr(name, text)
        else:
            target.mkdir(parents=True, exist_ok=True)
            for name, text in texts.items():
                (target / name).write_text(text, encoding="utf-8", newline="")
        return list(texts)

    def json_lines(self, *, history: bool = False) -> Iterator[str]:
        """One JSON object for each entry, by id, without line ends. history: those undone or superseded too."""
        where = "" if history else " WHERE e.ended_at IS NULL"
        with self._file.reading() as db:
            found = kept_entries(db, f"SELECT {COLUMNS} {FROM}{where} ORDER BY e.id")
        for kept in found:
            line: dict[str, Any] = {
                "id": kept.id,
                "note": kept.note_id,
                "operator": kept.operator,
                "spoken_at": kept.spoken_at.isoformat(),
                "kept_at": kept.kept_at.isoformat(),
                "said": kept.said,
                "entry": kept.fields,
            }
            if history:
                ended: dict[str, Any] = {"supersedes": kept.supersedes, "superseded_by": kept.superseded_by}
                ended["ended_at"] = kept.ended_at.isoformat() if kept.ended_at else None
                line |= {name: value for name, value in ended.items() if value is not None}
            yield json.dumps(line, ensure_ascii=False)

    def write_json_lines(self, folder: Path, *, history: bool = False) -> list[str]:
        """Write `entries.jsonl` and `entries.schema.json` into a folder; returns their names."""
        folder.mkdir(parents=True, exist_ok=True)
        with (folder / "entries.jsonl").open("w", encoding="utf-8", newline="\n") as out:
            for line in self.json_lines(history=history):
                out.write(line + "\n")
        schema = json.dumps(self.schema(), indent=2, ensure_ascii=False)
        (folder / "entries.schema.json").write_text(schema + "\n", encoding="utf-8")
        return ["entries.jsonl", "entries.schema.json"]

    @staticmethod
    def schema() -> dict[str, Any]:
        """The JSON Schema of one line, generated from the models."""
        return ExportedEntry.model_json_schema(by_alias=True)


def _cell(value: Any) -> Any:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list) and not any(isinstance(item, dict) for item in value):
        value = "; ".join(str(item) for item in value)
    elif isinstance(value, list | dict):
        value = json.dumps(value, ensure_ascii=False)
    if isinstance(value, str) and value.startswith(_STARTS_A_FORMULA):
        return f"'{value}"
    return value
