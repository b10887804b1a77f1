"""From what an engine heard to what was meant: rival texts, repair by sound, and doubts where two readings are near.

For each segment the first hypothesis stands unless a rival reads better; words that no rule claims may be taken for
words of the trade that sound alike, where the note then reads; numbers with a near rival are asked about. One pass, no
number is taken out or put in silently, and talk about other things is left as it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from itertools import pairwise
from typing import Any

from gloveside.extract import numbers, phonemes, repair, rivals, sureness
from gloveside.extract.hearing_settings import HearingSettings
from gloveside.extract.models import Doubt, Entry, Reading
from gloveside.extract.reader import Parse, Reader
from gloveside.extract.register import Register
from gloveside.extract.tokens import MAX_CHARACTERS, foreign_share, split
from gloveside.extract.written import shown, text_of, written
from gloveside.speech.transcript import Segment, Transcript

NOTHING_HEARD = "I heard no words in this recording. Say it again closer to the phone; the recording is kept."
NOTHING_TYPED = "There are no words in this note. Say or type it again."
NOT_ENGLISH = "I read English only. Say or type this note again in English; what came in is kept."
# A block of this many characters is read at once; longer notes are read block by block with the place carried over.
BLOCK = 2_500


@dataclass(frozen=True, slots=True)
class Change:
    """A repair: what was heard, what was put, and how much better the note then reads."""

    heard: str
    put: str
    gain: float
    touches: str = ""


@dataclass(slots=True)
class Heard:
    """One segment after choice and repair. margin: least lead of a number over its nearest rival (None: not scored)."""

    text: str
    segment: Segment
    changes: list[Change] = field(default_factory=list)
    close: list[rivals.Variant] = field(default_factory=list)
    margin: float | None = None
    chosen: int = 0


@dataclass(slots=True)
class _Context:
    reader: Reader
    on: date
    register: Register
    now: datetime | None
    settings: HearingSettings

    def parse(self, text: str) -> Parse:
        return self.reader.parse(text, on=self.on, register=self.register, now=self.now)


def read_text(
    text: str,
    reader: Reader,
    *,
    on: date,
    register: Register,
    now: datetime | None = None,
    settings: HearingSettings | None = None,
) -> Reading:
    """The reading of a typed note; a misheard word that was pasted in is repaired as in a spoken one."""
    if not text.strip():
        return Reading(raw=text, heard="", keep=False, error=NOTHING_TYPED)
    segment = Segment(text=text, start=0.0, end=0.0)
    return _read([segment], text, _Context(reader, on, register, now, settings or HearingSettings()))[0]


def read_transcript(
    transcript: Transcript,
    reader: Reader,
    *,
    on: date,
    register: Register,
    now: datetime | None = None,
    settings: HearingSettings | None = None,
) -> Reading:
    """The reading of a spoken note. on: local date on which it was spoken; now: when, for "here" and "this one"."""
    return with_evidence(transcript, reader, on=on, register=register, now=now, settings=settings)[0]


def with_evidence(
    transcript: Transcript,
    reader: Reader,
    *,
    on: date,
    register: Register,
    now: datetime | None = None,
    settings: HearingSettings | None = None,
) -> tuple[Reading, list[dict[str, float]]]:
    """The reading of a spoken note, and for each entry the features behind its `sure`, for fitting and measuring."""
    context = _Context(reader, on, register, now, settings or HearingSettings())
    segments = [s for s in transcript.segments if s.text.strip()]
    if not segments:
        told: dict[str, Any] = {"engine": transcript.engine, "seconds": transcript.seconds}
        return Reading(raw="", heard="", keep=False, error=NOTHING_HEARD, **told), []
    reading, evidence = _read(segments, transcript.text, context)
    told = {"engine": transcript.engine, "seconds": round(transcript.seconds, 2)}
    return reading.model_copy(update=told), evidence


def _read(segments: Sequence[Segment], raw: str, context: _Context) -> tuple[Reading, list[dict[str, float]]]:
    if foreign_share(raw) > 0.5:
        return Reading(raw=raw, heard=raw.strip(), keep=False, error=NOT_ENGLISH), []
    heard = [_hear(segment, context) for segment in segments]
    text = _joined(heard)[: 20 * MAX_CHARACTERS]
    parse = _in_blocks(text, context)
    doubts = _only_one_each([*parse.doubts, *_heard_doubts(heard, text, parse, context)])
    entries, evidence = sureness.rated(parse.entries, doubts, heard, parse)
    if context.settings.doubts:
        doubts.extend(_unsure(entries, doubts, heard, text, parse, context))
    reading = Reading(
        raw=raw,
        heard=shown(text),
        entries=entries,
        questions=parse.questions,
        orders=parse.orders,
        doubts=doubts,
        keep=not doubts,
    )
    return reading, evidence


# One segment ---------------------------------------------------------------------------------------------------------


def _hear(segment: Segment, context: _Context) -> Heard:
    first = _learnt(written(segment.text), context.register)
    if len(first) > BLOCK:
        return Heard(first, segment)
    text, chosen, parse = _choose(first, segment, context)
    heard = Heard(text, segment, chosen=chosen)
    if context.settings.repair and _worth_repair(parse):
        _repair(heard, parse, context)
    heard.text = _as_meant(heard.text, context)
    if context.settings.doubts:
        _margins(heard, context)
    return heard


def _learnt(text: str, register: Register) -> str:
    """The operator's own corrections, heard -> meant, put in first."""
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


def _merit(parse: Parse) -> float:
    """How well a text reads, in words: nothing unclaimed, no doubt, and something understood."""
    real = sum(e.kind != "note" for e in parse.entries) + len(parse.questions) + len(parse.orders)
    return -1.0 * len(parse.unclaimed) - 0.6 * len(parse.doubts) + (1.0 if real else 0.0)


def _count(text: str) -> tuple[int, int]:
    """Words and numbers of a text."""
    words = [w for w in split(text)[0] if w[:1].isalnum()]
    return len(words), sum(w.isdigit() for w in words)


def _choose(first: str, segment: Segment, context: _Context) -> tuple[str, int, Parse]:
    """The hypothesis that reads best and fits what is known; the first one wins ties."""
    parse = context.parse(first)
    best, chosen, best_parse = first, 0, parse
    if not context.settings.rivals or not (parse.unclaimed or parse.doubts) or len(segment.alternatives) < 2:
        return best, chosen, best_parse
    base = _merit(parse)
    top = base
    words, figures = _count(first)
    lead = segment.alternatives[0].score
    for index, rival in enumerate(segment.alternatives[1:], start=1):
        text = _learnt(written(rival.text), context.register)
        count, held = _count(text)
        if text == first or count < words - 1 or held < figures:
            continue
        other = context.parse(text)
        if count - len(other.unclaimed) < words - len(parse.unclaimed) + (count < words):
            continue  # a rival that only leaves out what was not understood is no better
        worse = (lead - rival.score) * max(words, 1) * context.settings.rival_weight
        merit = _merit(other) - worse
        if merit > top + context.settings.rival_lead and _settled(other, text):
            best, chosen, best_parse, top = text, index, other, merit
    return best, chosen, best_parse


def _settled(parse: Parse, text: str) -> bool:
    """Whether a changed text reads as a note of the trade: something understood, little left over."""
    real = any(e.kind != "note" for e in parse.entries) or parse.questions or parse.orders
    words, _ = _count(text)
    return bool(real) and len(parse.unclaimed) <= max(1, round(0.34 * words))


def _worth_repair(parse: Parse) -> bool:
    return bool(parse.unclaimed) or (not parse.questions and not parse.orders and bool(parse.doubts))


def _understood(parse: Parse) -> int:
    """How many entries a text gives, tasks and notes left out: those any talk can give."""
    return sum(e.kind not in ("note", "task") for e in parse.entries)


def _missing(parse: Parse) -> int:
    """Doubts about something that was not said at all ("Which hive?")."""
    return sum(not d.said for d in parse.doubts)


def _free(lower: list[str], parse: Parse) -> set[int]:
    """Tokens that may be misheard: unclaimed ones, and all of a text of the trade that gives nothing."""
    unclaimed = set(parse.unclaimed)
    found = {i for i, word in enumerate(lower) if word in unclaimed and word[:1].isalnum()}
    # the word before a number that nothing claims may be a misheard hive, nuc or round ("next 1 to 4", "I've 12")
    found |= {i - 1 for i in found if i and lower[i].isdigit() and lower[i - 1][:1].isalnum()}
    wanting = (i for i in range(1, len(lower)) if lower[i - 1] in repair.WANTS_NUMBER)
    found |= {i for i in wanting if lower[i] in repair.SOUNDS_LIKE_NUMBER}
    if not (_understood(parse) or parse.questions or parse.orders) and _of_the_trade(lower):
        found |= {i for i, word in enumerate(lower) if word[:1].isalnum()}
    return found


def _of_the_trade(lower: Sequence[str]) -> bool:
    """Whether a text speaks of the trade: one of its own words, or a hive, nuc or round with a number."""
    named = any(a in repair.WANTS_NUMBER and b.isdigit() for a, b in pairwise(lower))
    return named or any(word in repair.trade_words() for word in lower)


def _wanted(proposal: repair.Proposal, lower: list[str], parse: Parse, scored: bool, context: _Context) -> bool:
    """Whether a proposal is worth a trial.

    Without an engine's score only words that are no English are taken for others, unless nothing was understood, or a
    place is named by a number, or the mishearing is a known one.
    """
    settings = context.settings
    window = lower[proposal.start : proposal.end]
    sure = proposal.distance <= settings.surely or proposal.named or proposal.touches != ""
    if not _of_the_trade(lower) and not sure:
        return False
    if scored:
        return proposal.distance <= settings.furthest
    if proposal.distance > settings.furthest_unscored:
        return False
    return sure or not _understood(parse) or any(not phonemes.is_english(word) for word in window)


def _reads(before: Parse, after: Parse, text: str) -> bool:
    """Whether a repaired text reads as a note of the trade: more claimed, nothing newly missing."""
    if not _understood(after) or _missing(after) > _missing(before) or len(after.questions) > len(before.questions):
        return False
    if _understood(before):
        return len(after.unclaimed) + len(after.doubts) < len(before.unclaimed) + len(before.doubts)
    if _missing(after):
        return False
    words, _ = _count(text)
    return len(after.unclaimed) <= words // 8


def _repair(heard: Heard, parse: Parse, context: _Context) -> None:
    """Put the best proposals in, one pass, and only where the whole then reads."""
    settings = context.settings
    words, spaces = split(heard.text)
    lower = [w.lower() for w in words]
    scorer = heard.segment.scorer
    found = repair.proposals(lower, _free(lower, parse), context.register)
    kept = [p for p in found if _wanted(p, lower, parse, scorer is not None, context)]
    if not kept:
        return
    base = _merit(parse)
    score = scorer.score(heard.text) if scorer is not None else 0.0
    gains: list[tuple[float, repair.Proposal]] = []
    for proposal in kept[: settings.most_proposals]:
        text = _with(words, spaces, [proposal])
        other = context.parse(text)
        better = _merit(other) - base
        if better < (0.5 if proposal.touches else settings.least_better) or _missing(other) > _missing(parse):
            continue
        gain = better - settings.distance_cost * proposal.distance
        if scorer is not None:
            gain = scorer.score(text) - score + settings.bonus - settings.sound_cost * proposal.distance
        if gain > 0:
            gains.append((gain, proposal))
    taken: list[repair.Proposal] = []
    used: set[int] = set()
    reached = base
    for gain, proposal in sorted(gains, key=lambda g: -g[0]):
        span = set(range(proposal.start, proposal.end))
        trial = sorted([*taken, proposal], key=lambda p: p.start)
        if span & used:
            continue
        merit = _merit(context.parse(_with(words, spaces, trial)))
        if merit < reached + (0.5 if proposal.touches else settings.least_better):
            continue
        taken, used, reached = trial, used | span, merit
        said = " ".join(words[proposal.start : proposal.end])
        heard.changes.append(Change(said, proposal.text, round(gain, 2), proposal.touches))
    text = _with(words, spaces, taken)
    if taken and _reads(parse, context.parse(text), text):
        heard.text = text
    else:
        heard.changes.clear()


def _as_meant(text: str, context: _Context) -> str:
    """Known mishearings that the rules read anyhow, shown as what was meant ("mux 1 to 4" as "nucs 1 to 4")."""
    words, spaces = split(text)
    known = repair.unmistakable([w.lower() for w in words])
    if not known:
        return text
    better = _with(words, spaces, known)
    return better if _merit(context.parse(better)) >= _merit(context.parse(text)) else text


def _with(words: list[str], spaces: list[bool], proposals: Sequence[repair.Proposal]) -> str:
    """The text with proposals put in; case and punctuation around them are kept."""
    out, gaps, at = [], [], 0
    for proposal in proposals:
        out.extend(words[at : proposal.start])
        gaps.extend(spaces[at : proposal.start])
        text = proposal.text
        out.append(text[:1].upper() + text[1:] if words[proposal.start][:1].isupper() else text)
        gaps.append(spaces[proposal.end - 1])
        at = proposal.end
    return text_of([*out, *words[at:]], [*gaps, *spaces[at:]])


def _certain(segment: Segment, settings: HearingSettings) -> set[str]:
    """Numbers that the engine heard beyond doubt wherever it heard them: no rival of these is scored."""
    heard: dict[str, float] = {}
    for word in segment.words:
        text = word.text.strip(" .,!?;:")
        heard[text] = min(word.probability, heard.get(text, 1.0))
    return {text for text, probability in heard.items() if text.isdigit() and probability >= settings.certain}


def _margins(heard: Heard, context: _Context) -> None:
    """Rival readings of numbers that the engine holds nearly as likely, or that stand in its other hypotheses."""
    settings = context.settings
    words, spaces = split(heard.text)
    scorer = heard.segment.scorer
    if scorer is not None:
        score = scorer.score(heard.text)
        certain = _certain(heard.segment, settings)
        for variant in [v for v in rivals.variants(words) if words[v.start] not in certain][: settings.most_variants]:
            text = text_of(
                [*words[: variant.start], variant.text, *words[variant.end :]],
                [*spaces[: variant.start], spaces[variant.end - 1], *spaces[variant.end :]],
            )
            margin = score - scorer.score(text)
            heard.margin = margin if heard.margin is None else min(heard.margin, margin)
            if margin < settings.margin:
                heard.close.append(variant)
        return
    if heard.chosen or heard.changes:
        return
    for rival in heard.segment.alternatives[1:]:
        if heard.segment.alternatives[0].score - rival.score > settings.rival_gap:
            continue
        other = split(written(rival.text))[0]
        differ = [i for i, (a, b) in enumerate(zip(words, other, strict=False)) if a.lower() != b.lower()]
        if len(other) == len(words) and len(differ) == 1 and words[differ[0]].isdigit() and other[differ[0]].isdigit():
            at = differ[0]
            heard.close.append(rivals.Variant(at, at + 1, other[at], int(other[at])))


# The whole note ------------------------------------------------------------------------------------------------------


def _joined(heard: Sequence[Heard]) -> str:
    parts = []
    for part in heard:
        text = part.text.strip()
        parts.append(text if text[-1:] in (".", "?", "!", ",", ";") else text + ".")
    joined = " ".join(parts)
    return (
        joined[:-1] if len(heard) == 1 and joined.endswith(".") and not heard[0].text.rstrip().endswith(".") else joined
    )


def _blocks(text: str) -> list[str]:
    """Cut a long text at sentence ends into blocks that are read one by one."""
    if len(text) <= BLOCK:
        return [text]
    out: list[str] = []
    words, spaces = split(text)
    block: list[str] = []
    gaps: list[bool] = []
    size = 0
    for word, gap in zip(words, spaces, strict=True):
        block.append(word)
        gaps.append(gap)
        size += len(word) + 1
        if size > BLOCK * 0.8 and (word in (".", "?", "!") or size > BLOCK):
            out.append(text_of(block, gaps))
            block, gaps, size = [], [], 0
    if block:
        out.append(text_of(block, gaps))
    return out


def _in_blocks(text: str, context: _Context) -> Parse:
    """Read a text block by block; the place and the round in force are said again at the head of the next block."""
    blocks = _blocks(text)
    if len(blocks) == 1:
        return context.parse(text)
    whole = Parse(text)
    lead = ""
    claimed = total = 0.0
    for block in blocks:
        parse = context.parse(f"{lead}{block}")
        shift = len(whole.entries)
        whole.entries.extend(parse.entries)
        whole.questions.extend(parse.questions)
        whole.orders.extend(parse.orders)
        whole.doubts.extend(
            d if d.entry is None else d.model_copy(update={"entry": d.entry + shift}) for d in parse.doubts
        )
        whole.unclaimed.extend(parse.unclaimed)
        words, _ = _count(block)
        claimed, total = claimed + parse.score * words, total + words
        places = [getattr(e, "place", None) for e in parse.entries]
        known = [p for p in places if p]
        lead = f"{known[-1]}. " if known else lead
    return Parse(
        text,
        whole.entries,
        whole.questions,
        whole.orders,
        whole.doubts,
        whole.unclaimed,
        round(claimed / max(total, 1), 3),
    )


def _heard_doubts(heard: Sequence[Heard], text: str, parse: Parse, context: _Context) -> list[Doubt]:
    """Doubts that come from the sound: numbers with a near rival, numbers that a repair put in or took out."""
    out: list[Doubt] = []
    for part in heard:
        for change in part.changes:
            if change.touches:
                out.extend(_about(change.heard, change.put, parse))
        words, spaces = split(part.text)
        for variant in part.close:
            rival = text_of(
                [*words[: variant.start], variant.text, *words[variant.end :]],
                [*spaces[: variant.start], spaces[variant.end - 1], *spaces[variant.end :]],
            )
            said = " ".join(words[variant.start : variant.end])
            out.extend(_between(said, text, text.replace(part.text, rival, 1), parse, context))
    return out


def _unsure(
    entries: Sequence[Entry],
    doubts: Sequence[Doubt],
    heard: Sequence[Heard],
    text: str,
    parse: Parse,
    context: _Context,
) -> list[Doubt]:
    """One doubt about the whole note where an entry is less sure than the line, or a number was left over.

    A spoken note of the trade that gave nothing counts as well: something was said about a hive and not understood.
    """
    if doubts:
        return []
    spoken = any(h.segment.words or h.segment.alternatives for h in heard)
    for index, entry in enumerate(entries):
        matters = entry.kind != "note" or (spoken and _of_the_trade([w.lower() for w in split(entry.text)[0]]))
        if matters and entry.sure < context.settings.ask_below:
            return [Doubt(entry=index, field="all", said=shown(text), options=[], ask="Did I hear that right?")]
    left = [word for word in parse.unclaimed if word.isdigit()]
    if spoken and left and _understood(parse):
        return [Doubt(entry=None, field="text", said=left[0], options=[], ask=f"What about the {left[0]}?")]
    return []


def _between(said: str, text: str, rival: str, parse: Parse, context: _Context) -> list[Doubt]:
    """The doubt between a reading and its rival, where the rival reads as well: the field in which they differ."""
    other = _in_blocks(rival, context)
    if rival == text or len(other.entries) != len(parse.entries) or len(other.doubts) > len(parse.doubts):
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


def _only_one_each(doubts: Sequence[Doubt]) -> list[Doubt]:
    seen: dict[tuple[int | None, str], Doubt] = {}
    for doubt in doubts:
        seen.setdefault((doubt.entry, doubt.field), doubt)
    return list(seen.values())
