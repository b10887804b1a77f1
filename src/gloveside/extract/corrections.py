"""Corrections inside one note: "hive nineteen, correction, hive ninety", "no, make that six", "scratch that"."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

from gloveside.extract.correction_cues import cues, start_of_cue
from gloveside.extract.elements import LONGEST, Element, alike, element, elements, first_comma, join, replaceable
from gloveside.extract.lexicon import concepts
from gloveside.extract.note import STOPS, Cue, Note
from gloveside.extract.place_words import JOINERS, RANGE_WORDS
from gloveside.extract.remarks import after_remark

_HALF_AFTER = re.compile(
    r"\b(an?|one|two|three|four|five|six|seven|eight|nine|ten|\d+) "
    r"(frames?|combs?|lit(?:re|er)s?|kilos?|seams?|box(?:es)?|pounds?|pollen patt(?:y|ies)|patt(?:y|ies)) and a half\b",
    re.IGNORECASE,
)


def half_first(text: str) -> str:
    """The text with "a litre and a half" as "one and a half litre", which the numbers read."""

    def turned(found: re.Match[str]) -> str:
        number = "one" if found[1].lower() in ("a", "an") else found[1]
        return f"{number} and a half {found[2]}"

    return _HALF_AFTER.sub(turned, text)


def correct_once(note: Note) -> str | None:
    """The text after the first correction in it, or None when there is none to make."""
    turned = _turned_round(note)
    if turned is not None:
        return turned
    for cue in cues(note):
        left = start_of_cue(note, cue)
        right = cue.end
        before = elements(note, 0, left)
        if not before:
            continue
        late = _said_before_cue(note, before, left, right)
        if late is not None:
            return late
        while right < len(note.lower) - 1 and note.lower[right] in STOPS and _puts_in(note, right + 1):
            right += 1  # "17 ripe cells, hang on. 18", "fed hive 22. Wait. That was hive 23"
        stop = right
        while stop < len(note.lower) and note.lower[stop] not in STOPS:
            stop += 1
        if stop == right and cue.concept == "fix":
            # "Six frames. Sorry. Seven." heard with full stops
            stop = min(len(note.lower), right + 6)
        after = elements(note, right, first_comma(note, right, stop))[:LONGEST]
        if after and after[0].shape == "N" and _counting(note, after[0]):
            listed = before[-1].shape == "P" or "and" in note.lower[right:stop]
            if not (listed and _plural_before(note, left)):
                continue  # but "nucs 7, 8 and 10, no, 7, 8 and 9" is a list put right
        at_once = _at_once(note, before, after, left)
        if at_once is not None:
            return at_once
        found = alike(before, after)
        numbers_said = [e for e in before if e.shape == "N"]
        nearer = bool(numbers_said) and bool(after) and after[0].shape == "N"
        # a number of the last sentence is nearer than a like phrase of an earlier one
        if (
            found is not None
            and nearer
            and (note.sentence[before[found[0]].start] < note.sentence[numbers_said[-1].start])
        ):
            found = None
        if found is not None and before[found[0]].shape != "P":
            # "on the board I mean, the drop" puts nothing right that was said of an earlier hive
            apart = note.sentence[before[-1].start] - note.sentence[before[found[0]].start]
            found = found if apart <= FARTHEST else None
        if found is not None:
            at, length = found
            old, part = before[at : at + length], after[:length]
            longer = note.lower[part[-1].start : part[-1].end]
            if 0 < len(longer) < old[-1].end - old[-1].start and (
                note.lower[old[-1].start : old[-1].start + len(longer)] == longer
            ):
                # "6 frames of honey from hive 31, no wait, 7 frames": what was said more fully stands
                old[-1] = replace(old[-1], end=old[-1].start + len(longer))
            ranges = [
                (0, old[0].start),
                (part[0].start, part[-1].end),
                (old[-1].end, left),
                (part[-1].end, len(note.lower)),
            ]
            return join(note, ranges)
        shorter = _elliptic(note, before, after, left) or _name(note, cue, left, right)
        if shorter is not None:
            return shorter
        if cue.concept == "fix_weak":
            continue
        if after and after[0].shape == "N" and not _pronoun(note, after[0]):
            changed = _number(note, before, after[0], left)
            if changed is not None:
                return changed
        if cue.concept == "scratch":
            clause = left - 1
            while clause > 0 and note.lower[clause] in (*STOPS, ","):
                clause -= 1
            while clause > 0 and note.lower[clause - 1] not in (*STOPS, ",", "and", "then"):
                clause -= 1
            return join(note, [(0, clause), (right, len(note.lower))])
    return after_remark(note)


def _said_before_cue(note: Note, before: list[Element], left: int, right: int) -> str | None:
    """Put right a number by one said before the cue: "4 frames of brood, 5, sorry"."""
    new = before[-1]
    ends = right >= len(note.lower) or note.lower[right] in (*STOPS, ",", "and")
    alone = new.shape == "N" and new.end == left and new.start > 0 and note.lower[new.start - 1] in (",", *STOPS)
    after = note.lattice.edges[right] if right < len(note.lower) else {}
    if not (ends and alone) or "N" in after:
        return None
    step = right
    while step < len(note.lower) and note.lower[step] in (",", "and", "a", "an", "no"):
        step += 1
    if step < len(note.lower) and "N" in note.lattice.edges[step] and note.lower[right] == ",":
        return None
    olds = [e for e in before[:-1] if e.shape == "N" and note.sentence[e.start] == note.sentence[new.start]]
    if not olds:
        return None
    old = olds[-1]
    gap = (old.end, new.start - 1)
    return join(note, [(0, old.start), (new.start, new.end), gap, (right, len(note.lower))])


# So many sentences back something may be put right.
FARTHEST = 2
SWAPPED = (
    "back to front",
    "other way around",
    "the other way around",
    "other way round",
    "the other way round",
    "other way about",
    "other road",
    "wrong way round",
)


def _turned_round(note: Note) -> str | None:
    """Drop what is said again the other way round: "no, back to front, 1 on 22 and 2 on 23"."""
    for words in (w.split() for w in SWAPPED):
        for at in range(1, len(note.lower) - len(words)):
            end = at + len(words)
            if note.lower[at:end] != words or note.lower[at - 1] not in (",", "no", "sorry", "wait", *STOPS):
                continue
            start = at - 1
            while start > 0 and note.lower[start - 1] not in STOPS:
                start -= 1
            start = _of_both(note, start, end)
            places = [p for p in note.places if start <= p.start < at]
            first = next((n for k, n in sorted(note.numbers.items()) if k >= end), None)
            if not places or first is None:
                continue
            rest = note.text(end, len(note.lower)).lstrip(", ")
            if note.lower[first.end : first.end + 1] == ["on"] and first.end + 1 in note.numbers:
                noun, where = _counted_words(note, start, at), note.text(first.end + 1, len(note.lower))
                rest = f"{note.text(first.start, first.end)} {noun} on {places[0].sort} {where}"
            else:
                rest = _with_nouns(note, start, at, rest)
            return f"{note.text(0, start)} {rest}".strip()
    return None


def _of_both(note: Note, start: int, end: int) -> int:
    """Where the sentence of the first of the two places begins, when the two are in sentences of their own."""
    again = {str(n.value) for k, n in note.numbers.items() if k >= end}
    back = start - 1
    while back > 0 and note.lower[back - 1] not in STOPS:
        back -= 1
    ahead = [name for p in note.places if back <= p.start < start for name in p.places]
    return back if back >= 0 and any(name.split(" ")[1] in again for name in ahead) else start


def _with_nouns(note: Note, start: int, at: int, rest: str) -> str:
    """What is said again with its nouns: "30's got 7 and 31's got 6" of frames of brood in hives."""
    taken = note.of_places()
    counted = next((n for k, n in sorted(note.numbers.items()) if start <= k < at and k not in taken), None)
    named = {name.split(" ")[1]: name for p in note.places if start <= p.start < at for name in p.places}
    if counted is None or not named:
        return rest
    stop = counted.end
    while stop < at and note.lower[stop] not in (*STOPS, ",", "and"):
        stop += 1
    noun = note.text(counted.end, stop)
    numbers = "|".join(re.escape(n) for n in named)
    has = re.compile(
        rf"\b(?:(?:hive|nuc) )?({numbers}) ?(?:'s|is|was|has|had|got)(?: got| had)? (\d+)(?= *(?:,|\.|and\b|$))", re.I
    )
    return has.sub(lambda found: f"{named[found[1]]} has {found[2]} {noun}".rstrip(), rest)


def _counted_words(note: Note, start: int, end: int) -> str:
    """The first counted noun of a stretch."""
    for at in range(start, end):
        for stop, _ in note.lattice.edges[at].get("counted", ()):
            return note.text(at, stop)
    return ""


def _puts_in(note: Note, at: int) -> bool:
    """Whether a number, or "that was" and a place, begins what a correction puts in after a full stop."""
    if at in note.numbers:
        return True
    then = at + 2
    said = note.lower[at:then] in (["that", "was"], ["it", "was"], ["that", "'s"], ["i", "mean"], ["make", "that"])
    return said and then < len(note.lower) and "P" in note.lattice.edges[then]


def _at_once(note: Note, before: list[Element], after: list[Element], left: int) -> str | None:
    """Put a number for one that was said alone just before: "hive 16, 5, no, 6 frames of brood"."""
    if len(before) < 2 or not after or after[0].shape != "N" or before[-1].shape != "N":
        return None
    old, new = before[-1], after[0]
    noun = "counted" in note.lattice.edges[min(new.end, len(note.lower) - 1)]
    alone = note.lower[old.start - 1] in (",", *STOPS) or before[-2].shape == "P"
    if not (noun and alone) or old.end < left - 1:
        return None
    return join(note, [(0, old.start), (new.start, len(note.lower))])


@cache
def _classes_of() -> dict[str, frozenset[str]]:
    """Form -> the classes whose values it names."""
    out: dict[str, frozenset[str]] = {}
    for concept in concepts().values():
        for form in concept.forms:
            out[form] = out.get(form, frozenset()) | (replaceable() & set(concept.classes))
    return out


def _elliptic(note: Note, before: list[Element], after: list[Element], left: int) -> str | None:
    """Drop the word that needed the noun of the correction: "European, sorry, American foulbrood"."""
    if not before or not after or before[-1].end < left - 1 or after[0].end - after[0].start < 2:
        return None
    new, word = after[0], note.lower[before[-1].end - 1]
    whole = " ".join([word, *note.lower[new.start + 1 : new.end]])
    groups = set(new.shape.split("/")) & replaceable()
    if not groups & _classes_of().get(whole, frozenset()):
        return None
    return join(note, [(0, before[-1].end - 1), (new.start, len(note.lower))])


def _name(note: Note, cue: Cue, left: int, right: int) -> str | None:
    """Put one name for another: "to the Quarry, no, the Creek", "sold to Bill, I mean Bob"."""
    new = right
    while new < len(note.lower) and (
        note.lower[new] in ("the", "to", "at", ",") or note.lower[new] in ("um", "uh", "er")
    ):
        new += 1
    old = left - 1
    if old < 1 or new >= len(note.lower) or cue.concept == "fix_weak":
        return None
    whole = new + 1 == len(note.lower) or note.lower[new + 1] in (*STOPS, ",", "and", "at", "for")
    known = {"N", "P", "R", "D"}
    names = all(note.lattice.unknown[at] and not known & set(note.lattice.edges[at]) for at in (old, new))
    headed = note.lower[old - 1] in ("to", "the", "from", "for", "at", "of")
    if not (whole and names and headed):
        return None
    return join(note, [(0, old), (new, new + 1), (new + 1, len(note.lower))])


def _number(note: Note, before: list[Element], first: Element, left: int) -> str | None:
    """Put a number, or a list or range of numbers, for the last number, place or round that was said."""
    end = first.end
    while end + 1 < len(note.lower) and note.lower[end] in (*RANGE_WORDS, *JOINERS):
        step = end + 1
        while step < len(note.lower) and note.lower[step] in JOINERS:
            step += 1
        span = note.numbers.get(step)
        if span is None or "counted" in note.lattice.edges[min(span.end, len(note.lower) - 1)]:
            break
        end = span.end
    several = end > first.end and (note.lower[first.end] != "," or _plural_before(note, left))
    end = end if several else first.end
    if not several and _counting(note, first):
        return None
    olds = [e for e in before if e.shape in (("P",) if several else ("P", "N", "R"))]
    if several and not olds:
        # "no, eighteen, a couple had been chilled": no list
        several, end = False, first.end
        olds = [e for e in before if e.shape in ("P", "N", "R")]
    if not several:
        swapped = _other_unit(note, olds, first, left)
        if swapped is not None:
            return swapped
    here = note.sentence[before[-1].start]
    # a place or round is put right while it is spoken of, not sentences later
    olds = [e for e in olds if e.shape == "N" or note.sentence[e.start] == here or e is before[-1]]
    if not several and len(olds) > 1:
        # the last number, unless the place or round just said is much nearer in value
        recent = olds[-2:]
        value = note.numbers[first.start].value if first.start in note.numbers else 0
        olds = [*olds[:-2], *sorted(recent, key=lambda e: -abs(_value(note, e) - value))]
    for old in reversed(olds):
        if old.shape in ("P", "N", "R"):
            head = note.text(old.start, old.start + 1) + " " if old.shape in ("P", "R") else ""
            new = head + note.text(first.start, end)
            parts = (note.text(0, old.start), new, note.text(old.end, left), note.text(end, len(note.lower)))
            return " ".join(p for p in parts if p)
    return None


def _other_unit(note: Note, olds: list[Element], first: Element, left: int) -> str | None:
    """Put a count for one of another unit, noun and all: "8 percent, no, sorry, 18 mites"."""
    new = _noun_end(note, first.end)
    old = next((e for e in reversed(olds) if e.shape == "N"), None)
    gone = _noun_end(note, old.end) if old is not None else None
    if old is None or new is None or gone is None or gone > left:
        return None
    if note.lower[first.end : new] == note.lower[old.end : gone] or left - gone > 2:
        return None
    return join(note, [(0, old.start), (first.start, new), (gone, left), (new, len(note.lower))])


def _noun_end(note: Note, at: int) -> int | None:
    """Where the counted noun at a token ends; None when none begins there."""
    if at >= len(note.lower) or note.lower[at] in ("of", "out", "/", "ways"):
        return None
    return max((end for end, _ in note.lattice.edges[at].get("counted", ())), default=None)


def _pronoun(note: Note, first: Element) -> bool:
    """Whether "one" stands for one of them: "4 nucs, wait, one fell through"; not in "one and three"."""
    follows = note.lower[first.end] if first.end < len(note.lower) else "."
    if follows in (*RANGE_WORDS, "and") and first.end + 1 in note.numbers:
        return False
    said = note.lower[first.start] == "one" or note.lower[first.start] == "1"
    known = (
        follows in (*STOPS, ",", "of", "out", "in")
        or "counted" in note.lattice.edges[min(first.end, len(note.lower) - 1)]
    )
    return said and not known and follows.isalpha()


def _counting(note: Note, first: Element) -> bool:
    """Whether a number begins counting aloud: "brood, hang on, 1, 2, 3"."""
    if any(note.lower[k].isdigit() for k in range(max(0, first.start - 4), first.start) if k in note.soft):
        return True
    value = note.numbers[first.start].value if first.start in note.numbers else None
    at = first.end
    while at < len(note.lower) and note.lower[at] == ",":
        at += 1
    then = note.numbers.get(at)
    return value is not None and at > first.end and then is not None and then.value == value + 1


def _plural_before(note: Note, left: int) -> bool:
    """Whether the last places said before a token were several: only then does a comma join a list of numbers."""
    said = [p for p in note.places if p.end <= left]
    return bool(said) and len(said[-1].places) > 1


def _value(note: Note, piece: Element) -> float:
    """The last number said within an element; far off when it has none."""
    found = [n.value for n in note.numbers.values() if piece.start <= n.start < piece.end]
    return float(found[-1]) if found else 1e9


def contrast(note: Note) -> str | None:
    """The text without the wrong half of "hive fourteen, not forty"; None when there is no such pair."""
    for at, word in enumerate(note.lower):
        if word != "not" or at + 1 >= len(note.lower):
            continue
        wrong = element(note, at + 1)
        if wrong.shape not in ("N", "P"):
            continue
        left = at - 1 if at and note.lower[at - 1] == "," else at
        before = elements(note, 0, left)
        if (
            before
            and before[-1].end == left
            and before[-1].shape in ("P", "N")
            and (wrong.shape == before[-1].shape or before[-1].shape == "P")
        ):
            follow = note.lattice.edges[wrong.end] if wrong.end < len(note.lower) else {}
            if "counted" in follow and before[-1].shape == "P":
                continue
            return join(note, [(0, left), (wrong.end, len(note.lower))])
    return None
