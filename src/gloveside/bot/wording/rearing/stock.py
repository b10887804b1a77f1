"""How many: nucs, cells, larvae, splits, rounds of a season, as lines for a phone."""

from __future__ import annotations

from gloveside.bot.wording.days import day, short
from gloveside.bot.wording.rearing.fit import fit, number, percent
from gloveside.rearing.chance import certainty_words
from gloveside.rearing.odds import Odds
from gloveside.rearing.season import Forage, SeasonPlan, builders_for
from gloveside.rearing.splits import Splits

_BINDS = {"nucs": "Too few nucs", "builders": "Too few builders", "days": "The season is too short"}


def odds_lines(odds: Odds, forage: Forage = "fair") -> list[str]:
    """How many to stock for the queens that are wanted, and the builders at that state of forage."""
    return fit(
        [
            f"For {odds.queens} laying queens, {certainty_words(odds.sure)}:",
            f"stock {odds.nucs} nucs, one ripe cell each",
            f"graft {odds.larvae} larvae for them",
            f"builders: {_few(*builders_for(odds.cells, forage))} ({forage})",
            f"{percent(odds.laying)} of ripe cells lay ({_basis(odds.why)})",
            f"Grafting included: {certainty_words(odds.overall)}",
        ]
    )


def _few(likely: int, most: int) -> str:
    return str(likely) if likely == most else f"{likely}–{most}"


def _basis(why: str) -> str:
    if "as you set" in why:
        return "as you set"
    return "your record and research" if "your" in why else "research"


def splits_lines(splits: Splits) -> list[str]:
    """How many splits to make for a round, and when."""
    if splits.why == "as counted ripe":
        lines = [f"Make {splits.make} splits: {splits.make} ripe cells counted"]
    else:
        band = f"{splits.low}–{splits.high}" if splits.low != splits.high else str(splits.low)
        lines = [
            f"Make {splits.make} splits",
            f"Ripe cells expected: {number(splits.expected)} of {splits.taken}",
            f"{band} ripe, {certainty_words(splits.level)}",
        ]
    if splits.when and splits.plant:
        lines.append(f"Split {day(splits.when.likely)}, plant {day(splits.plant.likely)}")
    return fit(lines)


def season_lines(plan: SeasonPlan, *, most: int = 8) -> list[str]:
    """A season's rounds, one line each, and what they add up to."""
    several = len({r.builder for r in plan.rounds}) > 1
    lines = [
        f"{short(r.graft)}: {r.larvae} larvae, {r.cells} cells" + (f", {r.builder}" if several else "")
        for r in plan.rounds[:most]
    ]
    if len(plan.rounds) > most:
        lines.append(f"… and {len(plan.rounds) - most} more rounds")
    lines.append(f"{plan.expected:.0f} queens expected")
    lines.append(f"{plan.queens} or more: {certainty_words(plan.reached)}")
    if plan.binds:
        lines.append(f"{_BINDS[plan.binds]} for what you asked")
    return fit(lines)
