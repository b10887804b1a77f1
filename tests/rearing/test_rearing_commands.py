"""The rearing commands: the JSON of the contract, short text, clear sentences for bad input, no record made."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from gloveside.cli import rearing_commands
from gloveside.rearing.calendar import STEPS

app = typer.Typer(pretty_exceptions_enable=False)
rearing_commands.register(app)


@pytest.fixture
def run(tmp_path, monkeypatch):
    home = tmp_path / "home"
    monkeypatch.setenv("GLOVESIDE_HOME", str(home))

    def call(*args: str, code: int = 0) -> str:
        result = CliRunner().invoke(app, list(args))
        assert result.exit_code == code, result.output
        assert not home.exists(), "a question made a record"
        return result.output

    return call


def test_round_json_keeps_the_contract(run):
    steps = json.loads(run("round", "--grafted", "2026-11-20", "--json"))["steps"]
    assert [s["step"] for s in steps] == list(STEPS)
    emergence = next(s for s in steps if s["step"] == "emergence")
    assert (emergence["earliest"], emergence["likely"], emergence["latest"]) == (
        "2026-12-01",
        "2026-12-02",
        "2026-12-03",
    )
    bare = json.loads(run("round", "--grafted", "2026-11-20", "--no-board", "--json"))["steps"]
    assert not {s["step"] for s in bare} & {"excluder in", "slide in", "slide out"}


def test_round_with_a_time_gives_times_for_biology(run):
    steps = json.loads(run("round", "--grafted", "2026-11-20T15:30", "--json"))["steps"]
    by_name = {s["step"]: s["likely"] for s in steps}
    assert by_name["emergence"] == "2026-12-02T15:30:00"
    assert by_name["plant"] == "2026-11-30"


def test_round_backwards_and_with_what_was_done(run):
    data = json.loads(run("round", "--plant", "2026-11-30", "--json"))
    assert next(s for s in data["steps"] if s["step"] == "graft")["likely"] == "2026-11-20"
    assert [s["step"] for s in data["drones"]] == ["drone eggs", "drones capped", "drones emerge"]
    done = json.loads(run("round", "--grafted", "2026-11-20", "--done", "emergence=2026-12-03", "--json"))["steps"]
    eggs = next(s for s in done if s["step"] == "first eggs")
    assert eggs["likely"] == "2026-12-16"


def test_odds_json(run):
    out = json.loads(run("odds", "--queens", "20", "--sure", "0.9", "--laying", "0.7", "--json"))
    assert (out["nucs"], out["cells"]) == (33, 33)
    assert out["larvae"] >= 33
    assert out["why"]


def emergence(run, *options: str) -> str:
    steps = json.loads(run("round", "--grafted", "2026-11-20T12:00", *options, "--json"))["steps"]
    return next(s["likely"] for s in steps if s["step"] == "emergence")


def test_a_cool_incubator_costs_only_the_time_that_the_cells_spend_in_it(run):
    warm, cool = emergence(run), emergence(run, "--incubator", "32")
    late = emergence(run, "--incubator", "32", "--incubated-from", "2026-11-30T12:00")
    assert emergence(run, "--incubator", "32", "--incubated-from", "2026-11-24") == cool
    assert emergence(run, "--incubator", "32", "--incubated-from", "2026-12-03") == warm
    assert warm < late < cool


def test_a_step_says_why_it_falls_there_and_who_says_so(run):
    lines = run("round", "--grafted", "2026-11-20", "--why", "sealed").splitlines()
    assert lines[0].startswith("Sealed Wed 25 Nov")
    assert any(line.startswith("Source: ") for line in lines)


def test_clashes_of_planned_rounds(run):
    two = ("clashes", "--builder", "hive 7", "--graft", "3=2026-11-20", "--graft", "4=2026-11-29")
    assert run(*two).splitlines()[0] == "Hive 7: round 3 and round 4, 26–30 Nov"
    assert json.loads(run(*two, "--json"))["clashes"] == [
        {"builder": "hive 7", "rounds": [3, 4], "first": "2026-11-26", "last": "2026-11-30"}
    ]
    assert "No two rounds" in run(*two, "--incubator")


SHORT = [
    "round --grafted 2026-11-20",
    "round --plant 2026-11-30",
    "odds --queens 20 --sure 90",
    "drones --grafted 2026-11-20",
    "drones --capped 2026-09-10",
    "swarm-cell --found 2026-11-20 --open-on 2026-11-17",
    "queen-lost --on 2026-11-20 --or-earlier 3",
    "splits --taken 19 --grafted 2026-11-20",
    "syrup --litres 10",
    "round --grafted 2026-11-20 --hints --away 2026-11-22 --away 2026-11-30 --done 'slide in=2026-11-20'",
    "round --grafted 2026-11-20 --hints --forecast 2026-12-08=17,30 --forecast 2026-12-09=15",
    "round --plant 2026-11-30 --away 2026-11-22",
    "withholding --product thymol --out 2027-02-10 --days 14 --label 'label of 2026'",
    "odds --queens 45 --forage dearth",
    "syrup --sugar 25 --thick",
    "colour --born 2026-12-03",
    "plan --queens 60 --by 2027-03-01 --from 2026-10-10 --builder 'hive 7'",
    "take-compare 11/15 8/15",
    "take-compare",
    "mites --mites 9 --on 2026-11-20",
    "mites --mites 30 --days 3 --on 2026-11-20",
    "broodless --last-egg 2026-06-01 --case split",
    "feeder --look 2026-11-20=2 --look 2026-11-22=2,0",
    "growth --hives 40 --from 2026-11-01 --target 60 --by 2028-06-01",
    "nuc-watch --emerged 2026-12-02 --on 2026-12-14",
    "clashes",
    "round --grafted 2026-11-20 --why 'leave alone'",
    "clashes --graft 3=2026-11-20 --graft 4=2026-11-29",
    "round --grafted 2026-11-20 --incubator 33 --incubated-from 2026-11-28",
]


@pytest.mark.parametrize("line", SHORT)
def test_every_reply_fits_a_lock_screen(run, line):
    import shlex

    lines = run(*shlex.split(line)).rstrip("\n").split("\n")
    assert 1 <= len(lines) <= 12
    assert all(0 < len(text) <= 40 for text in lines)


@pytest.mark.parametrize(
    ("line", "say"),
    [
        ("round --grafted 2026-13-40", "Write it as"),
        ("round", "--grafted"),
        ("round --plant 2026-11-30 --incubator 33 --incubated-from 2026-11-28", "goes with"),
        ("clashes --graft 2026-11-20", "number=date"),
        ("round --grafted 2026-11-20 --why lunch", "Steps:"),
        ("round --grafted 2026-11-20 --incubator 20", "32 to 34.5"),
        ("round --grafted 2026-11-20 --larva-age 100", "72 hours"),
        ("round --grafted 2026-11-20 --done hatched=2026-11-24", "Steps:"),
        ("odds --queens 0 --sure 0.9", "whole number"),
        ("odds --queens 5 --sure 0", "percentage"),
        ("splits --taken 5 --ripe 6", "count again"),
        ("mites --mites 9 --bees 0 --on 2026-11-20", "Half a cup"),
        ("mites --place hive9 --on 2026-11-20", "No wash yet"),
        ("feeder --place hive9", "litres went in"),
        ("plan --queens 5 --by 2026-11-01 --from 2026-10-30", "Too late"),
        ("take-compare eleven", "11/15"),
        ("feeder --look 2026-11-20=lots", "write a look"),
        ("growth --hives 40 --from 2026-11-01 --settings no-such.toml", "cannot be read"),
        ("breeders", "Two hives"),
        ("round --grafted 2026-11-20 --forecast warm", "write a forecast"),
        ("withholding --product thymol --out 2027-02-10 --days -1", "label"),
    ],
)
def test_bad_input_gets_a_sentence(run, line, say):
    text = " ".join(run(*line.split(), code=2).replace("│", " ").split())
    assert say in text


def test_charts_are_written(run, tmp_path):
    for name, line in (
        ("round", "round --grafted 2026-11-20 --on 2026-11-25"),
        ("plan", "plan --queens 30 --by 2027-03-01 --from 2026-10-10 --dark"),
        ("take", "take-compare top=11/15 bottom=8/15"),
        ("growth", "growth --hives 40 --from 2026-11-01 --months 12"),
    ):
        path: Path = tmp_path / f"{name}.png"
        run(*line.split(), "--chart", str(path))
        assert path.read_bytes()[:4] == b"\x89PNG"


def test_growth_reads_more_settings(run, tmp_path):
    table = tmp_path / "growth.toml"
    table.write_text("rearing_months = [11]\nnuc_boxes = 4\n", encoding="utf-8")
    out = json.loads(run("growth", "--hives", "40", "--from", "2026-11-01", "--settings", str(table), "--json"))
    assert out["limits"]["boxes"] > 0.9
    table.write_text("wings = 2\n", encoding="utf-8")
    assert "not known" in " ".join(
        run("growth", "--hives", "40", "--from", "2026-11-01", "--settings", str(table), code=2).split()
    )


def test_dates_in_the_commands_are_those_given(run):
    assert date.fromisoformat(json.loads(run("drones", "--capped", "2026-09-10", "--json"))["earliest"]) == date(
        2026, 9, 10
    )
