"""What helps the take, as lines for a phone."""

from __future__ import annotations

from collections.abc import Sequence

from gloveside.bot.wording.rearing.fit import ends, fit, percent
from gloveside.rearing.take_compare import Comparison, Group


def group_line(group: Group) -> str:
    """`top 24/30, 80 % (63–90 %)`."""
    count = f"{group.tally.won}/{group.tally.of}"
    name = "" if group.name == count else f"{group.name} "
    return f"{name}{count}, {percent(group.tally.rate)} ({ends(group.low, group.high)})"


def verdict_lines(comparison: Comparison) -> list[str]:
    """Whether a difference has been shown, and what would show one."""
    lines = []
    if comparison.verdict == "difference shown":
        lines.append(f"{comparison.better.name} does better than {comparison.other.name}: shown")
    elif comparison.verdict == "no difference shown yet":
        lines.append("No difference shown yet")
        if comparison.more_cells is None:
            lines.append("The two take alike so far")
        else:
            lines.append(f"{comparison.more_cells} more larvae on each side would show one like this, 4 times in 5")
    else:
        lines.append("Not enough cells counted")
    if comparison.one_day:
        lines.append("They come from different rounds: the day may be the cause")
    return lines


def compare_lines(groups: Sequence[Group], comparisons: Sequence[Comparison], *, most: int = 5) -> list[str]:
    """The groups, best first, and the clearest comparison."""
    lines = [group_line(g) for g in groups[:most]]
    if len(groups) > most:
        lines.append(f"… and {len(groups) - most} more")
    if comparisons:
        lines += verdict_lines(comparisons[0])
    return fit(lines or ["No take on record yet: count the cells", "two days after the graft and say them."])
