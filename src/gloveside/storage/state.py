"""How each place stands on any date, worked out from its entries; nothing of it is stored.

A state folds the standing entries that name a place, by date of the event, up to the date asked for. Parsed entries are
held in memory and refreshed by what was kept since, so that asking about all places stays quick.
"""

# ruff: noqa: S608 - queries are put together from constants of this package; values are bound.
from __future__ import annotations

import copy
import json
import threading
from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any, NamedTuple

import sqlite_utils

from gloveside.storage.database import RecordFile, fetch
from gloveside.storage.places import place_order

LOOKS = frozenset({"inspection", "mites", "mating", "disease", "mark"})
"""Kinds of entry for which the colony was opened and looked into."""
DATES_REMEMBERED = 4
"""How many dates' states are held in memory."""
_MEASURES = ("brood_frames", "bee_frames", "honey_frames", "pollen_frames", "strength", "temper")
_RIGHT = {
    "seen": True,
    "queenright": True,
    "laying": True,
    "queenless": False,
    "laying workers": False,
    "drone layer": False,
    "missing": False,
}


@dataclass(slots=True)
class PlaceState:
    """How a place stood at the end of a local date. None: nothing was ever said. `…_on`: date of that entry.

    queen: the last word on the queen (of an inspection, a mating check, or `introduced`, `caged`).
    queenright: the last sign that tells, eggs included; None: no sign.  eggs: whether they were seen at the last word.
    queen_cells: as in the entry, of the last look that mentioned them.  signs: of the last inspection.
    feed: fields of the last feed.  treatments: product -> date put in, for those not taken out.
    supers, brood_boxes: put on less taken off, as far as was said (not below 0).
    cells_round, cells_on: ripe cell planted here last.  mating: the last result since then.
    mark: colour of the queen that is here.  disease: the last suspicion.  mites_percent: of the last count.
    yard: where it was moved to last, or where it is registered.  alive: False after a loss or after it was united away.
    last_look: last time it was opened; last_on: last entry.
    last_entry: id of the last entry.
    """

    place: str
    as_of: date
    alive: bool = True
    yard: str | None = None
    queen: str | None = None
    queen_on: date | None = None
    queenright: bool | None = None
    queenright_on: date | None = None
    eggs: bool | None = None
    eggs_on: date | None = None
    brood_frames: float | None = None
    brood_frames_on: date | None = None
    bee_frames: float | None = None
    bee_frames_on: date | None = None
    honey_frames: float | None = None
    honey_frames_on: date | None = None
    pollen_frames: float | None = None
    pollen_frames_on: date | None = None
    strength: str | None = None
    strength_on: date | None = None
    temper: str | None = None
    temper_on: date | None = None
    queen_cells: dict[str, Any] | None = None
    queen_cells_on: date | None = None
    signs: tuple[str, ...] = ()
    signs_on: date | None = None
    feed: dict[str, Any] | None = None
    feed_on: date | None = None
    treatments: dict[str, date] = field(default_factory=dict)
    last_treatment: dict[str, Any] | None = None
    last_treatment_on: date | None = None
    supers: int = 0
    brood_boxes: int = 0
    cells_round: int | None = None
    cells_on: date | None = None
    mating: str | None = None
    mating_on: date | None = None
    mark: str | None = None
    mark_on: date | None = None
    clipped: bool | None = None
    disease: str | None = None
    disease_on: date | None = None
    mites_percent: float | None = None
    mites_on: date | None = None
    loss_cause: str | None = None
    loss_on: date | None = None
    last_look: date | None = None
    last_on: date | None = None
    last_entry: int | None = None


class _Event(NamedTuple):
    """A standing entry that names a place in a role."""

    on: str
    entry_id: int
    role: str
    kind: str
    fields: dict[str, Any]


class States:
    """States of the places of one record."""

    def __init__(self, file: RecordFile) -> None:
        self._file = file
        self._lock = threading.Lock()
        self._events: dict[str, list[_Event]] = {}
        self._folded: dict[date, dict[str, PlaceState]] = {}
        self._seen = (0, 0)

    def of(self, place: str, as_of: date) -> PlaceState:
        """How one place stood at the end of a local date; a place without entries gives an empty state."""
        with self._file.reading() as db:
            events = self._load(db, [place]).get(place, [])
            yards = self._yards(db)
        return _fold(place, events, as_of, yards.get(place))

    def all(self, as_of: date) -> dict[str, PlaceState]:
        """How every place that was registered or named by then, and not retired, stood; in the order of the places."""
        text = as_of.isoformat()
        with self._lock, self._file.reading() as db:
            yards = self._yards(db)
            registered = {row["place"] for row in fetch(db, "SELECT place FROM places WHERE retired_at IS NULL")}
            # Retired on that day or before, by the date in UTC.
            retired = fetch(db, "SELECT place FROM places WHERE substr(retired_at, 1, 10) <= ?", [text])
            if self._file.in_unit_of_work:
                # Not committed yet, so it must not get into the memory that outlives a rollback.
                events, folded = self._load(db, None), {}
            else:
                self._refresh(db)
                events, folded = self._events, self._folded_on(as_of)
            names = {place for place, found in events.items() if found and found[0].on <= text} | registered
            names -= {row["place"] for row in retired}
            for place in names - folded.keys():
                folded[place] = _fold(place, events.get(place, []), as_of, None)
            found = {place: copy.copy(folded[place]) for place in sorted(names, key=place_order)}
        for place, state in found.items():
            if state.yard is None:
                state.yard = yards.get(place)
        return found

    def where(self, test: Callable[[PlaceState], bool], as_of: date) -> list[PlaceState]:
        """The places whose state on a local date passes a test, as in `where(lambda s: s.queen == "queenless", on)`."""
        return [state for state in self.all(as_of).values() if test(state)]

    def _folded_on(self, as_of: date) -> dict[str, PlaceState]:
        """States worked out earlier for this date, for the last few dates that were asked for."""
        folded = self._folded.pop(as_of, {})
        self._folded[as_of] = folded
        while len(self._folded) > DATES_REMEMBERED:
            self._folded.pop(next(iter(self._folded)))
        return folded

    def _refresh(self, db: sqlite_utils.Database) -> None:
        """Bring the parsed entries up to what is committed, by whichever process."""
        last = fetch(db, "SELECT (SELECT max(id) FROM acts) AS act, (SELECT max(id) FROM entries) AS entry")[0]
        now = (last["act"] or 0, last["entry"] or 0)
        if now == self._seen:
            return
        touched = None
        if self._events:
            changed = (
                "SELECT DISTINCT place FROM entry_places WHERE entry_id IN "
                "(SELECT id FROM entries WHERE id > ? UNION ALL SELECT id FROM entries WHERE ended_by_act > ?)"
            )
            touched = [row["place"] for row in fetch(db, changed, [self._seen[1], self._seen[0]])]
            for place in touched:
                self._events.pop(place, None)
                for folded in self._folded.values():
                    folded.pop(place, None)
        self._events |= self._load(db, touched)
        self._seen = now

    def _load(self, db: sqlite_utils.Database, places: list[str] | None) -> dict[str, list[_Event]]:
        only, values = "", []
        if places is not None:
            only, values = " AND p.place IN (SELECT value FROM json_each(?))", [json.dumps(places)]
        cursor = db.conn.execute(
            "SELECT p.place, e.on_date, e.id, p.role, e.kind, e.data "
            "FROM entry_places p JOIN entries e ON e.id = p.entry_id "
            f"WHERE e.ended_at IS NULL{only}",
            values,
        )
        rows = cursor.fetchall()
        # One call for all texts takes half the time of one call for each.
        parsed = json.loads(f"[{','.join(row[-1] for row in rows)}]")
        found: dict[str, list[_Event]] = defaultdict(list)
        for (place, on, entry_id, role, kind, _), fields in zip(rows, parsed, strict=True):
            found[place].append(_Event(on, entry_id, role, kind, fields))
        for events in found.values():
            events.sort(key=lambda event: event[:2])
        return dict(found)

    def _yards(self, db: sqlite_utils.Database) -> dict[str, str]:
        return {row["place"]: row["yard"] for row in fetch(db, "SELECT place, yard FROM places WHERE yard IS NOT NULL")}


def _fold(place: str, events: Iterable[_Event], as_of: date, yard: str | None) -> PlaceState:
    state = PlaceState(place=place, as_of=as_of, yard=yard)
    until = as_of.isoformat()
    dates: dict[str, date] = {}
    for event in events:
        if event.on > until:
            break
        on = dates.get(event.on)
        if on is None:
            on = dates[event.on] = date.fromisoformat(event.on)
        if event.role == "mother":
            continue
        step = _STEPS.get(event.kind)
        if step is not None:
            step(state, event, on)
        state.last_on, state.last_entry = on, event.entry_id
        if event.kind in LOOKS:
            state.last_look = on
    return state


def _queen(state: PlaceState, word: str, on: date) -> None:
    state.queen, state.queen_on = word, on
    if (right := _RIGHT.get(word)) is not None:
        state.queenright, state.queenright_on = right, on


def _no_queen(state: PlaceState, on: date) -> None:
    """The queen left or died: what was known of her no longer holds."""
    _queen(state, "queenless", on)
    state.eggs = state.eggs_on = state.mark = state.mark_on = state.clipped = None


def _inspection(state: PlaceState, event: _Event, on: date) -> None:
    fields = event.fields
    state.alive = True
    for name in _MEASURES:
        if name in fields:
            setattr(state, name, fields[name])
            setattr(state, f"{name}_on", on)
    if "eggs" in fields:
        state.eggs, state.eggs_on = fields["eggs"], on
        if fields["eggs"] and fields.get("queen") not in ("drone layer", "laying workers"):
            state.queenright, state.queenright_on = True, on
    if "queen" in fields:
        _queen(state, fields["queen"], on)
    if "queen_cells" in fields:
        state.queen_cells, state.queen_cells_on = fields["queen_cells"], on
    state.signs, state.signs_on = tuple(fields.get("signs", ())), on


def _feed(state: PlaceState, event: _Event, on: date) -> None:
    state.feed, state.feed_on = event.fields, on


def _treatment(state: PlaceState, event: _Event, on: date) -> None:
    product = event.fields.get("product", event.fields.get("method", "treatment"))
    step = event.fields.get("step")
    state.last_treatment, state.last_treatment_on = event.fields, on
    if step == "in":
        state.treatments = {**state.treatments, product: on}
    elif step == "out":
        # "Strips out" ends whatever is in, even where the product was named when it went in.
        left = {name: since for name, since in state.treatments.items() if name != product}
        state.treatments = left if product in state.treatments else {}


def _mites(state: PlaceState, event: _Event, on: date) -> None:
    fields = event.fields
    percent = fields.get("percent")
    if percent is None and fields.get("bees") and fields.get("mites") is not None:
        percent = 100 * fields["mites"] / fields["bees"]
    if percent is not None:
        state.mites_percent, state.mites_on = percent, on


def _plant(state: PlaceState, event: _Event, on: date) -> None:
    state.alive = True
    _no_queen(state, on)
    state.queen, state.queen_on = "cell", on
    state.queenright = state.queenright_on = None
    state.cells_round, state.cells_on = event.fields.get("round"), on
    state.mating = state.mating_on = None


def _mating(state: PlaceState, event: _Event, on: date) -> None:
    result = event.fields["result"]
    state.alive = True
    state.mating, state.mating_on = result, on
    if result == "laying":
        state.eggs, state.eggs_on = True, on
    _queen(state, {"virgin seen": "virgin", "missing": "queenless"}.get(result, result), on)


def _mark(state: PlaceState, event: _Event, on: date) -> None:
    if "colour" in event.fields:
        state.mark, state.mark_on = event.fields["colour"], on
    if "clipped" in event.fields:
        state.clipped = event.fields["clipped"]
    if state.queen not in ("laying", "virgin"):
        _queen(state, "seen", on)


def _queen_step(state: PlaceState, event: _Event, on: date) -> None:
    step = event.fields["step"]
    arrives = step in ("introduced", "released")
    moved = arrives and "place" in event.fields and event.fields.get("to") not in (None, event.fields["place"])
    if event.role == "to":
        if arrives:
            _no_queen(state, on)
            state.alive = True
            _queen(state, "introduced", on)
            state.queenright = state.queenright_on = None
    elif step in ("killed", "died", "caught") or moved:
        _no_queen(state, on)
    elif arrives:
        mark = state.mark, state.mark_on
        _no_queen(state, on)
        if step == "released":
            # Released where she was caged: the same queen, with her mark.
            state.mark, state.mark_on = mark
        state.alive = True
        _queen(state, step, on)
        state.queenright = state.queenright_on = None
    else:
        _queen(state, "caged", on)


def _split(state: PlaceState, event: _Event, on: date) -> None:
    if event.role != "place":
        return
    state.alive = True
    _no_queen(state, on)
    state.queen = state.queen_on = state.queenright = state.queenright_on = None


def _unite(state: PlaceState, event: _Event, on: date) -> None:
    if event.role == "from":
        state.alive = False
        state.loss_cause, state.loss_on = f"united into {event.fields.get('into', 'another')}", on


def _box(state: PlaceState, event: _Event, _on: date) -> None:
    count = event.fields.get("count", 1)
    if event.fields.get("step") == "off":
        count = -count
    if event.fields.get("box") == "brood box":
        state.brood_boxes = max(0, state.brood_boxes + count)
    else:
        state.supers = max(0, state.supers + count)


def _move(state: PlaceState, event: _Event, _on: date) -> None:
    if event.role == "place" and event.fields.get("to"):
        state.yard = event.fields["to"]


def _loss(state: PlaceState, event: _Event, on: date) -> None:
    state.alive = False
    _no_queen(state, on)
    state.treatments = {}
    state.loss_cause, state.loss_on = event.fields.get("cause"), on


def _disease(state: PlaceState, event: _Event, on: date) -> None:
    state.disease, state.disease_on = event.fields.get("suspect", "something"), on


_STEPS: dict[str, Callable[[PlaceState, _Event, date], None]] = {
    "inspection": _inspection,
    "feed": _feed,
    "treatment": _treatment,
    "mites": _mites,
    "plant": _plant,
    "mating": _mating,
    "mark": _mark,
    "queen": _queen_step,
    "split": _split,
    "unite": _unite,
    "box": _box,
    "move": _move,
    "loss": _loss,
    "disease": _disease,
}
