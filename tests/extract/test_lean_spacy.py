"""spaCy's own command line is not loaded for a note, and is still there for who asks."""

from __future__ import annotations

import subprocess
import sys

NOTE = """
import sys
from datetime import date, datetime, UTC
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register
Reader().read("hive 4 is queenright", on=date(2026, 11, 20), register=Register(), now=datetime.now(UTC))
"""


def run(code: str) -> str:
    done = subprocess.run([sys.executable, "-c", NOTE + code], capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_reading_a_typed_note_loads_nothing_that_it_does_not_need() -> None:
    heavy = (
        "weasel",
        "requests",
        "scipy.stats",
        "matplotlib",
        "pandas",
        "faster_whisper",
        "vosk",
        "num2words",
        "telegram",
    )
    assert run(f"print([name for name in {heavy!r} if name in sys.modules])") == "[]"


def test_spacy_info_and_its_command_line_are_the_real_ones_when_asked_for() -> None:
    code = """
import spacy
print(spacy.info(silent=True)["spacy_version"] == spacy.__version__)
from spacy.cli import download
import spacy.cli
print(download.__module__, spacy.cli.download is download, spacy.cli.info.__name__)
"""
    assert run(code).split() == ["True", "spacy.cli.download", "True", "info"]
