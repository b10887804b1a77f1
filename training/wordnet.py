"""Ordinary English sentences: the usage examples of WordNet 3.0 (Debian package wordnet-base, WordNet licence).

They carry thousands of everyday words that no list of templates has, so that the words around the trade's words are
heard as they were said.
"""

from __future__ import annotations

import re
from pathlib import Path

FOLDER = Path("/usr/share/wordnet")
_EXAMPLE = re.compile(r'"([^"]+)"')
_PLAIN = re.compile(r"[A-Za-z][a-z' ,-]*(?: [A-Za-z][a-z',-]*)+")


def examples(known: set[str], folder: Path = FOLDER) -> list[str]:
    """Examples of 3 to 16 words, every one of them among the known (lower-case) words; none without the package."""
    found: set[str] = set()
    for name in ("adj", "adv", "noun", "verb"):
        path = folder / f"data.{name}"
        if not path.is_file():
            return []
        for line in path.read_text(encoding="latin-1").splitlines():
            for text in _EXAMPLE.findall(line.partition("|")[2]):
                words = text.rstrip(".!;, ").split(" ")
                plain = " ".join(words)
                if not 3 <= len(words) <= 16 or not _PLAIN.fullmatch(plain):
                    continue
                if all(w.strip(",'").removesuffix("'s").lower() in known for w in words):
                    found.add(plain)
    return sorted(found)
