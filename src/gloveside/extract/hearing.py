"""From what an engine heard to what was meant: rival texts, repair by sound, and doubts where two readings are near.

For each segment the first hypothesis stands unless a rival reads better; uncommon words that no rule claims may be
taken for words of the trade that sound alike, where the note then reads; numbers with a near rival are asked about. One
pass, no number is taken out or put in silently, and talk about other things is left as it is. A note that reads cleanly
costs one reading and no second look at the sound.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any, NotRequired, TypedDict, Unpack

from gloveside.extract import blocks, choice, margins, mending, sureness
from gloveside.extract.heard import Context, Heard
from gloveside.extract.hearing_settings import HearingSettings
from gloveside.extract.models import Doubt, Reading
from gloveside.extract.reader import NOT_READ, Parse, Reader, unreadable
from gloveside.extract.register import Register
from gloveside.extract.sureness import Rated
from gloveside.extract.tokens import MAX_CHARACTERS
from gloveside.extract.written import shown, written
from gloveside.speech.transcript import Segment, Transcript

NOTHING_HEARD = "I heard no words in this recording. Say it again closer to the phone; the recording is kept."
UNSURE = "Did I hear that right?"
UNREAD = "I made nothing of"
# Letters of a note that a question quotes.
LONGEST_QUOTE = 60


class Told(TypedDict):
    """What is known when a note is read: the local date on which it was spoken, and when, for "here", "this one"."""

    on: date
    register: Register
    now: NotRequired[datetime | None]
    settings: NotRequired[HearingSettings | None]


def read_text(text: str, reader: Reader, **told: Unpack[Told]) -> Reading:
    """The reading of a typed note; known mishearings that were pasted in are repaired as in a spoken one."""
    return typed_evidence(text, reader, **told)[0]


def typed_evidence(text: str, reader: Reader, **told: Unpack[Told]) -> tuple[Reading, Rated]:
    """The reading of a typed note, and what stands behind its `sure`, for fitting and measuring."""
    return _read([Segment(text=text, start=0.0, end=0.0)], text, _context(reader, told))


def read_transcript(transcript: Transcript, reader: Reader, **told: Unpack[Told]) -> Reading:
    """The reading of a spoken note."""
    return with_evidence(transcript, reader, **told)[0]


def with_evidence(transcript: Transcript, reader: Reader, **told: Unpack[Told]) -> tuple[Reading, Rated]:
    """The reading of a spoken note, and what stands behind its `sure`, for fitting and measuring."""
    segments = [s for s in transcript.segments if s.text.strip()]
    if not segments:
        heard: dict[str, Any] = {"engine": transcript.engine, "seconds": transcript.seconds}
        return Reading(raw="", heard="", keep=False, error=NOTHING_HEARD, **heard), Rated()
    reading, rated = _read(segments, transcript.text, _context(reader, told))
    heard = {"engine": transcript.engine, "seconds": round(transcript.seconds, 2)}
    return reading.model_copy(update=heard), rated


def _context(reader: Reader, told: Told) -> Context:
    return Context(reader, told["on"], told["register"], told.get("now"), told.get("settings") or HearingSettings())


def _read(segments: Sequence[Segment], raw: str, context: Context) -> tuple[Reading, Rated]:
    refused = unreadable(raw)
    if refused is not None:
        return refused, Rated()
    heard = [_hear(segment, context) for segment in segments]
    text = blocks.joined(heard)[: 20 * MAX_CHARACTERS]
    parse = blocks.read(text, context)
    near = margins.doubts(heard, text, parse, lambda rival: blocks.read(rival, context))
    doubts = _only_one_each([*parse.doubts, *near])
    rated = sureness.rated(parse.entries, doubts, heard, parse)
    if context.settings.doubts:
        doubts.extend(_unsure(rated, doubts, text, parse, context))
    reading = Reading(
        raw=raw,
        heard=shown(text),
        entries=rated.entries,
        questions=parse.questions,
        orders=parse.orders,
        doubts=doubts,
        keep=not doubts,
    )
    return reading, rated


def _hear(segment: Segment, context: Context) -> Heard:
    """One segment: the text that reads best, mended, with the numbers in it that may have been others."""
    first = choice.learnt(written(segment.text), context.register)
    if len(first) > blocks.BLOCK:
        return Heard(first, segment)
    text, chosen, parse = choice.choose(first, segment, context)
    heard = Heard(text, segment, chosen=chosen)
    if context.settings.repair and mending.worth_mending(parse, text):
        mending.mend(heard, parse, context)
    heard.text = mending.as_meant(heard.text, context)
    if context.settings.doubts:
        margins.weigh(heard, context)
    return heard


def _unsure(rated: Rated, doubts: Sequence[Doubt], text: str, parse: Parse, context: Context) -> list[Doubt]:
    """One doubt where the whole reading is less sure than the line: about the words left over, else about all of it.

    Field `rest`: what was understood is sure by itself, and only a piece beside it was not; it can be kept meanwhile.
    """
    line = context.settings.ask_below
    if doubts or not rated.entries or (rated.chance >= line and not _must_ask(parse)):
        return []
    quote = parse.evidence.quote
    if all(entry.kind == "note" for entry in rated.entries):
        return [Doubt(entry=0, field="all", said=shown(text), options=[], ask=NOT_READ)]
    if quote is None:
        least = min(range(len(rated.entries)), key=lambda i: rated.entries[i].sure)
        return [Doubt(entry=least, field="all", said=shown(text), options=[], ask=UNSURE)]
    said = shown(quote)
    unread = f"{UNREAD} \u201c{_short(said)}\u201d."
    if parse.evidence.apart and all(entry.sure >= line for entry in rated.entries if entry.kind != "note"):
        return [Doubt(entry=None, field="rest", said=said, options=[], ask=f"{unread} Say it again?")]
    return [Doubt(entry=None, field="all", said=said, options=[], ask=f"{unread} Right without?")]


def _must_ask(parse: Parse) -> bool:
    """Whether a place was named of which nothing was understood, or a number left over that no talk explains.

    "My old man turned 82" is talk: everyday words stand around the number.
    """
    left = parse.evidence.note
    number = left.get("in_number") or left.get("out_number")
    talk = left.get("in_common") or left.get("out_common")
    return bool(left.get("lost_place") or left.get("noted_place") or (number and not talk))


def _short(words: str) -> str:
    """Words left out, short enough for a question."""
    return words if len(words) <= LONGEST_QUOTE else words[:LONGEST_QUOTE].rsplit(" ", 1)[0] + " \u2026"


def _only_one_each(doubts: Sequence[Doubt]) -> list[Doubt]:
    seen: dict[tuple[int | None, str], Doubt] = {}
    for doubt in doubts:
        seen.setdefault((doubt.entry, doubt.field), doubt)
    return list(seen.values())
