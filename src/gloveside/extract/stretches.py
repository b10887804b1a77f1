"""Talk that runs on without full stops is parted where the next hive or nuc opens another matter.

"hive 31 queenright six frames of brood hive 32 weak gave them a litre": a walk from place to place. Everything that
keeps to a sentence (what was put right, plans, days, which place holds) then keeps to its own hive.
"""

from __future__ import annotations

from gloveside.extract import day_behind, mutters
from gloveside.extract.note import PREPOSITIONS, STOPS, Note
from gloveside.extract.places import PlaceSpan

# Shorter talk with fewer places is read as one sentence; a shorter walk is parted where a place opens it.
SHORTEST = 22
SHORT = 9
FEWEST = 2
# Words that lead over to the next place, and belong to what is said of it.
LEADING = frozenset(
    [
        "and",
        "then",
        "so",
        "now",
        "next",
        "okay",
        "ok",
        "right",
        ",",
        "oh",
        "um",
        "er",
        "uh",
        "well",
        "anyway",
        "also",
        "but",
        "hmm",
        "alright",
        "meanwhile",
        "finally",
        "lastly",
        "after",
        "that",
        "first",
        "last",
    ]
)
# "on to hive 6", "back to 12", "over at hive 3".
MOVES = tuple(
    tuple(words.split())
    for words in (
        "on to", "on with", "back to", "back at", "back in", "over to", "over at", "across to", "along to",
        "down to", "up to",
        "onto", "now for", "next to", "this is", "next is", "here 's", "here's", "that 's", "that's",
        "i 'm at", "i'm at",
    )
)  # fmt: skip
MOVING = frozenset(["moving", "going", "right", "okay", "ok", "and", "then", "so", "now", "come", "straight"])
# Words with which talk about the yard ends and talk about the day begins.
CLOSING = tuple(
    tuple(words.split())
    for words in (
        "that 's", "that's", "as if", "right", "okay", "done", "anyway", "where was", "where did", "home",
        "i 'm", "i'm", "my",
        "what 's", "what's",
    )
)  # fmt: skip
PARTICLES = frozenset(["on", "in", "off", "out"])
# Things that are put on or in, or come off: "put a super on", "took the strips out".
MOVED = frozenset(["box_noun", "strip_word", "feeder", "excluder", "slide"])
# How far back a split may be said of which nucs are the places.
SPLIT_REACH = 14
CORRECTING = frozenset(
    [
        "except",
        "excepting",
        "barring",
        "excluding",
        "minus",
        "no",
        "sorry",
        "not",
        "mean",
        "correction",
        "wait",
        "rather",
        "or",
        "maybe",
    ]
)
# Verbs whose object a place is, besides those that the lexicon calls verbs.
WORKING = frozenset(["checked", "looked", "did", "opened", "united"])
# Between "that" and the place that was meant.
POINTING_BACK = frozenset(["was", "were", "be", "meant", "called"])
JOINING = frozenset(["and", ",", "or", "then", "to", "into", "the", "from", "with"])
POINTERS = frozenset(["the", "a", "my", "our", "old", "this", "that"])


def parted(note: Note) -> str | None:
    """The text with full stops where talk that runs on comes to the next place; None where none is to be put."""
    cuts: set[int] = set()
    start = 0
    for end in [*(at for at, word in enumerate(note.lower) if word in STOPS), len(note.lower)]:
        if end - start >= SHORT:
            cuts |= _cuts(note, start, end)
        start = end + 1
    if not cuts:
        return None
    out: list[str] = []
    last = 0
    for at in sorted(cuts):
        head = note.text(last, at).rstrip(" ,")
        if head:
            out.append(head + ".")
        last = at
    out.append(note.text(last, len(note.lower)))
    return " ".join(out)


def _cuts(note: Note, start: int, end: int) -> set[int]:
    """Where the stretches of one sentence begin, its start aside."""
    within = [p for p in note.places if start <= p.start < end and p.sort in ("hive", "nuc") and not p.deictic]
    spoken = not any(note.lower[at] == "," for at in range(start, end))
    heads: list[int] = []
    walking = False
    for index, place in enumerate(within):
        before = within[index - 1] if index else None
        head = None if _of_split(note, place, start) else _head(note, place, before, start)
        ahead = within[index + 1] if index + 1 < len(within) else None
        if head is None and spoken and walking and _particle(note, place, ahead, end):
            head = place.start
        if head is not None:
            heads.append(head)
            walking = True
    if end - start < SHORTEST:
        heads = [head for head in heads if head == start or _told_of(note, within, head, end)]
    # "queen seen in hive 3 hive 4 is weak", not "a frame of pollen from hive 59 over to nuc 43"
    behind = spoken and bool(heads) and heads[0] > within[0].start
    if end - start < SHORTEST and not behind and not _opens(note, heads[:1], start):
        return set()
    cuts = set(heads) if len(heads) >= FEWEST or behind else set()
    if spoken and cuts:
        cuts |= _reminders(note, start, end)
    if spoken and within:
        cuts |= mutters.cuts(note, start, end) | day_behind.cuts(note, within, start, end)
    return {at for at in cuts if at > start}


def _told_of(note: Note, within: list[PlaceSpan], head: int, end: int) -> bool:
    """Whether something is said behind the place that a stretch begins with."""
    place = next((p for p in within if p.start >= head), None)
    said = range(place.end, end) if place is not None else range(0)
    return any((k in note.content and k not in note.soft) or k in note.numbers for k in said)


def _opens(note: Note, heads: list[int], start: int) -> bool:
    """Whether a walk begins with its first place: no more than a day or a yard was said before it."""
    if not heads:
        return False
    apart = note.of_dates() | note.of_places() | note.soft
    apart |= {k for d in note.dates for k in range(d.end, d.end + 3)}  # "this is Monday's round"
    head = range(start, heads[0])
    return not any(at not in apart and (at in note.trade or at in note.numbers) for at in head)


def _head(note: Note, place: PlaceSpan, before: PlaceSpan | None, start: int) -> int | None:
    """Where the stretch begins that a place opens; None for a place that belongs to what was said before it."""
    at = place.start
    if before is not None and _joined(note, before.end, at):
        return None
    at = _over_moves(note, at, start)
    moved = at < place.start
    while at > start and note.lower[at - 1] in LEADING:
        at = _over_moves(note, at - 1, start)
    if at <= start:
        return start
    last = note.lower[at - 1]
    if at == place.start and last in POINTING_BACK:
        return None  # "no sorry that was nuc 4"
    if any(c.scope == "correction" and c.end <= at <= c.end + 3 and _quiet(note, c.end, at) for c in note.cues):
        return None  # "hang on, wrong hive, it's hive 13"
    if last in CORRECTING:
        return None
    if at == place.start and not moved and (last in PREPOSITIONS or _governs(note, at - 1)):
        return None
    if at < place.start and not moved and note.lower[at] in ("and", "but", ",") and _listed(at - 1, before):
        return None
    return at


def _quiet(note: Note, start: int, end: int) -> bool:
    """Whether tokens start..end-1 say nothing, and no stop stands among them."""
    return not any(note.lower[k] in STOPS or (k in note.content and k not in note.soft) for k in range(start, end))


def _of_split(note: Note, place: PlaceSpan, start: int) -> bool:
    """Whether a nuc is where the splits of a hive went: "three splits from hive 41 nucs 5, 6 and 7"."""
    if place.sort != "nuc":
        return False
    told = range(max(start, place.start - SPLIT_REACH), place.start)
    return any(label.startswith("split") or label == "plant_strong" for at in told for label in note.lattice.edges[at])


def _over_moves(note: Note, at: int, start: int) -> int:
    for words in MOVES:
        left = at - len(words)
        if left >= start and tuple(note.lower[left:at]) == words:
            if words == ("up", "to") and left > start and note.lower[left - 1] not in MOVING:
                continue
            return left
    return at


def _joined(note: Note, left: int, right: int) -> bool:
    """Whether nothing but words that join stands between two places."""
    return all(
        word in ("and", ",", "or", "then", "to", "into", "the", "from", "with") for word in note.lower[left:right]
    )


def _listed(at: int, before: PlaceSpan | None) -> bool:
    """Whether a token ends the place before: "hive 12 and hive 13"."""
    return before is not None and before.start <= at < before.end


def _governs(note: Note, at: int) -> bool:
    """Whether a verb of work or an article stands right before the place: "fed hive 6", "the hive 7"."""
    if note.lower[at] in ("the", "a", "my", "our", "old", "this", "that"):
        return True
    labels = note.lattice.edges[at]
    return any(label.endswith("_verb") for label in labels) or note.lower[at] in (
        "checked",
        "looked",
        "did",
        "opened",
        "united",
    )


def _particle(note: Note, place: PlaceSpan, ahead: PlaceSpan | None, end: int) -> bool:
    """Whether a verb's particle stands before a place that opens a stretch: "put a super on hive 17 did a wash"."""
    at = place.start - 1
    if note.lower[at] not in PARTICLES:
        return False
    thing = any(MOVED & set(note.lattice.edges[k]) for k in range(max(0, at - 3), at))
    follows = range(place.end, min(ahead.start if ahead else end, end))
    told = [k for k in follows if k in note.content and k not in note.soft]
    return thing and bool(told)


def _reminders(note: Note, start: int, end: int) -> set[int]:
    """Where a reminder begins, and where one ends with its day or before words that close the talk."""
    cuts: set[int] = set()
    for cue in note.cues:
        if cue.concept != "remind" or not start < cue.start < end or note.lower[cue.start] not in ("remind", "don't"):
            continue
        head = cue.start
        while head > start and note.lower[head - 1] in LEADING:
            head -= 1
        cuts.add(head)
        stop = next((c for c in range(cue.end + 2, end) if _closes(note, c)), end)
        day = next((d for d in note.dates if cue.end + 1 < d.start and d.end <= stop), None)
        if (
            day is not None
            and day.end < end
            and note.lower[day.end] not in (*PREPOSITIONS, "and", "or", "if", "before")
        ):
            stop = min(stop, day.end)
        if stop < end:
            cuts.add(stop)
    return cuts


def _closes(note: Note, at: int) -> bool:
    return any(tuple(note.lower[at : at + len(words)]) == words for words in CLOSING)
