"""How sure an entry is: a logistic model over what the reading and the hearing say about it, fitted in `bench/`."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from functools import cache
from importlib import resources

from gloveside.extract.heard import Heard, unread
from gloveside.extract.models import Doubt, Entry
from gloveside.extract.reader import Parse

FEATURES = ("spoken", "unread", "loose", "doubts", "score", "low_word", "low_number", "margin", "changes", "rival")

# How far words that nothing accounts for lower an entry: below any line between keeping and asking.
SHAKY = 0.5


@cache
def coefficients() -> dict[str, float]:
    """The intercept and one weight for each feature, from `data/sure.json`."""
    text = (resources.files("gloveside.extract") / "data" / "sure.json").read_text(encoding="utf-8")
    raw = json.loads(text)
    return {name: float(raw["weights"][name]) for name in ("intercept", *FEATURES)}


def features(parse: Parse, heard: Sequence[Heard], doubts: int) -> dict[str, float]:
    """What is known about a note, each about 0..1: 0 speaks for it, 1 against it.

    spoken: 1 for speech, 0 for typed text; unread, loose: shares of uncommon words and numbers, and of everyday words,
    that nothing claims; doubts: whether there is one on the entry; score: mean log probability below 0; low_word: 1 -
    least word probability; low_number: the same over numbers; margin: 1 where a number's rival is as likely, 0 from 6
    nats on.
    """
    segments = [h.segment for h in heard]
    words = max(1, sum(len(h.text.split()) for h in heard))
    margins = [h.margin for h in heard if h.margin is not None]
    probabilities = [w.probability for s in segments for w in s.words]
    numbers = [w.probability for s in segments for w in s.words if any(c.isdigit() for c in w.text)]
    over = unread(parse)
    return {
        "spoken": 1.0 if probabilities or any(s.alternatives for s in segments) else 0.0,
        "unread": min(1.0, len(over) / words),
        "loose": min(1.0, (len(parse.unclaimed) - len(over)) / words),
        "doubts": min(1.0, float(doubts)),
        "score": min(1.5, -min((s.score for s in segments), default=0.0)),
        "low_word": 1.0 - min(probabilities, default=1.0),
        "low_number": 1.0 - min(numbers, default=1.0),
        "margin": 0.0 if not margins else max(0.0, min(1.0, 1.0 - min(margins) / 6.0)),
        "changes": min(1.0, 0.5 * sum(len(h.changes) for h in heard)),
        "rival": 1.0 if any(h.chosen for h in heard) else 0.0,
    }


def probability(values: dict[str, float]) -> float:
    """The calibrated probability that an entry with these features is right."""
    weights = coefficients()
    z = weights["intercept"] + sum(weights[name] * values[name] for name in FEATURES)
    return 1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, z))))


def rated(
    entries: Sequence[Entry], doubts: Sequence[Doubt], heard: Sequence[Heard], parse: Parse
) -> tuple[list[Entry], list[dict[str, float]]]:
    """The entries with `sure` set, and the features of each."""
    out: list[Entry] = []
    evidence: list[dict[str, float]] = []
    for index, entry in enumerate(entries):
        own = sum(d.entry in (index, None) for d in doubts)
        evidence.append(features(parse, heard, own))
        sure = probability(evidence[-1]) * (SHAKY if index in parse.shaky else 1.0)
        out.append(entry.model_copy(update={"sure": round(sure, 3)}))
    return out, evidence
