"""Exports that can be read back, and imports that take all or nothing."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from datetime import date

import pytest

from gloveside.extract.models import (
    BarTake,
    Feed,
    Graft,
    Inspection,
    Mating,
    Note,
    Plant,
    QueenCells,
    Sale,
    Take,
)
from gloveside.storage.entries import entry_adapter
from gloveside.storage.errors import ImportRefused, Refused
from gloveside.storage.exports import ExportedEntry

ON = date(2026, 11, 20)
ENTRIES = [
    Inspection(
        on=ON,
        place="hive 12",
        eggs=False,
        brood_frames=6.5,
        queen_cells=QueenCells(count=2, type="swarm"),
        signs=["robbing", "feeder dry"],
        sure=0.9,
    ),
    Graft(on=ON, round=1, place="hive 7", mother="hive 21", bars=[15, 15], larvae=30),
    Take(on=ON, round=1, bars=[BarTake(bar="top", taken=11, of=15)], taken=11, of=15),
    Plant(on=ON, round=1, count=2, places=["nuc 1", "nuc 2"]),
    Note(on=ON, text='She said "no, two",\nand laughed; māori bee'),
    Note(on=ON, text='=HYPERLINK("http://example.invalid")'),
]


def read_csv(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def from_cells(kind: str, cells: dict[str, str]) -> object:
    """An entry from a row of the CSV export, by what its docstring promises."""
    lists = {"signs": str, "bars": int, "places": str}
    fields: dict[str, object] = {"kind": kind}
    for name, cell in cells.items():
        if name in ("entry", "note", "operator", "spoken_at", "kept_at", "said") or cell == "":
            continue
        if cell.startswith(("[", "{")):
            fields[name] = json.loads(cell)
        elif name in lists:
            fields[name] = [lists[name](part) for part in cell.split("; ")]
        elif cell.startswith("'"):
            fields[name] = cell[1:]
        else:
            fields[name] = cell
    return entry_adapter.validate_python(fields)


def test_csv_reads_back_as_the_same_entries(store, say):
    say(*ENTRIES)
    texts = store.exports.csv_texts()
    assert list(texts) == ["inspection.csv", "graft.csv", "take.csv", "plant.csv", "note.csv"]
    back = [from_cells(name[:-4], row) for name, text in texts.items() for row in read_csv(text)]
    assert back == ENTRIES


@pytest.mark.published
def test_csv_is_as_rfc_4180_has_it(store, say):
    """RFC 4180 section 2: lines end in CRLF; cells with line breaks, quotes or commas are quoted, quotes doubled."""
    say(*ENTRIES)
    text = store.exports.csv_texts()["note.csv"]
    assert text.startswith("on,text,place,sure,entry,note,operator,spoken_at,kept_at,said\r\n")
    assert '"She said ""no, two"",\nand laughed; māori bee"' in text


def test_a_text_that_a_spreadsheet_would_run_is_made_harmless(store, say):
    say(*ENTRIES)
    assert read_csv(store.exports.csv_texts()["note.csv"])[1]["text"].startswith("'=HYPERLINK")


def test_csv_as_folder_and_as_archive(store, say, tmp_path):
    say(*ENTRIES)
    names = store.exports.write_csv(tmp_path / "out")
    store.exports.write_csv(tmp_path / "out.zip")
    with zipfile.ZipFile(tmp_path / "out.zip") as archive:
        assert archive.namelist() == names
        for name in names:
            assert archive.read(name) == (tmp_path / "out" / name).read_bytes()


def test_csv_of_a_span_of_dates(store, say):
    say(Feed(on=date(2026, 10, 31), place="hive 1"))
    say(Feed(on=date(2026, 11, 1), place="hive 2"))
    text = store.exports.csv_texts(since=date(2026, 11, 1), until=date(2026, 11, 30))["feed.csv"]
    assert [row["place"] for row in read_csv(text)] == ["hive 2"]


def test_json_lines_read_back_and_hold_to_their_schema(store, say, tmp_path):
    say(*ENTRIES)
    store.exports.write_json_lines(tmp_path)
    lines = (tmp_path / "entries.jsonl").read_text(encoding="utf-8").splitlines()
    assert [ExportedEntry.model_validate_json(line).entry for line in lines] == ENTRIES
    schema = json.loads((tmp_path / "entries.schema.json").read_text(encoding="utf-8"))
    assert set(schema["required"]) <= set(json.loads(lines[0])) <= set(schema["properties"])
    kinds = schema["properties"]["entry"]["discriminator"]["mapping"]
    assert {json.loads(line)["entry"]["kind"] for line in lines} <= set(kinds)


def test_the_history_export_tells_what_was_superseded(store, say):
    kept = say(Feed(on=ON, place="hive 14"))
    store.notes.change("place", "hive 40", note_id=kept.note_id)
    assert len(list(store.exports.json_lines())) == 1
    old, new = (json.loads(line) for line in store.exports.json_lines(history=True))
    assert (old["superseded_by"], new["supersedes"], "ended_at" in new) == (new["id"], old["id"], False)


# -- imports ---------------------------------------------------------------------------------------------


def test_hives_nucs_and_yards_are_registered(store, tmp_path):
    file = tmp_path / "hives.csv"
    file.write_text(
        "\ufeffHive;Yard;Breeder;Builder;Remark\r\n7;Orchard;;yes;\r\nhive 21;yard Orchard;Yes;no;calm\r\n\r\n"
    )
    report = store.imports.places(file)
    assert (report.kind, report.added, report.known) == ("hive", ("hive 7", "hive 21"), ())
    assert (store.places.get("hive 7").builder, store.places.get("hive 21").breeder) == (True, True)
    assert store.places.get("hive 21").yard == "yard Orchard"
    assert store.imports.places("nuc,yard\n1,Quarry\n2,\n").added == ("nuc 1", "nuc 2")
    assert store.imports.places("yard\tremark\nQuarry\tby the road\n").known == ("yard Quarry",)
    assert store.places.get("yard Quarry").remark == "by the road"


def test_importing_again_adds_nothing_and_keeps_what_is_not_given(store):
    store.places.add("hive 7", breeder=True)
    report = store.imports.places("hive,yard\n7,Creek\n8,Creek\n")
    assert (report.added, report.known) == (("hive 8",), ("hive 7",))
    assert store.places.get("hive 7").breeder


def test_bad_rows_are_named_by_line_and_nothing_is_imported(store):
    text = 'hive,yard,breeder\n7,Orchard,\n8,Orchard,perhaps\n,Orchard,\n9,"two\nlines",\n7,Creek,\n10,a,yes,extra\n'
    with pytest.raises(ImportRefused) as caught:
        store.imports.places(text)
    assert [line for line, _ in caught.value.problems] == [3, 4, 7, 8]
    assert "line 3: breeder is 'perhaps'; write yes or no" in str(caught.value)
    assert "hive 7 stands in line 2 already" in str(caught.value)
    assert store.places.all() == []


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("hive\n", "no rows"),
        ("colony,where\n1,2\n", "names no column"),
        ("hive,colour\n1,red\n", "colour"),
        ("hive,hive\n1,1\n", "twice"),
        ('hive,yard\n1,"open\n', "cannot be split"),
    ],
)
def test_a_file_of_the_wrong_shape_gets_a_sentence(store, text, says):
    with pytest.raises(Refused, match=says):
        store.imports.places(text)


def test_a_file_that_is_no_text_or_is_not_there_gets_a_sentence(store, tmp_path):
    (tmp_path / "x.csv").write_bytes(b"hive\n\xff\xfe\n")
    with pytest.raises(Refused, match="UTF-8"):
        store.imports.places(tmp_path / "x.csv")
    with pytest.raises(Refused, match="cannot be read"):
        store.imports.places(tmp_path / "absent.csv")


# -- totals ----------------------------------------------------------------------------------------------


def test_totals_of_a_small_season_by_hand(store, say):
    say(Graft(on=date(2026, 10, 1), place="hive 7", mother="hive 21", larvae=30, tool="brush"))
    say(Take(on=date(2026, 10, 3), round=1, taken=20, of=30))
    say(Plant(on=date(2026, 10, 11), round=1, count=2, places=["nuc 1", "nuc 2"]))
    say(Mating(on=date(2026, 10, 26), place="nuc 1", result="laying"))
    say(Mating(on=date(2026, 10, 26), place="nuc 2", result="missing"))
    say(Graft(on=date(2026, 11, 1), place="hive 7", mother="hive 34", larvae=40, tool="brush"))
    say(Feed(on=ON, place="hive 7", feed="syrup 1:1", amount=2, unit="l"))
    say(Feed(on=ON, place="hive 8", feed="syrup 1:1", amount=1.5, unit="l"), Feed(on=ON, place="hive 8"))
    say(
        Sale(on=ON, goods="queen", count=3, price=60),
        Sale(on=ON, goods="queen", count=2),
        Sale(on=ON, goods="queen", price=50),
    )
    year = date(2026, 7, 1), date(2027, 6, 30)
    first, second = store.totals.reared(*year, by="mother")
    assert (first.group, first.larvae, first.taken, first.of, first.planted, first.laying, first.checked) == (
        ("hive 21", 30, 20, 30, 2, 1, 2)
    )
    assert (second.group, second.larvae, second.of) == ("hive 34", 40, 0)
    assert [(r.group, r.larvae) for r in store.totals.reared(*year, by="season")] == [("2026", 70)]
    assert [r.group for r in store.totals.reared(*year, by="season", season_begins=11)] == ["2025", "2026"]
    assert store.totals.larvae_by_tool(*year) == {"brush": 70}
    assert [(a.what, a.unit, a.total, a.times) for a in store.totals.feed(*year)] == [
        (None, None, None, 1),
        ("syrup 1:1", "l", 3.5, 2),
    ]
    (queens,) = store.totals.sales(*year)
    assert (queens.count, queens.priced, queens.income, queens.times) == (6, 4, 230, 3)
    assert store.totals.matings(*year) == {"laying": 1, "missing": 1}
    assert store.totals.counts(*year)["feed"] == 3
