"""What a person at the desk should know before relying on it: versions, engine, token, disk, backup."""

from __future__ import annotations

import os
import platform
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from gloveside import __version__
from gloveside.bot.chat.health import chat_health
from gloveside.bot.chat.token import TokenError, read_token
from gloveside.bot.ear import engine_for
from gloveside.bot.settings import Settings, SettingsError, load
from gloveside.speech.transcript import SpeechError
from gloveside.storage.errors import StoreError
from gloveside.storage.names import FILE_NAME
from gloveside.storage.store import Store

_LEAST_FREE_GB = 1.0
_OLDEST_BACKUP = timedelta(days=7)
_PACKAGES = ("python-telegram-bot", "vosk", "faster-whisper", "spacy", "sqlite-utils")


@dataclass(frozen=True, slots=True)
class Finding:
    """One line of the report. fine: nothing to mend."""

    fine: bool
    text: str


def findings(folder: Path) -> list[Finding]:
    """Look at everything; never raises for what it finds."""
    found = [Finding(True, f"Gloveside {__version__}, Python {platform.python_version()}, {platform.system()}")]
    found += _packages()
    found.append(Finding(True, f"data folder {folder}"))
    try:
        settings = load(folder)
    except SettingsError as trouble:
        return [*found, Finding(False, str(trouble))]
    found += _engine(settings, folder)
    found.append(_token(settings))
    found.append(_disk(folder))
    found += _record(folder)
    return found


def _packages() -> Iterator[Finding]:
    for name in _PACKAGES:
        try:
            yield Finding(True, f"{name} {version(name)}")
        except PackageNotFoundError:
            yield Finding(False, f"{name} is missing. Run ./run again to install it.")


def _engine(settings: Settings, folder: Path) -> Iterator[Finding]:
    """The engine with its model loaded: only then does it know whether all of it works."""
    try:
        engine = engine_for(settings.speech, folder)
        engine.warm()
    except SpeechError as trouble:
        yield Finding(False, str(trouble))
        return
    about = {label: text for label, text in engine.describe().items() if label not in ("engine", "notice")}
    yield Finding(True, ", ".join((f"engine {engine.name}", *(f"{label}: {text}" for label, text in about.items()))))
    if engine.notice:
        yield Finding(False, engine.notice)


def _token(settings: Settings) -> Finding:
    try:
        read_token(settings.chat.token_file, os.environ)
    except TokenError as trouble:
        return Finding(False, f"chat: {trouble}")
    return Finding(True, "chat: a bot token is set (serve says whether the service accepts it)")


def _disk(folder: Path) -> Finding:
    there = next(p for p in (folder, *folder.parents) if p.exists())
    free = shutil.disk_usage(there).free / 1e9
    if free < _LEAST_FREE_GB:
        return Finding(False, f"only {free:.1f} GB free at {there}. Make room before the next notes.")
    return Finding(True, f"{free:.0f} GB free")


def _record(folder: Path) -> Iterator[Finding]:
    from gloveside.storage.backup import last_backup

    if not (folder / FILE_NAME).is_file():
        yield Finding(True, "no record yet; the first note makes it")
        return
    try:
        with Store.open(folder) as store:
            yield Finding(True, f"record: {store.entries.count()} entries")
            last = last_backup(store)
            yield from (Finding(fine, text) for fine, text in chat_health(store))
    except StoreError as trouble:
        yield Finding(False, str(trouble))
        return
    if last is None:
        yield Finding(False, "no backup yet. Make one: gloveside backup FOLDER")
    elif datetime.now(tz=UTC) - last > _OLDEST_BACKUP:
        yield Finding(False, f"last backup {last:%Y-%m-%d}, over a week ago. Make one: gloveside backup FOLDER")
    else:
        yield Finding(True, f"last backup {last:%Y-%m-%d %H:%M} UTC")
