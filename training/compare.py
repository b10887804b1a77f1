"""Quick transcripts of a development set by several adapters, greedily, on the GPU: to choose between training runs.

``python training/compare.py PREP DEV OUT name=adapter.npz ...`` writes ``OUT/NAME.json``: for each clip and
condition the
token list. `score.py` turns them into figures. The development sentences are the reader's own test sentences and unseen
samples of the templates; the bench's notes play no part here.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
import soundfile
import torch

from augment import RATE, Augment
from packed import unpack
from whisper_torch import WINDOW, Adapter, Base, Net

sys.path.insert(0, str(Path(__file__).parents[1] / "bench" / "ears"))


def main() -> None:
    """Transcribe the development clips with each adapter."""
    from noise import mix

    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("prep", type=Path)
    p.add_argument("dev", type=Path)
    p.add_argument("out", type=Path)
    p.add_argument("adapters", nargs="+")
    p.add_argument("--device", default="cuda")
    p.add_argument("--workers", type=int, default=12)
    p.add_argument("--limit", type=int, default=0)
    args = p.parse_args()
    corpus = json.loads((args.prep / "corpus.json").read_text())
    base = Base(args.prep / "base.npz", args.device)
    audio, _ = soundfile.read(args.dev / "dev.flac", dtype="float32")
    clips = json.loads((args.dev / "dev.json").read_text())["clips"]
    if args.limit:
        clips = clips[: args.limit]
    pool = ProcessPoolExecutor(args.workers)
    mels: dict[str, list[torch.Tensor]] = {}
    for name, kind, snr in (("clean", "", 0), ("hum10", "hum", 10), ("wind5", "wind", 5)):
        mels[name] = []
        for k in range(0, len(clips), 64):
            part = [audio[c["at"] : c["at"] + c["n"]] for c in clips[k : k + 64]]
            if kind:
                part = list(
                    pool.map(mix, part, [kind] * len(part), [snr] * len(part), [c["i"] for c in clips[k : k + 64]])
                )
            x = np.zeros((len(part), min(WINDOW, RATE * (max(map(len, part)) // RATE + 2))), np.float32)
            for i, samples in enumerate(part):
                x[i, : len(samples)] = samples[:WINDOW]
            mel = base.log_mel(torch.from_numpy(x).to(args.device))
            until = torch.tensor([float(len(samples)) for samples in part], device=args.device)
            mels[name].append(Augment.cut(mel, until).half())
    quiet = torch.zeros(1, len(base.embedding), device=args.device)
    quiet[0, [t for t in corpus["suppress"] if t < quiet.shape[1]]] = -1e9
    args.out.mkdir(parents=True, exist_ok=True)
    for pair in args.adapters:
        name, path = pair.split("=", 1)
        adapter = None
        if path != "base":
            arrays = unpack(np.load(path))
            ranks = {
                ("encoder" if "|encoder" in k else "decoder"): v.shape[0] for k, v in arrays.items() if k[0] == "A"
            }
            adapter = Adapter(base, ranks.get("decoder", 0), ranks.get("encoder", 0))
            adapter.load(arrays)
            adapter.eval()
        began, result = time.time(), []
        net = Net(base, adapter)
        with torch.no_grad(), torch.autocast(args.device, torch.bfloat16):
            for condition, batches in mels.items():
                heard: list[list[int]] = []
                for mel in batches:
                    heard += net.greedy(
                        net.encode(mel.float()), [*corpus["start"], corpus["plain"]], corpus["end"], quiet
                    )
                result += [
                    {"i": c["i"], "voice": c["voice"], "in": condition, "ids": h}
                    for c, h in zip(clips, heard, strict=True)
                ]
        (args.out / f"{name}.json").write_text(json.dumps(result))
        print(f"{name}: {len(result)} clips in {time.time() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main()
