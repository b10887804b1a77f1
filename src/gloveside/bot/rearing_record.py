"""What the record says, in the form the rearing arithmetic takes: tallies, takes, feeder looks, notes on hives."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, Protocol

from gloveside.rearing.breeders import Trait
from gloveside.rearing.feed import Look
from gloveside.rearing.hints import FLIGHT_C
from gloveside.rearing.mating_watch import NucLook, Seen
from gloveside.rearing.records import OwnRecord, Tally
from gloveside.rearing.take_compare import TakeRow
from gloveside.rearing.varroa import MiteCount, mite_count
from gloveside.storage.rounds import RoundRow

_TEMPER = {"calm": 2.0, "fair": 1.0, "hot": 0.0}
FINAL_RESULTS = frozenset({"laying", "missing", "drone layer"})
"""Results that settle what became of a planted cell."""
_FEEDER_EMPTY = frozenset({"feeder dry", "feeder empty"})
_SEEN: dict[str, Seen] = {
    "laying": "laying",
    "not laying": "not laying",
    "virgin seen": "virgin seen",
    "missing": "missing",
    "drone layer": "drone layer",
}


class Noted(Protocol):
    """What is read of a kept entry: its kind, the local date of the event, and its fields as in the contract."""

    @property
    def kind(self) -> str:
        """The kind of the entry."""

    @property
    def on(self) -> date:
        """Local date of the event."""

    @property
    def fields(self) -> dict[str, Any]:
        """The entry as a plain dictionary."""


def _tally(won: int | None, of: int | None) -> Tally:
    """A tally, empty where a number is missing or the two contradict each other."""
    return Tally(won, of) if won is not None and of is not None and 0 <= won <= of else Tally()


def own_record(rounds: Iterable[RoundRow]) -> OwnRecord:
    """The operator's figures over rounds. Laying counts planted places whose end is known."""
    take, ripe, laying = Tally(), Tally(), Tally()
    for row in rounds:
        take += _tally(row.taken, row.of)
        ripe += _tally(row.count_ripe, row.taken)
        known = [result for _, result, _ in row.matings if result in FINAL_RESULTS]
        laying += Tally(sum(result == "laying" for result in known), len(known))
    return OwnRecord(take, ripe, laying)


def take_rows(rounds: Iterable[RoundRow], weather: Mapping[date, str] | None = None) -> list[TakeRow]:
    """Counted takes, one row a bar where the bars were counted, else one a round.

    weather: graft day -> its words, see `weather_of`.
    """
    rows = []
    for row in rounds:
        sky = (weather or {}).get(row.grafted) if row.grafted else None
        tool = row.tools[0] if len(row.tools) == 1 else None
        bars = [(f"{bar} bar" if not bar.isdigit() else f"bar {bar}", won, of) for bar, won, of in row.takes_by_bar]
        counted = [(bar, _tally(won, of)) for bar, won, of in bars if won is not None and of is not None]
        parts: list[tuple[str | None, Tally]] = [*counted] if counted else [(None, _tally(row.taken, row.of))]
        rows += [
            TakeRow(tally, round=row.number, bar=bar, tool=tool, mother=row.mother, builder=row.builder, weather=sky)
            for bar, tally in parts
            if tally.of
        ]
    return rows


def weather_of(entries: Iterable[Noted]) -> dict[date, str]:
    """The weather of each day on record: warm (20 °C and more) or cool where a temperature was said, else its words."""
    found: dict[date, str] = {}
    for kept in entries:
        celsius, words = kept.fields.get("temperature_c"), kept.fields.get("words")
        if kept.kind == "weather" and (celsius is not None or words):
            cool = "under 20 °C" if celsius is not None and celsius < FLIGHT_C else "20 °C or more"
            found[kept.on] = cool if celsius is not None else str(words)
    return found


def washes_since_treated(
    counts: Iterable[tuple[date, MiteCount]], entries: Iterable[Noted]
) -> tuple[list[tuple[date, MiteCount]], list[date]]:
    """Washes after the last treatment, and the days of all treatments."""
    treated = sorted(kept.on for kept in entries if kept.kind == "treatment")
    return [c for c in counts if not treated or c[0] > treated[-1]], treated


def feeder_looks(entries: Iterable[Noted]) -> list[Look]:
    """Looks into one feeder: litres fed, and inspections that found it dry. A fill on a dry day is one look."""
    given: dict[date, float] = {}
    dry: set[date] = set()
    for kept in entries:
        fields, on = kept.fields, kept.on
        if kept.kind == "feed" and fields.get("unit") == "l" and fields.get("amount"):
            given[on] = given.get(on, 0.0) + float(fields["amount"])
        elif kept.kind == "inspection" and _FEEDER_EMPTY & set(fields.get("signs") or ()):
            dry.add(on)
    return [Look(on, given.get(on, 0.0), 0.0 if on in dry else None) for on in sorted(set(given) | dry)]


def washes(entries: Iterable[Noted]) -> list[tuple[date, MiteCount]]:
    """Washes and sugar shakes with their bees, by date."""
    found = []
    for kept in entries:
        mites, bees = kept.fields.get("mites"), kept.fields.get("bees")
        if kept.kind == "mites" and mites is not None and bees and 0 <= mites <= bees:
            found.append((kept.on, mite_count(int(mites), int(bees))))
    return sorted(found, key=lambda item: item[0])


def nuc_looks(entries: Iterable[Noted]) -> list[NucLook]:
    """What was found in one nuc, by date."""
    return [
        NucLook(kept.on, _SEEN[kept.fields["result"]])
        for kept in entries
        if kept.kind == "mating" and kept.fields.get("result") in _SEEN
    ]


def hive_notes(entries: Iterable[Noted], rounds: Iterable[RoundRow]) -> dict[str, dict[Trait, list[float]]]:
    """Notes on each hive by trait: temper, brood, mites, honey; take and mating of the rounds she mothered."""
    notes: dict[str, dict[Trait, list[float]]] = {}

    def add(place: str | None, trait: Trait, value: float | None) -> None:
        if place and value is not None and place.startswith("hive "):
            notes.setdefault(place, {}).setdefault(trait, []).append(float(value))

    for kept in entries:
        fields = kept.fields
        place = fields.get("place")
        match kept.kind:
            case "inspection":
                add(place, "temper", _TEMPER.get(fields.get("temper", "")))
                add(place, "brood", fields.get("brood_frames"))
            case "mites":
                add(place, "mites", fields.get("percent"))
            case "harvest":
                add(place, "honey", fields.get("amount") if fields.get("unit") == "kg" else None)
    for row in rounds:
        take = _tally(row.taken, row.of)
        known = [result for _, result, _ in row.matings if result in FINAL_RESULTS]
        if row.mother and take.of:
            add(row.mother, "take", take.rate)
        if row.mother and known:
            add(row.mother, "mating", sum(r == "laying" for r in known) / len(known))
    return notes


def mothers_of(rounds: Iterable[RoundRow]) -> Mapping[str, str]:
    """Daughter's place -> mother's place, over the places where each round was planted; the last round counts."""
    return {place: row.mother for row in rounds if row.mother for place in row.planted_places}
