"""How sure an entry is, and a whole reading: logistic models over the evidence, fitted in `bench/fit_sure.py`.

Two chances are told apart. `sure` of an entry is the chance that this entry is right. The chance of the reading is that
nothing in it is wrong, missing or too much: what was left over beside an entry that is right counts there.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib import resources

from gloveside.extract.evidence import OF_ENTRY, OF_NOTE
from gloveside.extract.heard import Heard
from gloveside.extract.models import Doubt, Entry
from gloveside.extract.reader import Parse

HEARING = ("spoken", "doubts", "score", "low_word", "low_number", "margin", "changes", "rival")
MOST = tuple(n for n in OF_ENTRY if not n.startswith("own_"))
FEATURES = {"entry": (*HEARING, *OF_ENTRY, *OF_NOTE), "note": (*HEARING, *OF_NOTE, *(f"most_{n}" for n in MOST))}


@dataclass(frozen=True, slots=True)
class Rated:
    """How sure a reading is.

    entries: with `sure` set; chance: that the whole reading is right; of_note, of_entries: the features behind them.
    """

    entries: list[Entry] = field(default_factory=list)
    chance: float = 1.0
    of_note: dict[str, float] = field(default_factory=dict)
    of_entries: list[dict[str, float]] = field(default_factory=list)


@cache
def coefficients(model: str) -> dict[str, float]:
    """The intercept and one weight for each feature of a model (`entry`, `note`), from `data/sure.json`."""
    text = (resources.files("gloveside.extract") / "data" / "sure.json").read_text(encoding="utf-8")
    raw = json.loads(text)[model]
    return {name: float(raw.get(name, 0.0)) for name in ("intercept", *FEATURES[model])}


def hearing(heard: Sequence[Heard], doubts: int) -> dict[str, float]:
    """What is known of how a note was heard, each about 0..1: 0 speaks for it, 1 against it.

    spoken: 1 for speech, 0 for typed text; doubts: whether there is one; score: mean log probability below 0; low_word:
    1 - least word probability; low_number: the same over numbers; margin: 1 where a number's rival is as likely, 0 from
    6 nats on; changes: repairs; rival: whether another hypothesis was chosen.
    """
    segments = [h.segment for h in heard]
    margins = [h.margin for h in heard if h.margin is not None]
    probabilities = [w.probability for s in segments for w in s.words]
    numbers = [w.probability for s in segments for w in s.words if any(c.isdigit() for c in w.text)]
    return {
        "spoken": 1.0 if probabilities or any(s.alternatives for s in segments) else 0.0,
        "doubts": min(1.0, float(doubts)),
        "score": min(1.5, -min((s.score for s in segments), default=0.0)),
        "low_word": 1.0 - min(probabilities, default=1.0),
        "low_number": 1.0 - min(numbers, default=1.0),
        "margin": 0.0 if not margins else max(0.0, min(1.0, 1.0 - min(margins) / 6.0)),
        "changes": min(1.0, 0.5 * sum(len(h.changes) for h in heard)),
        "rival": 1.0 if any(h.chosen for h in heard) else 0.0,
    }


def probability(model: str, values: Mapping[str, float]) -> float:
    """The calibrated chance that an entry or a note with these features is right."""
    weights = coefficients(model)
    z = weights["intercept"] + sum(weights[name] * values.get(name, 0.0) for name in FEATURES[model])
    return 1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, z))))


def rated(entries: Sequence[Entry], doubts: Sequence[Doubt], heard: Sequence[Heard], parse: Parse) -> Rated:
    """The entries with `sure` set, the chance of the reading, and the features of both."""
    of_reading = parse.evidence.note
    rows: list[dict[str, float]] = []
    out: list[Entry] = []
    for index, entry in enumerate(entries):
        own = parse.evidence.entries[index] if index < len(parse.evidence.entries) else {}
        asked = sum(d.entry in (index, None) for d in doubts)
        rows.append({**of_reading, **own, **hearing(heard, asked)})
        out.append(entry.model_copy(update={"sure": round(probability("entry", rows[-1]), 3)}))
    most = {f"most_{n}": max((row.get(n, 0.0) for row in rows), default=0.0) for n in MOST}
    whole = {**of_reading, **most, **hearing(heard, len(doubts))}
    return Rated(out, probability("note", whole), whole, rows)
