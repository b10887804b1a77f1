"""Averages several adapters of the same base and cuts the result back to a rank, by singular values.

``python training/merge.py OUT.npz A.npz=1 B.npz=1 --decoder-rank 32 --encoder-rank 12``: the change of each matrix
is the weighted mean of the changes (an adapter that lacks a matrix counts as no change there), then its best low-rank
form, packed into 8 bits (`packed.py`).
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import numpy as np

from packed import pack, unpack


def merge(adapters: list[dict[str, np.ndarray]], weights: list[float], ranks: dict[str, int]) -> dict[str, np.ndarray]:
    """The weighted mean of adapters, with ranks for ``decoder`` and ``encoder`` matrices (0 leaves them out)."""
    share = np.array(weights) / sum(weights)
    names = sorted({k[2:] for a in adapters for k in a if k.startswith("A|")})
    out: dict[str, np.ndarray] = {}
    for name in names:
        rank = ranks["encoder" if name.startswith("encoder") else "decoder"]
        if not rank:
            continue
        change = sum(
            s * (a[f"B|{name}"] @ a[f"A|{name}"]) for s, a in zip(share, adapters, strict=True) if f"A|{name}" in a
        )
        u, d, v = np.linalg.svd(change, full_matrices=False)
        root = np.sqrt(d[:rank])
        out[f"A|{name}"] = root[:, None] * v[:rank]
        out[f"B|{name}"] = u[:, :rank] * root
    return out


def card(adapter: dict[str, np.ndarray], base_sha256: str, date: str) -> dict[str, object]:
    """What lies beside a shipped adapter: which base file it fits, its ranks and matrices, and when it was made."""
    names = sorted(k[2:] for k in adapter if k.startswith("A|"))
    ranks = {
        side: max((adapter[f"A|{n}"].shape[0] for n in names if n.startswith(side)), default=0)
        for side in ("decoder", "encoder")
    }
    return {
        "base_sha256": base_sha256,
        "rank": ranks,
        "fitted_windows": True,  # `train.py` trains so
        "date": date,
        "matrices": names,
        "numbers": int(sum(v.size for v in adapter.values())),
    }


def main() -> None:
    """Merge and, with ``--ship``, write the card beside the result."""
    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("out", type=Path)
    p.add_argument("adapters", nargs="+", help="path=weight")
    p.add_argument("--decoder-rank", type=int, default=32)
    p.add_argument("--encoder-rank", type=int, default=0)
    p.add_argument("--base-sha256", default="")
    p.add_argument("--date", default="")
    args = p.parse_args()
    paths, weights = zip(
        *((Path(a.rpartition("=")[0]), float(a.rpartition("=")[2])) for a in args.adapters), strict=True
    )
    merged = [unpack(np.load(path)) for path in paths]
    result = pack(merge(merged, list(weights), {"decoder": args.decoder_rank, "encoder": args.encoder_rank}))
    args.out.parent.mkdir(parents=True, exist_ok=True)
    np.savez(args.out, **result)
    if args.base_sha256:
        made = card(result, args.base_sha256, args.date)
        args.out.with_suffix(".json").write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")
    print(args.out, args.out.stat().st_size, "bytes")


if __name__ == "__main__":
    main()
