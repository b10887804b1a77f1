"""Questions about one place: the last note, its history, how it stood on a date; and when something was done last."""

from __future__ import annotations

from datetime import date

from gloveside.bot.answers import rounds, states
from gloveside.bot.answers.answer import Answer, ask_back, basis, nothing, told
from gloveside.bot.answers.slots import as_of, of_product, period, slot
from gloveside.bot.desk import Desk
from gloveside.bot.wording.days import day, short
from gloveside.bot.wording.entries import count, line, number, placed_line
from gloveside.bot.wording.places import place as place_name
from gloveside.extract.models import Question
from gloveside.storage.entries import KeptEntry
from gloveside.storage.state import PlaceState

_MOST = 8
_NAMES = {
    "feed": "feed", "treatment": "treatment", "mites": "mite count", "graft": "graft", "sale": "sale", "loss": "loss",
    "plant": "planting", "harvest": "harvest", "builder": "step at the builder", "mark": "marking", "split": "split",
    "inspection": "look", "mating": "mating check", "box": "box", "queen": "queen", "disease": "disease",
}  # fmt: skip


def _place(desk: Desk, question: Question) -> str | None:
    if question.place is not None:
        return question.place
    return desk.register.last_place if slot(question, "kind") is None else None


def last(desk: Desk, question: Question) -> Answer:
    """What was said last about a place, or the last of a kind of work."""
    place, kind = _place(desk, question), slot(question, "kind")
    if question.place is not None and slot(question, "check"):
        return _check(desk, question)
    if question.place is not None and slot(question, "measured"):
        return _measured(desk, question)
    if question.place is not None and slot(question, "queen_seen"):
        return _queen_seen(desk, question.place)
    if question.round is not None and place is None:
        return rounds.steps(desk, question)
    if question.place is None and kind is None:
        return _last_note(desk)
    found = desk.store.entries.find(
        place=place, kind=kind, since=question.since, until=as_of(desk, Question(ask="last", until=question.until)),
        newest_first=True, limit=20,
    )  # fmt: skip
    found = of_product(question, found)
    if not found:
        return nothing(_none(place, kind))
    newest = [e for e in reversed(found) if e.on == found[0].on]
    if kind is not None:
        found = [e for e in found if e.kind == kind]
        newest = [e for e in reversed(found) if e.on == found[0].on]
        lines = [placed_line(e.entry) if place is None else line(e.entry) for e in newest]
        head = f"Last {_NAMES.get(kind, kind)}{f' of {place}' if place else ''}: {day(found[0].on, desk.today)}"
        return told(head, *lines, rests_on=[e.id for e in newest])
    head = f"{place_name(place or '')} · {day(found[0].on, desk.today)}"
    return told(head, *(line(e.entry) for e in newest), rests_on=[e.id for e in newest])


def _measured(desk: Desk, question: Question) -> Answer:
    """The last figure of one thing: brood, bees, stores, temper, strength, mark, mites."""
    place, measure = question.place or "", str(slot(question, "measure"))
    on = as_of(desk, question)
    state = desk.store.states.of(place, on)
    value = getattr(state, measure, None)
    when = getattr(state, "mites_on" if measure == "mites_percent" else f"{measure}_on", None)
    if value is None or when is None:
        return nothing(f"The record does not say that of {place}.", *(_standing(state)[:3]))
    if measure == "mites_percent":
        kept = desk.store.entries.find(kind="mites", place=place, until=on, newest_first=True, limit=1)
        return told(
            f"{place_name(place)}, {day(when, desk.today)}:",
            *(line(e.entry) for e in kept),
            rests_on=[e.id for e in kept],
        )
    words = {"mark": f"marked {value}", "temper": f"temper {value}", "strength": f"{value}"}
    unit = _MEASURED.get(measure, "")
    said = words.get(measure) or f"{number(value)} {unit}"
    kinds = ["mark", "queen"] if measure == "mark" else ["inspection"]
    rests = desk.store.entries.find(kind=kinds, place=place, since=when, until=when)
    return told(f"{place_name(place)}: {said}, {day(when, desk.today)}", rests_on=[e.id for e in rests])


_MEASURED = {
    "brood_frames": "frames of brood", "bee_frames": "frames of bees", "honey_frames": "frames of honey",
    "pollen_frames": "frames of pollen",
}  # fmt: skip


def _queen_seen(desk: Desk, place: str) -> Answer:
    """When the queen of a place was seen last."""
    found = desk.store.entries.find(
        kind=["inspection", "mark", "mating"], place=place, until=desk.today, newest_first=True
    )
    for e in found:
        if e.kind == "mark" or e.fields.get("queen") == "seen" or e.fields.get("result") == "virgin seen":
            return told(f"{place_name(place)}: queen seen {day(e.on, desk.today)}", line(e.entry), rests_on=[e.id])
    return nothing(f"No note says that the queen of {place} was seen.")


def _last_note(desk: Desk) -> Answer:
    """What was said last in this chat."""
    note = desk.store.notes.last(desk.chat)
    found = desk.store.entries.find(note_id=note.id) if note is not None else []
    if not found:
        return nothing("No note of this chat is in the record yet.")
    lines = [placed_line(e.entry) for e in found]
    return told(f"Last note · {day(found[0].on, desk.today)}", *lines, rests_on=[e.id for e in found])


def _none(place: str | None, kind: str | None) -> str:
    what = f"No {_NAMES.get(kind, kind)}" if kind else "Nothing"
    return f"{what} is in the record{f' about {place}' if place else ''}."


def _check(desk: Desk, question: Question) -> Answer:
    """Whether a place is in a state: yes or no, with the last word on it."""
    place = question.place or ""
    on = as_of(desk, question)
    asked = {k: slot(question, f"check_{k}") for k in ("queen", "state", "colour")}
    question = Question(ask="list", **{k: v for k, v in asked.items() if v is not None})
    wanted = states.wanted(question, on, desk.settings)
    state = desk.store.states.of(place, on)
    if wanted is None or state.last_on is None:
        return last(desk, Question(ask="last", place=place))
    known = {
        "queen": state.queen_on,
        "colour": state.mark_on or state.queen_on,
        "weak": state.strength_on, "strong": state.strength_on, "hot": state.temper_on, "calm": state.temper_on,
        "mites high": state.mites_on, "treatment in": state.last_treatment_on,
    }  # fmt: skip
    key = "queen" if question.queen else "colour" if slot(question, "colour") else slot(question, "state")
    if key in known and known[key] is None:
        return nothing(f"The record does not say whether {place} is {wanted.name}.")
    word = "Yes" if wanted.test(state) else "Not by the record"
    about = wanted.about(state) if wanted.test(state) else None
    return told(
        f"{word}: {place}, {wanted.name}" + (f" ({about})" if about else ""),
        *_standing(state),
        rests_on=[state.last_entry or 0],
    )


def history(desk: Desk, question: Question) -> Answer:
    """The notes of a place, of a kind of work or of a round, newest first."""
    kind = slot(question, "kind")
    if question.round is not None and question.place is None:
        return rounds.steps(desk, question)
    if kind == "builder" or (slot(question, "step") and kind in (None, "graft")):
        return rounds.steps(desk, question)
    place = _place(desk, question)
    if place is None and kind is None and question.since is None:
        return ask_back("Which hive or nuc?")
    span = period(desk, question)
    found = desk.store.entries.find(place=place, kind=kind, since=span.since, until=span.until, newest_first=True)
    found = of_product(question, found)
    if kind == "sale":
        found = [
            e for e in found if slot(question, "goods") in (None, f"{e.fields.get('goods')}s", e.fields.get("goods"))
        ]
        if slot(question, "who"):
            return _buyers(found, span.words)
    if kind in ("feed", "harvest") and (span.said or place):
        return summed(found, kind, place, span.words)
    if place is not None and kind is None and span.said and question.since in (None, question.until):
        return _stood(desk, place, question, found)
    if not found:
        return nothing(f"{_none(place, kind)[:-1]}{f' {span.words}' if span.said else ''}.")
    lines = [f"{day(e.on, desk.today)}: {line(e.entry) if place else placed_line(e.entry)}" for e in found]
    head = f"{place_name(place)}" if place else f"{str(_NAMES.get(kind or '', kind or 'notes')).capitalize()}"
    if slot(question, "loose"):
        head = f"What I have on {place}:"
    elif span.said:
        head += f" {span.words}"
    return told(head, *lines, rests_on=[e.id for e in found])


def _stood(desk: Desk, place: str, question: Question, found: list[KeptEntry]) -> Answer:
    """How a place stood at the end of a date, with the notes of its last day."""
    on = as_of(desk, question)
    state = desk.store.states.of(place, on)
    if state.last_on is None:
        return nothing(f"Nothing is in the record about {place} until {day(on, desk.today)}.")
    same_day = [e for e in found if e.on == state.last_on]
    lines = [f"Last note {day(state.last_on, desk.today)}", *(line(e.entry) for e in reversed(same_day))]
    return told(
        f"{place_name(place)} as of {day(on, desk.today)}",
        *_standing(state),
        *lines,
        rests_on=[e.id for e in same_day],
    )


def standing(desk: Desk, place: str, on: date) -> Answer:
    """The last word on each thing that was said of a place up to a date."""
    state = desk.store.states.of(place, on)
    if state.last_on is None:
        return nothing(f"Nothing is in the record about {place}.")
    return told(place_name(place), *_standing(state), rests_on=[state.last_entry or 0])


def _standing(s: PlaceState) -> list[str]:
    """The last word on each thing that was ever said of a place, with its day."""
    if not s.alive:
        return [f"Colony gone {short(s.loss_on) if s.loss_on else ''}: {s.loss_cause or 'no cause said'}"]
    said: list[tuple[object, object]] = [
        (f"queen: {s.queen}" if s.queen else None, s.queen_on),
        (f"marked {s.mark}" if s.mark else None, s.mark_on),
        ("eggs" if s.eggs else "no eggs" if s.eggs is False else None, s.eggs_on),
        (f"{number(s.brood_frames)} frames of brood" if s.brood_frames is not None else None, s.brood_frames_on),
        (s.strength, s.strength_on),
        (s.temper, s.temper_on),
        (f"mites {s.mites_percent:.1f} %" if s.mites_percent is not None else None, s.mites_on),
    ]
    return [f"{str(text)[:1].upper()}{str(text)[1:]} ({short(on)})" for text, on in said if text and on]  # type: ignore[arg-type]


def summed(found: list[KeptEntry], kind: str, place: str | None, words: str) -> Answer:
    """Amounts added up by what was given, and the days."""
    at = f" of {place}" if place else ""
    if not found:
        return nothing(f"No {_NAMES[kind]}{at} is in the record {words}.")
    sums: dict[tuple[str, str], float] = {}
    unsaid = 0
    for e in found:
        amount = e.fields.get("amount")
        if amount is None:
            unsaid += 1
            continue
        what = str(e.fields.get("feed") or ("honey" if kind == "harvest" else "feed"))
        key = (what, str(e.fields.get("unit") or ""))
        sums[key] = sums.get(key, 0) + amount
    verb = "Fed" if kind == "feed" else "Taken"
    lines = [f"{verb} {words}{f', {place}' if place else ''}:"]
    lines += [f"{number(round(total, 2))} {unit} {what}".replace("  ", " ") for (what, unit), total in sums.items()]
    if unsaid:
        lines.append(f"{unsaid} times without an amount")
    if not place:
        hives = {e.place for e in found if e.place}
        lines.append(f"{len(hives)} {'hive' if len(hives) == 1 else 'hives'}, {len(found)} times")
    return told(*lines, basis(found), rests_on=[e.id for e in found])


def _buyers(found: list[KeptEntry], words: str) -> Answer:
    """Who bought, and how much of what, the last buyer first."""
    if not found:
        return nothing(f"No such sale is in the record {words}.")
    by: dict[str, dict[str, float]] = {}
    for e in found:
        goods = by.setdefault(str(e.fields.get("to") or "buyer not said"), {})
        name = str(e.fields.get("goods") or "goods")
        goods[name] = goods.get(name, 0) + e.fields.get("count", 1)
    lines = [
        f"{who}: " + ", ".join(count(n, g, g if g == "honey" else None) for g, n in g_.items())
        for who, g_ in by.items()
    ]
    return told(*(text[:1].upper() + text[1:] for text in lines), basis(found), rests_on=[e.id for e in found])
