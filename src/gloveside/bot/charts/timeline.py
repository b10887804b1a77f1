"""The timeline of a round: each step with its band and likely day, and a line through today."""

from __future__ import annotations

from datetime import date, timedelta

from gloveside.bot.charts import style
from gloveside.bot.wording.days import as_date, day, span
from gloveside.rearing.steps import RoundCalendar, Step

ROW_PX = 88


def _label(step: Step) -> str:
    if step.step in ("leave alone", "mating flights"):
        return span(step.earliest, step.latest)
    return day(step.likely) + (" ✓" if step.done else "")


def round_timeline(
    calendar: RoundCalendar, *, name: str = "Round", today: date | None = None, dark: bool = False
) -> bytes:
    """PNG of a round, its steps from top to bottom. today: a local date; no line when it lies outside the round."""
    colours = style.palette(dark)
    steps = list(calendar)
    figure, (ax,) = style.canvas(260 + ROW_PX * len(steps), colours)
    first = min(as_date(s.earliest) for s in steps) - timedelta(days=1)
    last = max(as_date(s.latest) for s in steps) + timedelta(days=1)
    room = (last - first).days * 0.42
    for row, step in enumerate(steps):
        low, likely, high = (style.day_number(as_date(m)) for m in (step.earliest, step.likely, step.latest))
        over = today is not None and as_date(step.latest) < today
        colour = colours.good if step.done else colours.main
        ax.plot([low, high], [row, row], color=colours.band, linewidth=11, solid_capstyle="round", zorder=2)
        if step.step not in ("leave alone", "mating flights"):
            ax.plot([likely], [row], "o", color=colour, markersize=9, zorder=3)
        style.note(ax, high, row, _label(step), colours, colour=colours.faint if over else colours.ink)
    ax.set_yticks(range(len(steps)), [s.step for s in steps])
    ax.set_ylim(len(steps) - 0.4, -1.1)
    ax.set_xlim(style.day_number(first), style.day_number(last) + room)
    style.date_ticks(ax, first, last, colours, most=4)
    style.today_line(ax, today, first, last, colours, -0.7)
    grafted = calendar.get("graft").likely
    style.title(figure, f"{name}, grafted {day(grafted)}", colours)
    return style.png(figure)
