"""A small sentence grammar: YAML rules with slots, expanded at random into what is said and what should be written.

Rule files hold ``name: [alternative, ...]``. In an alternative ``{name}`` expands another rule or a slot of
``slots.py``, ``[a|b|]`` picks one of its parts, and a trailing ``@3`` is a weight. Slots may differ between the
spoken and
the written form ("twelve" and "12"), so an expansion is kept as text with marked pairs until the end.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from pathlib import Path

import yaml

Slot = Callable[[random.Random, str], tuple[str, str]]

_WEIGHT = re.compile(r"\s*@(\d+)$")
_SLOT = re.compile(r"\{([a-z_0-9]+)(?::([^}]*))?\}")
_CHOICE = re.compile(r"\[([^\[\]]*)\]")
_PAIR = re.compile(r"⟦([^¦]*)¦([^⟧]*)⟧")


class Grammar:
    """All rules of a folder of template files.

    Args:
        folder: where the ``*.yaml`` files are.
        slots: functions by name; each gives a (said, written) pair from a random source and the slot's argument.
    """

    def __init__(self, folder: Path, slots: dict[str, Slot]) -> None:
        self.rules: dict[str, tuple[list[str], list[int]]] = {}
        self.slots = slots
        for path in sorted(folder.glob("*.yaml")):
            for name, alternatives in yaml.safe_load(path.read_text(encoding="utf-8")).items():
                if name in self.rules:
                    raise ValueError(f"{path.name}: rule {name} is defined twice")
                self.add(name, [str(a) for a in alternatives])
        self._check()

    def add(self, name: str, alternatives: list[str]) -> None:
        """Add a rule; each alternative may end in ``@weight``."""
        texts, weights = [], []
        for a in alternatives:
            m = _WEIGHT.search(a)
            weight = int(m.group(1)) if m else 1
            if weight:
                texts.append(a[: m.start()] if m else a)
                weights.append(weight)
        self.rules[name] = (texts, weights)

    def _check(self) -> None:
        for name, (texts, _) in self.rules.items():
            for text in texts:
                for used, _arg in _SLOT.findall(text):
                    if used not in self.rules and used not in self.slots:
                        raise ValueError(f"rule {name} uses {{{used}}}, which is neither a rule nor a slot")

    def expand(self, name: str, rng: random.Random) -> str:
        """Expand a rule fully; the result still holds its said/written pairs."""
        texts, weights = self.rules[name]
        return self.fill(rng.choices(texts, weights)[0], rng)

    def fill(self, text: str, rng: random.Random) -> str:
        """Expand every choice and slot of a text."""
        while (m := _CHOICE.search(text)) is not None:
            text = text[: m.start()] + rng.choice(m.group(1).split("|")) + text[m.end() :]
        out, last = [], 0
        for m in _SLOT.finditer(text):
            out.append(text[last : m.start()])
            name, arg = m.group(1), m.group(2) or ""
            if name in self.rules:
                out.append(self.expand(name, rng))
            else:
                said, written = self.slots[name](rng, arg)
                out.append(f"⟦{said}¦{written}⟧")
            last = m.end()
        out.append(text[last:])
        return "".join(out)


def spoken(expansion: str) -> str:
    """The words to say."""
    return re.sub(r"\s+", " ", _PAIR.sub(r"\1", expansion)).strip()


def written(expansion: str) -> str:
    """The words to write, before capitals and the full stop."""
    return re.sub(r"\s+", " ", _PAIR.sub(r"\2", expansion)).strip()
