"""Findings that only colour another entry of the same colony: what a lost one left behind, the signs of a disease."""

from __future__ import annotations

from functools import cache
from typing import Any

from gloveside.extract.draft import Draft
from gloveside.extract.lexicon import concepts
from gloveside.extract.note import Note

# What killed a colony, where it was seen in a lost one.
KILLERS = frozenset(["mice", "wax moth", "wasps", "ants", "small hive beetle", "robbing"])
# What is left where nobody lives any more.
LEFT_BEHIND = frozenset(["heavy with stores", "low stores", "chilled brood", "dead bees", "damp"])


@cache
def _of_disease() -> frozenset[str]:
    """Signs by which a disease is known."""
    return frozenset(str(c.value) for c in concepts().values() if "disease_sign" in c.classes)


def _only_signs(draft: Draft, signs: frozenset[str]) -> bool:
    fields = draft.fields
    return draft.kind.name == "inspection" and set(fields) == {"place", "signs"} and signs.issuperset(fields["signs"])


def coloured(note: Note, made: list[Draft]) -> list[Draft]:
    """The drafts without findings that say how another one came about; a killer that was seen becomes the cause."""
    out = list(made)
    for loss in [d for d in made if d.kind.name == "loss"]:
        for other in [d for d in out if d.key == loss.key and d is not loss]:
            if _only_signs(other, KILLERS) and "cause" not in loss.fields:
                loss.fields["cause"] = " and ".join(other.fields["signs"])
            elif not _only_signs(other, LEFT_BEHIND) and not _gone(other):
                continue
            loss.matches.extend(other.matches)
            out.remove(other)
    for disease in [d for d in out if d.kind.name == "disease" and "suspect" in d.fields]:
        for other in [d for d in out if d.key == disease.key and _only_signs(d, _of_disease())]:
            known: list[Any] = disease.fields.setdefault("signs", [])
            known.extend(s for s in other.fields["signs"] if s not in known)
            disease.matches.extend(other.matches)
            out.remove(other)
    for draft in out:
        cells = draft.fields.get("queen_cells")
        if cells == {"done": "left"} and "queen cells" not in draft.fields.get("signs", ()) and len(draft.fields) > 2:
            said = [note.text(m.start, m.end).lower() for m in draft.matches if "queen_cells" in m.sets]
            if said == ["left"]:
                del draft.fields["queen_cells"]  # "hardly a bee left"
        if draft.kind.name == "inspection" and draft.fields.get("queen") == "queenless" and draft.fields.get("eggs"):
            said = [note.text(m.start, m.end).lower() for m in draft.matches if m.sets.get("queen") == "queenless"]
            if said and all(text.endswith("no queen") for text in said):
                draft.fields["queen"] = "not seen"  # "no queen, eggs though"
    return out


def _gone(draft: Draft) -> bool:
    return draft.kind.name == "mating" and draft.fields.get("result") == "missing"
