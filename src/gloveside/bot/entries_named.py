"""Which entries of the record the words of an order name: by place, round, kind of work, day and time of day."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta

from gloveside.bot.desk import Desk
from gloveside.extract.annotate import annotate
from gloveside.extract.note import Note
from gloveside.storage.entries import KeptEntry

_BACK = timedelta(days=21)
"""How far back an entry is looked for when no day was said."""
_NOON, _EVENING = 12, 17
_SAYS: tuple[tuple[str, frozenset[str]], ...] = (
    ("graft", frozenset({"graft_verb", "graft_noun"})),
    ("take", frozenset({"take_noun", "=took", "=take"})),
    ("builder", frozenset({"excluder", "slide"})),
    ("treatment", frozenset({"treat_verb", "treat_thing", "product"})),
    ("feed", frozenset({"feed_verb", "fed_said", "feed_type", "feed_noun"})),
    ("mites", frozenset({"mite_way", "mite_word"})),
    ("sale", frozenset({"sell_verb", "sold_said"})),
    ("harvest", frozenset({"harvest_verb", "honey_crop"})),
    ("mark", frozenset({"mark_verb", "colour"})),
    ("loss", frozenset({"lost_verb", "died_word", "=dying", "=died", "=dead", "=loss"})),
    ("split", frozenset({"split_verb", "split_noun"})),
    ("plant", frozenset({"plant_strong", "=planted", "=plant", "=planting"})),
    ("box", frozenset({"box_noun"})),
    ("move", frozenset({"move_verb", "=moved", "=shifted"})),
    ("inspection", frozenset({"looked_word", "=eggs", "=brood"})),
    ("cells", frozenset({"=cells", "=ripe", "=capped"})),
    ("mating", frozenset({"=laying", "=mated"})),
)
"""Words that tell which kind of entry is meant."""


def of_day(desk: Desk, words: str, on: date) -> list[KeptEntry]:
    """Entries dated that day, of the place, round and kind that were said; none where the words name nothing."""
    note = annotate(words, desk.on, desk.register)
    entries = desk.store.entries.find(since=on, until=on)
    places, rounds = _named(note)
    found = _of(note, entries)
    said = _kinds(note)
    if said and (any(_is_of(e, said) for e in found) or not (places or rounds)):
        return [e for e in found if _is_of(e, said)]
    return found if places or rounds else []


def meant(desk: Desk, words: str, on: date | None) -> list[KeptEntry]:
    """Entries of the place, round and kind that were said: dated or spoken on a day, else of the last weeks.

    on: the day of the note that is meant; None when none was said: then only entries of the last day with one.
    """
    zone = desk.settings.operation.zone
    note = annotate(words, desk.on, desk.register)
    since = (on or desk.on) - _BACK
    entries = _of(note, desk.store.entries.find(since=since, until=desk.on))
    said = _kinds(note)
    if on is not None:
        spoken = [e for e in entries if e.spoken_at.astimezone(zone).date() == on]
        entries = [e for e in entries if e.on == on] or spoken
        hours = _hours(words)
        if hours is not None:
            entries = [e for e in entries if e.spoken_at.astimezone(zone).hour in hours]
    of_kind = [e for e in entries if _is_of(e, said)]
    entries = of_kind or entries
    if on is None and entries:
        last = max(e.on for e in entries)
        entries = [e for e in entries if e.on == last]
    return entries


def places_and_round(desk: Desk, words: str) -> tuple[str | None, int | None]:
    """The first place and the first round that the words name."""
    places, rounds = _named(annotate(words, desk.on, desk.register))
    return next(iter(places), None), next(iter(rounds), None)


def _named(note: Note) -> tuple[list[str], list[int]]:
    return [p for span in note.places for p in span.places], [number for _, _, number in note.rounds]


def _of(note: Note, entries: Sequence[KeptEntry]) -> list[KeptEntry]:
    """Those of the places and rounds that a note names, where it names any."""
    places, rounds = _named(note)
    found = [e for e in entries if not places or set(places) & _places(e)]
    return [e for e in found if not rounds or e.fields.get("round") in rounds]


def _kinds(note: Note) -> list[str]:
    return [kind for kind, labels in _SAYS if any(not labels.isdisjoint(edges) for edges in note.lattice.edges)]


def _is_of(kept: KeptEntry, said: Sequence[str]) -> bool:
    return kept.kind in said or (kept.kind == "queen" and "loss" in said)


def _places(kept: KeptEntry) -> set[str]:
    fields = kept.fields
    single = (fields.get(name) for name in ("place", "from", "into", "to", "mother"))
    return {p for p in (*single, *(fields.get("places") or ())) if isinstance(p, str)}


def _hours(words: str) -> range | None:
    """The hours of the time of day that was said, or None."""
    if re.search(r"\bmorning\b", words.lower()):
        return range(_NOON)
    if re.search(r"\bafternoon\b", words.lower()):
        return range(_NOON, 24)
    return range(_EVENING, 24) if re.search(r"\b(?:evening|tonight)\b", words.lower()) else None
