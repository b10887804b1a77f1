"""Which of an engine's rival texts was said: the first one, unless another reads as a note and the first does not."""

from __future__ import annotations

from gloveside.extract.heard import Context, count, merit, unread
from gloveside.extract.reader import Parse
from gloveside.extract.register import Register
from gloveside.extract.tokens import split
from gloveside.extract.written import text_of, written
from gloveside.speech.transcript import Segment


def learnt(text: str, register: Register) -> str:
    """The text with the operator's own corrections, heard -> meant, put in."""
    words, spaces = split(text)
    lower = [w.lower() for w in words]
    pairs = sorted(((h.lower().split(), m) for h, m in register.corrections.items()), key=lambda p: -len(p[0]))
    for said, meant in pairs:
        at = 0
        while said and at + len(said) <= len(lower):
            if lower[at : at + len(said)] == said:
                words[at : at + len(said)] = [meant]
                spaces[at : at + len(said)] = [spaces[at + len(said) - 1]]
                lower[at : at + len(said)] = [meant.lower()]
            at += 1
    return text_of(words, spaces)


def choose(first: str, segment: Segment, context: Context) -> tuple[str, int, Parse]:
    """The hypothesis that reads best and fits what is known, its index, its parse; the first one wins ties."""
    settings = context.settings
    parse = context.parse(first)
    best, chosen, best_parse = first, 0, parse
    wanting = unread(parse) or parse.doubts
    if not settings.rivals or not wanting or len(segment.alternatives) < 2:
        return best, chosen, best_parse
    top = merit(parse)
    words, figures = count(first)
    lead = segment.alternatives[0].score
    for index, rival in enumerate(segment.alternatives[1 : settings.most_rivals + 1], start=1):
        text = learnt(written(rival.text), context.register)
        size, held = count(text)
        if text == first or size < words - 1 or held < figures:
            continue
        other = context.parse(text)
        if size - len(other.unclaimed) < words - len(parse.unclaimed) + (size < words):
            continue  # a rival that only leaves out what was not understood is no better
        worse = (lead - rival.score) * max(words, 1) * settings.rival_weight
        reached = merit(other) - worse
        if reached > top + settings.rival_lead and settled(other, text):
            best, chosen, best_parse, top = text, index, other, reached
    return best, chosen, best_parse


def settled(parse: Parse, text: str) -> bool:
    """Whether a changed text reads as a note of the trade: something understood, little left over."""
    real = any(e.kind != "note" for e in parse.entries) or parse.questions or parse.orders
    words, _ = count(text)
    return bool(real) and len(parse.unclaimed) <= max(1, round(0.34 * words))
