"""Places in order of a figure of their last notes: most brood, fewest mites, strongest, most honey."""

from __future__ import annotations

from collections.abc import Callable

from gloveside.bot.answers import ages
from gloveside.bot.answers.answer import Answer, ask_back, nothing, told
from gloveside.bot.answers.lists import in_scope
from gloveside.bot.answers.slots import as_of, period, slot, this_season
from gloveside.bot.desk import Desk
from gloveside.bot.wording.days import short
from gloveside.bot.wording.entries import number
from gloveside.bot.wording.places import place as place_name
from gloveside.extract.models import Question
from gloveside.storage.state import PlaceState

_TOP, _MOST = 5, 9
NAMES = {
    "brood_frames": ("brood", "frames of brood"),
    "bee_frames": ("bees", "frames of bees"),
    "honey_frames": ("honey frames", "frames of honey"),
    "pollen_frames": ("pollen", "frames of pollen"),
    "mites_percent": ("mites", "% mites"),
}
_STRENGTH = {"weak": 0.0, "fair": 1.0, "strong": 2.0}


def ranked(desk: Desk, question: Question) -> Answer:
    """The first few places by what was asked, each with the day of its figure."""
    of, least = slot(question, "of"), slot(question, "rank") == "least"
    if slot(question, "rank") in ("oldest", "youngest"):
        return ages.ranked(desk, question)
    if of in ("honey", "honey_frames") and not least and slot(question, "what") != "frames":
        return _honey(desk, question)
    if slot(question, "state") in ("strong", "weak"):
        return _strength(desk, question, least=slot(question, "state") == "weak")
    if of in NAMES:
        title, unit = NAMES[of]
        return _by(
            desk, question, f"{'Least' if least else 'Most'} {title} at the last count", lambda s: getattr(s, of),
            lambda s: f"{_figure(getattr(s, of))} {unit} ({short(getattr(s, f'{_dated(of)}_on'))})", least=least,
        )  # fmt: skip
    return ask_back("Most of what? I can rank brood, bees, stores, pollen, mites, honey and queens' age.")


def _dated(of: str) -> str:
    return "mites" if of == "mites_percent" else of


def _figure(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _living(desk: Desk, question: Question) -> list[PlaceState]:
    found = in_scope(desk, question, as_of(desk, question))
    return found if slot(question, "what") == "nucs" else [s for s in found if s.place.startswith("hive ")] or found


def _top(question: Question) -> int:
    return min(int(slot(question, "top") or _TOP), _MOST)


def _by(
    desk: Desk,
    question: Question,
    title: str,
    value: Callable[[PlaceState], float | None],
    about: Callable[[PlaceState], str],
    *,
    least: bool,
) -> Answer:
    """Places by one figure, those without it left out and counted."""
    living = _living(desk, question)
    known = sorted(
        ((v, s) for s in living if (v := value(s)) is not None), key=lambda found: found[0] if least else -found[0]
    )
    if not known:
        return nothing(f"{title}: none is in the record.")
    shown = known[: _top(question)]
    lines = [f"{place_name(s.place)}: {about(s)}" for _, s in shown]
    tied = sum(v == shown[-1][0] for v, _ in known[len(shown) :])
    if tied:
        lines.append(f"{tied} more with as {'little' if least else 'much'} as the last")
    if len(known) < len(living):
        lines.append(f"{len(living) - len(known)} have no such figure")
    return told(title, *lines, rests_on=[s.last_entry or 0 for _, s in shown])


def _strength(desk: Desk, question: Question, *, least: bool) -> Answer:
    """Strongest or weakest: by the strength said last, among equals by frames of bees, then of brood."""

    def value(s: PlaceState) -> float | None:
        said = _STRENGTH.get(s.strength or "")
        bees, brood = s.bee_frames, s.brood_frames
        if said is None and bees is None and brood is None:
            return None
        return 1000 * (1.0 if said is None else said) + 10 * (bees or 0) + (brood or 0)

    def about(s: PlaceState) -> str:
        days = [d for d in (s.strength_on, s.bee_frames_on, s.brood_frames_on) if d is not None]
        said = [
            s.strength if s.strength_on else None,
            f"{number(s.bee_frames)} of bees" if s.bee_frames is not None else None,
            f"{number(s.brood_frames)} of brood" if s.brood_frames is not None else None,
        ]
        return f"{', '.join(p for p in said if p)} ({short(max(days))})"

    title = f"{'Weakest' if least else 'Strongest'} by the last notes"
    return _by(desk, question, title, value, about, least=least)


def _honey(desk: Desk, question: Question) -> Answer:
    """The hives with the most honey taken in a time, each unit by itself."""
    said = question.since or question.until or slot(question, "season") is not None
    span = period(desk, question) if said else this_season(desk)
    scope = {s.place for s in in_scope(desk, question, desk.today)}
    sums: dict[tuple[str, str], float] = {}
    ids: dict[str, int] = {}
    for e in desk.store.entries.find(kind="harvest", since=span.since, until=span.until):
        if e.place and e.fields.get("amount") is not None and (question.place is None or e.place in scope):
            key = (e.place, str(e.fields.get("unit") or ""))
            sums[key] = sums.get(key, 0) + e.fields["amount"]
            ids[e.place] = e.id
    units = {unit for _, unit in sums}
    best = sorted(sums.items(), key=lambda i: (sorted(units).index(i[0][1]), -i[1]))
    if not best:
        return nothing(f"No honey is in the record {span.words}.")
    shown = [i for unit in sorted(units) for i in [b for b in best if b[0][1] == unit][: _top(question)]]
    lines = [f"{place_name(p)}: {total:g} {unit}".rstrip() for (p, unit), total in shown]
    return told(f"Most honey {span.words}", *lines, rests_on=[ids[p] for (p, _), _ in shown])
