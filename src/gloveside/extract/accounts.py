"""What an entry leaves unsaid: words near it that say something and that no rule accounts for.

Such words are the sign of a reading that may be wrong: a number left over beside a count, a word of the trade in a
clause that gave an entry without it. The entry is then less sure, and the notebook asks instead of keeping it silently.
"""

from __future__ import annotations

from collections.abc import Mapping

from gloveside.extract import everyday
from gloveside.extract.note import Note

# What a word left over weighs; an entry is shaky from 1 on.
NUMBER = 1.0
TRADE_WORD = 1.0
VALUE_WORD = 0.5
UNCOMMON = 0.34


def weight(note: Note, at: int) -> float:
    """How much a token that nothing claims says: 0 for joining and everyday words, 1 for numbers and trade words."""
    word = note.lower[at]
    if at in note.soft or not word[:1].isalnum():
        return 0.0
    if at in note.numbers:
        span = note.numbers[at]
        no_one = span.value == 1 and at in note.negated  # "not a single one"
        return 0.0 if span.ordinal or no_one or word in ("one", "a", "an") else NUMBER
    if at in note.trade and at not in note.light:
        return TRADE_WORD
    if at in note.light or word.isdigit():
        return 0.0
    if at in note.content:
        return VALUE_WORD
    return 0.0 if everyday.is_everyday(word) or not word.isalpha() else UNCOMMON


def shaky(
    note: Note,
    tokens: Mapping[int, set[int]],
    accounted: set[int],
    said_again: set[str],
) -> dict[int, str]:
    """The entries near which words are left over, each with these words.

    tokens: entry -> tokens of its facts; accounted: tokens that anything claims; said_again: numbers of the entries,
    which say nothing when they are said once more.
    """
    named = note.of_places() | note.of_rounds() | note.of_dates()
    out: dict[int, str] = {}
    length = len(note.lower)
    for entry, own in tokens.items():
        if not own:
            continue
        clauses = {note.clause[at] for at in own}
        sentences = {note.sentence[at] for at in own}
        left: list[int] = []
        total = 0.0
        for at in range(length):
            if note.sentence[at] not in sentences or at in accounted or at in named or at in note.blocked:
                continue
            if at in note.numbers and str(note.numbers[at].value) in said_again:
                continue
            much = weight(note, at)
            inside = note.clause[at] in clauses
            if not inside and much < 1.0:
                continue  # a remark of its own beside the record
            total += much
            if much:
                left.append(at)
        if total >= 1.0:
            out[entry] = note.text(left[0], left[-1] + 1)
    return out


def unread_trade(note: Note) -> bool:
    """Whether a note that gave nothing speaks of a hive, nuc or round in words of the trade or in numbers."""
    named = note.of_places() | note.of_rounds()
    if not named:
        return False
    if not note.blocked and len({p for span in note.places for p in span.places}) + len(note.rounds) > 1:
        return True  # "celled nucs 1 to 10": two places are seldom named in passing
    named |= note.of_dates()
    total = 0.0
    for at in range(len(note.lower)):
        if at in named or at in note.soft or at in note.blocked:
            continue
        total += TRADE_WORD if at in note.trade else weight(note, at)
    return total >= 1.0
