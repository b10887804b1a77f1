"""Reads the base engine's weights (CTranslate2 model.bin, format 6) into one file for training."""

from __future__ import annotations

import hashlib
import struct
from pathlib import Path

import numpy as np

_TYPES = (np.float32, np.int8, np.int16, np.int32, np.float16)


def read(path: Path) -> dict[str, np.ndarray]:
    """All named matrices of a ``model.bin``, in their stored types.

    The format is a header (version, specification name, revision), then for each variable a name, a shape, a type
    and the
    bytes. Layout as CTranslate2 writes it in ``python/ctranslate2/specs/model_spec.py``.
    """
    data = memoryview(path.read_bytes())
    at = 0

    def take(fmt: str) -> int:
        nonlocal at
        value = struct.unpack_from("<" + fmt, data, at)[0]
        at += struct.calcsize("<" + fmt)
        return int(value)

    def text() -> str:
        nonlocal at
        length = take("H")
        value = bytes(data[at : at + length - 1]).decode()
        at += length
        return value

    version = take("I")
    if version != 6:
        raise ValueError(f"{path} has format {version}; this reader knows format 6")
    text()
    take("I")
    out: dict[str, np.ndarray] = {}
    for _ in range(take("I")):
        name = text()
        shape = [take("I") for _ in range(take("B"))]
        dtype = _TYPES[take("B")]
        size = take("I")
        out[name] = np.frombuffer(data[at : at + size], dtype).reshape(shape)
        at += size
    return out


def sha256(path: Path) -> str:
    """Hex digest of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def pack(model_dir: Path, out: Path) -> None:
    """Write the base weights as one ``.npz``: the embedding as int8 with a scale for each row, the rest as it is.

    The engine runs with int8 weights, so the rounded embedding is what it will use anyway. The mel filters of the
    feature
    extractor come along, so that the trainer needs no speech package.
    """
    from faster_whisper.feature_extractor import FeatureExtractor

    arrays: dict[str, np.ndarray] = {}
    for name, value in read(model_dir / "model.bin").items():
        if value.ndim == 0:
            continue
        if name == "decoder/embeddings/weight":
            full = value.astype(np.float32)
            scale = np.abs(full).max(1) / 127
            arrays["embedding_int8"] = np.round(full / scale[:, None]).astype(np.int8)
            arrays["embedding_scale"] = scale.astype(np.float32)
        else:
            arrays[name] = value
    arrays["mel_filters"] = FeatureExtractor().mel_filters.astype(np.float32)
    np.savez(out, **arrays)
