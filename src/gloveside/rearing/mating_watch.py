"""The watch over one mating nuc: what state it is in, when to look next, and how matings turned out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from gloveside.rearing import sources as src
from gloveside.rearing.chance import LAYING_PRIOR, Prior
from gloveside.rearing.emergence import FIRST_EGGS, LAYING_CHECK, WRITE_OFF
from gloveside.rearing.intervals import wilson
from gloveside.rearing.records import Tally

Seen = Literal["cell opened", "cell torn down", "virgin seen", "not laying", "laying", "missing", "drone layer"]
State = Literal[
    "cell in", "cell due to open", "leave alone", "first look due", "look again", "laying", "give up", "failed"
]
OPENED_CHECK = (1, 2)
"""Quick look that the cell opened at its tip, days after emergence."""
LEAVE_ALONE = (4, 10)
"""Do not open, above all not midday to late afternoon on warm days."""
RECHECK_AFTER = 4
"""Look again 4 days after a look without eggs (E+12-14, then E+17-18)."""
CATCH_FROM, CATCH_TO = 21, 35
"""Queens caught at 21-35 days of age survived introduction better (Rhodes & Somerville 2003)."""


@dataclass(frozen=True, slots=True)
class NucLook:
    """What was found in a nuc on that day."""

    on: date
    seen: Seen


@dataclass(frozen=True, slots=True)
class Watch:
    """One nuc on one day. next_from, next_to: days for the next look, None when none is due; why: the reason."""

    state: State
    next_from: date | None
    next_to: date | None
    why: str
    source: str
    catch_from: date | None = None


def mating_watch(emergence: date, looks: Sequence[NucLook], on: date) -> Watch:
    """The state of a nuc whose queen emerges (or emerged) on `emergence`, with what was seen in it up to `on`.

    Good for a cell or a virgin. Later looks count more; looks after `on` are left aside.
    """
    past = sorted((look for look in looks if look.on <= on), key=lambda look: look.on)
    last = past[-1] if past else None

    def day(n: int) -> date:
        return emergence + timedelta(days=n)

    cites = src.cite(src.ARITHMETIC, src.MEMORY)
    if last and last.seen in ("cell torn down", "missing", "drone layer"):
        return Watch("failed", None, None, f"{last.seen} on {last.on.isoformat()}: give a cell or unite", cites)
    if last and last.seen == "laying":
        catch = max(day(CATCH_FROM), last.on)
        return Watch("laying", None, None, "caught at 21-35 days old she settles best", src.RHODES_2003.cite, catch)
    age = (on - emergence).days
    if age >= WRITE_OFF[2]:
        return Watch("give up", on, on, "four weeks and no eggs: she may turn drone layer", cites)
    opened = any(look.seen in ("cell opened", "virgin seen", "not laying") for look in past)
    if age < OPENED_CHECK[0] and not opened:
        return Watch("cell in", day(OPENED_CHECK[0]), day(OPENED_CHECK[1]), "see that it opened at the tip", cites)
    if age < LEAVE_ALONE[0] and not opened:
        return Watch(
            "cell due to open", max(on, day(OPENED_CHECK[0])), day(LEAVE_ALONE[0] - 1), "quick look only", cites
        )
    if age < LAYING_CHECK[0]:
        why = "she orients and mates: keep it shut"
        return Watch("leave alone", day(LAYING_CHECK[0]), day(LAYING_CHECK[1]), why, src.cite(src.NSW_828, src.MEMORY))
    looked = [look for look in past if (look.on - emergence).days >= LAYING_CHECK[0]]
    if not looked:
        due = max(on, day(LAYING_CHECK[0]))
        why = f"eggs come {FIRST_EGGS[1]:g} days after she emerges"
        return Watch("first look due", due, max(due, day(LAYING_CHECK[1])), why, src.PEREZ_SATO_2006.cite)
    if age >= WRITE_OFF[0]:
        return Watch("give up", on, day(WRITE_OFF[2]), "no eggs in 3 weeks: test with young larvae", cites)
    again = max(on, looked[-1].on + timedelta(days=RECHECK_AFTER))
    return Watch("look again", again, max(again, day(LAYING_CHECK[2])), "no eggs yet: bad weather delays", cites)


@dataclass(frozen=True, slots=True)
class MatingSuccess:
    """Matings so far. rate with its 95 % Wilson interval; expected: the share to plan with; losses by what was seen."""

    tally: Tally
    low: float
    high: float
    expected: float
    losses: tuple[tuple[str, int], ...]


def mating_success(ends: Iterable[Seen], *, prior: Prior = LAYING_PRIOR) -> MatingSuccess:
    """Success over nucs whose end is known: `laying` against the others. Nucs still waiting are not counted."""
    known = [e for e in ends if e in ("laying", "cell torn down", "missing", "drone layer", "not laying")]
    won = sum(e == "laying" for e in known)
    tally = Tally(won, len(known))
    low, high = wilson(tally)
    names = sorted({e for e in known if e != "laying"}, key=lambda e: (-known.count(e), e))
    losses = tuple((name, known.count(name)) for name in names)
    return MatingSuccess(tally, low, high, prior.beta.given(tally).mean, losses)
