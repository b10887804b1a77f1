"""The demo season: bundled voice notes played through the real ear into a real record, as the phone would show it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import yaml

from gloveside.bot.settings import Operation, Settings
from gloveside.storage.places import Places

FOLDER = Path(__file__).resolve().parents[3] / "fixtures" / "season"
"""Where the demo season lies in a checkout."""


class SeasonMissing(Exception):
    """The demo season is not beside the program; the message says where to run it from."""


@dataclass(frozen=True, slots=True)
class VoiceNote:
    """One bundled voice note. spoken_at, uploaded_at: aware; expected: the reading in the form of the contract."""

    name: str
    spoken_at: datetime
    uploaded_at: datetime
    audio: Path
    text: str
    noise: str
    expected: dict[str, Any]
    ignore_notes: bool = False

    @property
    def late(self) -> bool:
        """Whether it was uploaded more than half an hour after it was spoken."""
        return (self.uploaded_at - self.spoken_at).total_seconds() > 1800


def _yaml(folder: Path, name: str) -> Any:
    path = folder / name
    if not path.is_file():
        raise SeasonMissing(f"{path} is not there. The demo needs a checkout of the project: run ./run demo in it.")
    return yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)


def settings(folder: Path = FOLDER) -> Settings:
    """The settings of the demo operation."""
    table = _yaml(folder, "register.yaml")
    return Settings(
        operation=Operation(
            name=table["operation"], time_zone=table["time_zone"], emergency_number=table["emergency_number"]
        )
    )


def fill_register(places: Places, folder: Path = FOLDER) -> None:
    """Put the demo's yards, hives and nucs into a register."""
    table = _yaml(folder, "register.yaml")
    for yard in table["yards"]:
        name = f"yard {yard['name']}"
        places.add(name)
        for kind in ("hive", "nuc"):
            numbers = yard.get(f"{kind}s")
            if numbers:
                for number in range(numbers["from"], numbers["to"] + 1):
                    places.add(f"{kind} {number}", yard=name)
    for place in table["cell_builders"]:
        places.add(place, builder=True)
    for place in table["breeders"]:
        places.add(place, breeder=True)


def notes(folder: Path = FOLDER) -> Iterator[VoiceNote]:
    """The voice notes in the order in which they arrive."""
    zone = ZoneInfo(_yaml(folder, "register.yaml")["time_zone"])

    def moment(text: str) -> datetime:
        return datetime.fromisoformat(text).replace(tzinfo=zone)

    found = [
        VoiceNote(
            name=row["id"],
            spoken_at=moment(row["at"]),
            uploaded_at=moment(row.get("uploaded", row["at"])),
            audio=folder / f"{row['id']}.ogg",
            text=row["text"],
            noise=row["noise"],
            expected=row["expected"],
            ignore_notes=bool(row.get("ignore_notes", False)),
        )
        for row in _yaml(folder, "season.yaml")
    ]
    yield from sorted(found, key=lambda n: (n.uploaded_at, n.name))
