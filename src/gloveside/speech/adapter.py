"""The trained ear: a small low-rank change to the bundled weights, applied once and kept in the data folder.

An adapter is an `.npz` with int8 pairs `A|NAME` (rank, columns) and `B|NAME` (rows, rank) and their float32 scales
`S|NAME` (rank,); NAME is that of a float16 matrix in the weight file with `|` for `/`. The ear's matrix is
`W + (B * S) @ A`. Beside it lies a `.json` whose
`base_sha256` names the weight file that it was trained on, and whose `fitted_windows` says whether it was trained in
windows as long as the sound.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import tempfile
import zipfile
from pathlib import Path

import filelock
import numpy as np

from gloveside.speech import ct2_file
from gloveside.speech.transcript import EngineUnavailable
from gloveside.speech.weights import NEEDED, sha256_of

SHIPPED = Path(__file__).parent / "data" / "adapter.npz"
MANIFEST = "ear.json"
FOLDER = "ear"
LOCK_SECONDS = 60.0


def shipped() -> Path | None:
    """The adapter that comes with the project, or None where none does."""
    return SHIPPED if SHIPPED.is_file() else None


def patched_model(base_folder: Path, adapter_npz: Path, data_folder: Path) -> Path:
    """Folder of a model with the adapter applied to the base weights: made at the first call, then found again.

    It is made in a temporary folder and renamed, under a lock, so that a stop half-way or a second process leaves no
    half-made model. Its manifest holds the SHA-256 of base, adapter and result; when one of them no longer fits, the
    model is made anew. Models of earlier adapters are removed.

    Raises EngineUnavailable with a sentence: base or adapter missing, damaged or not made for each other, no space.
    """
    home = data_folder / FOLDER
    try:
        home.mkdir(parents=True, exist_ok=True)
        with filelock.FileLock(home / ".lock", timeout=LOCK_SECONDS):
            wanted = {
                "base_sha256": sha256_of(base_folder / "model.bin", data_folder),
                "adapter_sha256": sha256_of(adapter_npz, data_folder),
            }
            folder = home / f"{wanted['adapter_sha256'][:16]}-{wanted['base_sha256'][:16]}"
            if not _sound(folder, wanted, data_folder):
                _make(base_folder, adapter_npz, wanted, home, folder)
            for other in home.iterdir():
                if other.is_dir() and other != folder:
                    shutil.rmtree(other, ignore_errors=True)
    except filelock.Timeout as error:
        raise EngineUnavailable(
            f"Another Gloveside has been preparing the trained ear in {home} for a minute. Stop it, then start again."
        ) from error
    except OSError as error:
        raise EngineUnavailable(
            f"The trained ear cannot be prepared: {error.strerror or error}. "
            f"Check that {home} can be written and has 100 MB free."
        ) from error
    return folder


def hears_in_fitted_windows(adapter_npz: Path) -> bool:
    """Whether the adapter's card says that it was trained in windows as long as the sound."""
    try:
        return bool(json.loads(adapter_npz.with_suffix(".json").read_text(encoding="utf-8")).get("fitted_windows"))
    except (OSError, ValueError, AttributeError):
        return False


def _sound(folder: Path, wanted: dict[str, str], data_folder: Path) -> bool:
    try:
        manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        return (
            isinstance(manifest, dict)
            and {key: manifest.get(key) for key in wanted} == wanted
            and all((folder / name).is_file() for name in NEEDED)
            and sha256_of(folder / "model.bin", data_folder) == manifest.get("result_sha256")
        )
    except (OSError, ValueError):
        return False


def _make(base_folder: Path, adapter_npz: Path, wanted: dict[str, str], home: Path, folder: Path) -> None:
    _check_made_for(adapter_npz, wanted["base_sha256"])
    data = _adapted(base_folder / "model.bin", adapter_npz)
    making = Path(tempfile.mkdtemp(prefix=".making-", dir=home))
    try:
        for name in NEEDED:
            if name != "model.bin":
                shutil.copyfile(base_folder / name, making / name)
        (making / "model.bin").write_bytes(data)
        manifest = {**wanted, "result_sha256": hashlib.sha256(data).hexdigest()}
        (making / MANIFEST).write_text(json.dumps(manifest, indent=1), encoding="utf-8")
        if folder.exists():  # there, but not sound
            shutil.rmtree(folder)
        making.rename(folder)
    finally:
        shutil.rmtree(making, ignore_errors=True)


def _check_made_for(adapter_npz: Path, base_sha256: str) -> None:
    card = adapter_npz.with_suffix(".json")
    try:
        made_for = json.loads(card.read_text(encoding="utf-8")).get("base_sha256")
    except FileNotFoundError:
        return  # shapes are checked all the same
    except (ValueError, AttributeError) as error:
        raise EngineUnavailable(f"The card of the trained ear, {card}, is damaged. Install Gloveside again.") from error
    if made_for != base_sha256:
        raise EngineUnavailable(
            "The trained ear was made for other base weights than those installed. Install the locked packages again."
        )


def _adapted(model_bin: Path, adapter_npz: Path) -> bytearray:
    """The base file's bytes with `(B * S) @ A` added to every matrix that the adapter names."""
    data = ct2_file.load(model_bin)
    try:
        found = ct2_file.variables(data)
        with np.load(adapter_npz, allow_pickle=False) as pairs:
            names = sorted(key[2:] for key in pairs.files if key.startswith("A|"))
            if not names or sorted(pairs.files) != sorted([f"{side}|{name}" for name in names for side in "ABS"]):
                raise ValueError("it holds no matching pairs")
            for name in names:
                tall, scale, wide = (pairs[f"{side}|{name}"].astype(np.float32) for side in "BSA")
                if scale.ndim != 1 or tall.ndim != 2 or wide.ndim != 2:
                    raise ValueError(f"another shape of {name}")
                _add(data, found, name.replace("|", "/"), (tall * scale) @ wide)
    except ct2_file.NotAModelFile as error:
        raise EngineUnavailable(
            f"The base weights in {model_bin.parent} are not of the kind that the trained ear was made for ({error}). "
            "Install the locked packages again."
        ) from error
    except (ValueError, KeyError, EOFError, zipfile.BadZipFile) as error:
        raise EngineUnavailable(
            f"The trained ear in {adapter_npz} does not fit the base weights ({error}). Install Gloveside again."
        ) from error
    return data


def _add(
    data: bytearray,
    found: dict[str, ct2_file.Variable],
    name: str,
    change: np.ndarray[tuple[int, ...], np.dtype[np.float32]],
) -> None:
    variable = found.get(name)
    if variable is None or variable.dtype != np.float16:
        raise ValueError(f"the base has no float16 matrix {name}")
    if change.shape != variable.shape:
        raise ValueError(f"another shape of {name}")
    result = (ct2_file.matrix(data, variable).astype(np.float32) + change).astype(np.float16)
    if not np.isfinite(result).all():
        raise ValueError(f"numbers out of range in {name}")
    data[variable.offset : variable.offset + variable.size] = result.tobytes()
