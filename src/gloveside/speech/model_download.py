"""Fetching the small English Vosk model from Vosk's public list into the data folder, whole or not at all."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import stat
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any
from urllib.parse import urljoin

import filelock

from gloveside.speech.transcript import EngineUnavailable
from gloveside.speech.vosk_engine import check_folder

if TYPE_CHECKING:
    import httpx

LIST_URL = "https://alphacephei.com/vosk/models/model-list.json"
LANGUAGE, KIND = "en-us", "small"
FOLDER = "vosk"
LONGEST_LIST = 4_000_000  # bytes
LARGEST_ZIP = 500_000_000  # bytes; the small models have about 40 million
LARGEST_UNPACKED = 1_000_000_000
UNPACKED_PER_BYTE = 3  # free space asked for: the zip and what is in it

LATER = "Nothing was changed; try again later."


@dataclass(frozen=True, slots=True)
class Limits:
    """Seconds to wait: for a connection, for the next bytes, for the list and for the model as a whole."""

    connect: float = 10.0
    read: float = 20.0
    list_total: float = 40.0
    model_total: float = 1800.0


@dataclass(frozen=True, slots=True)
class Listed:
    """One model of the list. size: bytes of the zip; algorithm: of the checksum, as in hashlib."""

    name: str
    size: int
    algorithm: str
    checksum: str


def fetched_model(data_folder: Path) -> Path | None:
    """The model that was fetched into this data folder, the newest by name, or None."""
    try:
        found = sorted(p for p in (data_folder / FOLDER).iterdir() if (p / "am").is_dir() and p.name[0] != ".")
    except OSError:
        return None
    return found[-1] if found else None


def get_model(
    data_folder: Path,
    list_url: str = LIST_URL,
    *,
    limits: Limits = Limits(),
    progress: Callable[[int, int], None] | None = None,
) -> Path:
    """Fetch the small English model named in the list; its folder. Where one is there already, nothing is fetched.

    Size and checksum of the list are checked, the zip is unpacked beside its place and renamed into it, so that a
    model is there whole or not at all. progress: called with the bytes fetched and the bytes in all.
    Raises EngineUnavailable with a sentence: no network, list or model not as promised, too slow, no space.
    """
    there = fetched_model(data_folder)
    if there is not None:
        return there
    home = data_folder / FOLDER
    try:
        home.mkdir(parents=True, exist_ok=True)
        with (
            filelock.FileLock(home / ".lock", timeout=0),
            tempfile.TemporaryDirectory(prefix=".getting-", dir=home) as work,
            _client(limits) as client,
        ):
            model = _chosen(_bytes(client, list_url, limits.list_total))
            target = home / model.name
            if target.is_dir():
                return target
            _ask_for_space(home, model.size)
            archive = Path(work) / "model.zip"
            _download(client, urljoin(list_url, f"{model.name}.zip"), model, archive, limits.model_total, progress)
            unpacked = _unpacked(archive, Path(work) / "unpacked", model.name)
            check_folder(unpacked)
            unpacked.rename(target)
            return target
    except filelock.Timeout as error:
        raise EngineUnavailable(
            "The model is being fetched already by another Gloveside. Wait for that one."
        ) from error
    except OSError as error:
        raise EngineUnavailable(f"The model cannot be stored in {home}: {error.strerror or error}.") from error


@contextmanager
def _client(limits: Limits) -> Iterator[httpx.Client]:
    import httpx

    waits = httpx.Timeout(limits.read, connect=limits.connect)
    try:
        with httpx.Client(timeout=waits, follow_redirects=True) as client:
            yield client
    except httpx.TimeoutException as error:
        raise EngineUnavailable(f"The list of Vosk models did not answer in time. {LATER}") from error
    except httpx.HTTPStatusError as error:
        raise EngineUnavailable(
            f"{error.request.url} answered {error.response.status_code}: the model is not there. {LATER}"
        ) from error
    except (httpx.HTTPError, httpx.InvalidURL) as error:
        raise EngineUnavailable(
            "The list of Vosk models cannot be reached. Connect this computer to the internet and run: "
            f"gloveside voice get. ({error or type(error).__name__}) Until then the bundled engine hears."
        ) from error


def _parts(client: httpx.Client, url: str, seconds: float, most: int) -> Iterator[bytes]:
    """The bytes of an address, within a time and a size."""
    deadline = time.monotonic() + seconds
    count = 0
    with client.stream("GET", url) as response:
        response.raise_for_status()
        for part in response.iter_bytes():
            count += len(part)
            if count > most:
                raise EngineUnavailable(f"{url} sends more than the {most} bytes that were to be expected. {LATER}")
            if time.monotonic() > deadline:
                raise EngineUnavailable(f"{url} is too slow: not done after {seconds:g} seconds. {LATER}")
            yield part


def _bytes(client: httpx.Client, url: str, seconds: float) -> bytes:
    return b"".join(_parts(client, url, seconds, LONGEST_LIST))


def _chosen(data: bytes) -> Listed:
    """The small English model of a list: its fields are lang, type, obsolete, name, size and md5 or sha256."""
    try:
        entries: Any = json.loads(data)
        fitting = [
            entry
            for entry in entries
            if entry["lang"] == LANGUAGE and entry["type"] == KIND and str(entry["obsolete"]).lower() == "false"
        ]
        entry = max(fitting, key=lambda e: str(e.get("version", "")))
        algorithm = "sha256" if entry.get("sha256") else "md5"
        model = Listed(str(entry["name"]), int(entry["size"]), algorithm, str(entry[algorithm]).lower())
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise EngineUnavailable(
            f"The list of Vosk models is not as expected: no small English model with a checksum in it. {LATER}"
        ) from error
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,100}", model.name) or not 0 < model.size <= LARGEST_ZIP:
        raise EngineUnavailable(f"The list of Vosk models names an unlikely model ({model.name[:60]!r}). {LATER}")
    return model


def _ask_for_space(home: Path, size: int) -> None:
    needed = size * UNPACKED_PER_BYTE
    if shutil.disk_usage(home).free < needed:
        raise EngineUnavailable(
            f"The disk of {home} has too little space: {needed // 1_000_000} MB are needed. Make room and try again."
        )


def _download(
    client: httpx.Client,
    url: str,
    model: Listed,
    archive: Path,
    seconds: float,
    progress: Callable[[int, int], None] | None,
) -> None:
    digest = hashlib.new(model.algorithm, usedforsecurity=False)
    count = 0
    with archive.open("wb") as file:
        for part in _parts(client, url, seconds, model.size):
            file.write(part)
            digest.update(part)
            count += len(part)
            if progress is not None:
                progress(count, model.size)
    if count != model.size:
        raise EngineUnavailable(f"The model came cut short: {count} of {model.size} bytes. {LATER}")
    if digest.hexdigest() != model.checksum:
        raise EngineUnavailable(f"The model's checksum is not that of the list: it was damaged on the way. {LATER}")


def _unpacked(archive: Path, folder: Path, name: str) -> Path:
    """The model's folder, unpacked below `folder`; nothing in the zip can land elsewhere."""
    try:
        with zipfile.ZipFile(archive) as bundle:
            members = bundle.infolist()
            for member in members:
                path = PurePosixPath(member.filename)
                link = stat.S_ISLNK(member.external_attr >> 16)
                if path.is_absolute() or ".." in path.parts or "\\" in member.filename or link:
                    raise EngineUnavailable(f"The model's zip holds an unsafe name ({member.filename!r}). {LATER}")
            if sum(member.file_size for member in members) > LARGEST_UNPACKED:
                raise EngineUnavailable(f"The model's zip unpacks to more than {LARGEST_UNPACKED} bytes. {LATER}")
            bundle.extractall(folder)
    except (zipfile.BadZipFile, EOFError, RuntimeError, NotImplementedError) as error:
        raise EngineUnavailable(f"The model's zip is damaged ({error}). {LATER}") from error
    return folder / name
