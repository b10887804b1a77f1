"""The `gloveside` command as a user types it: standard output, errors and exit codes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from gloveside.cli.main import app

run = CliRunner()


@pytest.fixture(autouse=True)
def _home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GLOVESIDE_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("GLOVESIDE_TOKEN", raising=False)


def lines(*arguments: str, given: str | None = None, code: int = 0) -> list[dict[str, Any]]:
    result = run.invoke(app, list(arguments), input=given)
    assert result.exit_code == code, result.output
    return [json.loads(line) for line in result.stdout.splitlines()]


def test_hear_prints_one_object_a_note_in_order() -> None:
    found = lines("hear", "--json", "--on", "2026-11-20", "--text", "hive 3 queenright", "--text", "hive 4 queenless")
    assert [n["entries"][0]["place"] for n in found] == ["hive 3", "hive 4"]
    assert all(n["entries"][0]["on"] == "2026-11-20" for n in found)


def test_hear_reads_a_file_of_notes_one_a_line(tmp_path: Path) -> None:
    notes = tmp_path / "notes.txt"
    notes.write_text("hive 3 queenright\n\nround three, top bar eleven out of fifteen\n", encoding="utf-8")
    found = lines("hear", "--json", "--text-file", str(notes))
    assert [n["source"] for n in found] == ["notes.txt:1", "notes.txt:2", "notes.txt:3"]
    assert "error" in found[1]
    assert not found[1]["entries"]


def test_hear_stores_nothing_without_keep(tmp_path: Path) -> None:
    lines("hear", "--json", "--text", "hive 3 queenright")
    assert not (tmp_path / "home" / "gloveside.db").exists()


def test_hear_keeps_when_asked_to() -> None:
    found = lines("hear", "--json", "--keep", "--on", "2026-11-18", "--text", "grafted 30 larvae into hive 7")
    assert found[0]["id"] == 1
    assert found[0]["entries"][0]["round"] == 1
    result = run.invoke(app, ["due", "--on", "2026-11-18"])
    assert "Fri 20 Nov: round 1, check the take (hive 7)" in " ".join(result.stdout.split())


def test_a_file_that_is_no_sound_gives_its_line_with_a_sentence(tmp_path: Path) -> None:
    bad = tmp_path / "bad.ogg"
    bad.write_text("not a sound", encoding="utf-8")
    found = lines("hear", "--json", str(bad), str(tmp_path / "missing.ogg"))
    assert [n["source"] for n in found] == ["bad.ogg", "missing.ogg"]
    assert all(n["error"].endswith(".") and not n["entries"] and not n["keep"] for n in found)


def test_a_wrong_date_says_how_to_write_it() -> None:
    result = run.invoke(app, ["hear", "--json", "--on", "20.11.2026", "--text", "hive 3"])
    assert result.exit_code == 2
    assert "2026-11-20" in result.output


def test_the_schema_is_that_of_the_models() -> None:
    from gloveside.extract.models import Reading

    result = run.invoke(app, ["schema"])
    assert json.loads(result.stdout) == Reading.model_json_schema(by_alias=True)


def test_the_calendar_keeps_its_contract() -> None:
    (found,) = lines("round", "--grafted", "2026-11-20", "--json")
    likely = {s["step"]: s["likely"] for s in found["steps"]}
    assert likely["excluder in"] == "2026-11-17"
    assert likely["slide in"] == "2026-11-19"
    assert likely["slide out"] == "2026-11-21"
    assert likely["take check"] == "2026-11-22"
    assert likely["splits"] == "2026-11-29"
    assert likely["plant"] == "2026-11-30"
    emergence = next(s for s in found["steps"] if s["step"] == "emergence")
    assert (emergence["earliest"], emergence["likely"], emergence["latest"]) == (
        "2026-12-01",
        "2026-12-02",
        "2026-12-03",
    )
    assert all({"step", "earliest", "likely", "latest", "why", "source"} <= s.keys() for s in found["steps"])


def test_odds_keep_their_contract() -> None:
    """33 nucs for 20 queens, 90 % sure, at 0.7 each: binomial, as tabled from the exact distribution."""
    (found,) = lines("odds", "--queens", "20", "--sure", "0.9", "--laying", "0.7", "--json")
    assert found["nucs"] == 33
    assert {"nucs", "cells", "larvae", "why"} <= found.keys()


def test_talk_keeps_and_answers_and_takes_taps() -> None:
    typed = "excluder in on hive seven\n#1\nwhat's due\n"
    result = run.invoke(app, ["talk", "--on", "2026-11-15"], input=typed)
    assert "Kept · hive 7 · Sun 15 Nov" in result.stdout
    assert "Taken back: Hive 7: excluder in" in result.stdout
    assert "Nothing is due" in result.stdout


def test_words_are_taught_and_forgotten() -> None:
    assert run.invoke(app, ["voice", "teach", "Clover", "Bramble"]).stdout.split() == ["Clover", "Bramble"]
    run.invoke(app, ["voice", "forget", "Clover"])
    assert run.invoke(app, ["voice", "words"]).stdout.split() == ["Bramble"]


def test_the_register_takes_a_csv_or_names_the_bad_row(tmp_path: Path) -> None:
    good, bad = tmp_path / "hives.csv", tmp_path / "bad.csv"
    good.write_text("hive,yard\n1,Orchard\n2,Orchard\n", encoding="utf-8")
    bad.write_text("hive,yard\n3,Orchard\n,Orchard\n", encoding="utf-8")
    assert "2 new" in run.invoke(app, ["register", str(good)]).stdout
    result = run.invoke(app, ["register", str(bad)])
    assert result.exit_code == 1
    assert "3" in result.output


def test_doctor_names_what_to_mend() -> None:
    result = run.invoke(app, ["doctor"])
    assert "engine whisper:tiny.en" in result.stdout
    assert "There is no bot token" in result.stdout
    assert result.exit_code == 1


def test_settings_that_cannot_be_used_name_the_setting(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from gloveside.bot.settings import SettingsError, load

    home = tmp_path / "home"
    home.mkdir()
    (home / "gloveside.toml").write_text('[operation]\ntime_zone = "Nowhere/Land"\n', encoding="utf-8")
    with pytest.raises(SettingsError, match=r"operation\.time_zone"):
        load(home)


def test_demo_refuses_a_folder_that_is_no_demo(tmp_path: Path) -> None:
    (tmp_path / "precious.txt").write_text("mine", encoding="utf-8")
    result = run.invoke(app, ["demo", "--folder", str(tmp_path)])
    assert result.exit_code == 1
    assert (tmp_path / "precious.txt").exists()
