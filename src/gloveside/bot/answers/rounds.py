"""Questions about rounds: when cells are ripe, how the take was, how many splits and when."""

from __future__ import annotations

from gloveside.bot.desk import Desk
from gloveside.bot.rounds import RoundView
from gloveside.bot.splits import splits_of
from gloveside.bot.wording.days import as_date, day, span
from gloveside.bot.wording.entries import count, percent
from gloveside.extract.models import Question


def asked_round(desk: Desk, question: Question) -> RoundView | str:
    """The round asked about, or the only open one; else a sentence that says what to do."""
    if question.round is not None:
        return desk.round(question.round) or f"There is no round {question.round} in the record."
    views = desk.open_rounds()
    if len(views) == 1:
        return views[0]
    if not views:
        return "No round is open. Say what you grafted to begin one."
    return f"Which round: {', '.join(str(v.number) for v in views if v.number is not None)}?"


def ripe(desk: Desk, question: Question) -> str:
    """When cells are ripe, when to split, and when queens emerge."""
    view = asked_round(desk, question)
    if isinstance(view, str):
        return view
    c, today = view.calendar, desk.today
    plant, emerge = c.get("plant"), c.get("emergence")
    latest = as_date(plant.latest)
    by = f" (at the latest {day(latest, today)})" if latest > as_date(plant.likely) else ""
    return "\n".join(
        [
            f"{view.name.capitalize()}: ripe {day(plant.likely, today)}{by}",
            f"Splits {day(view.on('splits'), today)}",
            f"Queens emerge {day(emerge.likely, today)} ({span(emerge.earliest, emerge.latest)})",
            f"Grafted {day(view.on('graft'), today)}",
        ]
    )


def take(desk: Desk, question: Question) -> str:
    """How a round took, by bar."""
    view = asked_round(desk, question)
    if isinstance(view, str):
        return view
    row = view.row
    if row.taken is None:
        return f"No take of {view.name} is in the record; check it {day(view.on('take check'), desk.today)}."
    head = f"{view.name.capitalize()}: {row.taken}"
    if row.of:
        head += f" of {row.of} ({percent(row.taken, row.of)})"
    bars = [f"{bar} {taken}{f'/{of}' if of else ''}" for bar, taken, of in row.takes_by_bar]
    return "\n".join([head, *([", ".join(bars)] if bars else [])])


def splits(desk: Desk, question: Question) -> str:
    """How many splits to make for a round, and when."""
    view = asked_round(desk, question)
    if isinstance(view, str):
        return view
    when = day(view.on("splits"), desk.today)
    found = splits_of(view)
    if found is None:
        return f"{view.name.capitalize()} has no take yet. Splits would be {when}: one for each ripe cell."
    lines = [f"{view.name.capitalize()}: {count(found.make, 'split')} on {when}"]
    if found.low != found.high:
        lines.append(f"{found.taken} cells started; {found.low}–{found.high} ripe in 4 of 5 rounds")
    else:
        lines.append(f"{count(found.make, 'ripe cell')} counted")
    if view.splits:
        lines.append(f"{view.splits} made so far")
    lines.append(f"Plant {day(view.on('plant'), desk.today)}")
    return "\n".join(lines)
