"""The place that a question asks about: a numbered one, a yard, or a name that no register knows yet."""

from __future__ import annotations

from gloveside.extract.everyday import is_everyday
from gloveside.extract.note import Note
from gloveside.extract.places import PlaceSpan
from gloveside.extract.queries import MONTHS

NO_YARDS = {
    "end", "start", "beginning", "middle", "moment", "time", "back", "front", "bottom", "top", "same", "latest",
    "minute", "morning", "afternoon", "evening", "weekend", "shed", "house", "home", "kitchen", "truck", "ute", "van",
    "car", "gate", "table", "bench", "desk", "computer", "office", "workshop", "garage", "market", "shop", "pub",
    "fair", "show", "club", "meeting", "door", "road", "beach", "wheel", "sink", "stove", "counter", "fence",
}  # fmt: skip


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
    for span in reversed(note.places):
        if start <= span.start < end and span.places and not is_asking(note, span):
            return span.places[0]
    for at in range(start, end):
        name = note.lattice.edges[at].get("W")
        if not name or at < 2 or note.lower[at] in NO_YARDS:
            continue
        named = note.doc[at].text[:1].isupper() and note.lower[at] not in MONTHS
        if (
            note.lower[at - 1] == "at"
            or note.lower[at - 2 : at] == ["at", "the"]
            or (named and note.lower[at - 2 : at] == ["in", "the"])
        ):
            return "yard " + note.doc[at].text.capitalize()
    return _bare_yard(note, start, end)


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
