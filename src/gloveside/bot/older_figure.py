"""Putting a figure of an older note right: "on Tuesday I said 14 cells, it was 40". Colours and queens likewise."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Any

from gloveside.bot import kept_reply, offered, planning
from gloveside.bot.desk import Desk
from gloveside.bot.messages import Reply
from gloveside.bot.wording.days import day, spoken_day
from gloveside.bot.wording.entries import placed_line
from gloveside.extract import models as m
from gloveside.extract.annotate import annotate
from gloveside.storage.entries import KeptEntry

_BACK = timedelta(days=21)
"""How far back a note is looked for when no day was said."""
_NEVER = frozenset({"kind", "on", "sure", "round", "percent", "due", "text"})
_NOUNS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("brood", ("brood_frames",)),
    ("bees", ("bee_frames", "bees")),
    ("honey", ("honey_frames", "amount")),
    ("stores", ("honey_frames",)),
    ("pollen", ("pollen_frames", "amount")),
    ("larva", ("larvae", "bars", "of")),
    ("mite", ("mites",)),
    ("cell", ("count", "queen_cells.count", "taken", "bars.taken", "of", "bars.of")),
    ("taken", ("taken", "bars.taken")),
    ("took", ("taken", "bars.taken")),
    ("started", ("taken", "bars.taken")),
    ("lit", ("amount",)),
    ("kilo", ("amount",)),
    ("gram", ("amount",)),
    ("patt", ("amount",)),
    ("dollar", ("price",)),
    ("buck", ("price",)),
    ("frame", ("brood_frames", "bee_frames", "honey_frames", "pollen_frames", "amount")),
)
"""What a noun beside a figure may be the figure of, by the beginning of the noun; the first that is said decides."""
_ALSO: dict[str | None, tuple[str, ...]] = {
    "colour": ("colour",),
    "queen": ("queen", "result"),
    "feed": ("feed",),
    "eggs": ("eggs",),
    "strength": ("strength",),
    "temper": ("temper",),
    "mites": ("mites",),
    "bees": ("bees",),
    "bee_frames": ("bee_frames",),
    "honey_frames": ("honey_frames", "amount"),
    "brood_frames": ("brood_frames",),
    "larvae": ("larvae", "bars", "of"),
    "price": ("price",),
}
"""The fields of entries that hold what an order names."""
Hit = tuple[KeptEntry, str]


def put_right(desk: Desk, order: m.Order) -> Reply:
    """Find the entry that holds the wrong value and change it; ask where several do.

    order: a change of the field `figure`, `colour` or `queen` with `said` (the wrong words) and, where said, `on`.
    """
    note = annotate(order.said or "", desk.on, desk.register)
    named = {at for p in note.places for at in range(p.start, p.end)}
    named |= {at for left, right, _ in note.rounds for at in range(left, right)}
    figures = [n.value for n in note.numbers.values() if n.start not in named and not n.ordinal]
    wrong: Any = figures[0] if len(figures) == 1 else None
    if order.was is not None:
        wrong = order.was
    elif order.field in ("colour", "queen"):
        label = "colour" if order.field == "colour" else "ask_queen"
        values = [value for edges in note.lattice.edges for _, value in edges.get(label, ())]
        wrong = values[0] if values else None
    if wrong is None or order.to is None:
        return Reply("Which note? Say for example: on Tuesday I said 14 cells, it was 40.")
    places = [p for span in note.places for p in span.places]
    rounds = [number for _, _, number in note.rounds]
    hits = _hits(desk, order, wrong, places[0] if places else None, rounds[0] if rounds else None)
    if not hits:
        when = "" if order.on is None else f" {spoken_day(order.on, desk.today)}"
        return Reply(f"No note{when} says {_said(order)}. Nothing was changed.")
    if len(hits) == 1:
        return _changed(desk, hits[0][0].id, hits[0][1], wrong, order.to)
    question = f"{_said(order).capitalize()} stands in {len(hits)} places. Which one?"
    choices = [
        (f"{day(kept.on, desk.today)}: {placed_line(kept.entry)}", f"c:e{kept.id}.{field}:{wrong}:{order.to}")
        for kept, field in hits
    ]
    return offered.one_of(question, choices)


def tapped(desk: Desk, data: str) -> Reply | None:
    """One of several entries was chosen; None where the button is of another sort."""
    found = re.fullmatch(r"e(\d+)\.([a-z_.]+):([^:]+):([^:]+)", data)
    if found is None:
        return None
    return _changed(desk, int(found[1]), found[2], _value(found[3]), _value(found[4]))


def _value(text: str) -> Any:
    try:
        number = float(text)
    except ValueError:
        return text
    return int(number) if number.is_integer() else number


def _said(order: m.Order) -> str:
    return f"“{order.said}”"


def _hits(desk: Desk, order: m.Order, wrong: Any, place: str | None, number: int | None) -> list[Hit]:
    """Entries and fields that hold the wrong value: of the day said, else of the last day with one."""
    since = (order.on or desk.on) - _BACK
    entries = desk.store.entries.find(since=since, until=desk.on, place=place, round=number, newest_first=True)
    wanted = _fields(order)
    hits = [(e, name) for e in entries for name in _holding(e.fields, wrong) if wanted is None or name in wanted]
    if order.on is not None:
        zone = desk.settings.operation.zone
        on_day = [h for h in hits if h[0].on == order.on]
        hits = on_day or [h for h in hits if h[0].spoken_at.astimezone(zone).date() == order.on]
    elif hits:
        last = max(h[0].on for h in hits)
        hits = [h for h in hits if h[0].on == last]
    # A total that follows from its parts is put right by them.
    parts = {e.id for e, name in hits if name.startswith("bars.")}
    return [(e, name) for e, name in hits if not (e.id in parts and name in ("taken", "of"))]


def _fields(order: m.Order) -> Sequence[str] | None:
    if order.field in _ALSO:
        return _ALSO[order.field]
    words = re.findall(r"[a-z]+", (order.said or "").lower())
    for stem, names in _NOUNS:
        if any(word.startswith(stem) for word in words):
            return names
    return None


def _holding(fields: dict[str, Any], wrong: Any) -> Iterator[str]:
    """The fields, dotted where they lie deeper, that hold a value."""
    for name, value in fields.items():
        if name in _NEVER:
            continue
        if value == wrong and isinstance(value, bool) == isinstance(wrong, bool):
            yield name
        elif isinstance(value, dict):
            yield from (f"{name}.{inner}" for inner, held in value.items() if held == wrong)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            inside = (inner for item in value for inner, held in item.items() if held == wrong and inner != "bar")
            yield from (f"{name}.{inner}" for inner in dict.fromkeys(inside))
        elif isinstance(value, list) and wrong in value and name == "bars":
            yield name


def _changed(desk: Desk, entry_id: int, field: str, wrong: Any, right: Any) -> Reply:
    """Change one entry, what follows from it moves."""
    kept = desk.store.entries.get(entry_id)
    held = kept.fields.get(field.split(".")[0])
    if not kept.current or not any(name == field for name in _holding(kept.fields, wrong)):
        return Reply("That was put right already.")
    to: Any = right
    if isinstance(held, list):
        field, _, inner = field.partition(".")
        if inner:
            first = next(i for i, item in enumerate(held) if item.get(inner) == wrong)
            to = [{**item, inner: right} if i == first else item for i, item in enumerate(held)]
        else:
            first = held.index(wrong)
            to = [right if i == first else item for i, item in enumerate(held)]
    changed = desk.store.notes.change(field, to, entry_id=entry_id, by=desk.user)
    planning.refresh(desk, [e.entry for e in (*changed.before, *changed.after)])
    return kept_reply.for_note(desk, desk.store.notes.kept(kept.note_id), amended=True)
