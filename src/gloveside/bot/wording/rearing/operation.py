"""The growth of the operation, its breeders and its mating nucs, as lines for a phone."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from gloveside.bot.wording.days import short, span
from gloveside.bot.wording.rearing.fit import ends, fit, number, percent
from gloveside.rearing.breeders import Candidate, Dominance
from gloveside.rearing.growth import Growth
from gloveside.rearing.mating_watch import MatingSuccess, Watch

_LIMIT = {"cells": "cells", "bees": "bees for splits", "boxes": "boxes", "time": "hours"}
_STATE = {
    "cell in": "cell in",
    "cell due to open": "cell due to open",
    "leave alone": "leave it shut",
    "first look due": "look for eggs",
    "look again": "look again",
    "laying": "laying",
    "give up": "give up or test",
    "failed": "failed",
}


def growth_lines(growth: Growth, by: date, target: float | None = None, *, currency: str = "$") -> list[str]:
    """What may come of the operation by a date."""
    i = growth.index(by)

    def band(name: str) -> tuple[float, float, float]:
        low, middle, high = (float(growth.quantile(name, q)[i]) for q in (0.1, 0.5, 0.9))
        return low, middle, high

    hives, money = band("hives"), band("money")
    queens = growth.series["queens"][: i + 1].sum(axis=0).mean()
    sold = growth.series["nucs_sold"][: i + 1].sum(axis=0).mean()
    lines = [
        f"By {growth.months[i].strftime('%Y-%m')}, 4 times in 5:",
        f"{hives[0]:.0f}–{hives[2]:.0f} hives, middle {hives[1]:.0f}",
        f"{queens:.0f} queens made, {sold:.0f} nucs sold",
        f"{currency}{money[0]:,.0f} to {currency}{money[2]:,.0f} in all",
    ]
    if target is not None:
        lines.append(f"{number(target)} hives: {growth.chance_words(target, by)}")
    if growth.binds:
        lines.append(f"Held back most by {_LIMIT[growth.binds]}")
    return fit(lines)


def breeder_lines(ranked: Sequence[Candidate], spread: Dominance | None = None, *, most: int = 4) -> list[str]:
    """The best candidates with their strongest reasons, and a warning when one mother dominates."""
    lines = []
    for place, candidate in enumerate(ranked[:most], 1):
        reasons = ", ".join(f"{r.trait} {r.z:+.1f}" for r in candidate.reasons[:2])
        lines.append(
            f"{place} {candidate.place} {candidate.score:+.1f}: {reasons}" if reasons else f"{place} {candidate.place}"
        )
    if ranked and ranked[0].notes < 6:
        lines.append("Few notes: near the mean of all")
    if spread and spread.warn:
        lines.append(f"{spread.mother} is mother of {percent(spread.share)}: add other mothers")
    return fit(lines)


def watch_lines(nuc: str, watch: Watch) -> list[str]:
    """One mating nuc: what it is at and when to look."""
    lines = [f"{nuc}: {_STATE[watch.state]}"]
    if watch.next_from and watch.next_to:
        lines.append(f"Next look {span(watch.next_from, watch.next_to)}")
    if watch.catch_from:
        lines.append(f"Catch her from {short(watch.catch_from)}")
    return fit([*lines, watch.why])


def success_lines(success: MatingSuccess) -> list[str]:
    """How matings turned out."""
    t = success.tally
    if not t.of:
        return fit(["No mating known yet", f"Plan with {percent(success.expected)}"])
    lines = [f"{t.won} of {t.of} lay: {percent(t.rate)} ({ends(success.low, success.high)})"]
    lines += [f"{count} {name}" for name, count in success.losses[:4]]
    return fit([*lines, f"Plan with {percent(success.expected)}"])
