"""Questions about rounds: when cells are ripe, how many splits and when, when each step was done."""

from __future__ import annotations

from datetime import date

from gloveside.bot.answers.answer import Answer, ask_back, nothing, told
from gloveside.bot.answers.slots import slot
from gloveside.bot.desk import Desk
from gloveside.bot.rounds import RoundView
from gloveside.bot.splits import splits_of
from gloveside.bot.wording.days import as_date, day, listed, span
from gloveside.bot.wording.entries import count
from gloveside.bot.wording.places import places
from gloveside.extract.models import Question
from gloveside.storage.rounds import RoundRow

_MOST = 4
STEPS_SAID = {
    "excluder in": "excluder in",
    "slide in": "slide in",
    "slide out": "slide out",
    "graft": "grafted",
    "take check": "take counted",
    "splits": "splits made",
    "plant": "planted",
    "laying check": "first look for eggs",
}

_STEP_OF_KIND = {"graft": "graft", "plant": "plant", "split": "splits"}


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


def _asked(desk: Desk, question: Question) -> list[RoundView] | Answer:
    """The round asked about, or all open ones where none was said."""
    if question.round is not None:
        view = desk.round(question.round)
        return [view] if view else nothing(f"There is no round {question.round} in the record.")
    views = desk.open_rounds()
    if question.place is not None and (there := [v for v in views if v.row.builder == question.place]):
        views = there
    return views or nothing("No round is open. Say what you grafted to begin one.")


def rests(view: RoundView, *steps: str) -> list[int]:
    """Ids of the entries behind a round's steps (all of them where none is named), the graft first."""
    done = [d for d in view.row.done if d.entry_id and (not steps or d.step in steps)]
    return [d.entry_id for d in sorted(done, key=lambda d: (d.step != "graft", d.on))]


def _away(on: date, today: date) -> str:
    days = (on - today).days
    if days == 0:
        return "today"
    if days == 1:
        return "tomorrow"
    return f"in {days} days" if days > 0 else "gone by"


def ripe(desk: Desk, question: Question) -> Answer:
    """When cells are ripe, when to split, and when queens emerge."""
    views = _asked(desk, question)
    if isinstance(views, Answer):
        return views
    today = desk.today
    views = [v for v in views if question.round is not None or v.on("emergence") >= today] or views[-1:]
    if len(views) > 1:
        lines = [f"{v.name.capitalize()}: ripe {day(v.on('plant'), today)}" for v in views[:_MOST]]
        return told(*lines, rests_on=[i for v in views for i in rests(v, "graft")])
    view = views[0]
    c = view.calendar
    plant, emerge = c.get("plant"), c.get("emergence")
    on = as_date(plant.likely)
    latest = as_date(plant.latest)
    if view.row.planted is not None:
        first = f"{view.name.capitalize()}: planted {day(on, today)}"
    else:
        by = f", at the latest {day(latest, today)}" if latest > on else ""
        first = f"{view.name.capitalize()}: ripe {day(on, today)}{by} ({_away(on, today)})"
    word = "emerged" if as_date(emerge.latest) < today else "emerge"
    grafted = "Grafted" if "graft" in view.did else "Graft planned"
    return told(
        first,
        f"Splits {day(view.on('splits'), today)}",
        f"Queens {word} {day(emerge.likely, today)} ({span(emerge.earliest, emerge.latest)})",
        f"{grafted} {day(view.on('graft'), today)}",
        rests_on=rests(view),
    )


def splits(desk: Desk, question: Question) -> Answer:
    """How many splits to make for a round, and when."""
    views = _asked(desk, question)
    if isinstance(views, Answer):
        return views
    today = desk.today
    if question.round is None:
        waiting = [v for v in views if v.number is not None and v.row.planted is None]
        views = waiting or views
    if len(views) > 1:
        lines = []
        for view in views[:_MOST]:
            found = splits_of(view)
            number = "not known before the take" if found is None else count(found.make, "split")
            lines.append(f"{view.name.capitalize()}: {number}, {day(view.on('splits'), today)}")
        return told(*lines, rests_on=[i for v in views for i in rests(v)])
    view = views[0]
    when = day(view.on("splits"), today)
    found = splits_of(view)
    if found is None:
        return told(
            f"{view.name.capitalize()} has no take yet. Splits would be {when}: one for each ripe cell.",
            rests_on=rests(view, "graft"),
        )
    lines = [f"{view.name.capitalize()}: {count(found.make, 'split')} on {when}"]
    if found.low != found.high:
        lines.append(f"{found.taken} cells started; {found.low}–{found.high} ripe in 4 of 5 rounds")
    else:
        lines.append(f"{count(found.make, 'ripe cell')} counted")
    if view.splits or slot(question, "enough"):
        more = found.make - view.splits
        lines.append(f"{view.splits} made so far, " + (f"{more} still to make" if more > 0 else "that is enough"))
    lines.append(f"{'Planted' if view.row.planted is not None else 'Plant'} {day(view.on('plant'), today)}")
    return told(*lines, rests_on=rests(view))


def steps(desk: Desk, question: Question) -> Answer:
    """When the steps of a round were done: the one asked for, or all; the last round where none was said."""
    wanted = slot(question, "step") or _STEP_OF_KIND.get(str(slot(question, "kind")))
    view = _round_with(desk, question, wanted)
    if isinstance(view, Answer):
        return view
    row = view.row
    done = [d for d in row.done if d.step in STEPS_SAID or d.step.startswith("cells")]
    if wanted:
        done = [d for d in done if d.step.startswith(str(wanted))]
    if not done and wanted:
        step = next((s for s in view.calendar if s.step.startswith(str(wanted))), None)
        planned = f" It is due {day(step.likely, desk.today)}." if step and as_date(step.likely) >= desk.today else ""
        return nothing(f"The record has no {wanted} for {view.name}.{planned}")
    lines = []
    for d in done:
        name = STEPS_SAID.get(d.step, d.step)
        number = f" ({d.count})" if d.count is not None and d.step != "laying check" else ""
        lines.append(f"{name[:1].upper()}{name[1:]}{number}: {day(d.on, desk.today)}")
    head = view.name.capitalize() + (f", {row.builder}" if row.builder else "")
    if wanted == "graft":
        lines += _made_of(row)
    if not wanted:
        lines = [*_made_of(row), *lines, *_whereabouts(row)]
    return told(head, *lines, rests_on=[d.entry_id for d in done])


def _made_of(row: RoundRow) -> list[str]:
    """The mother, the tool and the bars of a round."""
    parts = [*(f"from {m}" for m in row.mothers), *(f"with {t}" for t in row.tools)]
    bars = f"bars of {listed(map(str, row.bars))}" if row.bars else ""
    text = ", ".join(p for p in (*parts, bars) if p)
    return [text[:1].upper() + text[1:]] if text else []


def _whereabouts(row: RoundRow) -> list[str]:
    lines = []
    if row.planted_places:
        lines.append(f"In {places(row.planted_places).lower()}")
    if row.matings:
        results: dict[str, int] = {}
        for _, result, _ in row.matings:
            results[result] = results.get(result, 0) + 1
        lines.append(listed(f"{n} {result}" for result, n in sorted(results.items(), key=lambda i: -i[1])))
    return lines


def _round_with(desk: Desk, question: Question, wanted: str | None) -> RoundView | Answer:
    """The round asked about; else the last one up to the date asked in which the step was done, else the last."""
    if question.round is not None:
        return desk.round(question.round) or nothing(f"There is no round {question.round} in the record.")
    coming = desk.coming_round()
    views = [v for v in (desk.round(r.number) for r in desk.store.rounds.all(on=desk.today)[-6:]) if v is not None]
    views = [*views, *([coming] if coming else [])]
    if question.place is not None:
        views = [v for v in views if v.row.builder == question.place] or views
    if question.until is not None:
        views = [v for v in views if any(d.on <= question.until for d in v.row.done)]
    if wanted:
        views = [v for v in views if any(d.step.startswith(wanted) for d in v.row.done)] or views
    return views[-1] if views else ask_back("No round is in the record yet. Say what you grafted to begin one.")
