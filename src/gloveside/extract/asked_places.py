"""The place that a question asks about: a numbered one, a yard, or a name that no register knows yet."""

from __future__ import annotations

from gloveside.extract import preambles
from gloveside.extract.everyday import is_everyday
from gloveside.extract.models import Question
from gloveside.extract.note import Note
from gloveside.extract.places import PlaceSpan
from gloveside.extract.queries import MONTHS

NO_YARDS = {
    "end", "start", "beginning", "middle", "moment", "time", "back", "front", "bottom", "top", "same", "latest",
    "minute", "morning", "afternoon", "evening", "weekend", "shed", "house", "home", "kitchen", "truck", "ute", "van",
    "car", "gate", "table", "bench", "desk", "computer", "office", "workshop", "garage", "market", "shop", "pub",
    "fair", "show", "club", "meeting", "door", "road", "beach", "wheel", "sink", "stove", "counter", "fence",
}  # fmt: skip


_WAYS = {"up", "down", "out", "over", "across"}
"""The way to a yard: "up at the Quarry", "over to Creek"."""
_STAYS = {"due", "list", "count"}
"""Questions that are asked of the yard where one stands or goes."""


def is_asking(note: Note, span: PlaceSpan) -> bool:
    """Whether a place is none: its noun belongs to a question word ("which hive gives …")."""
    last = span.end - 1
    counted = {at for n in note.numbers.values() for at in range(n.start, n.end)}
    if (
        span.sort != "yard"
        and span.end == span.start + 2
        and last not in counted
        and len(note.lower[last]) > 2
        and note.lower[last].isalpha()
    ):
        known = {label for label in note.lattice.edges[last] if label.islower()}
        if known:
            return True  # "when is a hive broodless"
    return any(
        c.scope == "question" and c.start < span.start < c.end < span.end and c.end not in note.numbers
        for c in note.cues
    )


def place(note: Note, start: int, end: int) -> str | None:
    """The place a question asks about: the last one said, or an unknown name after "at the"."""
    said = [s for s in reversed(note.places) if start <= s.start < end and s.places and not is_asking(note, s)]
    if said:
        return next((s for s in said if s.sort != "yard"), said[0]).places[0]  # "hive 5 to the Quarry" asks of the hive
    for at in range(start, end):
        if _is_named(note, start, at):
            return "yard " + note.doc[at].text.capitalize()
    return _bare_yard(note, start, end)


def _is_named(note: Note, start: int, at: int) -> bool:
    """Whether an unknown word is said as a yard's name: "at the quarry", "up to Creek", "did the Orchard get"."""
    word = note.doc[at].text
    if "year_seasons" in note.lattice.edges[at] or at in note.of_dates():
        return False
    if "W" not in note.lattice.edges[at] or note.lower[at] in NO_YARDS | set(MONTHS) or len(word) < 3:
        return False
    ends = at + 1 >= len(note.lower) or "W" not in note.lattice.edges[at + 1]
    named = word[:1].isupper() and at > start and ends
    lead = at - 1
    article = lead >= start and note.lower[lead] in ("the", "our", "my")
    lead -= article
    if lead < start:
        return article and named and note.lower[at - 1] == "the"
    before, further = note.lower[lead], note.lower[lead - 1] if lead > start else ""
    if before == "at":
        return True
    if before in ("to", "by", "in", "on", "from") and further in _WAYS | {"round", "back"}:
        return (ends or named) and (before in ("to", "by", "in") or named)
    if before in _WAYS:
        return named or (article and ends and before in ("up", "down", "out"))
    return named and (article or before == "in")


def _bare_yard(note: Note, start: int, end: int) -> str | None:
    """An unknown name with a capital as a yard: before what is done or stands there, or after a comma at the end."""
    for at in range(start, end):
        word = note.doc[at].text
        known = any(label[0].isalpha() and label.islower() for label in note.lattice.edges[at])
        if (
            known
            or not word[:1].isupper()
            or len(word) < 4
            or "W" not in note.lattice.edges[at]
            or word.lower() in NO_YARDS
        ):
            continue
        follows = set(note.lattice.edges[at + 1]) if at + 1 < end else set()
        if (
            at == start
            and follows & {"due_word", "hives_noun", "nucs_noun", "tasks_noun"}
            and not is_everyday(word.lower())
        ):
            return "yard " + word
        if at > start and note.lower[at - 1] == "," and note.lower[at + 1 : end] in ([], ["?"]):
            return "yard " + word
    return None


def named_before(note: Note, start: int, middle: int, end: int) -> str | None:
    """The yard named before a question that says "here" or "there": "I'm at the Quarry, which ones here are weak"."""
    if not {"here", "there"} & set(note.lower[middle:end]):
        return None
    found = place(note, start, middle)
    return found if found is not None and found.startswith("yard ") else None


def stood_at(note: Note, start: int, end: int, asked: Question) -> str | None:
    """The yard where the speaker said they are, for a question that names none and asks of where one is.

    "I'm going up to Creek, what wants doing": a list is of that yard only where it says "here" or "there".
    """
    if asked.place is not None or asked.round is not None or asked.ask not in _STAYS:
        return None
    begin = max((c.start for c in note.cues if c.scope == "question" and start < c.start < end), default=start)
    before = preambles.here_before(note, start, begin)
    points = bool(before) and bool({"here", "there"} & set(note.lower[before[-1][1] : end]))
    for left, right in reversed(before):
        found = place(note, left, right)
        if found is not None and found.startswith("yard ") and (points or asked.ask == "due"):
            return found
    return None


def unknown_yard(note: Note, start: int, end: int) -> str | None:
    """An unknown name at the end of a follow-up as a yard: "and for the Creek?"."""
    words = [at for at in range(start, end) if note.lower[at][:1].isalnum()]
    if len(words) < 2 or "W" not in note.lattice.edges[words[-1]]:
        return None
    lead, name = note.lower[words[-2]], note.lower[words[-1]]
    known = {label for label in note.lattice.edges[words[-1]] if label[0].isalpha() and label.islower()}
    if lead not in ("the", "for", "at", "about") or name in NO_YARDS or known or len(name) < 3:
        return None
    return "yard " + name.capitalize()
