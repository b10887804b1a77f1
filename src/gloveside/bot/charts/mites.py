"""The mites of a hive over time: each wash with its interval, and the operator's threshold."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from gloveside.bot.charts import style
from gloveside.rearing.varroa import MiteCount


def mite_chart(
    counts: Sequence[tuple[date, MiteCount]],
    threshold_percent: float | None = None,
    *,
    treated: Sequence[date] = (),
    title: str = "Mites",
    dark: bool = False,
) -> bytes:
    """PNG of washes (date, count). treated: days of treatments, marked below. threshold_percent: mites in 100 bees."""
    if not counts:
        return style.empty("No wash on record yet", dark=dark)
    colours = style.palette(dark)
    rows = sorted(counts, key=lambda item: item[0])
    figure, (ax,) = style.canvas(900, colours)
    x = [style.day_number(on) for on, _ in rows]
    ax.plot(x, [c.percent for _, c in rows], color=colours.main, linewidth=1.5, alpha=0.6)
    for at, (_, count) in zip(x, rows, strict=True):
        ax.plot([at, at], [count.low, count.high], color=colours.band, linewidth=9, solid_capstyle="round")
        ax.plot([at], [count.percent], "o", color=colours.main, markersize=9, zorder=3)
    top = max([c.high for _, c in rows] + [threshold_percent or 0]) * 1.12 + 0.2
    first = min([on for on, _ in rows] + list(treated)) - timedelta(days=4)
    last = max([on for on, _ in rows] + list(treated)) + timedelta(days=4)
    if threshold_percent is not None:
        ax.axhline(threshold_percent, color=colours.alert, linewidth=2, linestyle="--")
        ax.text(
            style.day_number(first),
            threshold_percent + top * 0.015,
            f"your threshold {threshold_percent:g} %",
            fontsize=style.SMALL,
            color=colours.alert,
            va="bottom",
        )
    for on in treated:
        ax.plot([style.day_number(on)], [0], "^", color=colours.second, markersize=12, clip_on=False, zorder=4)
    legend = "bar: 95 % interval" + (" · triangle: treated" if treated else "")
    ax.set_xlabel(legend, fontsize=style.SMALL, color=colours.faint)
    ax.set_ylim(0, top)
    ax.set_xlim(style.day_number(first), style.day_number(last))
    ax.yaxis.set_major_locator(style.round_ticks())
    ax.grid(axis="y", color=colours.grid, linewidth=0.8)
    style.date_ticks(ax, first + timedelta(days=4), last - timedelta(days=4), colours, most=4)
    style.title(figure, f"{title}: mites in 100 bees", colours)
    return style.png(figure)
