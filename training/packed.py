"""The form in which an adapter ships: pairs as 8-bit integers, with one scale for each rank.

A run of `train.py` writes float16 pairs ``A|NAME`` (rank, columns) and ``B|NAME`` (rows, rank). Packed, both are int8
and ``S|NAME`` (rank,) holds the products of their scales, so that the change is ``(B * S) @ A``: twice the rank in as
many bytes. Rounding moves the change by about 1 % of its size.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np


def pack(pairs: Mapping[str, np.ndarray]) -> dict[str, np.ndarray]:
    """Float pairs to the form that ships."""
    out: dict[str, np.ndarray] = {}
    for name in sorted(k[2:] for k in pairs if k.startswith("A|")):
        wide, tall = pairs[f"A|{name}"].astype(np.float32), pairs[f"B|{name}"].astype(np.float32)
        of_wide = np.maximum(np.abs(wide).max(1), 1e-8) / 127
        of_tall = np.maximum(np.abs(tall).max(0), 1e-8) / 127
        out[f"A|{name}"] = np.rint(wide / of_wide[:, None]).astype(np.int8)
        out[f"B|{name}"] = np.rint(tall / of_tall).astype(np.int8)
        out[f"S|{name}"] = (of_wide * of_tall).astype(np.float32)
    return out


def unpack(arrays: Mapping[str, np.ndarray]) -> dict[str, np.ndarray]:
    """Float32 pairs of an adapter in either form; both halves of a packed pair share its scale alike."""
    out: dict[str, np.ndarray] = {}
    for name in sorted(k[2:] for k in arrays if k.startswith("A|")):
        wide, tall = arrays[f"A|{name}"].astype(np.float32), arrays[f"B|{name}"].astype(np.float32)
        if f"S|{name}" in arrays:
            of_wide = np.linalg.norm(wide, axis=1).clip(min=1e-8)
            of_tall = np.linalg.norm(tall, axis=0).clip(min=1e-8)
            root = np.sqrt(arrays[f"S|{name}"].astype(np.float32) * of_wide * of_tall)
            wide, tall = wide * (root / of_wide)[:, None], tall * (root / of_tall)
        out[f"A|{name}"], out[f"B|{name}"] = wide, tall
    return out
