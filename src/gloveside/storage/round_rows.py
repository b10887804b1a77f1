"""What the entries of one round come to: what was done when, the take, the matings, and whether it is open."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import cache
from typing import Any

from gloveside.extract.register import RoundKnown
from gloveside.storage.database import Row
from gloveside.storage.moments import moment_from

CLOSED_AFTER_DAYS = 45
"""A round closes by itself this long after its graft: emergence at 12 days, then 28 to wait for a laying queen."""
UNPLANTED_AFTER_DAYS = 20
"""A round of which nothing was planted or put by closes after this: its queens emerged about day 12."""
PREPARED_WITHIN_DAYS = 14
"""A step at the cell builder without a round belongs to the next graft there within this time."""
FINAL_RESULTS = frozenset({"laying", "missing", "drone layer"})


@dataclass(frozen=True, slots=True)
class Done:
    """One thing that was really done. step: as in the calendar where it has a name there; count: of cells or queens."""

    step: str
    on: date
    entry_id: int
    count: int | None = None


@dataclass(frozen=True, slots=True)
class RoundRow:
    """A round as the record has it. Numbers are None while nothing was said about them.

    grafted: local date of the (first) graft; grafted_at: UTC, when the graft was noted on its own day.
    bars: cups on each bar; larvae: total grafted; takes_by_bar: (bar, taken, of); count_ripe: last count of ripe cells.
    board: whether a slide or excluder step was noted; planted: cells; planted_places: where, if said.
    matings: last result in each place where this round was planted.  done: in order of date.
    """

    number: int
    grafted: date | None = None
    grafted_at: datetime | None = None
    builder: str | None = None
    mothers: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    bars: tuple[int, ...] = ()
    larvae: int | None = None
    board: bool = False
    taken: int | None = None
    of: int | None = None
    takes_by_bar: tuple[tuple[str, int | None, int | None], ...] = ()
    count_capped: int | None = None
    count_ripe: int | None = None
    planted: int | None = None
    planted_places: tuple[str, ...] = ()
    matings: tuple[tuple[str, str, date], ...] = ()
    done: tuple[Done, ...] = ()
    open: bool = True
    closed_why: str | None = None

    @property
    def mother(self) -> str | None:
        """The mother, where there was one only."""
        return self.mothers[0] if len(self.mothers) == 1 else None

    @property
    def laying(self) -> int:
        """Places of this round last found with a laying queen."""
        return sum(result == "laying" for _, result, _ in self.matings)

    def did(self, step: str) -> date | None:
        """The date on which a step was first done, or None."""
        return next((done.on for done in self.done if done.step == step), None)

    def known(self) -> RoundKnown:
        """What a reader of notes needs to know of it."""
        return RoundKnown(
            number=self.number,
            grafted=self.grafted,
            bars=self.bars,
            larvae=self.larvae,
            builder=self.builder,
            open=self.open,
        )


@dataclass(slots=True)
class Fact:
    """One standing entry, parsed."""

    id: int
    kind: str
    on: date
    fields: dict[str, Any]
    noted_at: datetime | None


def facts_of(rows: Iterable[Row]) -> list[Fact]:
    """Rows of entries joined with their notes, parsed; the moment is of interest for a graft only."""
    rows = list(rows)
    # One call for all texts takes half the time of one call for each.
    parsed = json.loads(f"[{','.join(row['data'] for row in rows)}]")
    return [
        Fact(
            row["id"],
            row["kind"],
            date.fromisoformat(row["on_date"]),
            fields,
            moment_from(row["spoken_at"]) if row["kind"] == "graft" and row["spoken_on"] == row["on_date"] else None,
        )
        for row, fields in zip(rows, parsed, strict=True)
    ]


@dataclass(slots=True)
class Outcome:
    """What was found where a round was planted. results: place -> (last result, date); first_look: the first date."""

    results: dict[str, tuple[str, date]] = field(default_factory=dict)
    first_look: date | None = None


def outcomes_of(events: Iterable[tuple[str, str, str, int | None, str | None]]) -> dict[int, Outcome]:
    """Round -> what was found where it was planted.

    events: (place, kind, ISO date, round, result) of plantings, mating checks and losses, in order of date. A result
    counts for the round planted last in that place, within the days after which a round is closed.
    """
    planted: dict[str, tuple[int | None, date]] = {}
    found: dict[int, Outcome] = defaultdict(Outcome)
    day = cache(date.fromisoformat)
    for place, kind, on_text, number, result in events:
        on = day(on_text)
        if kind == "plant":
            planted[place] = number, on
            continue
        of_round, since = planted.get(place, (None, on))
        if of_round is None or (on - since).days > CLOSED_AFTER_DAYS:
            continue
        outcome = found[of_round]
        outcome.results[place] = result or "missing", on
        if outcome.first_look is None:
            outcome.first_look = on
    return dict(found)


def round_row(
    number: int,
    facts: list[Fact],
    loose: list[Fact],
    outcome: Outcome,
    mark: Row | None,
    on: date,
) -> RoundRow:
    """Work out one round.

    facts: its own entries; loose: builder steps and splits that belong to it; mark: its last closing or opening by
    hand; on: the local date on which it is looked at.
    """
    of_kind: dict[str, list[Fact]] = defaultdict(list)
    for fact in sorted(facts + loose, key=lambda f: (f.on, f.id)):
        of_kind[fact.kind].append(fact)
    grafts, builder = of_kind["graft"], of_kind["builder"]
    bars = tuple(n for graft in grafts for n in graft.fields.get("bars", ()))
    larvae = [
        n for graft in grafts if (n := graft.fields.get("larvae") or sum(graft.fields.get("bars", ()))) is not None
    ]
    take = _take(of_kind["take"])
    planted_places = tuple(dict.fromkeys(p for plant in of_kind["plant"] for p in plant.fields.get("places", ())))
    planted = [
        n for f in of_kind["plant"] if (n := f.fields.get("count", len(f.fields.get("places", ())) or None)) is not None
    ]
    matings = tuple((place, result, when) for place, (result, when) in sorted(outcome.results.items()))
    row = RoundRow(
        number=number,
        grafted=grafts[0].on if grafts else None,
        grafted_at=grafts[0].noted_at if grafts else None,
        builder=next((f.fields["place"] for f in grafts + builder if "place" in f.fields), None),
        mothers=_unique(f.fields.get("mother") for f in grafts),
        tools=_unique(f.fields.get("tool") for f in grafts),
        bars=bars,
        larvae=sum(larvae) if larvae and sum(larvae) else None,
        board=any(f.fields["step"] in ("excluder in", "slide in", "slide out") for f in builder),
        taken=take[0],
        of=take[1],
        takes_by_bar=take[2],
        count_capped=_last_count(of_kind["cells"], "capped"),
        count_ripe=_last_count(of_kind["cells"], "ripe"),
        planted=sum(planted) if planted else None,
        planted_places=planted_places,
        matings=matings,
        done=_done(of_kind, outcome.first_look, len(matings)),
    )
    is_open, why = _openness(row, of_kind, mark, on)
    return replace(row, open=False, closed_why=why) if not is_open else row


def _unique(values: Iterable[str | None]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(value for value in values if value))


def _last_count(cells: list[Fact], state: str) -> int | None:
    counts = [f.fields["count"] for f in cells if f.fields.get("state") == state and "count" in f.fields]
    return counts[-1] if counts else None


def _take(takes: list[Fact]) -> tuple[int | None, int | None, tuple[tuple[str, int | None, int | None], ...]]:
    """(taken, of, by bar): the last word on each bar; a take without bars stands for the whole round."""
    by_bar: dict[str, tuple[int | None, int | None]] = {}
    taken: int | None = None
    of: int | None = None
    for fact in takes:
        bars = fact.fields.get("bars")
        if bars:
            for bar in bars:
                by_bar[str(bar["bar"])] = (bar.get("taken"), bar.get("of"))
            counted = [t for t, _ in by_bar.values() if t is not None]
            cups = [o for _, o in by_bar.values() if o is not None]
            taken = sum(counted) if counted else fact.fields.get("taken")
            of = sum(cups) if len(cups) == len(by_bar) else fact.fields.get("of")
        else:
            taken, of = fact.fields.get("taken", taken), fact.fields.get("of", of)
    return taken, of, tuple((bar, *numbers) for bar, numbers in by_bar.items())


def _done(of_kind: dict[str, list[Fact]], first_look: date | None, looked_at: int) -> tuple[Done, ...]:
    steps: list[Done] = []
    for fact in (f for facts in of_kind.values() for f in facts):
        fields = fact.fields
        if fact.kind == "builder":
            steps.append(Done(fields["step"], fact.on, fact.id))
        elif fact.kind == "graft":
            steps.append(Done("graft", fact.on, fact.id, fields.get("larvae")))
        elif fact.kind == "take":
            steps.append(Done("take check", fact.on, fact.id, fields.get("taken")))
        elif fact.kind == "cells":
            steps.append(
                Done(
                    f"cells {fields['state']}" if "state" in fields else "cells", fact.on, fact.id, fields.get("count")
                )
            )
        elif fact.kind == "incubator":
            steps.append(Done(f"incubator {fields.get('step', '')}".strip(), fact.on, fact.id, fields.get("count")))
        elif fact.kind == "split":
            steps.append(Done("splits", fact.on, fact.id, fields.get("count", len(fields.get("places", ())) or None)))
        else:
            steps.append(Done("plant", fact.on, fact.id, fields.get("count")))
    if first_look is not None:
        steps.append(Done("laying check", first_look, 0, looked_at))
    return tuple(sorted(steps, key=lambda done: (done.on, done.entry_id)))


def _openness(row: RoundRow, of_kind: dict[str, list[Fact]], mark: Row | None, on: date) -> tuple[bool, str | None]:
    if mark is not None:
        return bool(mark["open"]), None if mark["open"] else mark["why"] or "closed by hand"
    if row.taken == 0:
        return False, "nothing took"
    if (
        row.planted_places
        and len(row.matings) >= len(row.planted_places)
        and all(r in FINAL_RESULTS for _, r, _ in row.matings)
    ):
        return False, "every planted place has its result"
    begun = row.grafted or (row.done[0].on if row.done else None)
    if begun is None:
        return True, None
    age = (on - begun).days
    if age > CLOSED_AFTER_DAYS:
        return False, f"{CLOSED_AFTER_DAYS} days are over"
    if row.grafted and row.planted is None and not of_kind["incubator"] and age > UNPLANTED_AFTER_DAYS:
        return False, "nothing was planted"
    return True, None
