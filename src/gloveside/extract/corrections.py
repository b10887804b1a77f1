"""Corrections inside one note: "hive nineteen, correction, hive ninety", "no, make that six", "scratch that"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from gloveside.extract.lexicon import concepts
from gloveside.extract.note import STOPS, Cue, Note
from gloveside.extract.places import JOINERS, RANGE_WORDS

LONGEST = 8


@dataclass(frozen=True, slots=True)
class Element:
    """A piece of the note with its shape: P (place), N (number), R (round), D (date), a concept or a plain word."""

    start: int
    end: int
    shape: str
    typed: bool


def _element(note: Note, at: int) -> Element:
    edges = note.lattice.edges[at]
    for label in ("P", "R", "D", "N", "ORD"):
        if label in edges:
            end = max(e for e, _ in edges[label])
            shape = label
            if label == "P":
                shape = "P"
            return Element(at, end, shape, True)
    groups = [(end, label) for label, found in edges.items() for end, _ in found if label not in ("N1", "W")]
    # a word that names a value before a longer phrase that names none: "caged" before "caged the queen"
    best = max([g for g in groups if g[1] in replaceable()] or groups, key=lambda g: g[0])
    names = sorted(label for end, label in groups if end == best[0] and not label.startswith("="))
    typed = any(label in replaceable() for label in names)
    return Element(at, best[0], "/".join(names) or note.lower[at], typed)


# Classes of which a bare "no" takes one back ("blue no white"); before other words "no" says that there are none.
BARE_NO = frozenset(
    [
        "builder_step",
        "colour",
        "bar_name",
        "feed_type",
        "goods",
        "strength",
        "temper",
        "box_noun",
        "product",
        "queen_step",
    ]
)


@cache
def replaceable() -> frozenset[str]:
    """Classes whose words can stand in for one another in a correction: all that name values."""
    groups = {group for concept in concepts().values() for group in concept.classes}
    talk = {group for group in groups if group.startswith(("ask", "change", "by_"))}
    return frozenset(
        groups - talk - {"counted", "neg_through", "place_noun", "treat_in", "treat_out", "treat_in_strong"}
    )


def _first_comma(note: Note, start: int, stop: int) -> int:
    """The comma that ends what is put in, or `stop`."""
    while start < stop and (note.lattice.comma[start] or start in note.soft):
        start += 1
    return next((k for k in range(start, stop) if note.lower[k] == ","), stop)


def _starts(note: Note, at: int) -> bool:
    """Whether a place, number, round or day starts at a token."""
    return bool({"N", "P", "ORD", "R", "D"} & set(note.lattice.edges[at]))


def _elements(note: Note, start: int, end: int) -> list[Element]:
    out: list[Element] = []
    at = start
    while at < end:
        if note.lattice.comma[at] or (at in note.soft and not _starts(note, at)):
            at += max(1, note.lattice.soft[at])
            continue
        element = _element(note, at)
        if element.end > end:
            element = Element(at, at + 1, note.lower[at], False)
        out.append(element)
        at = element.end
    return out


def _same(left: Element, right: Element) -> bool:
    if left.shape == right.shape:
        return True
    ours, theirs = set(left.shape.split("/")), set(right.shape.split("/"))
    return bool(ours & theirs & replaceable())


def _cues(note: Note) -> list[Cue]:
    cues = [c for c in note.cues if c.scope == "correction"]
    cues = [
        c
        for c in cues
        if not any(
            o is not c and o.start <= c.start and c.end <= o.end and o.end - o.start > c.end - c.start for o in cues
        )
    ]
    for at, word in enumerate(note.lower):
        if word == "no" and 0 < at < len(note.lower) - 1 and _answers_itself(note, at):
            cues.append(Cue(at, at + 1, "correction", "fix"))
    merged: list[Cue] = []
    for cue in sorted(cues, key=lambda c: c.start):
        between = note.lower[merged[-1].end : cue.start] if merged else ["x"]
        if merged and all(w in (",", "no", "uh", "um", ".") for w in between):
            last = merged.pop()
            kind = "scratch" if "scratch" in (last.concept, cue.concept) else "fix"
            cue = Cue(last.start, cue.end, "correction", kind)
        merged.append(cue)
    return merged


def _answers_itself(note: Note, at: int) -> bool:
    """Whether a "no" takes back what was said just before: "six, no, seven", "blue no white"."""
    after = at + 1
    comma = note.lower[after] == ","
    while after < len(note.lower) and not _starts(note, after) and (after in note.soft or note.lower[after] == ","):
        after += 1
    if after >= len(note.lower):
        return False
    new = _element(note, after)
    if not new.typed:
        # "to the Quarry, no, the Creek"
        return at > 1 and note.lattice.unknown[after] and _named(note, at - 2 if comma else at - 1)
    if comma and note.lower[at - 1] in (",", ".", "-"):
        return True
    # without a pause only where the same sort of thing was said just before, and nothing is being counted
    last = _elements(note, max(0, at - 12), at)[-5:]
    if new.shape == "P":
        # "from hive twenty, no hive twenty two", "nucs one to four no nucs one to five"
        alike = [e.shape == "P" and note.lower[e.start][:3] == note.lower[new.start][:3] for e in last[-2:]]
        return bool(alike) and (alike[-1] or (alike[0] and note.lattice.unknown[last[-1].start]))
    if new.shape == "N" and new.end < len(note.lower):
        # "five splits no six splits"
        word = note.lower[new.end]
        if any(e.shape == "N" and word in note.lower[e.end : e.end + 2] for e in last):
            return True
    if new.shape == "N" and "counted" not in note.lattice.edges[min(new.end, len(note.lower) - 1)]:
        return any(e.shape in ("N", "P", "R") for e in last[-3:])
    if new.shape == "N" and last and last[-1].shape == "N" and last[-1].end >= at - 1:
        return True  # "eight, no nine frames"
    if last and last[-1].shape == "P":
        return False  # "nuc 2 queen seen, nuc 3 no queen"
    theirs = set(new.shape.split("/")) & BARE_NO
    return any(theirs & set(e.shape.split("/")) for e in last)


def _named(note: Note, at: int) -> bool:
    """Whether a token is a name that something goes to: "to the quarry"."""
    return note.lattice.unknown[at] and note.lower[at - 1] == "the" and note.lower[at - 2] == "to"


def _join(note: Note, ranges: list[tuple[int, int]]) -> str:
    return " ".join(note.text(a, b) for a, b in ranges if b > a)


def _start_of_cue(note: Note, cue: Cue) -> int:
    """The cue with the "no" and the commas before it."""
    at = cue.start
    while at > 0 and note.lower[at - 1] in (",", "no", "oh", "uh", "um", "ah", "wait"):
        at -= 1
    return at


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
    for cue in _cues(note):
        left = _start_of_cue(note, cue)
        right = cue.end
        before = _elements(note, 0, left)
        if not before:
            continue
        late = _said_before_cue(note, before, left, right)
        if late is not None:
            return late
        stop = right
        while stop < len(note.lower) and note.lower[stop] not in STOPS:
            stop += 1
        if stop == right and cue.concept == "fix":
            # "Six frames. Sorry. Seven." heard with full stops
            stop = min(len(note.lower), right + 6)
        after = _elements(note, right, _first_comma(note, right, stop))[:LONGEST]
        found = _alike(before, after)
        numbers_said = [e for e in before if e.shape == "N"]
        nearer = bool(numbers_said) and bool(after) and after[0].shape == "N"
        # a number of the last sentence is nearer than a like phrase of an earlier one
        if (
            found is not None
            and nearer
            and (note.sentence[before[found[0]].start] < note.sentence[numbers_said[-1].start])
        ):
            found = None
        if found is not None:
            at, length = found
            old, part = before[at : at + length], after[:length]
            ranges = [
                (0, old[0].start),
                (part[0].start, part[-1].end),
                (old[-1].end, left),
                (part[-1].end, len(note.lower)),
            ]
            return _join(note, ranges)
        shorter = _elliptic(note, before, after, left) or _name(note, cue, left, right)
        if shorter is not None:
            return shorter
        if cue.concept == "fix_weak":
            continue
        if after and after[0].shape == "N":
            changed = _number(note, before, after[0], left)
            if changed is not None:
                return changed
        if cue.concept == "scratch":
            clause = left - 1
            while clause > 0 and note.lower[clause] in (*STOPS, ","):
                clause -= 1
            while clause > 0 and note.lower[clause - 1] not in (*STOPS, ",", "and", "then"):
                clause -= 1
            return _join(note, [(0, clause), (right, len(note.lower))])
    return _after_remark(note)


def _after_remark(note: Note) -> str | None:
    """Put right after a remark: "26 of 30, no, I counted one twice, 25 of 30"."""
    heads = [c.end for c in _cues(note) if c.concept == "fix"]
    heads += [
        at + 1
        for at, word in enumerate(note.lower)
        if word == "no" and at > 1 and note.lower[at - 1] == "," and at + 2 < len(note.lower)
    ]
    for right in sorted(heads):
        left = right
        while left > 0 and (note.lower[left - 1] in ("no", ",", "oh", "wait") or left == right):
            left -= 1
        stop = next((k for k in range(right, len(note.lower)) if note.lower[k] in STOPS), len(note.lower))
        comma = _first_comma(note, right, stop)
        remark = _elements(note, right, comma)
        numbers_in = [note.numbers[e.start].value for e in remark if e.start in note.numbers]
        if comma >= stop or any(e.shape in ("P", "R") for e in remark) or any(v != 1 for v in numbers_in):
            continue
        part = _elements(note, comma + 1, _first_comma(note, comma + 1, stop))[:LONGEST]
        before = _elements(note, 0, left)
        found = _alike(before, part)
        if found is None or (found[1] == 1 and part[0].shape != "P"):
            continue
        at, length = found
        if before[at + length - 1].end < left - LONGEST:
            continue
        ranges = [
            (0, before[at].start),
            (part[0].start, part[length - 1].end),
            (before[at + length - 1].end, left),
            (part[length - 1].end, len(note.lower)),
        ]
        return _join(note, ranges)
    return None


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
    return _join(note, [(0, old.start), (new.start, new.end), gap, (right, len(note.lower))])


def _alike(before: list[Element], after: list[Element]) -> tuple[int, int] | None:
    """Where in `before` a stretch has the shape of the head of `after`: the latest, of these the longest.

    A single element must be a place, a round, a day or a word that names a value; a lone number is `_number`'s.
    """
    for floor in (2, 1):
        best: tuple[int, int] | None = None
        for length in range(len(after) if floor == 2 else 1, floor - 1, -1):
            part = after[:length]
            if not part or not any(e.typed for e in part) or (length == 1 and part[0].shape == "N"):
                continue
            for at in range(len(before) - length, -1, -1):
                if all(_same(a, b) for a, b in zip(before[at : at + length], part, strict=True)):
                    if best is None or at > best[0]:
                        best = (at, length)
                    break
        if best is not None:
            return best
    return None


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
    return _join(note, [(0, before[-1].end - 1), (new.start, len(note.lower))])


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
    return _join(note, [(0, old), (new, new + 1), (new + 1, len(note.lower))])


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
    several = end > first.end
    olds = [e for e in before if e.shape in (("P",) if several else ("P", "N", "R"))]
    if several and not olds:
        # "no, eighteen, a couple had been chilled": no list
        several, end = False, first.end
        olds = [e for e in before if e.shape in ("P", "N", "R")]
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


def _value(note: Note, element: Element) -> float:
    """The last number said within an element; far off when it has none."""
    found = [n.value for n in note.numbers.values() if element.start <= n.start < element.end]
    return float(found[-1]) if found else 1e9


def contrast(note: Note) -> str | None:
    """The text without the wrong half of "hive fourteen, not forty"; None when there is no such pair."""
    for at, word in enumerate(note.lower):
        if word != "not" or at + 1 >= len(note.lower):
            continue
        wrong = _element(note, at + 1)
        if wrong.shape not in ("N", "P"):
            continue
        left = at - 1 if at and note.lower[at - 1] == "," else at
        before = _elements(note, 0, left)
        if (
            before
            and before[-1].end == left
            and before[-1].shape in ("P", "N")
            and (wrong.shape == before[-1].shape or before[-1].shape == "P")
        ):
            follow = note.lattice.edges[wrong.end] if wrong.end < len(note.lower) else {}
            if "counted" in follow and before[-1].shape == "P":
                continue
            return _join(note, [(0, left), (wrong.end, len(note.lower))])
    return None
