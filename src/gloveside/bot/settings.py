"""Settings of one operation: `gloveside.toml` in the data folder, checked at load, with a default for everything."""

from __future__ import annotations

import os
import tomllib
from datetime import time
from pathlib import Path
from typing import Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import platformdirs
from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from gloveside.extract.hearing_settings import HearingSettings

FILE_NAME = "gloveside.toml"


class SettingsError(Exception):
    """The settings file cannot be used; the message says which line to change."""


class _Section(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Operation(_Section):
    """Who and where. time_zone: an IANA name; emergency_number: shown beside sting cautions.

    hemisphere: which half-year is summer; season_begins: month 1..12 in which a season begins, 0 for July in the south
    and January in the north.
    """

    name: str = "My bees"
    time_zone: str = "Pacific/Auckland"
    emergency_number: str = "your local emergency number"
    currency: str = "$"
    hemisphere: Literal["southern", "northern"] = "southern"
    season_begins: int = Field(default=0, ge=0, le=12)
    colour_year: Literal["calendar", "season"] = "calendar"
    """Which year a queen's marking colour follows: that of the calendar, or that of the coming season."""

    @field_validator("time_zone")
    @classmethod
    def _known_zone(cls, value: str) -> str:
        try:
            ZoneInfo(value)
        except (ZoneInfoNotFoundError, ValueError) as error:
            raise ValueError(f"{value!r} is no IANA time zone, such as Pacific/Auckland") from error
        return value

    @property
    def southern(self) -> bool:
        """Whether December is summer."""
        return self.hemisphere == "southern"

    @property
    def season_month(self) -> int:
        """The month in which a season begins."""
        return self.season_begins or (7 if self.southern else 1)

    @property
    def zone(self) -> ZoneInfo:
        """The time zone as an object."""
        return ZoneInfo(self.time_zone)


class Speech(_Section):
    """Which engine hears. vosk_model: folder of an English Vosk model; threads: 0 means two, or one on one core.

    prompting: whether the bundled engine is primed with the operation's words; auto: only without the trained ear.
    """

    engine: Literal["auto", "whisper", "vosk"] = "auto"
    vosk_model: Path | None = None
    threads: int = Field(default=0, ge=0, le=64)
    prompting: Literal["auto", "always", "never"] = "auto"
    longest_minutes: float = Field(default=75, gt=0)


class ReadingLine(_Section):
    """Where keeping ends and asking begins. ask_below: a reading less likely than this is asked about."""

    ask_below: float = Field(default=HearingSettings().ask_below, ge=0, le=1)


class Reminders(_Section):
    """When the phone may ring. All times are local."""

    evening: time = time(19, 0)
    morning: time = time(6, 30)
    quiet_from: time = time(21, 0)
    quiet_until: time = time(6, 0)
    digest: bool = True


class Rearing(_Section):
    """How this operation rears. board: excluder-and-slide board used; incubator_c: degrees Celsius, or no incubator."""

    board: bool = True
    incubator_c: float | None = Field(default=None, ge=32, le=35.5)


class Varroa(_Section):
    """The operator's own thresholds, mites in 100 bees. thresholds: month 1..12 -> percent; other months keep theirs.

    source: where the figures come from, shown with them.
    """

    thresholds: dict[int, float] = Field(default_factory=dict)
    source: str = "your setting"

    @field_validator("thresholds")
    @classmethod
    def _months(cls, value: dict[int, float]) -> dict[int, float]:
        for month, percent in value.items():
            if not 1 <= month <= 12:
                raise ValueError(f"{month} is no month: write months as 1 to 12")
            if not 0 < percent <= 100:
                raise ValueError(f"{percent:g} is no share of bees: write mites in 100 bees, such as 2")
        return value


class Chat(_Section):
    """The chat service. spoken_replies: also answer with a voice message; base_url: another Bot API server."""

    spoken_replies: bool = False
    base_url: str = "https://api.telegram.org"
    token_file: Path | None = None


class Settings(_Section):
    """All settings of one operation."""

    operation: Operation = Operation()
    speech: Speech = Speech()
    reading: ReadingLine = ReadingLine()
    reminders: Reminders = Reminders()
    rearing: Rearing = Rearing()
    varroa: Varroa = Varroa()
    growth: dict[str, float | list[int]] = Field(default_factory=dict)
    """Figures of the growth model, by the names of `gloveside.rearing.growth_settings.GrowthSettings`."""
    chat: Chat = Chat()

    @field_validator("growth")
    @classmethod
    def _known_figures(cls, value: dict[str, float | list[int]]) -> dict[str, float | list[int]]:
        if value:
            from gloveside.rearing.growth_settings import GrowthSettings

            known = set(GrowthSettings.__dataclass_fields__)
            known -= {"start", "hives", "nucs", "record", "take_prior", "ripe_prior", "laying_prior"}
            if unknown := sorted(set(value) - known):
                raise ValueError(f"{unknown[0]} is no figure of the growth model: it has {', '.join(sorted(known))}")
        return value


def home() -> Path:
    """Folder of this operation's data: GLOVESIDE_HOME, else the platform's data folder."""
    named = os.environ.get("GLOVESIDE_HOME")
    return Path(named).expanduser() if named else Path(platformdirs.user_data_dir("gloveside", appauthor=False))


def load(folder: Path) -> Settings:
    """Read `gloveside.toml` in the folder; no file means all defaults.

    `GLOVESIDE_VOSK_MODEL` in the environment takes the place of `speech.vosk_model`.
    Raises SettingsError with a sentence that names the setting at fault.
    """
    path = folder / FILE_NAME
    table: dict[str, dict[str, object]] = {}
    if path.is_file():
        try:
            table = tomllib.loads(path.read_text(encoding="utf-8"))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            raise SettingsError(f"{path} is not valid TOML: {error}. Mend that line and try again.") from error
    if model := os.environ.get("GLOVESIDE_VOSK_MODEL"):
        table.setdefault("speech", {})["vosk_model"] = model
    try:
        return Settings.model_validate(table)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise SettingsError(f"{path}: setting {where}: {first['msg']}. Change or remove it and try again.") from error
