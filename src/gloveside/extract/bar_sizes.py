"""How many cups each of so many bars holds, where it is said apart from them: "3 bars off hive 34. 15, 15 and 12."."""

from __future__ import annotations

from gloveside.extract.note import Note
from gloveside.extract.numbers import NumberSpan

LABEL = "SIZES"
# Words that say larvae were grafted.
GRAFTING = frozenset(["graft_verb", "graft_act", "larva", "mother_word", "cup"])
# Between the sizes of two bars.
JOINING = frozenset([",", "and", "&", "then", "plus"])
# How far behind "3 bars" their sizes may stand, how many bars there may be, and what a bar may hold.
REACH = 18
MOST_BARS = 8
CUPS = range(3, 61)
# After a number these say that it is no size.
NOT_SIZES = frozenset(["of", "out", "/", "degrees", "percent", "%", "bars", "bar", "from", "dollars"])


def find(note: Note, nouns: set[int]) -> set[int]:
    """Tokens at which such a size stands; the lattice gets them as one list. nouns: tokens where a place noun ends."""
    told = {label for edges in note.lattice.edges for label in edges}
    if not told & GRAFTING:
        return set()
    spans = sorted((s for s in note.numbers.values() if not s.ordinal), key=lambda s: s.start)
    out: set[int] = set()
    for count in spans:
        bars = count.end < len(note.lower) and "bar_word" in note.lattice.edges[count.end]
        if not bars or not 2 <= count.value <= MOST_BARS:
            continue
        run = _run(note, [s for s in spans if count.end < s.start <= count.end + REACH], nouns, int(count.value))
        if run:
            note.lattice.add(run[0].start, run[-1].end, LABEL, [int(s.value) for s in run])
            for span in run:
                note.lattice.edges[span.start].pop("H", None)
            out.update(s.start for s in run)
    return out


def _run(note: Note, spans: list[NumberSpan], nouns: set[int], many: int) -> list[NumberSpan]:
    """The first run of exactly so many numbers, those that name places aside."""
    run: list[NumberSpan] = []
    for span in [*spans, None]:
        if span is not None and run and all(w in JOINING for w in note.lower[run[-1].end : span.start]):
            run.append(span)
            continue
        after = note.lower[run[-1].end] if run and run[-1].end < len(note.lower) else ""
        if run and run[0].start in nouns:
            run = run[1:]
        sized = all(s.value == int(s.value) and int(s.value) in CUPS for s in run)
        if len(run) == many and sized and after not in NOT_SIZES:
            return run
        run = [] if span is None else [span]
    return []
