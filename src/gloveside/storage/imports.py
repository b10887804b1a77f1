"""Hives, nucs and yards from a CSV file: all of it or nothing, bad rows named by their line.

The first row names the columns, in any order and case; the file is about hives, nucs or yards by which of these it has:

    hives: `hive` (number or name), and if wanted `yard`, `breeder`, `builder` (yes or no), `remark`
    nucs:  `nuc`, and if wanted `yard`, `remark`
    yards: `yard`, and if wanted `remark`

Separated by commas, semicolons or tabs; UTF-8.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path

from gloveside.storage.database import RecordFile
from gloveside.storage.errors import ImportRefused, Refused
from gloveside.storage.places import LONGEST_NAME, PlaceKind, Places

COLUMNS: dict[PlaceKind, tuple[str, ...]] = {
    "hive": ("hive", "yard", "breeder", "builder", "remark"),
    "nuc": ("nuc", "yard", "remark"),
    "yard": ("yard", "remark"),
}
LARGEST_BYTES = 5_000_000
_YES = {"yes": True, "y": True, "true": True, "1": True, "no": False, "n": False, "false": False, "0": False, "": None}


@dataclass(frozen=True, slots=True)
class ImportReport:
    """What an import did. added: places that are new in the register; known: those that were there already."""

    kind: PlaceKind
    added: tuple[str, ...]
    known: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Row:
    place: str
    yard: str | None
    breeder: bool | None
    builder: bool | None
    remark: str | None


class Imports:
    """Imports into one record."""

    def __init__(self, file: RecordFile, places: Places) -> None:
        self._file = file
        self._places = places

    def places(self, source: Path | str) -> ImportReport:
        """Register the places of a CSV file or CSV text.

        Raises ImportRefused, which names every bad line, and Refused for a file that cannot be read as a whole; nothing
        is registered then.
        """
        kind, rows = _parse(_text(source))
        with self._file.writing():
            before = {row.place for row in self._places.all(retired=True)}
            for row in rows:
                self._places.add(row.place, yard=row.yard, breeder=row.breeder, builder=row.builder, remark=row.remark)
        names = [row.place for row in rows]
        return ImportReport(
            kind=kind,
            added=tuple(name for name in names if name not in before),
            known=tuple(name for name in names if name in before),
        )


def _text(source: Path | str) -> str:
    if isinstance(source, str):
        return source.removeprefix("\ufeff")
    try:
        raw = source.read_bytes()
        if len(raw) > LARGEST_BYTES:
            raise Refused(
                f"{source.name} is larger than {LARGEST_BYTES // 1_000_000} MB. Split it and import the parts."
            )
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Refused(f"{source.name} is not UTF-8 text. Save it as CSV (UTF-8) and import it again.") from error
    except OSError as error:
        raise Refused(f"{source} cannot be read: {error.strerror}. Check the name and try again.") from error


def _parse(text: str) -> tuple[PlaceKind, list[_Row]]:
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text), delimiter=separator, strict=True)
    kind: PlaceKind | None = None
    header: list[str] = []
    rows: list[_Row] = []
    problems: list[tuple[int, str]] = []
    seen: dict[str, int] = {}
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if kind is None:
                header = [cell.strip().lower() for cell in cells]
                kind = _kind(header)
                continue
            line = reader.line_num
            if len(cells) > len(header):
                problems.append((line, f"it has {len(cells)} cells for {len(header)} columns"))
                continue
            values = dict.fromkeys(header, "") | {name: c.strip() for name, c in zip(header, cells, strict=False)}
            try:
                row = _row(kind, values)
            except Refused as error:
                problems.append((line, str(error)))
                continue
            if row.place in seen:
                problems.append((line, f"{row.place} stands in line {seen[row.place]} already"))
            seen.setdefault(row.place, line)
            rows.append(row)
    except csv.Error as error:
        problems.append((reader.line_num, f"it cannot be split into cells: {error}"))
    if kind is None:
        raise Refused("The file is empty. Its first row names the columns, as in: hive,yard,breeder,builder,remark.")
    if problems:
        raise ImportRefused(problems)
    if not rows:
        raise Refused("The file has column names but no rows. Add one row for each place.")
    return kind, rows


def _kind(header: list[str]) -> PlaceKind:
    kinds: tuple[PlaceKind, ...] = ("hive", "nuc", "yard")
    kind = next((name for name in kinds if name in header), None)
    if kind is None:
        raise Refused("The first row names no column `hive`, `nuc` or `yard`. Write for example: hive,yard,remark.")
    unknown = [name for name in header if name not in COLUMNS[kind]]
    if unknown or len(set(header)) < len(header):
        wrong = ", ".join(unknown) or "a column twice"
        raise Refused(f"The first row has {wrong}. For {kind}s these columns are read: {', '.join(COLUMNS[kind])}.")
    return kind


def _row(kind: PlaceKind, values: dict[str, str]) -> _Row:
    yard = values.get("yard", "")
    return _Row(
        place=_place(kind, values[kind]),
        yard=_place("yard", yard) if yard and kind != "yard" else None,
        breeder=_yes(values, "breeder"),
        builder=_yes(values, "builder"),
        remark=values.get("remark") or None,
    )


def _place(kind: PlaceKind, cell: str) -> str:
    """`12`, `Hive 12` or `hive 12` as `hive 12`."""
    name = " ".join(cell.split())
    if name.lower().startswith(f"{kind} "):
        name = name[len(kind) + 1 :]
    if name.isdigit():
        name = str(int(name))
    if not name:
        raise Refused(f"the {kind} has no number or name")
    if len(name) + len(kind) + 1 > LONGEST_NAME:
        raise Refused(f"the name of the {kind} is longer than {LONGEST_NAME - len(kind) - 1} letters")
    return f"{kind} {name}"


def _yes(values: dict[str, str], column: str) -> bool | None:
    cell = values.get(column, "").lower()
    if cell not in _YES:
        raise Refused(f"{column} is {values[column]!r}; write yes or no")
    return _YES[cell]
