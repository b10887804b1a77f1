"""`gloveside growth` takes its figures from the settings file, as the question in the chat does."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from gloveside.cli.main import app

COMMAND = ["growth", "--hives", "20", "--from", "2026-12-01", "--months", "12", "--json"]


def test_figures_and_hemisphere_of_the_settings_change_the_model(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GLOVESIDE_HOME", str(tmp_path))
    runs = []
    for text in ("", "[growth]\nnuc_price = 500\n", '[operation]\nhemisphere = "northern"\n'):
        (tmp_path / "gloveside.toml").write_text(text, encoding="utf-8")
        done = CliRunner().invoke(app, COMMAND)
        assert done.exit_code == 0, done.output
        runs.append(json.loads(done.output))
    assert runs[0]["money"] != runs[1]["money"]
    assert runs[0]["hives"] == runs[1]["hives"]
    assert runs[0]["hives"] != runs[2]["hives"]
