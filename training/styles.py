"""Packs the style vectors of the many-voiced network's English and other speakers into one file for `voices.py`.

``npm pack kokoro-js@1.2.1 && tar xzf kokoro-js-1.2.1.tgz``, then ``python training/styles.py package/voices OUT.npz``.
The package (Apache-2.0) carries one file of float32 a speaker, 256 numbers for each length of text up to 510.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np


def pack(folder: Path) -> dict[str, np.ndarray]:
    """All speakers of the folder that speak with Latin letters, by name; each (510, 256) as float16."""
    files = sorted(p for p in folder.glob("*.bin") if p.stem[0] in "abefhi")
    if not files:
        raise SystemExit(f"{folder} holds no speakers; name the folder `voices` of the unpacked package")
    return {p.stem: np.fromfile(p, np.float32).reshape(-1, 256).astype(np.float16) for p in files}


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("out", type=Path)
    arguments = parser.parse_args()
    np.savez_compressed(arguments.out, **pack(arguments.folder))
