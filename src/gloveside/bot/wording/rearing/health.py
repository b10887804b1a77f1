"""Mites, broodless windows and withholding, as lines for a phone. Never a dose: the label is the authority."""

from __future__ import annotations

from gloveside.bot.wording.days import day, short, span
from gloveside.bot.wording.rearing.fit import fit, number
from gloveside.rearing.broodless import Window, Withholding
from gloveside.rearing.varroa import DailyDrop, Judgement, MiteCount, Trend

LABEL = "Follow the label and the local rules"
_VERDICT = {
    "above": "Above your threshold: act",
    "below": "Below your threshold",
    "cannot tell": "Too close to tell: wash another sample",
}


def count_line(count: MiteCount) -> str:
    """`9 of 300: 3 % (1.6–5.6 %)`."""
    return f"{count.mites} of {count.bees}: {number(count.percent)} % ({count.low:.1f}–{count.high:.1f} %)"


def judgement_lines(judgement: Judgement) -> list[str]:
    """A wash against the operator's threshold of the month."""
    t = judgement.threshold
    return fit(
        [
            count_line(judgement.count),
            _VERDICT[judgement.verdict],
            f"Threshold {number(t.percent)} % ({t.source})",
            *([LABEL] if judgement.verdict == "above" else []),
        ]
    )


def drop_lines(drop: DailyDrop) -> list[str]:
    """Natural mite fall."""
    return fit(
        [f"{number(drop.per_day)} mites a day ({drop.low:.1f}–{drop.high:.1f})", "A drop is no share of the bees"]
    )


def trend_lines(trend: Trend) -> list[str]:
    """Where the mites of a hive are heading."""
    if trend.reached:
        lines = ["At or above your threshold now"]
    elif trend.crosses:
        lines = [f"Threshold about {day(trend.crosses)}"]
    else:
        lines = ["Mites are not rising"]
    if trend.washes == 1:
        lines.append("From one wash and the usual doubling in a month")
    elif trend.doubling_days is not None:
        lines.append(f"Doubling in about {trend.doubling_days:.0f} days, from {trend.washes} washes")
    return fit([*lines, "Wash again before you rely on it"])


def window_lines(window: Window) -> list[str]:
    """Days without sealed brood."""
    if window.days == 0:
        lines = ["No broodless window", "Give the cell a week later, or take out", "the last sealed comb"]
    else:
        lines = [f"No sealed worker brood {span(window.opens, window.closes)}"]
        if window.days_all:
            lines.append(f"No drone brood from {short(window.opens_all)} either")
        else:
            lines.append("Drone brood may still be sealed")
        if window.safe_days < window.days:
            lines.append("Shorter if the queen starts early: look")
    return fit([*lines, LABEL])


def withholding_lines(period: Withholding) -> list[str]:
    """When honey may be taken again."""
    return fit([f"{period.product.capitalize()}: no honey before {day(period.ends)}", f"As read on: {period.source}"])
