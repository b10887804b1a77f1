"""Faults on purpose: planned ones for a test, random ones (seeded) for a bench."""

from __future__ import annotations

import random
import threading
from dataclasses import dataclass, field
from typing import Literal

Kind = Literal["500", "502", "429", "drop", "lost answer", "slow"]


@dataclass(frozen=True, slots=True)
class Fault:
    """What goes wrong. `drop`: the connection closes before anything was done. `lost answer`: done, but the answer is
    never seen. `slow`: the body comes in pieces over `seconds`. `429`: asks to wait `seconds`."""

    kind: Kind
    seconds: float = 1.0


@dataclass(slots=True)
class Faults:
    """Planned faults are used up in order for their method (`*`: any; `file`: a download); random ones come by rate."""

    rates: dict[Kind, float] = field(default_factory=dict)
    seed: int = 1
    slow_seconds: float = 1.0
    retry_after: int = 1
    spare: frozenset[str] = frozenset({"getme"})
    _planned: dict[str, list[Fault]] = field(default_factory=dict)
    _dice: random.Random = field(init=False)
    _lock: threading.Lock = field(default_factory=threading.Lock)
    count: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._dice = random.Random(self.seed)

    def plan(self, method: str, *faults: Fault) -> None:
        with self._lock:
            self._planned.setdefault(method.lower(), []).extend(faults)

    def take(self, method: str) -> Fault | None:
        """The fault for this call, if one is due."""
        method = method.lower()
        with self._lock:
            fault = None
            for name in (method, "*"):
                if self._planned.get(name):
                    fault = self._planned[name].pop(0)
                    break
            else:
                if self.rates and method not in self.spare:
                    draw = self._dice.random()
                    for kind, rate in self.rates.items():
                        if draw < rate:
                            seconds = self.retry_after if kind == "429" else self.slow_seconds
                            fault = Fault(kind, seconds)
                            break
                        draw -= rate
            if fault:
                self.count[fault.kind] = self.count.get(fault.kind, 0) + 1
            return fault
