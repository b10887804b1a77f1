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
from gloveside.extract.heard import Context, Heard, understood
from gloveside.extract.hearing_settings import HearingSettings
from gloveside.extract.models import Doubt, Entry, Reading
from gloveside.extract.models import Note as NoteEntry
from gloveside.extract.reader import Parse, Reader, unreadable
from gloveside.extract.register import Register
from gloveside.extract.tokens import MAX_CHARACTERS, split
from gloveside.extract.written import shown, written
from gloveside.speech.transcript import Segment, Transcript

NOTHING_HEARD = "I heard no words in this recording. Say it again closer to the phone; the recording is kept."
UNSURE = "Did I hear that right?"
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


def typed_evidence(text: str, reader: Reader, **told: Unpack[Told]) -> tuple[Reading, list[dict[str, float]]]:
    """The reading of a typed note, and for each entry the features behind its `sure`, for fitting and measuring."""
    return _read([Segment(text=text, start=0.0, end=0.0)], text, _context(reader, told))


def read_transcript(transcript: Transcript, reader: Reader, **told: Unpack[Told]) -> Reading:
    """The reading of a spoken note."""
    return with_evidence(transcript, reader, **told)[0]


def with_evidence(
    transcript: Transcript, reader: Reader, **told: Unpack[Told]
) -> tuple[Reading, list[dict[str, float]]]:
    """The reading of a spoken note, and for each entry the features behind its `sure`, for fitting and measuring."""
    segments = [s for s in transcript.segments if s.text.strip()]
    if not segments:
        heard: dict[str, Any] = {"engine": transcript.engine, "seconds": transcript.seconds}
        return Reading(raw="", heard="", keep=False, error=NOTHING_HEARD, **heard), []
    reading, evidence = _read(segments, transcript.text, _context(reader, told))
    heard = {"engine": transcript.engine, "seconds": round(transcript.seconds, 2)}
    return reading.model_copy(update=heard), evidence


def _context(reader: Reader, told: Told) -> Context:
    return Context(reader, told["on"], told["register"], told.get("now"), told.get("settings") or HearingSettings())


def _read(segments: Sequence[Segment], raw: str, context: Context) -> tuple[Reading, list[dict[str, float]]]:
    refused = unreadable(raw)
    if refused is not None:
        return refused, []
    heard = [_hear(segment, context) for segment in segments]
    text = blocks.joined(heard)[: 20 * MAX_CHARACTERS]
    parse = blocks.read(text, context)
    near = margins.doubts(heard, text, parse, lambda rival: blocks.read(rival, context))
    doubts = _only_one_each([*parse.doubts, *near])
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


def _unsure(
    entries: Sequence[Entry],
    doubts: Sequence[Doubt],
    heard: Sequence[Heard],
    text: str,
    parse: Parse,
    context: Context,
) -> list[Doubt]:
    """One doubt about the whole note where an entry is less sure than the line, or a number was left over.

    A spoken note of the trade that gave nothing counts as well: something was said about a hive and not understood.
    """
    if doubts:
        return []
    spoken = any(h.segment.words or h.segment.alternatives for h in heard)
    for index, entry in enumerate(entries):
        left_out = parse.shaky.get(index)
        matters = bool(left_out) or not isinstance(entry, NoteEntry)
        if isinstance(entry, NoteEntry) and spoken:
            matters = matters or mending.of_the_trade([w.lower() for w in split(entry.text)[0]])
        if matters and entry.sure < context.settings.ask_below:
            ask = UNSURE
            if left_out:
                quoted = f"\u201c{_short(left_out)}\u201d"
                ask = f"I made nothing of {quoted}. " + (
                    "Keep it as a note?" if entry.kind == "note" else "Right without?"
                )
            return [Doubt(entry=index, field="all", said=shown(text), options=[], ask=ask)]
    left = [word for word in parse.unclaimed if word.isdigit()]
    if spoken and left and understood(parse):
        return [Doubt(entry=None, field="text", said=left[0], options=[], ask=f"What about the {left[0]}?")]
    return []


def _short(words: str) -> str:
    """Words left out, short enough for a question."""
    return words if len(words) <= LONGEST_QUOTE else words[:LONGEST_QUOTE].rsplit(" ", 1)[0] + " \u2026"


def _only_one_each(doubts: Sequence[Doubt]) -> list[Doubt]:
    seen: dict[tuple[int | None, str], Doubt] = {}
    for doubt in doubts:
        seen.setdefault((doubt.entry, doubt.field), doubt)
    return list(seen.values())
