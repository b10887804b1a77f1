"""Numbers that are not simply what they say: two run together, one of two, counted aloud, or a name."""

from __future__ import annotations

from dataclasses import replace

from gloveside.extract import numbers, places
from gloveside.extract.note import Note, Unsure
from gloveside.extract.numbers import NumberSpan

# Numbers in a row, each one more, that are counting aloud.
COUNTED_ALOUD = 3
# How far apart the ends of a rough count may be.
CLOSE = 5
# What a number before these is a part of: "four fifths of the 20".
PARTS = {"thirds": 3, "quarters": 4, "fifths": 5, "sixths": 6, "eighths": 8, "tenths": 10}
# Before a range of names: "nucs 1 to 4".
NAMING = frozenset(
    ("nuc", "nucs", "hive", "hives", "colony", "colonies", "round", "rounds", "numbers", "number", "from")
)


def count_meant(note: Note, at: int, number: float, other: float) -> bool:
    """Whether a value in doubt belongs to a count: "18 ripe cells in round 3, or it might be 19"."""
    before = [s for s in note.numbers.values() if s.end <= at and not s.ordinal]
    if not before or abs(before[-1].value - other) >= abs(number - other):
        return False
    count = before[-1]
    value = Unsure(int(count.value))
    value.rivals = (int(count.value), int(other))
    for label in ("N", "N1"):
        note.lattice.edges[count.start][label] = [(count.end, value)]
    return True


def parted(note: Note, nouns: dict[int, tuple[int, str, bool]], counted: set[int]) -> dict[int, int]:
    """Part "hive thirty eight frames" into hive 30 and eight frames; start of the second number -> the whole one."""
    out: dict[int, int] = {}
    after_noun = {end for end, _, plural in nouns.values() if not plural}
    for span in list(note.numbers.values()):
        middle, unit = span.start + 1, span.value % 10
        tens = span.value - unit
        of_them = note.lower[span.end : span.end + 2] == ["of", "them"]
        follows = of_them or (span.end in counted and note.lower[span.end] not in ("of", "out", "/", "to"))
        if span.start not in after_noun or not follows or span.end != span.start + 2 or span.ordinal:
            continue
        if not (note.lower[span.start].isalpha() and unit and 20 <= tens <= 90):
            continue
        note.numbers[span.start] = replace(span, end=middle, value=tens)
        note.numbers[middle] = replace(span, start=middle, value=unit)
        for label in ("N", "N1"):
            note.lattice.edges[span.start][label] = [(middle, tens)]
            note.lattice.edges[middle][label] = [(span.end, unit)]
        out[middle] = int(span.value)
    return out


def _one_of(note: Note, span: NumberSpan, other: NumberSpan) -> None:
    """Make two numbers one in doubt, which reaches from the first to the end of the other."""
    value = Unsure(int(span.value))
    value.rivals = (int(span.value), int(other.value))
    for label in ("N", "N1"):
        note.lattice.edges[span.start][label] = [(other.end, value)]
        note.lattice.edges[other.start].pop(label, None)


def in_doubt(note: Note) -> None:
    """Read "seven or eight", "seven, maybe eight" as one number in doubt."""
    for span in list(note.numbers.values()):
        other = note.numbers.get(places.either(note.lower, span.end))
        if other is None and not span.ordinal and _noun_after(note, span.end):
            # "6 frames, could be 7": the noun stands between
            other = note.numbers.get(places.either(note.lower, span.end + 1))
            if other is not None and not other.ordinal and near_in_value(span.value, other.value):
                _one_with_noun(note, span, other)
            continue
        if other is None or span.ordinal or other.ordinal:
            continue
        _one_of(note, span, other)


def near_in_value(first: float, second: float) -> bool:
    """Whether two counts may be of the same things."""
    return first != second and abs(first - second) <= CLOSE


def _noun_after(note: Note, at: int) -> bool:
    """Whether a counted noun, and then a pause or "or", stands behind a number."""
    follows = note.lower[at + 1 : at + 2]
    if at >= len(note.lower) or follows not in ([","], ["or"], ["maybe"]):
        return False
    return bool({"counted", "cell_state", "take_verb", "take_strong"} & set(note.lattice.edges[at]))


def _one_with_noun(note: Note, span: NumberSpan, other: NumberSpan) -> None:
    """Put the first number in doubt, and let the other say nothing more."""
    value = Unsure(int(span.value))
    value.rivals = (int(span.value), int(other.value))
    for label in ("N", "N1"):
        note.lattice.edges[span.start][label] = [(span.end, value)]
        note.lattice.edges[other.start].pop(label, None)
    for at in range(span.end + 1, other.end):
        note.lattice.soft[at] = 1
        note.soft.add(at)
    note.cues = [c for c in note.cues if not span.end < c.start < other.end]
    note.numbers.pop(other.start)


def between(note: Note) -> None:
    """Read "18 to 20 ripe cells", "between 18 and 20" as one number in doubt."""
    for span in list(note.numbers.values()):
        word = note.lower[span.end : span.end + 1]
        other = note.numbers.get(span.end + 1)
        lead = note.lower[span.start - 1] if span.start else ""
        if other is None or span.ordinal or other.ordinal or not span.value < other.value <= span.value + CLOSE:
            continue
        after = note.lattice.edges[other.end] if other.end < len(note.lower) else {}
        ranged = word == ["to"] and ("counted" in after or "cell_state" in after) and lead not in NAMING
        if not ranged and (lead, word) != ("between", ["and"]):
            continue
        _one_of(note, span, other)


def fewer_than(note: Note) -> None:
    """Read "under a dozen", "less than five" as a number in doubt: the number itself or fewer."""
    for span in list(note.numbers.values()):
        lead = note.lower[max(0, span.start - 2) : span.start]
        under = lead[-1:] == ["under"] and note.lower[span.start] == "a"
        if (
            span.ordinal
            or span.value != int(span.value)
            or not (under or lead in (["less", "than"], ["fewer", "than"]))
        ):
            continue
        value = Unsure(int(span.value) - 1)
        value.rivals = (int(span.value) - 1, int(span.value))
        for label in ("N", "N1"):
            note.lattice.edges[span.start][label] = [(span.end, value)]


def all_but(note: Note) -> None:
    """Read "all but 3 of the 30" as 27, with "of the 30" behind it."""
    for at, word in enumerate(note.lower[:-3]):
        if word not in ("all", "everything", "every"):
            continue
        step = at + 1 + (note.lower[at + 1] in ("of", "one"))
        if note.lower[step] not in ("but", "except", "bar", "save"):
            continue
        step += 1 + (note.lower[step + 1] in ("for", "the", "just"))
        missed = note.numbers.get(step)
        few, end = (missed.value, missed.end) if missed else (1, step + 1)
        if missed is None and note.lower[step : step + 1] not in (["one"], ["a"]):
            continue
        whole = _of_how_many(note, end)
        if whole is not None and few <= whole:
            _replaced(note, at, end, whole - few)


def fractions(note: Note) -> None:
    """Read "two thirds of the 30", "half of the 20" as so many, with "of the 30" behind it."""
    for span in list(note.numbers.values()):
        part, end = span.value, span.end
        below = PARTS.get(note.lower[end]) if end < len(note.lower) else None
        if below and not span.ordinal and 0 < part <= below:
            part, end = part / below, end + 1  # "nine tenths"
        whole = _of_how_many(note, end) if 0 < part < 1 and not span.ordinal else None
        if whole is None:
            continue
        many = part * whole
        if abs(many - round(many)) > 0.05:
            value: float = Unsure(int(many))
            value.rivals = (int(many), int(many) + 1)  # type: ignore[attr-defined]
        else:
            value = round(many)
        _replaced(note, span.start, end, value)


def summed(note: Note) -> None:
    """Leave out two counts that are summed at once: "7 and 8, 15 capped" counts 15."""
    spans = sorted((s for s in note.numbers.values() if not s.ordinal), key=lambda s: s.start)
    for first, second, third in zip(spans, spans[1:], spans[2:], strict=False):
        joined = note.lower[first.end : second.start]
        after = note.lattice.edges[third.end] if third.end < len(note.lower) else {}
        if joined not in (["and"], ["plus"], ["+"]) or first.value + second.value != third.value:
            continue
        if third.start - second.end <= 3 and "cell_state" in after:
            _drop(note, [first, second])


# Things of which a colony may have had two: "both supers came off".
PAIRED = frozenset(["box_noun", "strip_word", "pad_word"])


def both(note: Note) -> None:
    """Read "both supers" as two of them."""
    for at in range(len(note.lower) - 1):
        step = at + 2 if note.lower[at + 1] in ("the", "of", "its", "their") else at + 1
        if note.lower[at] == "both" and step < len(note.lower) and PAIRED & set(note.lattice.edges[step]):
            note.lattice.add(at, at + 1, "N", 2)
            note.lattice.add(at, at + 1, "N1", 2)


def _of_how_many(note: Note, at: int) -> float | None:
    """The whole number after "of the": 30 in "of the 30"."""
    if note.lower[at : at + 1] != ["of"]:
        return None
    step = at + 1
    while note.lower[step : step + 1] and note.lower[step] in ("the", "all", "those", "my", "these", "our"):
        step += 1
    span = note.numbers.get(step)
    return span.value if span is not None and not span.ordinal and span.value > 1 else None


def _replaced(note: Note, start: int, end: int, value: float) -> None:
    """Put one number for tokens start..end-1."""
    for at in range(start, end):
        if at != start:
            note.numbers.pop(at, None)
        for label in ("N", "N1", "H", "ORD"):
            note.lattice.edges[at].pop(label, None)
        note.lattice.soft[at] = 0
    note.soft.difference_update(range(start, end))
    note.cues = [c for c in note.cues if not start <= c.start < end]
    note.numbers[start] = NumberSpan(start, end, int(value), False, note.text(start, end))
    for label in ("N", "N1"):
        note.lattice.add(start, end, label, value)


def counted_aloud(note: Note) -> None:
    """Read "one, two, three, four swarm cells" as four: of numbers counted aloud only the last one counts."""
    taken = note.of_places()
    spans = [s for s in note.numbers.values() if not s.ordinal and s.start not in taken]
    run: list[int] = []
    for index, span in enumerate(spans):
        last = spans[index - 1] if index else None
        goes_on = last is not None and (
            span.value == last.value + 1 or (len(run) > 1 and span.value == last.value and span.value > 1)
        )
        if goes_on and all(note.lattice.comma[k] for k in range(last.end, span.start)):  # type: ignore[union-attr]
            run.append(index)
            continue
        _only_last(note, [spans[i] for i in run])
        run = [index]
    _only_last(note, [spans[i] for i in run])


def _only_last(note: Note, run: list[numbers.NumberSpan]) -> None:
    if len(run) < COUNTED_ALOUD or _listed_again(note, run[0].start):
        return
    last = run[-1]
    after = next((s for s in note.numbers.values() if s.start >= last.end), None)
    # "four, five, six, seven. Seven frames": the last one is said again with what was counted
    again = after is not None and after.value == last.value and after.start - last.end <= 2
    _drop(note, run if again else run[:-1])


def _listed_again(note: Note, at: int) -> bool:
    """Whether a list of places was just said and is put right here: "nucs 15, 16 and 17, I mean 14, 15 and 16"."""
    said = [p for p in note.places if p.end <= at]
    if not said or len(said[-1].places) < 2:
        return False
    fixing = [c for c in note.cues if c.scope == "correction" and said[-1].end <= c.start and c.end <= at]
    fixed = {k for c in fixing for k in range(c.start, c.end)}
    between = range(said[-1].end, at)
    no = any(note.lower[k] == "no" for k in between)
    return bool(fixing or no) and all(k in fixed or k in note.soft or note.lower[k] in (",", "no") for k in between)


def _drop(note: Note, run: list[NumberSpan]) -> None:
    """Let numbers say nothing."""
    for span in run:
        for label in ("N", "N1"):
            note.lattice.edges[span.start].pop(label, None)
        note.lattice.soft[span.start] = span.end - span.start
        note.soft.update(range(span.start, span.end))
        note.numbers.pop(span.start)


def names_only(note: Note) -> None:
    """Numbers inside places, rounds and days are names there, never counts."""
    taken = note.of_places() | note.of_rounds()
    taken |= {at for d in note.dates if not (d.length or d.counted) for at in range(d.start, d.end)}
    for at in taken:
        for label in ("N", "N1", "ORD", "H"):
            note.lattice.edges[at].pop(label, None)
