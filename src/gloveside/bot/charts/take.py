"""The take by bar, tool or any other circumstance: a point for each group with its 95 % interval."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gloveside.bot.charts import style
from gloveside.rearing.take_compare import Group

ROW_PX = 120


def take_chart(facets: Mapping[str, Sequence[Group]], *, name: str = "Take", dark: bool = False) -> bytes:
    """PNG with one panel for each circumstance. facets: its name (say, `by bar`) -> groups, best first."""
    shown = {title: groups for title, groups in facets.items() if groups}
    if not shown:
        return style.empty("No take counted yet", dark=dark)
    colours = style.palette(dark)
    heights = [len(groups) + 1.2 for groups in shown.values()]
    figure, axes = style.canvas(180 + ROW_PX * sum(heights), colours, rows=len(shown))
    grid = axes[0].get_gridspec()
    if grid is not None:
        grid.set_height_ratios(heights)
    for ax, (title, groups) in zip(axes, shown.items(), strict=True):
        for row, group in enumerate(groups):
            ax.plot([group.low, group.high], [row, row], color=colours.band, linewidth=11, solid_capstyle="round")
            ax.plot([group.tally.rate], [row], "o", color=colours.main, markersize=10, zorder=3)
            text = f"{group.tally.won}/{group.tally.of}"
            ax.text(1.04, row, text, va="center", fontsize=style.SIZE, color=colours.ink)
        ax.set_yticks(range(len(groups)), [g.name for g in groups])
        ax.set_ylim(len(groups) - 0.4, -0.6)
        ax.set_xlim(0, 1.22)
        ax.set_xticks([0, 0.25, 0.5, 0.75, 1], ["0", "25", "50", "75", "100 %"])
        ax.grid(axis="x", color=colours.grid, linewidth=0.8)
        ax.set_title(title, loc="left", fontsize=style.SIZE, color=colours.faint)
    style.title(figure, f"{name}: point and 95 % interval", colours)
    return style.png(figure)
