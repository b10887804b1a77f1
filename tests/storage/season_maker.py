"""A made-up record of several seasons, the same for the same seed: Marrow Hill Bees, southern hemisphere.

Used by tests and measurements. Everything in it is invented; the rhythm of a round follows the project's own calendar
(excluder in 3 days before the graft, slide in 1 day before, slide out 1 day after, take check after 2 days, splits
after 9, planting after 10, emergence about day 12, laying checks from day 25), the shares are round numbers.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from gloveside.extract.models import (
    BarTake,
    Box,
    Builder,
    Cells,
    Disease,
    Entry,
    Feed,
    Graft,
    Harvest,
    Inspection,
    Loss,
    Mark,
    Mating,
    Mites,
    Move,
    Note,
    Plant,
    Queen,
    QueenCells,
    Reading,
    Sale,
    Split,
    Take,
    Task,
    Treatment,
    Weather,
)
from gloveside.storage.store import Store

ZONE = ZoneInfo("Pacific/Auckland")
CHAT, USER = "4021", "77"
YARDS = ("yard Orchard", "yard Quarry", "yard Creek")
COLOURS = {3: "red", 4: "green", 5: "blue", 6: "white", 7: "yellow"}
"""Queen marking colour by the last digit of the year (trade standard)."""


@dataclass(frozen=True)
class Spoken:
    """One note: the local date, when it was spoken (aware), its words, and what is read in it."""

    on: date
    at: datetime
    text: str
    entries: list[Entry]


@dataclass
class RoundTruth:
    """What the maker decided about one round, to hold against what the store works out."""

    number: int
    grafted: date
    mother: str
    tool: str
    larvae: int
    taken: int
    planted: int
    laying: int


@dataclass
class Season:
    """All notes in order of time, and the truth about the rounds."""

    notes: list[Spoken] = field(default_factory=list)
    rounds: list[RoundTruth] = field(default_factory=list)

    @property
    def entries(self) -> int:
        """Number of entries in all notes."""
        return sum(len(note.entries) for note in self.notes)


def make_season(
    seed: int = 1, *, hives: int = 60, nucs: int = 24, rounds: int = 36, entries: int = 12_000, first_year: int = 2023
) -> Season:
    """The notes of three seasons (September to April from `first_year`), exactly `entries` entries in all."""
    maker = _Maker(random.Random(seed), hives, nucs)
    years = (first_year, first_year + 1, first_year + 2)
    numbers = [len(part) for part in (range(0, rounds, 3), range(1, rounds, 3), range(2, rounds, 3))]
    for year, several in zip(years, numbers, strict=True):
        for i in range(several):
            maker.round(date(year, 9, 18) + timedelta(days=13 * i))
        maker.year(year)
    if maker.season.entries > entries:
        raise ValueError(f"{maker.season.entries} entries are needed at least for this many rounds and hives")
    maker.fill(years, entries)
    maker.season.notes.sort(key=lambda note: note.at)
    return maker.season


def keep_season(store: Store, season: Season) -> None:
    """Put a season into a store through its front door, one unit of work for each month."""
    months: dict[tuple[int, int], list[Spoken]] = {}
    for note in season.notes:
        months.setdefault((note.on.year, note.on.month), []).append(note)
    with store.together():
        for yard in YARDS:
            store.places.add(yard)
        for n in range(1, 61):
            store.places.add(f"hive {n}", yard=YARDS[n % 3], breeder=n in (21, 34), builder=n == 7)
        for n in range(1, 25):
            store.places.add(f"nuc {n}", yard=YARDS[0])
    for notes in months.values():
        with store.together():
            for note in notes:
                note_id = store.notes.add(chat=CHAT, user=USER, source="typed", spoken_at=note.at, text=note.text)
                reading = Reading(raw=note.text, heard=note.text, entries=note.entries)
                store.notes.finish(note_id, reading, note.on, keep=True)


class _Maker:
    def __init__(self, dice: random.Random, hives: int, nucs: int) -> None:
        self.dice = dice
        self.hives = [f"hive {n}" for n in range(1, hives + 1)]
        self.nucs = [f"nuc {n}" for n in range(1, nucs + 1)]
        self.season = Season()
        self.minutes: dict[date, int] = {}
        self.said = 0

    def say(self, on: date, *entries: Entry) -> None:
        """One note on a date, each a few minutes after the one before."""
        minute = self.minutes.get(on, 8 * 60 + self.dice.randrange(30))
        self.minutes[on] = minute + 2
        local = datetime.combine(on, time(0), ZONE) + timedelta(minutes=min(minute, 23 * 60 + 59))
        self.said += len(entries)
        words = "; ".join(_words(entry) for entry in entries)
        self.season.notes.append(Spoken(on, local.astimezone(UTC), words, list(entries)))

    def round(self, graft: date) -> None:
        dice, number = self.dice, len(self.season.rounds) + 1
        day = lambda n: graft + timedelta(days=n)  # noqa: E731
        builder = "hive 7"
        mother = dice.choice(["hive 21", "hive 34"])
        tool = dice.choice(["steel hook", "brush", "bamboo"])
        bars = dice.choice([[15, 15], [20, 20], [15, 15, 15]])
        larvae = sum(bars)
        took = [sum(dice.random() < 0.72 for _ in range(of)) for of in bars]
        names = ("top", "bottom") if len(bars) == 2 else ("top", "middle", "bottom")
        taken = sum(took)
        self.say(day(-3), Builder(on=day(-3), place=builder, step="excluder in"))
        self.say(day(-1), Builder(on=day(-1), place=builder, step="slide in"), _feed(day(-1), builder, 1))
        self.say(graft, Graft(on=graft, place=builder, mother=mother, bars=bars, larvae=larvae, tool=tool))
        self.say(day(1), Builder(on=day(1), place=builder, step="slide out", round=number))
        by_bar = [BarTake(bar=n, taken=t, of=o) for n, t, o in zip(names, took, bars, strict=True)]
        self.say(day(2), Take(on=day(2), round=number, bars=by_bar, taken=taken, of=larvae))
        ripe = max(0, taken - dice.randrange(4))
        self.say(day(9), Cells(on=day(9), round=number, count=ripe, state="ripe"))
        planted = min(ripe, 12)
        # Every second round goes into the other half of the nucs, so that one is done before it is planted again.
        half = self.nucs[:12] if number % 2 else self.nucs[12:]
        places = half[:planted]
        self.say(day(9), Split(**{"on": day(9), "from": dice.choice(self.hives), "count": planted, "places": places}))
        self.say(day(10), Plant(on=day(10), round=number, count=planted, places=places))
        laying = 0
        for place in places:
            check = day(dice.choice([23, 24]))
            result = dice.choices(["laying", "missing", "drone layer", "not laying"], [68, 18, 4, 10])[0]
            self.say(check, Mating(on=check, place=place, result=result))
            if result == "not laying":
                check = day(25)
                result = dice.choice(["laying", "missing"])
                self.say(check, Mating(on=check, place=place, result=result))
            if result == "laying":
                laying += 1
                out = check
                if dice.random() < 0.6:
                    colour = COLOURS.get(check.year % 10, "red")
                    self.say(out, Mark(on=out, place=place, colour=colour))
                if dice.random() < 0.5:
                    self.say(out, Queen(on=out, place=place, step="caught"))
                    self.say(
                        out, Sale(on=out, goods="queen", count=1, price=dice.choice([55, 60, 65]), to="a neighbour")
                    )
        self.season.rounds.append(RoundTruth(number, graft, mother, tool, larvae, taken, planted, laying))

    def year(self, first: int) -> None:
        """What each season has besides the rounds: supers, harvest, mites, treatments, losses, sales."""
        dice = self.dice
        for hive in self.hives:
            on = date(first, 10, 20) + timedelta(days=dice.randrange(20))
            self.say(on, Box(on=on, place=hive, box="super", step="on", count=dice.choice([1, 2])))
            on = date(first + 1, 1, 20) + timedelta(days=dice.randrange(20))
            self.say(on, Harvest(on=on, place=hive, amount=dice.choice([8, 10, 14.5, 20]), unit="kg"))
            self.say(on, Box(on=on, place=hive, box="super", step="off", count=1))
            for month, year in ((9, first), (11, first), (2, first + 1), (4, first + 1)):
                on = date(year, month, 3) + timedelta(days=dice.randrange(20))
                found = dice.choices(range(13), [20, 18, 14, 10, 8, 7, 5, 5, 4, 3, 3, 2, 1])[0]
                self.say(
                    on, Mites(on=on, place=hive, method="wash", mites=found, bees=300, percent=round(found / 3, 2))
                )
            on = date(first + 1, 2, 24) + timedelta(days=dice.randrange(6))
            self.say(on, Treatment(on=on, place=hive, product="strips", step="in"))
            out = on + timedelta(days=49)
            if dice.random() < 0.95:
                self.say(out, Treatment(on=out, place=hive, product="strips", step="out"))
        for hive in dice.sample([h for h in self.hives if h not in ("hive 7", "hive 21", "hive 34")], 3):
            on = date(first + 1, 4, 5) + timedelta(days=dice.randrange(20))
            self.say(on, Loss(on=on, place=hive, cause=dice.choice(["starved", "queenless", "wasps"])))
        for _ in range(6):
            on = date(first, 11, 1) + timedelta(days=dice.randrange(60))
            self.say(on, Sale(on=on, goods="nuc", count=dice.choice([1, 2]), price=250, to="a beginner"))
            on = date(first + 1, 2, 1) + timedelta(days=dice.randrange(60))
            self.say(on, Sale(on=on, goods="honey", count=dice.choice([5, 10]), price=18))
            moved = dice.sample(self.hives, 4)
            self.say(on, Move(on=on, places=moved, to=dice.choice(YARDS)))
        on = date(first, 12, 12)
        self.say(on, Disease(on=on, place=dice.choice(self.hives), suspect="chalkbrood", signs=["chalkbrood"]))

    def fill(self, years: tuple[int, ...], entries: int) -> None:
        """Look into the hives, round and round, until there are exactly so many entries."""
        dice = self.dice
        start = [date(year, 9, 1) for year in years]
        while (missing := entries - self.said) > 0:
            on = dice.choice(start) + timedelta(days=dice.randrange(225))
            hive = dice.choice(self.hives)
            visit: list[Entry] = [self._inspection(on, hive)]
            other = dice.random()
            if other < 0.3:
                visit.append(_feed(on, hive, dice.choice([1, 2, 3])))
            elif other < 0.36:
                visit.append(Task(on=on, text="look again", due=on + timedelta(days=7), place=hive))
            elif other < 0.42:
                visit.append(Note(on=on, text="willows in flower", place=hive))
            elif other < 0.46:
                visit.append(Weather(on=on, temperature_c=dice.randrange(9, 29), words="light wind"))
            self.say(on, *visit[:missing])

    def _inspection(self, on: date, hive: str) -> Inspection:
        dice = self.dice
        queen = dice.choices(["seen", "queenright", "queenless", "not seen", None], [30, 40, 4, 14, 12])[0]
        cells = None
        if on.month in (10, 11) and dice.random() < 0.12:
            cells = QueenCells(count=dice.randrange(1, 9), type="swarm", done=dice.choice(["knocked down", "left"]))
        return Inspection(
            on=on,
            place=hive,
            queen=queen,
            eggs=dice.choice([True, None]) if queen != "queenless" else False,
            brood_frames=dice.choice([3, 4, 5, 6, 6.5, 7, 8]),
            strength=dice.choice(["weak", "fair", "strong", None]),
            temper=dice.choice(["calm", "fair", "hot", None]),
            queen_cells=cells,
            signs=dice.choice([None, None, None, ["drones flying"], ["feeder dry"], ["chalkbrood"]]),
            sure=round(dice.uniform(0.8, 1), 2),
        )


def _feed(on: date, place: str, litres: int) -> Feed:
    return Feed(on=on, place=place, feed="syrup 1:1", amount=litres, unit="l")


def _words(entry: Entry) -> str:
    said = entry.model_dump(mode="json", by_alias=True, exclude={"on", "sure"})
    return ", ".join(f"{key} {value}" for key, value in said.items())
