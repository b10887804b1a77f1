"""`gloveside serve` as a process: pairing by the code on its console, one copy only, a clean stop, no token shown."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from bot_api import BotApi, Phone
from chat_under_test import OWNER


class Process:
    """A started `gloveside serve`, its output gathered as it comes."""

    def __init__(self, home: Path, token: str) -> None:
        environment = {**os.environ, "GLOVESIDE_HOME": str(home), "GLOVESIDE_TOKEN": token, "PYTHONUNBUFFERED": "1"}
        self.run = subprocess.Popen(
            [sys.executable, "-m", "gloveside.cli.main", "serve"],
            env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip
        self.lines: list[str] = []
        self.reader = threading.Thread(target=self._read, daemon=True)
        self.reader.start()

    def _read(self) -> None:
        assert self.run.stdout is not None
        for line in self.run.stdout:
            self.lines.append(line)
        self.run.stdout.close()

    @property
    def output(self) -> str:
        return "".join(self.lines)

    def end(self, how: int = signal.SIGTERM) -> int:
        self.run.send_signal(how)
        code = self.run.wait(40)
        self.reader.join(5)
        return code


@pytest.fixture
def home(tmp_path: Path, api: BotApi) -> Path:
    folder = tmp_path / "home"
    folder.mkdir()
    (folder / "gloveside.toml").write_text(f'[chat]\nbase_url = "{api.base_url}"\n')
    return folder


def test_serve_pairs_answers_and_stops(api: BotApi, home: Path) -> None:
    first = Process(home, api.token)
    try:
        shown = api.world.wait(
            lambda: re.search(r"@marrow_hill_bot.*?([A-Z2-9]{4}-[A-Z2-9]{4})", first.output), 60, "code"
        )
        phone = Phone(api.world, OWNER)
        phone.type(shown.group(1))
        phone.read("You are paired as owner", deadline=20)
        second = Process(home, api.token)
        assert second.run.wait(60) == 1
        second.reader.join(5)
        assert "already serves" in second.output
        assert "Traceback" not in second.output
        phone.type("hive twelve is queenright, eight frames of brood")
        phone.read("Kept", deadline=60)
        phone.type("what's due?")
        phone.read("due", deadline=30)
    finally:
        code = first.end()
    assert code == 0, first.output
    assert "Stopped." in first.output
    assert "Traceback" not in first.output
    for text in (first.output, second.output):
        assert api.token not in text


def test_serve_with_a_refused_token_says_so_and_ends(api: BotApi, home: Path) -> None:
    wrong = "4242:" + "x" * 35
    process = Process(home, wrong)
    assert process.run.wait(60) == 1
    process.reader.join(5)
    assert "does not know this bot token" in process.output
    assert "Traceback" not in process.output
    assert wrong not in process.output


def test_serve_without_a_token_says_where_to_put_it(api: BotApi, home: Path) -> None:
    process = Process(home, "")
    assert process.run.wait(60) == 1
    process.reader.join(5)
    assert "There is no bot token" in process.output
