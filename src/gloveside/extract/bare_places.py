"""Numbers that name a place by themselves: "and 12 queenless" after "hive 11 queenright"."""

from __future__ import annotations

from gloveside.extract.frames import Match
from gloveside.extract.note import STOPS, Note
from gloveside.extract.places import PlaceSpan
from gloveside.extract.walk import FURTHEST

# Kinds of work that is done at a hive, which may be named by its number alone.
HIVE_WORK = {"inspection", "queen", "mark", "mites", "treatment", "feed", "box", "mating", "loss", "disease"}


def _pointed_at(note: Note, at: int, end: int) -> bool:
    """Whether a bare number stands where a place would: "caught the queen in 12 on the third frame"."""
    follows = note.lower[end] if end < len(note.lower) else "."
    stands = follows in (*STOPS, ",", "and", "in", "on", "at", "with", "this", "but", "today", "yesterday")
    return at > 0 and note.lower[at - 1] in ("in", "on", "from", "into", "off") and stands


def _said_again(note: Note, at: int, end: int) -> bool:
    """Whether the number of a place said before names it again: "no queen in 39", "so 14's got six frames"."""
    follows = note.lower[end] if end < len(note.lower) else "."
    led = at > 0 and note.lower[at - 1] in ("in", "on", "from", "for", "off", "with", "into", "onto")
    stands = follows in (*STOPS, ",", "and", "but", "now", "today", "either", "too")
    return (led and stands) or follows == "'s"


def _pointed_list(note: Note, at: int) -> PlaceSpan | None:
    """A bare number, or several, where places would stand: "in 12 on the third frame", "out of 3, 4 and 11"."""
    out_of = note.lower[max(0, at - 2) : at] == ["out", "of"] and all(n.end != at - 2 for n in note.numbers.values())
    values, end = [int(note.numbers[at].value)], note.numbers[at].end
    while True:
        step = end
        while step < len(note.lower) and note.lower[step] in (",", "and"):
            step += 1
        more = note.numbers.get(step)
        if step == end or more is None or more.ordinal or more.value != int(more.value):
            break
        if more.end < len(note.lower) and "counted" in note.lattice.edges[more.end]:
            break
        values.append(int(more.value))
        end = more.end
    follows = note.lower[end] if end < len(note.lower) else "."
    if not (_pointed_at(note, at, end) or (out_of and follows in (*STOPS, ",", "and", "but", "today", "yesterday"))):
        return None
    return PlaceSpan(at, end, tuple(f"hive {v}" for v in values), sort="hive")


def bare_places(note: Note, matches: list[Match], claimed: set[int]) -> tuple[PlaceSpan, ...]:
    """Numbers that no rule claims and that name a place: "and 12 queenless" after "hive 11 queenright"."""
    taken = {at for m in matches for at in range(m.start, m.end)} | claimed
    taken |= note.of_places() | note.of_rounds() | note.of_dates()
    out: list[PlaceSpan] = []
    for at, span in note.numbers.items():
        if at in taken or span.ordinal or span.value != int(span.value) or at in note.blocked:
            continue
        before = [p for p in note.places if p.end <= at and p.sort in ("hive", "nuc")]
        said = [int(q.split(" ")[-1]) for p in before for q in p.places if q.split(" ")[-1].isdigit()]
        if said and span.value <= FURTHEST and min(abs(span.value - v) for v in said) > FURTHEST:
            continue  # "hive 36. Wash. 9. No. 9": a count, not a hive far off
        numbered = note.lower[max(0, at - 1) : at] == ["number"]
        if out and at < out[-1].end:
            continue
        listed = _pointed_list(note, at) if not note.places else None
        if listed is not None and any(m.rule.kind in HIVE_WORK for m in matches):
            out.append(listed)
            continue
        again = next((p for p in before if p.places == (f"{p.sort} {int(span.value)}",)), None)
        if again is not None and _said_again(note, at, span.end):
            out.append(PlaceSpan(at, span.end, again.places, sort=again.sort))
            continue
        if (not before or span.value == 1) and not numbered:
            continue  # "and one had been chewed" names no hive
        if not numbered and at not in note.lattice.starts and note.lower[at - 1] not in ("in", "on", "for"):
            continue
        if not numbered and any(s.end == at - 1 for s in note.numbers.values()):
            continue  # "0 in 300"
        near = {at - 1, at - 2, span.end, span.end + 1} & set(note.numbers)
        recited = any(k in note.numbers and note.numbers[k].value == span.value for k in range(at + 1, at + 6))
        if (near or recited) and not numbered:
            continue  # counting aloud: "one, two, three"
        after = note.lattice.edges[span.end] if span.end < len(note.lower) else {}
        if "counted" in after or {"=on", "=in", "=per", "=at", "=to", "=into"} & set(after):
            continue
        follows = any(m.start >= span.end and note.sentence[m.start] == note.sentence[at] for m in matches)
        if not follows and not numbered:
            continue
        sort = before[-1].sort if before else "hive"
        start = at - 1 if numbered else at
        out.append(PlaceSpan(start, span.end, (f"{sort} {int(span.value)}",), sort=sort))
    return tuple(out)
