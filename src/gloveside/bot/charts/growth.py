"""The growth of the operation as a fan: the middle, half and four fifths of the runs, and the target."""

from __future__ import annotations

from datetime import date

from gloveside.bot.charts import style
from gloveside.rearing.growth import Growth

_NAMES = {
    "hives": "Hives",
    "money": "Money in all",
    "nucs": "Nucs",
    "queens": "Queens a month",
    "splits": "Splits a month",
}


def growth_chart(
    growth: Growth, *, series: str = "hives", target: float | None = None, by: date | None = None, dark: bool = False
) -> bytes:
    """PNG of one series. target and by: a line and the chance to reach it by then, in the title."""
    colours = style.palette(dark)
    figure, (ax,) = style.canvas(960, colours)
    fan = growth.fan(series)
    x = [style.day_number(m) for m in growth.months]
    ax.fill_between(x, fan[0.1], fan[0.9], color=colours.band, alpha=0.45, linewidth=0)
    ax.fill_between(x, fan[0.25], fan[0.75], color=colours.band, linewidth=0)
    ax.plot(x, fan[0.5], color=colours.main, linewidth=3)
    for level, text in ((0.9, "9 in 10 below"), (0.5, "middle"), (0.1, "1 in 10 below")):
        style.note(ax, x[-1], float(fan[level][-1]), text, colours, size=style.SMALL)
    chance = ""
    if target is not None:
        ax.axhline(target, color=colours.alert, linewidth=2, linestyle="--")
        ax.text(x[0], target, f" target {target:g}", fontsize=style.SIZE, color=colours.alert, va="bottom")
        chance = f", {target:g} or more: {growth.chance_words(target, by or growth.months[-1], series)}"
    ax.set_xlim(x[0], x[-1] + 0.36 * (x[-1] - x[0] + 30))
    lowest, highest = float(fan[0.1].min()), float(max(fan[0.9].max(), target or 0))
    ax.set_ylim(lowest - 0.1 * (highest - lowest + 1), highest + 0.15 * (highest - lowest + 1))
    ax.yaxis.set_major_locator(style.round_ticks())
    ax.yaxis.set_major_formatter(style.thousands())
    months = range(0, len(growth.months), 12 if len(growth.months) > 30 else 6)
    ax.set_xticks([x[i] for i in months], [style.month(growth.months[i]) for i in months])
    ax.grid(color=colours.grid, linewidth=0.8)
    style.title(figure, f"{_NAMES.get(series, series)}{chance}", colours)
    return style.png(figure)
