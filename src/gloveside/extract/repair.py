"""Misheard words of the trade: which words of the vocabulary may have been meant, by sound.

Proposals only. Whether one is taken is decided by how the whole note then reads (`gloveside.extract.hearing`) and,
where the engine still holds the sound, by its own score of the whole text. A proposal that takes a number out, or puts
one in right after a word that wants a number, says so in `touches`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from gloveside.extract import numbers, phonemes
from gloveside.extract.lexicon import concepts
from gloveside.extract.register import Register

KEEP_COARSE = 25
FURTHEST = 0.42
BEST_OF_WINDOW = 5
LONGEST_WINDOW = 3
# Sounds that a proposal may have fewer than what was heard: shorter texts win unfairly.
FEWER_SOUNDS = 2
WANTS_NUMBER = frozenset(["hive", "hives", "nuc", "nucs", "round", "bar", "rounds"])
PLACE_WORDS = ("hive", "nuc", "nucs", "round")
# Words that engines write before a number for a hive or a nuc; any other English word before a number stays.
KNOWN_HEADS = numbers.word_set(
    "high hi hie height hype five fife i've have hide hives' heav next necks neck nut nuts nook nooks nuke nukes knock"
    " knocks nick mac mux nack knack noc hound found around rounds"
)
# Forms with these are how a thing is put, not what it is called: they sound like much of ordinary talk.
FUNCTION_WORDS = numbers.word_set(
    "the a an it is are was my me i we they to at by this that which what who no not their her its do did can and or"
    " has have had got no for with from be been there as look list show tell them"
)
NEGATIONS = frozenset(["no", "not", "never", "none", "without", "don't", "didn't", "wasn't", "can't", "couldn't"])
# Classes of words that nobody needs repaired and that sound like much of ordinary talk.
NEVER_MEANT = frozenset(["weather_sure", "weather_maybe", "cause", "day_span"])
# Everyday words that the trade uses so often that they are worth hearing in others.
EVERYDAY_OF_THE_TRADE = numbers.word_set(
    "strips strip wash shake laying larvae cups cup split splits ripe capped sealed marked clipped weak strong calm hot"
    " fed litres litre kilos kilo bars bar top bottom middle slide graft grafted starved treated trickle pads died dead"
    " feeder feed planted put pulled took caged caught released killed united missing moved sold harvested robbed"
)
# Everyday words that sound like numbers: read as one only right after a word that wants a number.
SOUNDS_LIKE_NUMBER = {
    "to": "2", "too": "2", "for": "4", "fore": "4", "ate": "8", "won": "1", "tree": "3", "free": "3", "sex": "6",
    "sick": "6", "tin": "10", "tan": "10", "nein": "9", "mine": "9", "fife": "5", "hate": "8", "a": "8",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Proposal:
    """Tokens start..end-1 may have been `text`. distance: of the sounds, 0 the same. touches: `number` or nothing.

    named: the words before a number were taken for a hive, nuc or round.
    """

    start: int
    end: int
    text: str
    distance: float
    touches: str = ""
    named: bool = False


@dataclass(frozen=True, slots=True)
class _Target:
    text: str
    sounds: phonemes.Sounds


@cache
def _targets() -> tuple[tuple[_Target, ...], tuple[str, ...]]:
    """All forms of the vocabulary with their sounds, and the coarse classes of these."""
    texts: dict[str, None] = {"hive": None, "hives": None, "nuc": None, "nucs": None, "round": None, "is in": None}
    for concept in concepts().values():
        if concept.soft or concept.scope is not None or NEVER_MEANT & set(concept.classes):
            continue
        for form in concept.forms:
            if FUNCTION_WORDS & set(form.split()):
                continue
            if concept.everyday and not set(form.split()) & EVERYDAY_OF_THE_TRADE:
                continue
            if (
                len(form) > 2
                and len(form.split()) <= LONGEST_WINDOW
                and form.replace(" ", "").replace("'", "").isalpha()
            ):
                texts[form] = None
    found = [_Target(text, sounds) for text in texts for sounds in phonemes.of_text(text)[:2] if len(sounds) > 1]
    return tuple(found), tuple(phonemes.classes(t.sounds) for t in found)


@cache
def misheard() -> dict[tuple[str, ...], tuple[str, ...]]:
    """Known mishearings: their words -> the forms of what was meant."""
    proper = {form for concept in concepts().values() for form in concept.forms}
    return {
        tuple(heard.split()): concept.forms
        for concept in concepts().values()
        for heard in concept.heard
        if heard not in proper
    }


@cache
def _near(window: str) -> tuple[tuple[str, float], ...]:
    """The forms nearest in sound to a window of words, best first."""
    targets, coarse = _targets()
    best: dict[str, float] = {}
    for sounds in phonemes.of_text(window):
        if not sounds:
            continue
        rough = process.extract(
            phonemes.classes(sounds),
            coarse,
            scorer=Levenshtein.normalized_distance,
            limit=KEEP_COARSE,
            score_cutoff=0.6,
        )
        for _, _, index in rough:
            target = targets[index]
            if len(sounds) - len(target.sounds) > FEWER_SOUNDS or target.text == window:
                continue
            far = phonemes.distance(sounds, target.sounds)
            if far < FURTHEST:
                best[target.text] = min(far, best.get(target.text, 1.0))
    return tuple(sorted(best.items(), key=lambda item: item[1])[:BEST_OF_WINDOW])


@cache
def trade_words() -> frozenset[str]:
    """Single words that only the trade says: a note with one of them is about the trade."""
    return frozenset(
        form
        for concept in concepts().values()
        if not (concept.everyday or concept.soft or concept.scope or NEVER_MEANT & set(concept.classes))
        for form in concept.forms
        if form.isalpha() and len(form) > 2
    ) - frozenset(["number", "check", "checked", "look", "looked", "list", "did", "mother", "last", "history", "note"])


def _heard_right(window: Sequence[str]) -> bool:
    """Whether a window is no candidate: a word of the trade in it was heard, or it strings function words together."""
    if any(w in trade_words() or w in EVERYDAY_OF_THE_TRADE or w in NEGATIONS for w in window):
        return True
    return len(window) > 1 and any(w in FUNCTION_WORDS or w in ("of", "in", "on", "off", "out", "up") for w in window)


def known_head(word: str) -> bool:
    """Whether a word before a number is known to be written for a place."""
    return word in KNOWN_HEADS


def _is_number(word: str) -> bool:
    return any(not span.ordinal for span in numbers.find([word]))


def proposals(lower: Sequence[str], suspicious: set[int], register: Register) -> list[Proposal]:
    """Proposals for windows of up to three words that hold a suspicious one and cross no punctuation, nearest first."""
    out: list[Proposal] = []
    for at, word in enumerate(lower):
        if at in suspicious and at > 0 and lower[at - 1] in WANTS_NUMBER and word in SOUNDS_LIKE_NUMBER:
            out.append(Proposal(at, at + 1, SOUNDS_LIKE_NUMBER[word], 0.1, "number"))
    for start in range(len(lower)):
        for end in range(start + 1, min(start + LONGEST_WINDOW, len(lower)) + 1):
            window = lower[start:end]
            if not window[-1][:1].isalnum():
                break
            if not suspicious & set(range(start, end)):
                continue
            known = misheard().get(tuple(window))
            if known is None and _heard_right(window):
                continue
            figures = [w for w in window if _is_number(w)]
            if figures:
                if end - 1 in suspicious and start in suspicious:
                    out.extend(_with_number(lower, start, end, register))
                continue
            text = " ".join(window)
            if known is not None:
                # of several forms the one that sounds most like what was heard, for showing
                meant = min(known, key=lambda form: phonemes.nearest(text, form))
                out.append(Proposal(start, end, meant, 0.05))
            out.extend(Proposal(start, end, meant, far) for meant, far in _near(text))
            if start and lower[start - 1] in WANTS_NUMBER:
                out.extend(_numbers_for(start, end, text))
    return sorted(out, key=lambda p: p.distance)


def _with_number(lower: Sequence[str], start: int, end: int, register: Register) -> list[Proposal]:
    """Windows that hold a number: "5 12", "five 12" for "hive 12". The number that stays is the last one."""
    window = lower[start:end]
    if len(window) != 2 or not _is_number(window[1]):
        return []
    head = window[0]
    if head in WANTS_NUMBER:
        return []
    out = []
    several = tuple(lower[end : end + 1]) in (("to",), ("and",), (",",)) and _is_number(
        "".join(lower[end + 1 : end + 2])
    )
    for noun in PLACE_WORDS:
        if (noun == "nucs") != several and noun in ("nuc", "nucs"):
            continue
        far = phonemes.nearest(head, noun)
        if far < FURTHEST:
            # A number heard as the noun ("five 12") is taken out with it: that is asked about.
            # A round is asked about too: there is no register of sounds that only mean "round".
            touches = "number" if _is_number(head) or noun == "round" else ""
            place = f"{noun} {window[1]}"
            if noun in ("hive", "nuc") and not register.knows(place):
                continue
            out.append(Proposal(start, end, place, far / 2, touches, named=True))
    return out


def _numbers_for(start: int, end: int, text: str) -> list[Proposal]:
    """A number for unknown words where one is due ("nuc egging" for 18)."""
    found = []
    for value in range(1, 100):
        far = phonemes.nearest(text, str(value))
        if far < 0.34:
            found.append(Proposal(start, end, str(value), far, "number"))
    return sorted(found, key=lambda p: p.distance)[:3]


def unmistakable(lower: Sequence[str]) -> list[Proposal]:
    """Known mishearings that are no English by themselves or run over several words, left to right, without overlap."""
    out: list[Proposal] = []
    at = 0
    while at < len(lower):
        for length in range(LONGEST_WINDOW, 0, -1):
            window = tuple(lower[at : at + length])
            meant = misheard().get(window) if len(window) == length else None
            if meant and (length > 1 or not phonemes.is_english(window[0])):
                text = " ".join(window)
                out.append(Proposal(at, at + length, min(meant, key=lambda form: phonemes.nearest(text, form)), 0.0))
                at += length
                break
        else:
            at += 1
    return out
