"""Tasks out of talk of the future and of what is to be remembered."""

from __future__ import annotations

from gloveside.extract import day_alone, progressive, task_text
from gloveside.extract.leftovers import BOUNDS, TRIM, Stretch, without
from gloveside.extract.note import Cue, Note
from gloveside.extract.place_words import HESITATIONS

# "Meant to graft on Tuesday but the power was out, did it Wednesday": done after all.
DONE_AFTER = frozenset(["did it", "done it", "did them", "got it"])
# Words that ask for a reminder politely.
ASKING = frozenset(
    (
        "i", "i'd", "i'll", "i've", "must", "have", "to", "ask", "you", "could", "can", "would", "might", "please",
        "kindly", "be", "a", "dear", "good", "and", "so", "just", "also", "oh", "hey", "now", "well", "like", "want",
        "need", "better", "let", "if", "do", "may", "um", "er", "okay", "ok", "mate", "love", "someone", "as", "kind",
        "somebody", "anyone", "anybody", "maybe",
        "enough", "will", "wouldn't", "won't", "it", "wonder", "whether", "uh", "right", "yeah", "alright", "me",
    )
)  # fmt: skip
# Words of the trade that all talk has: with a word that nothing knows beside it, one alone is not about the trade.
COMMON = frozenset(
    [
        "bar",
        "bars",
        "wash",
        "clean",
        "strips",
        "strip",
        "cup",
        "cups",
        "split",
        "treat",
        "feed",
        "fed",
        "frame",
        "frames",
        "super",
        "mark",
        "check",
        "drop",
        "box",
        "boxes",
        "take",
    ]
)
HELPERS = frozenset(
    [
        "made",
        "ready",
        "built",
        "cleaned",
        "painted",
        "ordered",
        "more",
        "extra",
        "before",
        "after",
        "bring",
        "order",
        "buy",
        "fetch",
        "get",
    ]
)
# How an asking for a reminder begins, and what makes it a question after all: "can you remind me when …".
REMINDING = frozenset(
    [
        "remind",
        "nudge",
        "jog",
        "ping",
        "prompt",
        "poke",
        "prod",
        "nag",
        "give",
        "set",
        "put",
        "pop",
        "make",
        "stick",
        "add",
        "create",
        "don't",
        "do",
        "let",
    ]
)
WONDERING = {
    "what", "what's", "when", "which", "how", "who", "where", "whether", "if", "why", "of",
}  # fmt: skip
# How a list of jobs begins: "jobs for Monday, feed hive 9".
LISTING = {"job", "jobs", "todo", "task", "memo", "things"}
# Cues that are the task itself: "needs a super", "wants feeding".
REMARKS = {"the", "my", "our", "there", "there's", "it's", "that", "this", "we", "i", "that's"}
NEEDS = frozenset(["needs_thing", "maybe_needs", "will_need"])


# Who will do it: "I'll be feeding hive 9" is a plan, "she'll be laying" is none.
OURS = frozenset(("i", "we", "i'll", "we'll", "i'm", "we're"))


def regions(note: Note) -> list[tuple[int, int, Cue]]:
    """Stretches under one future or conditional cue after another, joined while they touch."""
    out: list[tuple[int, int, Cue]] = []
    for at in range(len(note.lower)):
        cue = note.blocked.get(at)
        if cue is None:
            continue
        if out and out[-1][1] == at and not _next_reminder(note, out[-1][2], at):
            out[-1] = (out[-1][0], at + 1, out[-1][2])
        else:
            own = max(
                (c for c in note.cues if c.concept == "remind" and c.start == at), key=lambda c: c.end, default=cue
            )
            out.append((at, at + 1, own))
    return out


def _next_reminder(note: Note, first: Cue, at: int) -> bool:
    """Whether a second reminder begins at a token: "remind me tomorrow to … and remind me on Sunday to …"."""
    return (
        first.concept == "remind"
        and at > first.end + 1
        and note.lower[at - 1] in BOUNDS | {"then", "also"}
        and any(c.concept == "remind" and c.start == at for c in note.cues)
    )


def asks_reminder(note: Note, start: int, end: int) -> bool:
    """Whether a sentence that is put as a question asks for a reminder: "could you remind me to ring Dave?"."""
    for cue in note.cues:
        if cue.concept != "remind" or not start <= cue.start < end or note.lower[cue.start] not in REMINDING | LISTING:
            continue
        if note.lower[cue.start] in LISTING:
            return {",", ":"} & set(note.lower[cue.end : end]) != set()
        polite = all(
            note.lower[k] in ASKING or k in note.filler or note.lower[k] == "," for k in range(start, cue.start)
        )
        after = cue.end
        while note.lower[after : after + 1] and note.lower[after] in (
            "again",
            "please",
            "quickly",
            "then",
            "once",
            "more",
        ):
            after += 1
        if note.lower[after : after + 1] == [","] and note.lower[end - 1] == "?":
            return False  # "remind me, is hive twelve queenright?"
        rest = [note.lower[k] for k in range(cue.end, end) if note.lower[k].isalnum()]
        return polite and note.lower[start] != "do" and len(rest) > 1 and WONDERING.isdisjoint(rest[:1])
    return False


def _cue_tokens(note: Note, end: int, cue: Cue) -> set[int]:
    """The cue at the head with the cues that follow it at once ("I must remember to")."""
    passive = any(p.end == cue.start for p in note.places) and note.lower[cue.end : cue.end + 1] == ["be"]
    if cue.concept in NEEDS or passive:
        return set()  # "needs a super", "must be fed" is the task itself
    gone = set(range(cue.start, cue.end))
    at = cue.end
    while at < end:
        step = next((c for c in note.cues if c.start == at < c.end and c.scope == "future"), None)
        if step is None or step.concept in NEEDS:
            break
        gone.update(range(step.start, step.end))
        at = step.end
    return gone


def _in_before(note: Note, start: int, at: int) -> int | None:
    """The "in" before a length of time, over hesitations: "remind me in, um, two weeks"."""
    at -= 1
    while at > start and (note.lower[at] == "," or note.lower[at] in HESITATIONS):
        at -= 1
    return at if at > start and note.lower[at] == "in" else None


def _not_needed(note: Note, cue: Cue) -> bool:
    """Whether a negation that is no part of the cue takes it back: "hive 30 doesn't need a super yet"."""
    negations = [c for c in note.cues if c.scope == "negation" and c.start <= cue.start]
    return any((c.start < cue.start <= c.end + 1 and c.end <= cue.end) or c.end > cue.end for c in negations)


def _expected(note: Note, cue: Cue, end: int) -> bool:
    """Whether a cue tells what is expected, not what is to be done: "she ought to be laying by now"."""
    at = cue.end - 1 if note.lower[cue.end - 1] == "be" else cue.end
    if note.lower[cue.start] in OURS or note.lower[cue.start - 1 : cue.start] in (["i"], ["we"]):
        return False  # "I'll be taking two frames on Friday"
    return note.lower[at : at + 1] == ["be"] and at + 1 < end and note.lower[at + 1].endswith("ing")


def _only_remark(note: Note, cue: Cue, end: int) -> bool:
    """Whether a note to oneself tells how something is: "note to self, the spare veil has a tear in it"."""
    said = [k for k in range(cue.end, end) if note.lower[k].isalnum()]
    others = any(c.scope == "future" and cue.end <= c.start < end for c in note.cues)
    own = note.lower[cue.start] in ("note", "memo", "mental")
    return own and not others and bool(said) and note.lower[said[0]] in REMARKS


def _reminder_at_end(note: Note, start: int, end: int) -> set[int]:
    for other in note.cues:
        if other.concept == "remind" and start < other.start < end:
            dated = note.of_dates()
            rest = [k for k in range(other.end, end) if note.lower[k] not in TRIM and k not in note.soft | dated]
            if not rest:
                return set(range(other.start, end))
    return set()


# A clause after the task that only says why, or how things are: "requeen hive 33, she's a shocker".
REMARKING = frozenset(
    [
        "she's",
        "he's",
        "it's",
        "they're",
        "that's",
        "if",
        "because",
        "cos",
        "she",
        "he",
        "they",
        "i've",
        "i'm",
        "keep",
        "poor",
    ]
)


def _met(note: Note, cue: Cue, end: int) -> bool:
    """Whether a need has been met: "that hive needs numbers, so I stocked it"."""
    return cue.concept in NEEDS and end < len(note.lower) - 1 and note.lower[end] in ("so", "and")


def _waited_for(note: Note, cue: Cue) -> bool:
    """Whether a need is only what is waited for: "back in the incubator till somebody wants them"."""
    return cue.concept in NEEDS and bool(
        {"till", "until", "whoever", "when", "since", "because"} & set(note.lower[max(0, cue.start - 3) : cue.start])
    )


def _asked_from(note: Note, start: int) -> int:
    """Where the asking begins: "I must ask you to" before "remind me"."""
    at = start
    while at > 0 and note.lower[at - 1] in ASKING:
        at -= 1
    return at if at == 0 or note.lower[at - 1] in BOUNDS else start


def _of_the_trade(note: Note, start: int, end: int) -> bool:
    """Whether what is to be done has to do with bees: a word of the trade, or a thing that beekeepers buy or mend."""
    if note.lower[start] != "forgot" and any("supply" in note.lattice.edges[at] for at in range(start, end)):
        return True
    dated = note.of_dates()
    said = [at for at in range(start, end) if at in note.trade and at not in dated]
    unknown = any(note.lattice.unknown[at] and note.lower[at] not in HELPERS for at in range(start, end))
    return any(note.lower[at] not in COMMON for at in said) or (bool(said) and not unknown)


def _lead(note: Note, start: int, end: int) -> set[int]:
    """Words before the first cue of a stretch that say nothing, and the cue: "oh, gotta pick up more foundation"."""
    first = min(
        (c for c in note.cues if start < c.start < end and c.scope == "future"), key=lambda c: c.start, default=None
    )
    if first is None or first.concept in NEEDS or first.concept.startswith("maybe"):
        return set()
    before = range(start, first.start)
    if any(note.lower[k].isalnum() and k not in note.soft and note.lower[k] not in ASKING for k in before):
        return set()
    return set(before) | _cue_tokens(note, end, first)


def _remark(note: Note, start: int, end: int) -> set[int]:
    """A clause at the end that tells nothing of the trade and no day: "…, she's a shocker"."""
    said = note.trade | note.of_places() | note.of_dates() | note.of_rounds() | set(note.numbers)
    for at in range(start + 2, end - 1):
        if note.lower[at] == "," and note.lower[at + 1] in REMARKING and not any(k in said for k in range(at, end)):
            return set(range(at, end))
    return set()


def tasks(note: Note, claimed: set[int]) -> list[Stretch]:
    """Tasks out of talk of the future, where it is about the trade or a reminder is asked for."""
    out: list[Stretch] = []
    places = note.of_places() | note.of_rounds()
    for start, end, cue in regions(note):
        if any(at in claimed for at in range(start, end)):
            continue
        inner = [c for c in note.cues if start <= c.start < end and c.scope in ("future", "condition")]
        wished = any(c.scope == "future" and c.concept not in ("maybe_future", "maybe_purpose") for c in inner)
        reminder = any(c.concept == "remind" for c in inner)
        later = [c for c in inner if c.concept == "remind" and c.start > start + 3]
        cued = {k for c in later for k in range(c.start, c.end)} | note.of_dates() | note.soft
        later = [c for c in later if any(k not in cued and note.lower[k].isalnum() for k in range(c.end, end))]
        if not reminder:
            # "he'll forget if I do, so on Monday I have to ring Bernard"
            after_so = [
                c
                for c in inner
                if c.scope == "future"
                and c.concept not in NEEDS
                and "so" in note.lower[max(start, c.start - 5) : c.start]
            ]
            later = [c for c in after_so if c.start > start + 2][-1:]
        if later:
            start, cue = later[-1].start, later[-1]
        about = any(at in places for at in range(start, end)) or _of_the_trade(note, start, end)
        named = [p.start for p in note.places] + [left for left, _, _ in note.rounds]
        passive = note.lower[cue.end : cue.end + 1] == ["be"] and any(p.end == cue.start for p in note.places)
        if cue.concept in ("coming", "passive_plan"):
            about = about or progressive.of_work(note, start, end)
        if cue.concept in NEEDS or passive:
            about = about or any(note.sentence[at] == note.sentence[start] for at in named)
        if cue.concept == "will_need" and not any(p.end == cue.start for p in note.places):
            continue  # "they will need the room before long"
        if "meant" in note.lower[cue.start : cue.end] and DONE_AFTER & {
            " ".join(note.lower[k : k + 2]) for k in range(cue.end, min(end + 20, len(note.lower)))
        }:
            continue
        if _waited_for(note, cue) or _met(note, cue, end):
            continue
        if _not_needed(note, cue) or not (reminder or (wished and about)) or _only_remark(note, cue, end):
            continue
        if not reminder and _expected(note, cue, end):
            continue
        number = note.sentence[start]
        if cue.concept == "needs_thing" and not any(note.sentence[at] == number for at in named):
            continue  # "I need a wash"
        gone: set[int] = set()
        due, own_day = None, False
        for span in note.dates:
            if span.future is None and span.past is None and span.time is not None and start <= span.start < end:
                gone.update(range(span.start, span.end))
            lead = _in_before(note, start, span.start) if span.length and span.future is not None else None
            if lead is not None:
                gone.update(range(lead, span.end))
                due = due or span.future
            if span.length or (span.future is None and span.past is None):
                continue
            inside = start <= span.start < end
            before = span.end <= start and note.sentence[span.start] == note.sentence[start]
            if inside:
                gone.update(range(span.start, span.end))
                if note.lower[span.start - 1] in ("by", "before", "until", "till", "come"):
                    gone.add(span.start - 1)
                if note.lower[span.end : span.end + 2] in (["'s", "time"], ["'", "time"]):
                    gone.update((span.end, span.end + 1))  # "in a week's time"
            if (inside or before) and span.future is not None:
                due = span.future if inside and not own_day else due or span.future
                own_day = own_day or inside
        if cue.scope == "future" and cue.start == start:
            gone |= _cue_tokens(note, end, cue)
        else:
            gone |= _lead(note, start, end)
        gone |= _reminder_at_end(note, start, end) | _remark(note, start, end)
        gone |= {at for at in range(start, end) if note.lower[at] in HESITATIONS and note.lower[at].isalpha()}
        text = task_text.told(without(note, start, end, gone))
        if cue.concept in ("coming", "future_do"):
            text = task_text.bare(text)
        if text and (reminder or not task_text.is_state(text)):
            out.append(Stretch(_asked_from(note, start), end, text, True, due))
    return day_alone.due_behind(note, out, claimed)
