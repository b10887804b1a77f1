"""The season plan: each round's time in its builder and in the nucs, and the queens that add up."""

from __future__ import annotations

from datetime import date, timedelta

from gloveside.bot.charts import style
from gloveside.bot.wording.days import as_date
from gloveside.rearing.season import SeasonPlan

ROW_PX = 92


def season_chart(
    plan: SeasonPlan, *, name: str = "Season plan", today: date | None = None, dark: bool = False
) -> bytes:
    """PNG with a row for each round. First bar: in the builder; second: in the nucs until the likely first eggs."""
    if not plan.rounds:
        return style.empty("No round fits into this season", dark=dark)
    colours = style.palette(dark)
    figure, (ax,) = style.canvas(420 + ROW_PX * len(plan.rounds), colours)
    first = min(min(as_date(s.likely) for s in r.calendar) for r in plan.rounds)
    last = max(as_date(r.calendar.get("first eggs").likely) for r in plan.rounds)
    total = 0.0
    for row, r in enumerate(plan.rounds):
        start = min(as_date(s.likely) for s in r.calendar)
        graft, plant, eggs = (as_date(r.calendar.get(n).likely) for n in ("graft", "plant", "first eggs"))
        begin, out, laying = (style.day_number(d) for d in (start, plant, eggs))
        ax.barh(row, out - begin, left=begin, height=0.5, color=colours.main, zorder=2)
        ax.barh(row, laying - out, left=out, height=0.5, color=colours.band, zorder=2)
        ax.plot([style.day_number(graft)], [row], "D", color=colours.second, markersize=7, zorder=3)
        total += r.queens
        style.note(ax, laying, row, f"{r.cells} cells, Σ {total:.0f}", colours, size=style.SMALL)
    ax.set_yticks(range(len(plan.rounds)), [f"{r.number} · {r.builder}" for r in plan.rounds])
    ax.set_ylim(len(plan.rounds) - 0.4, -1.1)
    ax.set_xlim(style.day_number(first), style.day_number(last) + 0.42 * (last - first + timedelta(days=8)).days)
    style.date_ticks(ax, first, last, colours, most=4)
    style.today_line(ax, today, first, last, colours, -0.7)
    ax.set_xlabel(
        "bar: in the builder, then in nucs · diamond: graft\nΣ queens expected so far",
        fontsize=style.SMALL,
        color=colours.faint,
    )
    style.title(figure, f"{name}: {plan.queens} queens, {plan.words}", colours)
    return style.png(figure)
