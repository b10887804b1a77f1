"""Numbers that may have been another: which rivals the engine holds nearly as likely, and the doubts that follow."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from gloveside.extract import numbers, rivals
from gloveside.extract.heard import Context, Heard, with_variant
from gloveside.extract.models import Doubt
from gloveside.extract.reader import Parse
from gloveside.extract.register import Register
from gloveside.extract.tokens import split
from gloveside.extract.written import written
from gloveside.speech.transcript import Segment

_BARE = " .,!?;:"


def _probabilities(segment: Segment) -> dict[str, float]:
    """The least probability with which each number was heard."""
    heard: dict[str, float] = {}
    for word in segment.words:
        text = word.text.strip(_BARE)
        heard[text] = min(word.probability, heard.get(text, 1.0))
    return {text: probability for text, probability in heard.items() if text.isdigit()}


def _may_be(variant: rivals.Variant, lower: Sequence[str], register: Register) -> bool:
    """Whether a rival can be meant at all: a hive or nuc that does not exist cannot."""
    before = lower[variant.start - 1] if variant.start else ""
    return before not in ("hive", "nuc") or register.knows(f"{before} {variant.value}")


def weigh(heard: Heard, context: Context) -> None:
    """Find the rival readings of numbers that the engine holds nearly as likely; a number heard clearly has none."""
    settings = context.settings
    words, spaces = split(heard.text)
    lower = [w.lower() for w in words]
    if heard.segment.scorer is None:
        _from_alternatives(heard, words, context)
        return
    sure_of = _probabilities(heard.segment)
    found = [
        v
        for v in rivals.variants(words)
        if sure_of.get(words[v.start], 0.0) < settings.certain and _may_be(v, lower, context.register)
    ]
    if not found:
        return
    found.sort(key=lambda v: sure_of.get(words[v.start], 0.0))
    score = context.score(heard.segment, heard.text)
    for variant in found:
        other = context.score(heard.segment, with_variant(words, spaces, variant))
        if score is None or other is None:
            return
        heard.margin = score - other if heard.margin is None else min(heard.margin, score - other)
        if score - other < settings.margin:
            heard.close.append(variant)


def _from_alternatives(heard: Heard, words: list[str], context: Context) -> None:
    """Numbers in which another hypothesis of about the same score differs."""
    if heard.chosen or heard.changes:
        return
    for rival in heard.segment.alternatives[1:]:
        if heard.segment.alternatives[0].score - rival.score > context.settings.rival_gap:
            continue
        other = split(written(rival.text))[0]
        differ = [i for i, (a, b) in enumerate(zip(words, other, strict=False)) if a.lower() != b.lower()]
        if len(other) == len(words) and len(differ) == 1 and words[differ[0]].isdigit() and other[differ[0]].isdigit():
            at = differ[0]
            heard.close.append(rivals.Variant(at, at + 1, other[at], int(other[at])))


def doubts(heard: Sequence[Heard], text: str, parse: Parse, read: Callable[[str], Parse]) -> list[Doubt]:
    """Doubts that come from the sound: numbers with a near rival, numbers that a repair put in or took out."""
    out: list[Doubt] = []
    for part in heard:
        for change in part.changes:
            if change.touches:
                out.extend(_about(change.heard, change.put, parse))
        words, spaces = split(part.text)
        for variant in part.close:
            said = " ".join(words[variant.start : variant.end])
            rival = text.replace(part.text, with_variant(words, spaces, variant), 1)
            out.extend(_between(said, text, rival, parse, read))
    return out


def _between(said: str, text: str, rival: str, parse: Parse, read: Callable[[str], Parse]) -> list[Doubt]:
    """The doubt between a reading and its rival, where the rival reads as well: the field in which they differ."""
    if rival == text:
        return []
    other = read(rival)
    if len(other.entries) != len(parse.entries) or len(other.doubts) > len(parse.doubts):
        return []
    for index, (mine, theirs) in enumerate(zip(parse.entries, other.entries, strict=True)):
        ours, others = mine.model_dump(by_alias=True), theirs.model_dump(by_alias=True)
        for name in ours:
            if name in ("sure", "text", "percent") or ours.get(name) == others.get(name) or name not in others:
                continue
            options = [ours[name], others[name]]
            return [Doubt(entry=index, field=name, said=said, options=options, ask=_ask(name, options))]
    return []


def _about(said: str, put: str, parse: Parse) -> list[Doubt]:
    """The doubt about a number that was put in by sound."""
    numbers_put = [n.value for n in numbers.find(put.lower().split())]
    for index, entry in enumerate(parse.entries):
        for name, value in entry.model_dump(by_alias=True).items():
            named = isinstance(value, str) and name in ("place", "from", "into", "mother") and numbers_put
            if (named and str(value).endswith(f" {numbers_put[-1]}")) or (name != "on" and value in numbers_put):
                return [Doubt(entry=index, field=name, said=said, options=[value], ask=_ask(name, [value]))]
    return [Doubt(entry=None, field="text", said=said, options=[put], ask=f"{put[:1].upper()}{put[1:]}?")]


def _ask(name: str, options: Sequence[Any]) -> str:
    texts = [str(o) for o in options]
    joined = " or ".join(texts)
    if name == "round":
        return f"Round {joined}?"
    noun = f" {name.replace('_', ' ')}" if all(t[:1].isdigit() for t in texts) and name != "amount" else ""
    return f"{joined[:1].upper()}{joined[1:]}{noun}?"
