"""Places as read on a phone: runs of numbers are folded into spans."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from gloveside.bot.wording.days import listed


def place(name: str) -> str:
    """`hive 12` -> `Hive 12`."""
    return name[:1].upper() + name[1:]


def places(names: Iterable[str]) -> str:
    """`nuc 1`, `nuc 2`, `nuc 3`, `nuc 7` -> `Nucs 1–3 and 7`."""
    parts: list[str] = []
    for kind, group in groupby(names, key=lambda n: n.split(" ", 1)[0]):
        labels = [n.split(" ", 1)[-1] for n in group]
        if len(labels) == 1:
            parts.append(f"{kind} {labels[0]}")
            continue
        runs: list[list[str]] = []
        for label in labels:
            if runs and label.isdigit() and runs[-1][-1].isdigit() and int(label) == int(runs[-1][-1]) + 1:
                runs[-1].append(label)
            else:
                runs.append([label])
        folded = [f"{r[0]}–{r[-1]}" if len(r) > 2 else x for r in runs for x in (r if len(r) <= 2 else r[:1])]
        parts.append(f"{kind}s {listed(folded)}")
    return place(listed(parts))
