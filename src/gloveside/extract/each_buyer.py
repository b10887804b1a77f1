"""Who bought what: "Karen and Bill bought a nuc each" is said for each, a buyer said first for each of the goods."""

from __future__ import annotations

from gloveside.extract.note import STOPS, Note

EACH = frozenset(("each", "apiece", "both", "either"))
TO = frozenset(("to", "for"))
# Before the names, where the seller is the one who tells: "sold Karen and Bill a nuc each".
SOLD = frozenset(("sold", "flogged", "let", "gave"))
LEADS = frozenset(("so", "and", "well", "today", "yesterday", "um", "er", "then", "right", "okay"))


def _names(note: Note, at: int) -> list[tuple[int, int]]:
    """The names in a row from a token on: "Tom, Dick and Harry"; none when there are fewer than two."""
    out: list[tuple[int, int]] = []
    while at < len(note.lower) and _name(note, at):
        out.append((at, at + 1))
        at += 1
        while at < len(note.lower) and note.lower[at] == "," and _name(note, at + 1):
            out.append((at + 1, at + 2))
            at += 2
        if note.lower[at : at + 2] == [",", "and"]:
            at += 1
        if at >= len(note.lower) or note.lower[at] != "and" or not _name(note, at + 1):
            return []
        out.append((at + 1, at + 2))
        return out
    return []


def _name(note: Note, at: int) -> bool:
    if at >= len(note.lower) or not note.lower[at].isalpha():
        return False
    word = str(note.doc[at].text)
    known = at in note.content or at in note.soft or at in note.numbers
    return note.lower[at] not in EACH and not known and (note.lattice.unknown[at] or word[:1].isupper())


def said_for_each(note: Note) -> str | None:
    """The text with the sale said once for each buyer; None where no two bought each."""
    for at in range(len(note.lower)):
        names = _names(note, at)
        if len(names) < 2:
            continue
        stop = names[-1][1]
        end = next((k for k in range(stop, len(note.lower)) if note.lower[k] in STOPS), len(note.lower))
        first = at
        while first > 0 and note.lower[first - 1] not in STOPS and note.lower[first - 1] != ",":
            first -= 1
        told = [k for k in range(first, end) if note.lower[k] in EACH]
        goods = any("goods" in note.lattice.edges[k] for k in range(first, end))
        if not told or not goods:
            continue
        verb = {"sell_verb", "buyer_took"}
        if not any(verb & set(note.lattice.edges[k]) or note.lower[k] in SOLD for k in range(first, end)):
            continue
        priced = any("money" in note.lattice.edges[k] for k in range(told[-1] + 1, end)) or told[-1] + 1 < end
        dropped = told[:1] if len(told) > 1 or priced or told[0] < stop + 2 else told
        rest = " ".join(note.text(k, k + 1) for k in range(stop, end) if k not in dropped)
        before = " ".join(note.text(k, k + 1) for k in range(first, at) if k not in dropped)
        said = [" ".join(p for p in (before, note.text(*name), rest) if p) for name in names]
        ahead, behind = note.text(0, first), note.text(end, len(note.lower)).lstrip(". ")
        return ". ".join(said).join((f"{ahead} " if ahead else "", f". {behind}" if behind else "")).strip()
    return None


def first_for_all(note: Note) -> str | None:
    """The text with a buyer said first before each of the goods: "to Anna I sold a nuc at 230 and 2 queens at 65"."""
    for first in (0, *(at + 1 for at, word in enumerate(note.lower) if word in STOPS)):
        end = next((k for k in range(first, len(note.lower)) if note.lower[k] in STOPS), len(note.lower))
        at = first
        while at < end and (note.lower[at] in (*LEADS, ",") or at in note.of_dates()):
            at += 1
        to = at < end and note.lower[at] in TO
        name = at + 1 if to else at
        if not _name(note, name):
            continue
        verb = {"sell_verb"} if to else {"buyer_took"}
        sold = {k for k in range(name + 1, end) if verb & set(note.lattice.edges[k]) or note.lower[k] == "bought"}
        goods = [k for k in range(name + 1, end) if "goods" in note.lattice.edges[k]]
        if len(goods) < 2 or not sold or min(sold) > goods[0]:
            continue
        for item in goods[1:]:
            start = item
            while start > name and start - 1 not in note.numbers and note.lower[start - 1] not in ("a", "an", "one"):
                start -= 1
                if item - start > 3:
                    break
            start -= 1
            if note.lower[start - 1 : start] not in (["and"], [","], ["plus"]) or item - start > 3:
                continue
            stop = start - 1
            while stop > name and note.lower[stop - 1] in ("and", ",", "plus", "then"):
                stop -= 1
            buyer = note.text(name, name + 1)
            rest = note.text(start, len(note.lower))
            return f"{note.text(0, stop)}. {buyer} bought {rest}"
    return None
