"""Trains the adapter: low-rank additions to the base engine's decoder and, lightly, its encoder.

``python training/train.py PREP AUDIO OUT --decoder-rank 32`` on a GPU. With ``--device cpu`` the encoder stays
frozen, each
clip is changed and encoded once, and the decoder learns from the stored output.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import torch
import torch.nn.functional as nnf

from augment import Augment
from packed import unpack
from whisper_torch import Adapter, Base, Net


@dataclass
class Clips:
    """All spoken clips: one long tensor of 16-bit samples, and for each clip its place in it and its sentence."""

    flat: torch.Tensor
    at: list[int] = field(default_factory=list)
    n: list[int] = field(default_factory=list)
    sentence: list[int] = field(default_factory=list)
    voice: list[str] = field(default_factory=list)

    @classmethod
    def load(cls, folders: list[Path], device: str, limit: int = 0) -> Clips:
        """Read every part that `synthesise.py` wrote."""
        parts, clips, base = [], cls(torch.zeros(0)), 0
        for folder in folders:
            for index in sorted(folder.glob("part-*.jsonl")):
                samples = np.fromfile(index.with_suffix(".pcm"), np.int16)
                for line in index.read_text().splitlines():
                    row = json.loads(line)
                    if row["at"] + row["n"] <= len(samples):
                        clips.at.append(base + row["at"])
                        clips.n.append(row["n"])
                        clips.sentence.append(row["id"])
                        clips.voice.append(row["voice"])
                parts.append(samples)
                base += len(samples)
        clips.flat = torch.from_numpy(np.concatenate(parts))
        clips.flat = clips.flat.to(device)
        if limit:
            clips.at, clips.n = clips.at[:limit], clips.n[:limit]
            clips.sentence, clips.voice = clips.sentence[:limit], clips.voice[:limit]
        return clips


class Texts:
    """Token lists of the sentences, and how a batch of them is laid out."""

    def __init__(self, corpus: dict[str, Any], device: str) -> None:
        self.c, self.device = corpus, device

    def batch(
        self, sentences: list[int], empty: list[bool], rng: random.Random, prompted: float
    ) -> tuple[torch.Tensor, torch.Tensor]:
        """Tokens (batch, length) and labels; -100 where nothing is to be learnt."""
        c, rows, labels = self.c, [], []
        for s, gone in zip(sentences, empty, strict=True):
            before = [c["previous"], *c["prompt"]] if rng.random() < prompted else []
            start = [*before, *c["start"], c["plain"]]
            target = ([] if gone else c["ids"][s]) + [c["end"]]
            rows.append((start + target)[:-1])
            labels.append([-100] * (len(start) - 1) + target)
        width = max(map(len, rows))
        tokens = torch.full((len(rows), width), c["end"])
        goal = torch.full((len(rows), width), -100)
        for i, (r, t) in enumerate(zip(rows, labels, strict=True)):
            tokens[i, : len(r)], goal[i, : len(t)] = torch.tensor(r), torch.tensor(t)
        return tokens.to(self.device), goal.to(self.device)


def losses(
    net: Net,
    teacher: Net,
    encoded: torch.Tensor,
    taught: torch.Tensor,
    tokens: torch.Tensor,
    goal: torch.Tensor,
    general: torch.Tensor,
    keep: float,
) -> torch.Tensor:
    """Cross-entropy, and on ordinary English also the distance to what the base alone would say."""
    learn = goal != -100
    hidden = net.decode(tokens, encoded)
    logits = hidden[learn].float() @ net.base.embedding.T
    each = nnf.cross_entropy(logits, goal[learn], reduction="none", label_smoothing=0.02)
    rows = general[:, None].expand_as(goal)[learn]
    if keep == 0 or not bool(rows.any()):
        return each.mean()
    with torch.no_grad():
        old = teacher.decode(tokens[general], taught)[learn[general]].float() @ net.base.embedding.T
    apart = nnf.kl_div(logits[rows].log_softmax(-1), old.log_softmax(-1), reduction="none", log_target=True).sum(-1)
    weight = torch.where(rows, 1 - keep, 1.0)
    return (each * weight).mean() + keep * apart.sum() / each.numel()


@dataclass
class Stored:
    """Encoder output of every clip, made once: for machines where encoding is the slow part.

    groups: clips that share a window and so go into one batch; frames: of each clip's window; gone: is it noise alone?
    """

    output: np.memmap
    groups: list[list[int]]
    frames: dict[int, int] = field(default_factory=dict)
    gone: dict[int, bool] = field(default_factory=dict)

    @classmethod
    @torch.no_grad()
    def make(cls, base: Base, clips: Clips, args: argparse.Namespace) -> Stored:
        """Change and encode every clip, into a file of float16."""
        net, augment = Net(base, None), Augment(args.device, args.seed)
        order = sorted(range(len(clips.at)), key=clips.n.__getitem__)
        output = np.memmap(args.out / "encoded.f16", np.float16, "w+", shape=(len(order), 1500, 384))
        made = cls(output, [order[k : k + args.batch] for k in range(0, len(order), args.batch)])
        for group in made.groups:
            x, until = augment.place(clips.flat, [clips.at[i] for i in group], [clips.n[i] for i in group])
            x, empty = augment(x)
            mel = augment.cut(base.log_mel(x), until)
            for k, i in enumerate(group):
                encoded = net.encode(mel[k : k + 1])[0]
                made.frames[i], made.gone[i] = len(encoded), bool(empty[k])
                output[i, : len(encoded)] = encoded.half().numpy()
        return made


def batches(order: list[int], lengths: list[int], size: int, rng: random.Random) -> list[list[int]]:
    """One pass through the clips in random order, clips of like length together, so that windows stay short."""
    rng.shuffle(order)
    found: list[list[int]] = []
    for k in range(0, len(order), size * 12):
        near = sorted(order[k : k + size * 12], key=lengths.__getitem__)
        found += [near[i : i + size] for i in range(0, len(near) - size + 1, size)]
    rng.shuffle(found)
    return found


def train(args: argparse.Namespace) -> None:
    """One training run; writes ``adapter.npz`` (a running average of the weights) and ``log.json``."""
    began = time.time()
    torch.manual_seed(args.seed)
    rng = random.Random(args.seed)
    corpus = json.loads((args.prep / "corpus.json").read_text())
    base = Base(args.prep / "base.npz", args.device)
    clips = Clips.load(args.audio, args.device, args.clips)
    texts, augment = Texts(corpus, args.device), Augment(args.device, args.seed, args.noisy, args.empty, args.loud)
    adapter = Adapter(base, args.decoder_rank, args.encoder_rank, args.dropout)
    if args.start:
        given = unpack(np.load(args.start))
        if not args.encoder_rank and any(k.startswith("A|encoder") for k in given):
            raise SystemExit(f"{args.start} changes the encoder too: go on from it on a GPU, with --encoder-rank")
        try:
            adapter.load(given)
        except RuntimeError as error:
            raise SystemExit(f"{args.start} has higher ranks than this run: raise --decoder-rank ({error})") from error
    net, teacher = Net(base, adapter), Net(base, None)
    args.out.mkdir(parents=True, exist_ok=True)
    stored: Stored | None = None
    if args.device == "cpu":
        if args.encoder_rank:
            raise SystemExit("on a CPU the encoder stays frozen: use --encoder-rank 0")
        stored = Stored.make(base, clips, args)
        print(f"encoded {len(clips.at)} clips in {time.time() - began:.0f} s", flush=True)
    general = corpus["general"]
    order = list(range(len(clips.at)))
    steps = int(args.epochs * len(order)) // args.batch
    optimiser = torch.optim.AdamW(
        [
            {"params": [*p], "lr": 0.0, "scale": s}
            for p, s in (
                ([v for k, v in adapter.named_parameters() if "decoder" in k], 1.0),
                ([v for k, v in adapter.named_parameters() if "encoder|" in k], args.encoder_lr),
            )
            if p
        ],
        weight_decay=args.decay,
        betas=(0.9, 0.98),
    )
    average = {k: v.detach().clone() for k, v in adapter.named_parameters()}
    log: list[dict[str, float]] = []
    total, started = 0.0, time.time()
    waiting: list[list[int]] = []
    bf16 = torch.autocast(args.device, torch.bfloat16, enabled=args.device == "cuda")
    adapter.train()
    for step in range(steps):
        if not waiting:
            waiting = (
                batches(order, clips.n, args.batch, rng)
                if stored is None
                else rng.sample(stored.groups, len(stored.groups))
            )
        chosen = waiting.pop()
        progress = max(step / steps, (time.time() - started) / args.seconds)  # the rate reaches zero by either limit
        if progress >= 1:
            break
        rate = args.lr * min(1.0, (step + 1) / 100) * 0.5 * (1 + math.cos(math.pi * progress)) + 1e-6
        for group in optimiser.param_groups:
            group["lr"] = rate * group["scale"]
        sentences = [clips.sentence[i] for i in chosen]
        if stored is None:
            with torch.no_grad():
                samples, until = augment.place(clips.flat, [clips.at[i] for i in chosen], [clips.n[i] for i in chosen])
                samples, emptied = augment(samples)
                mel, empty = augment.cut(augment.mask(base.log_mel(samples)), until), emptied.tolist()
        else:
            empty = [stored.gone[i] for i in chosen]
        tokens, goal = texts.batch(sentences, empty, rng, args.prompted)
        is_general = torch.tensor(
            [general[s] and not e for s, e in zip(sentences, empty, strict=True)], device=args.device
        )
        with bf16:
            if stored is None:
                if args.encoder_rank:
                    encoded = net.encode(mel)
                    with torch.no_grad():
                        taught = teacher.encode(mel[is_general]) if bool(is_general.any()) else encoded[:0]
                else:
                    with torch.no_grad():
                        encoded = teacher.encode(mel)
                    taught = encoded[is_general]
            else:
                encoded = torch.from_numpy(stored.output[chosen, : stored.frames[chosen[0]]].astype(np.float32))
                taught = encoded[is_general]
            loss = losses(net, teacher, encoded, taught, tokens, goal, is_general, args.keep)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(adapter.parameters(), 1.0)
        optimiser.step()
        fade = min(0.998, (step + 1) / (step + 10))
        with torch.no_grad():
            torch._foreach_lerp_(list(average.values()), [v.detach() for v in adapter.parameters()], 1 - fade)
        total += float(loss.detach()) if step % 10 == 0 else 0.0
        if step % 100 == 99 or step == steps - 1:
            log.append({"step": step + 1, "loss": total / 10, "seconds": time.time() - started})
            print(f"{step + 1}/{steps} loss {total / 10:.4f} {time.time() - started:.0f} s", flush=True)
            total = 0.0
    with torch.no_grad():
        for k, v in adapter.named_parameters():
            v.copy_(average[k])
    np.savez(args.out / "adapter.npz", **adapter.arrays())
    voices: dict[str, int] = {}
    for v in clips.voice:
        voices[v.split(":")[0]] = voices.get(v.split(":")[0], 0) + 1
    facts = {
        "settings": {k: str(v) for k, v in vars(args).items()},
        "clips": len(clips.at),
        "hours": sum(clips.n) / 16000 / 3600,
        "voices": voices,
        "steps": step + 1,
        "seconds": time.time() - began,
        "log": log,
        "base_sha256": corpus["base_sha256"],
        "numbers": sum(p.numel() for p in adapter.parameters()),
    }
    (args.out / "log.json").write_text(json.dumps(facts, indent=1))


def parser() -> argparse.ArgumentParser:
    """The command line, with the settings of the shipped adapter as defaults."""
    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("prep", type=Path, help="folder of corpus.json and base.npz")
    p.add_argument("audio", type=Path, nargs="+", help="folders of spoken parts")
    p.add_argument("--out", type=Path, required=True)
    p.add_argument("--device", default="cuda" if torch.cuda.is_available() else "cpu")
    p.add_argument("--decoder-rank", type=int, default=32)
    p.add_argument("--encoder-rank", type=int, default=0)
    p.add_argument("--encoder-lr", type=float, default=0.5, help="of the decoder's rate")
    p.add_argument("--epochs", type=float, default=8)
    p.add_argument("--batch", type=int, default=96)
    p.add_argument("--lr", type=float, default=1e-3)
    p.add_argument("--decay", type=float, default=0.01)
    p.add_argument("--dropout", type=float, default=0.05)
    p.add_argument("--keep", type=float, default=0.25, help="weight of staying with the base on ordinary English")
    p.add_argument("--prompted", type=float, default=0.1, help="share of clips that carry the prompt")
    p.add_argument("--noisy", type=float, default=0.75)
    p.add_argument("--loud", type=float, default=0.65, help="share of the noise at 1-15 dB, the rest is fainter")
    p.add_argument("--empty", type=float, default=0.08)
    p.add_argument("--start", type=Path, help="go on from this adapter (of these ranks or lower ones)")
    p.add_argument("--clips", type=int, default=0, help="use only the first so many clips")
    p.add_argument("--seconds", type=float, default=1e9, help="end by then, with the rate at zero")
    p.add_argument("--seed", type=int, default=1)
    return p


if __name__ == "__main__":
    train(parser().parse_args())
