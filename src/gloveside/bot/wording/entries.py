"""One kept entry as one short line, without its place and date: the reply's head says those."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from gloveside.bot.wording import days
from gloveside.bot.wording.places import place, places
from gloveside.extract import models as m

_E = TypeVar("_E", bound=m.EntryBase)
_NAMES_PLACES = (m.Plant, m.Split, m.Move)
_LINES: dict[type[m.EntryBase], Callable[[m.EntryBase], str]] = {}


def _says(kind: type[_E]) -> Callable[[Callable[[_E], str]], Callable[[_E], str]]:
    def register(function: Callable[[_E], str]) -> Callable[[_E], str]:
        _LINES[kind] = function  # type: ignore[assignment]  # keyed by the very type that the function takes
        return function

    return register


def line(entry: m.EntryBase) -> str:
    """What the entry says, in trade words, with a capital first letter."""
    text = _LINES[type(entry)](entry)
    return text[:1].upper() + text[1:]


def placed_line(entry: m.EntryBase) -> str:
    """The entry with its place in front, unless the line names its places itself."""
    spot = where(entry)
    text = line(entry)
    return f"{spot}: {text[:1].lower() + text[1:]}" if spot and not isinstance(entry, _NAMES_PLACES) else text


def number(value: float | int | None) -> str:
    """`2`, `2.5`; nothing for None."""
    return "" if value is None else f"{value:g}"


def count(value: float | int | None, one: str, many: str | None = None) -> str:
    """`1 cell`, `3 cells`; `cells` when no number was said."""
    if value is None:
        return many or f"{one}s"
    return f"{number(value)} {one if value == 1 else many or one + 's'}"


def percent(part: int, whole: int) -> str:
    """`63 %`."""
    return f"{round(100 * part / whole)} %"


def where(entry: m.EntryBase) -> str | None:
    """The place or places that the entry is about, as read; None when it has none."""
    many = getattr(entry, "places", None)
    if many:
        return places(many)
    one = getattr(entry, "place", None)
    return place(one) if one else None


def _join(*parts: str | None) -> str:
    return ", ".join(p for p in parts if p)


def _words(*parts: str | None) -> str:
    return " ".join(p for p in parts if p)


@_says(m.Inspection)
def _inspection(e: m.Inspection) -> str:
    queen = {"seen": "queen seen", "not seen": "queen not seen", "virgin": "virgin queen"}.get(e.queen or "", e.queen)
    frames = [
        f"{number(n)} {what}"
        for n, what in (
            (e.brood_frames, "brood"),
            (e.bee_frames, "bees"),
            (e.honey_frames, "honey"),
            (e.pollen_frames, "pollen"),
        )
        if n is not None
    ]
    cells = None
    if e.queen_cells is not None:
        c = e.queen_cells
        what = _words(c.type, "cell" if c.count == 1 else "cells")
        cells = f"no {what}" if c.count == 0 else _words(number(c.count), what, c.done)
    eggs = None if e.eggs is None else ("eggs" if e.eggs else "no eggs")
    framed = f"frames: {', '.join(frames)}" if frames else None
    return _join(queen, eggs, framed, e.strength, e.temper, cells, *(e.signs or ())) or "looked at"


@_says(m.Feed)
def _feed(e: m.Feed) -> str:
    amount = None
    if e.amount is not None:
        if e.unit in ("frame", "patty") and e.feed is not None and e.feed.endswith(e.unit):
            many = e.feed.removesuffix("y") + "ies" if e.feed.endswith("y") else f"{e.feed}s"
            return _words("fed", number(e.amount), e.feed if e.amount == 1 else many)
        many = {"frame": "frames", "patty": "patties"}.get(e.unit or "", e.unit or "")
        amount = _words(number(e.amount), e.unit if e.amount == 1 else many)
    return _words("fed", amount, e.feed)


@_says(m.Treatment)
def _treatment(e: m.Treatment) -> str:
    if "strips" in (e.method, e.product):
        product = None if e.product in (None, "strips") else e.product
        strips = "strip" if e.amount == 1 else "strips"
        return _words(number(e.amount) if e.amount is not None else None, product, strips, e.step)
    amount = _words(number(e.amount), e.unit) if e.amount is not None else None
    return _words(e.product or "treatment", e.method, amount, e.step)


@_says(m.Mites)
def _mites(e: m.Mites) -> str:
    found = count(e.mites, "mite")
    among = f"in {e.bees} bees" if e.bees else (f"in {count(e.days, 'day')}" if e.days else None)
    rate = f"({e.percent:g} %)" if e.percent is not None else None
    return _words(f"{e.method or 'mite count'}:", found, among, rate)


@_says(m.Builder)
def _builder(e: m.Builder) -> str:
    return e.step


@_says(m.Graft)
def _graft(e: m.Graft) -> str:
    bars = f"bars of {days.listed(map(str, e.bars))}" if e.bars else None
    mother = f"from {e.mother}" if e.mother else None
    tool = f"with {e.tool}" if e.tool else None
    return _join(_words("grafted", count(e.larvae, "larva", "larvae"), mother), bars, tool)


@_says(m.Take)
def _take(e: m.Take) -> str:
    rate = f"({percent(e.taken, e.of)})" if e.taken is not None and e.of else None
    head = _words("take:", number(e.taken), f"of {e.of}" if e.of else None, rate)
    bars = [
        f"{b.bar if isinstance(b.bar, str) else f'bar {b.bar}'} {number(b.taken)}{f'/{b.of}' if b.of else ''}"
        for b in e.bars or ()
    ]
    return _join(head, *bars)


@_says(m.Cells)
def _cells(e: m.Cells) -> str:
    return _words(number(e.count), e.state, "cell" if e.count == 1 else "cells")


@_says(m.Incubator)
def _incubator(e: m.Incubator) -> str:
    what = count(e.count, (e.what or "cells").removesuffix("s"))
    step = {"in": "into the incubator", "out": "out of the incubator", "emerged": "emerged"}.get(e.step or "")
    return _words(what, step)


@_says(m.Plant)
def _plant(e: m.Plant) -> str:
    return _words("planted", count(e.count, "cell"), f"in {places(e.places).lower()}" if e.places else None)


@_says(m.Mating)
def _mating(e: m.Mating) -> str:
    return {"laying": "queen laying", "not laying": "not laying yet", "missing": "queen missing"}.get(
        e.result, e.result
    )


@_says(m.Mark)
def _mark(e: m.Mark) -> str:
    marked = f"queen marked {e.colour}" if e.colour else None
    return _join(marked, "clipped" if e.clipped else None) or "queen marked"


@_says(m.Queen)
def _queen(e: m.Queen) -> str:
    return _words("queen", e.step, f"to {e.to}" if e.to else None)


@_says(m.Split)
def _split(e: m.Split) -> str:
    into = f"into {places(e.places).lower()}" if e.places else None
    return _words(count(e.count, "split"), f"from {e.from_}" if e.from_ else None, into)


@_says(m.Unite)
def _unite(e: m.Unite) -> str:
    return _words("united", e.from_, f"into {e.into}" if e.into else None)


@_says(m.Box)
def _box(e: m.Box) -> str:
    return _words(count(e.count if e.count is not None else 1, e.box or "box", f"{e.box or 'boxe'}s"), e.step)


@_says(m.Harvest)
def _harvest(e: m.Harvest) -> str:
    unit = None
    if e.unit:
        unit = e.unit if e.unit == "kg" or e.amount == 1 else {"box": "boxes", "frame": "frames"}[e.unit]
    return _words("honey off:", number(e.amount), unit)


@_says(m.Move)
def _move(e: m.Move) -> str:
    return _words("moved", places(e.places).lower() if e.places else None, f"to {e.to}" if e.to else None)


@_says(m.Loss)
def _loss(e: m.Loss) -> str:
    return _words("colony lost", f"({e.cause})" if e.cause else None)


@_says(m.Sale)
def _sale(e: m.Sale) -> str:
    goods = e.goods or "goods"
    what = count(e.count, goods, goods if goods == "honey" else None)
    each = f"at {number(e.price)} each" if e.price is not None else None
    return _words("sold", what, each, f"to {e.to}" if e.to else None)


@_says(m.Disease)
def _disease(e: m.Disease) -> str:
    return _join(f"suspected {e.suspect or 'disease'}", *(e.signs or ()))


@_says(m.Weather)
def _weather(e: m.Weather) -> str:
    warm = f"{number(e.temperature_c)} °C" if e.temperature_c is not None else None
    return _join(warm, e.words) or "weather"


@_says(m.Task)
def _task(e: m.Task) -> str:
    return _words("to do:", e.text, f"({days.day(e.due)})" if e.due else None)


@_says(m.Note)
def _note(e: m.Note) -> str:
    return f"“{e.text}”"
