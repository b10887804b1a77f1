"""The files for running as a service name what really exists."""

from __future__ import annotations

import configparser
import re
from pathlib import Path

from gloveside.bot.chat.service import Tuning
from gloveside.bot.chat.token import FILE_VARIABLE

ROOT = Path(__file__).parents[2]


def test_the_unit_starts_what_exists_and_waits_for_a_clean_stop() -> None:
    unit = configparser.ConfigParser(interpolation=None, strict=False)
    unit.optionxform = str
    unit.read(ROOT / "deploy" / "gloveside.service", encoding="utf-8")
    service = unit["Service"]
    assert service["ExecStart"].endswith("/run serve")
    assert service["KillSignal"] == "SIGTERM"
    assert int(service["TimeoutStopSec"]) > Tuning().stop_within + 5 + 3
    assert FILE_VARIABLE in service["Environment"]
    assert "GLOVESIDE_TOKEN=" not in (ROOT / "deploy" / "gloveside.service").read_text(encoding="utf-8")


def test_the_container_copies_what_exists() -> None:
    text = (ROOT / "deploy" / "Containerfile").read_text(encoding="utf-8")
    for line in re.findall(r"^COPY (?:--\S+ )*(.+)$", text, re.MULTILINE):
        for source in line.split()[:-1]:
            assert (ROOT / source).exists(), source
    assert FILE_VARIABLE in text
    assert 'CMD ["./run", "serve"]' in text
    assert "STOPSIGNAL SIGTERM" in text
