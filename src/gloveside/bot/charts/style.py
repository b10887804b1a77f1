"""What all charts share: size, type, colours for a light and a dark ground, and the way to PNG bytes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from io import BytesIO

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.dates import date2num
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.ticker import FuncFormatter, MaxNLocator

from gloveside.bot.wording.days import short

DPI = 200
WIDTH_PX = 1080
SIZE, SMALL, TITLE = 11.0, 9.5, 14.0


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours that hold apart in daylight and for the common kinds of colour blindness."""

    ground: str
    ink: str
    faint: str
    grid: str
    main: str
    band: str
    second: str
    alert: str
    good: str


LIGHT = Palette("#ffffff", "#1c1c1c", "#5f5f5f", "#dddddd", "#1f5fa8", "#a9c8ea", "#b5651d", "#b3261e", "#2e7d4f")
DARK = Palette("#16181c", "#f1f1f1", "#b4b4b4", "#3a3d44", "#7db4f0", "#34567d", "#e8a565", "#ff8a80", "#7fcf9f")


def palette(dark: bool) -> Palette:
    """The colours for a dark or a light ground."""
    return DARK if dark else LIGHT


def canvas(height_px: float, colours: Palette, rows: int = 1) -> tuple[Figure, list[Axes]]:
    """A figure 1080 pixels wide with `rows` axes, one above the other, in the colours given."""
    figure = Figure(figsize=(WIDTH_PX / DPI, height_px / DPI), dpi=DPI, facecolor=colours.ground, layout="constrained")
    FigureCanvasAgg(figure)
    found = figure.subplots(rows, 1, squeeze=False)
    axes = [row[0] for row in found]
    for ax in axes:
        ax.set_facecolor(colours.ground)
        ax.tick_params(colors=colours.ink, labelsize=SIZE, length=0)
        for side in ax.spines.values():
            side.set_visible(False)
        ax.set_axisbelow(True)
    return figure, axes


def title(figure: Figure, text: str, colours: Palette) -> None:
    """The title, at the left."""
    figure.suptitle(text, x=0.02, ha="left", fontsize=TITLE, fontweight="bold", color=colours.ink)


def png(figure: Figure) -> bytes:
    """The figure as PNG bytes, without a date or program name in them, so that equal data give equal bytes."""
    out = BytesIO()
    figure.savefig(out, format="png", dpi=DPI, facecolor=figure.get_facecolor(), metadata={"Software": None})
    return out.getvalue()


def day_number(on: date) -> float:
    """A date on a chart's axis."""
    return float(date2num(on))  # type: ignore[no-untyped-call]


def date_ticks(ax: Axes, first: date, last: date, colours: Palette, *, most: int = 5) -> None:
    """At most `most` dates below the axis, at even steps from the first day, with faint lines up."""
    span = max(1, (last - first).days)
    step = max(1, -(-span // (most - 1)))
    for nice in (1, 2, 3, 5, 7, 10, 14, 21, 28, 42, 56, 91, 182, 365):
        if nice >= step:
            step = nice
            break
    ticks = [first + timedelta(days=n) for n in range(0, span + 1, step)]
    ax.set_xticks([day_number(t) for t in ticks], [short(t) for t in ticks])
    ax.grid(axis="x", color=colours.grid, linewidth=0.8)


def today_line(ax: Axes, today: date | None, first: date, last: date, colours: Palette, top: float) -> None:
    """A line through today with its name, where today lies within the chart."""
    if today is None or not first <= today <= last:
        return
    ax.axvline(day_number(today), color=colours.alert, linewidth=2, zorder=1.5)
    text = note(ax, day_number(today), top, "today", colours, colour=colours.alert, size=SMALL)
    text.set(fontweight="bold")


def note(
    ax: Axes, x: float, y: float, text: str, colours: Palette, *, colour: str | None = None, size: float = SIZE
) -> Text:
    """Words right of a point, on a patch of the ground so that no line runs through them."""
    return ax.annotate(
        text,
        (x, y),
        xytext=(10, 0),
        textcoords="offset points",
        va="center",
        fontsize=size,
        color=colour or colours.ink,
        bbox={"facecolor": colours.ground, "edgecolor": "none", "pad": 1.0},
        zorder=4,
    )


def month(on: date) -> str:
    """`Nov 26`."""
    return f"{short(on).split()[1]} {on.year % 100:02d}"


def empty(text: str, *, dark: bool) -> bytes:
    """A picture that only says why there is nothing to draw."""
    colours = palette(dark)
    figure, (ax,) = canvas(400, colours)
    ax.set_xticks([])
    ax.set_yticks([])
    ax.text(0.5, 0.5, text, ha="center", va="center", fontsize=TITLE, color=colours.ink, wrap=True)
    return png(figure)


def round_ticks() -> MaxNLocator:
    """At most six round numbers on an axis."""
    return MaxNLocator(nbins=6, steps=[1, 2, 2.5, 5, 10])


def thousands() -> FuncFormatter:
    """Numbers with a comma at the thousands."""
    return FuncFormatter(lambda value, _: f"{value:,.0f}")
