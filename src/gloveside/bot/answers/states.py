"""Which places are in a state on a date: the tests, and what is said of each place found."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from gloveside.bot.answers.slots import slot
from gloveside.bot.settings import Settings
from gloveside.bot.thresholds import threshold_table
from gloveside.bot.wording.days import short
from gloveside.bot.wording.rearing.fit import number
from gloveside.extract.models import Question
from gloveside.storage.state import PlaceState

CELLS_LAST_DAYS = 16
"""A queen emerges 16 days after the egg is laid: cells noted longer ago are gone, one way or the other."""
NOT_LOOKED_AT_DAYS = 21
HUNGRY_SIGNS = frozenset({"feeder dry", "feeder empty", "low stores"})
SICK_SIGNS = frozenset({"chalkbrood", "sacbrood", "dysentery", "deformed wings", "dead brood"})
_FRAMES_IN_BOX = 10
_COVERED = 0.75
_STRONG_BROOD = 7
THIN_HONEY_FRAMES = 1
"""Frames of honey at or below which a hive counts as hungry (common practice, no source)."""

Test = Callable[[PlaceState], bool]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A state asked for. test: whether a place is in it; name: as said back; about: what to add to a place found."""

    name: str
    test: Test
    about: Callable[[PlaceState], str | None] = lambda _state: None
    sort: Callable[[PlaceState], Any] | None = None


def _since(on: date | None) -> str | None:
    return short(on) if on else None


def _queen(word: str) -> Wanted:
    if word == "queenright":
        return Wanted(word, lambda s: s.queenright is True, lambda s: _since(s.queenright_on))
    if word == "queenless":
        return Wanted(word, lambda s: s.queen == "queenless", lambda s: _since(s.queen_on))
    if word == "missing":
        return Wanted(
            "queen missing", lambda s: s.mating == "missing" and s.queen == "queenless", lambda s: _since(s.mating_on)
        )
    if word == "not laying":
        return Wanted("not laying at the last check", lambda s: s.mating == "not laying", lambda s: _since(s.mating_on))
    if word == "laying":
        return Wanted("queen laying", laying, lambda s: _since(s.mating_on))
    return Wanted(word, lambda s: s.queen == word, lambda s: _since(s.queen_on))


def laying(state: PlaceState) -> bool:
    """Whether a nuc's or hive's queen was found laying and is still there."""
    return state.mating == "laying" and state.queenright is True


def swarm_cells(as_of: date) -> Wanted:
    """Queen cells that were not knocked down, of the last look that mentions them, while they can still be there."""

    def test(s: PlaceState) -> bool:
        cells = s.queen_cells
        return (
            cells is not None
            and s.queen_cells_on is not None
            and s.queen_cells_on > as_of - timedelta(days=CELLS_LAST_DAYS)
            and cells.get("count") != 0
            and cells.get("type", "swarm") == "swarm"
            and cells.get("done") != "knocked down"
        )

    def about(s: PlaceState) -> str:
        count = (s.queen_cells or {}).get("count")
        return ", ".join(p for p in (f"{count} cells" if count else None, _since(s.queen_cells_on)) if p)

    return Wanted("swarm cells", test, about)


def hungry() -> Wanted:
    """A dry feeder or low stores at the last look, or hardly a frame of honey, and no feed since."""

    def when(s: PlaceState) -> date | None:
        if HUNGRY_SIGNS & set(s.signs):
            return s.signs_on
        if s.honey_frames is not None and s.honey_frames <= THIN_HONEY_FRAMES:
            return s.honey_frames_on
        return None

    def test(s: PlaceState) -> bool:
        on = when(s)
        return on is not None and (s.feed_on is None or s.feed_on < on)

    def about(s: PlaceState) -> str | None:
        return ", ".join([*sorted(HUNGRY_SIGNS & set(s.signs)), _since(when(s)) or ""])

    return Wanted("need feed", test, about)


def not_looked_at(as_of: date, days: int) -> Wanted:
    """Not opened for so many days, or never."""
    limit = as_of - timedelta(days=days)
    return Wanted(
        f"not looked at for {days} days",
        lambda s: s.last_look is None or s.last_look <= limit,
        lambda s: f"last {short(s.last_look)}" if s.last_look else "never",
        lambda s: s.last_look or date.min,
    )


def needs_super(as_of: date) -> Wanted:
    """Bees on nearly every frame there is, or strong with as much brood as a box has room for, with no room put on.

    Frames: ten in a box (from memory: the common standard box). A super goes on when bees cover 7 to 8 of ten frames
    (common practice, no source). Looks older than four weeks say nothing of today.
    """
    since = as_of - timedelta(days=28)

    def when(s: PlaceState) -> date | None:
        room = _FRAMES_IN_BOX * (max(1, s.brood_boxes) + s.supers)
        if s.bee_frames is not None and s.bee_frames_on is not None:
            return s.bee_frames_on if s.bee_frames >= _COVERED * room else None
        if s.strength == "strong" and (s.brood_frames or 0) >= _STRONG_BROOD and s.supers == 0:
            return s.strength_on
        return None

    def test(s: PlaceState) -> bool:
        on = when(s)
        return s.place.startswith("hive ") and on is not None and on > since

    def about(s: PlaceState) -> str:
        bees = f"{number(s.bee_frames)} frames of bees" if s.bee_frames is not None else "strong"
        return f"{bees}, {_since(when(s))}"

    return Wanted("need a super by the last look", test, about)


def mites_high(settings: Settings) -> Wanted:
    """The last count at or over the threshold of its month, and no treatment since."""
    table = threshold_table(settings)

    def test(s: PlaceState) -> bool:
        if s.mites_percent is None or s.mites_on is None:
            return False
        return s.mites_percent >= table[s.mites_on.month].percent

    def about(s: PlaceState) -> str:
        treated = s.last_treatment_on is not None and s.mites_on is not None and s.last_treatment_on >= s.mites_on
        return f"{number(s.mites_percent or 0)} % {_since(s.mites_on)}" + (", treated since" if treated else "")

    return Wanted("mites over threshold", test, about, lambda s: -(s.mites_percent or 0))


def wanted(question: Question, as_of: date, settings: Settings) -> Wanted | None:
    """The state that a question asks for, all of them where it names several; None where one of them cannot be told."""
    colour, state = slot(question, "colour"), slot(question, "state")
    asked: list[Wanted | None] = []
    if colour:
        asked.append(Wanted(f"marked {colour}", lambda s: s.mark == colour, lambda s: _since(s.mark_on)))
    if question.queen:
        asked.append(_queen(str(question.queen)))
    if state and not (state == question.queen or (state == "marked" and colour)):
        asked.append(_in_state(str(state), question, as_of, settings))
    found = [w for w in asked if w is not None]
    if not found or len(found) < len(asked):
        return None
    first = found[0]
    if len(found) == 1:
        return first
    return Wanted(", ".join(w.name for w in found), lambda s: all(w.test(s) for w in found), first.about, first.sort)


def _in_state(state: str, question: Question, as_of: date, settings: Settings) -> Wanted | None:
    match state:
        case "swarm cells":
            return swarm_cells(as_of)
        case "hungry":
            return hungry()
        case "not looked at":
            since = (as_of - question.since).days if question.since else NOT_LOOKED_AT_DAYS
            return not_looked_at(as_of, int(slot(question, "days") or since))
        case "mites high":
            return mites_high(settings)
        case "laying":
            return _queen("laying")
        case "weak" | "strong":
            return Wanted(str(state), lambda s: s.strength == state, lambda s: _since(s.strength_on))
        case "hot" | "calm":
            return Wanted(str(state), lambda s: s.temper == state, lambda s: _since(s.temper_on))
        case "treatment in":
            return Wanted(
                "treatment in",
                lambda s: bool(s.treatments),
                lambda s: ", ".join(f"{p} since {short(on)}" for p, on in s.treatments.items()),
            )
        case "marked":
            return Wanted("marked", lambda s: s.mark is not None, lambda s: s.mark)
        case "unmarked":
            return Wanted("queen not marked", lambda s: s.queenright is True and s.mark is None)
        case "disease":
            return Wanted(
                "disease suspected or signs of it",
                lambda s: s.disease is not None or bool(SICK_SIGNS & set(s.signs)),
                lambda s: ", ".join(
                    p for p in (s.disease, _since(s.disease_on), *sorted(SICK_SIGNS & set(s.signs))) if p
                ),
            )
        case "supers on":
            return Wanted("supers on", lambda s: s.supers > 0, lambda s: str(s.supers))
        case "needs super":
            return needs_super(as_of)
        case "eggs":
            return Wanted("eggs seen", lambda s: s.eggs is True, lambda s: _since(s.eggs_on))
        case _:
            return None
