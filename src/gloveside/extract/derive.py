"""Fields that follow from what was said: totals, percent, cups on each bar."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

Fields = dict[str, Any]
# Before the name of a buyer: "a lady named Ruth".
_NAMED = re.compile(
    r"^(?:(?:the|a|an|some|this|that|one) )?(?:[\w-]+ ){0,3}?(?:named|called|name of|by the name of|goes by) (?=\w)",
    re.I,
)
NATIONS = {"chinese", "german", "swiss", "japanese", "italian", "american", "french", "english"}


def take(fields: Fields) -> None:
    """Bars named before their count, then totals; `taken` and `of` only where every bar gives them."""
    bars = _joined_bars(fields.pop("bars", None) or [])
    missed = fields.pop("missed", None)
    if missed is not None and "taken" not in fields and fields.get("of") is not None:
        fields["taken"] = fields["of"] - missed
    elif missed is not None and "of" not in fields and fields.get("taken") is not None:
        fields["of"] = fields["taken"] + missed
    each = fields.pop("of_each", None)
    for bar in bars:
        if each is not None:
            bar.setdefault("of", each)
    if len(bars) == 1 and "bar" not in bars[0]:
        for name, value in bars.pop().items():
            fields.setdefault(name, value)
    for index, bar in enumerate(bars, start=1):
        bar.setdefault("bar", index)
    if bars:
        fields["bars"] = bars
    for name in ("taken", "of"):
        if bars and name not in fields and all(name in b for b in bars):
            fields[name] = sum(b[name] for b in bars)


def tool_name(said: str) -> str:
    """A grafting tool as it is said, without an article, nations with a capital: "Chinese tool"."""
    words = [
        w
        for w in said.lower().split()
        if w not in ("the", "a", "an", "my", "our", "with", "using", "each", "new", "trusty", "same", "usual", "little")
        and w not in ("old", "good", "big", "small", "favourite", "favorite", "own", "um", "uh", "er", "that", "this")
    ]
    return " ".join(w.capitalize() if w in NATIONS else w for w in words)


def _joined_bars(bars: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Join "top bar" with the count that follows it; a bar that never got a count is left out."""
    out: list[dict[str, Any]] = []
    for bar in bars:
        said_twice = bool(out) and "of" not in out[-1] and out[-1].get("taken") == bar.get("taken")
        open_bar = bool(out) and "taken" not in out[-1]
        unnamed = bool(out) and "bar" not in bar and (open_bar or said_twice)
        if unnamed or (open_bar and out[-1].get("bar", "") == bar.get("bar")):
            out[-1] = out[-1] | bar
        else:
            out.append(dict(bar))
    return [b for b in out if "taken" in b]


def graft(fields: Fields) -> None:
    """Larvae are the sum of the bars where only the bars were said; bars follow from their number and cups on each."""
    fields.pop("act", None)
    number, each = fields.pop("bar_count", None), fields.pop("per_bar", None)
    if "bars" not in fields and each:
        if number is None and fields.get("larvae") and fields["larvae"] % each == 0:
            number = fields["larvae"] // each
        if number:
            fields["bars"] = [each] * int(number)
    if "bars" not in fields and number == 1 and fields.get("larvae"):
        fields["bars"] = [fields["larvae"]]
    if fields.get("place") is not None and fields.get("place") == fields.get("mother"):
        del fields["place"]  # a colony does not build cells out of its own larvae
    tool = fields.get("tool")
    if isinstance(tool, str):
        fields["tool"] = tool_name(tool)
    bars = fields.get("bars")
    if bars and "larvae" not in fields:
        fields["larvae"] = sum(bars)


def mites(fields: Fields) -> None:
    """Mites in 100 bees."""
    if fields.get("bees") and fields.get("mites") is not None:
        fields["percent"] = round(100 * fields["mites"] / fields["bees"], 1)


def plant(fields: Fields) -> None:
    """Cells in all where a count for each place was said: "nucs 5 and 6 got two cells apiece" is four."""
    each = fields.pop("each", None)
    if each and fields.get("places"):
        # "14 cells in every nuc from 1 to 14" is one for each
        fields["count"] = int(each) if each == len(fields["places"]) > 2 else int(each) * len(fields["places"])
    fields.pop("whole", None)
    more = fields.pop("more", None)
    if more and fields.get("count") is not None:
        fields["count"] += sum(more)


def cells(fields: Fields) -> None:
    """That all of them are in a state needs no count."""
    fields.pop("whole", None)


def queen(fields: Fields) -> None:
    """A queen introduced to a hive is that hive's own matter: the hive is the place."""
    target = str(fields.get("to", ""))
    if target.startswith(("hive ", "nuc ")) and fields.get("place", target) == target:
        fields["place"] = fields.pop("to")


def mark(fields: Fields) -> None:
    """That she was marked needs no colour."""
    fields.pop("marked", None)


def sale(fields: Fields) -> None:
    """Price of each one, from hundreds as they are spoken too: "two fifty" is 250.

    A price of the lot is shared out where it goes into as many whole cents each. A cell or a jar does not cost
    hundreds: for these "two fifty" is 2.50.
    """
    hundreds, rest = fields.pop("hundreds", None), fields.get("price")
    if hundreds is not None and rest is not None:
        if fields.get("goods") in ("cell", "honey"):
            fields["price"] = hundreds + rest / 100
        elif rest >= 100:
            fields.setdefault("count", hundreds)  # "four of them, 240 each"
        elif hundreds < 20 and rest >= 10:
            fields["price"] = hundreds * 100 + rest
    total = fields.pop("total", None)
    count = fields.get("count")
    if total is not None and count and round(total * 100) % count == 0:
        each = total / count
        fields["price"] = int(each) if each == int(each) else each
    apart = fields.pop("apart", None)
    if isinstance(apart, str) and apart[:1].isupper():
        fields.setdefault("to", apart)  # "2 queens, Brent, 50 each"
    buyer = fields.get("to")
    if isinstance(buyer, str):
        buyer = fields["to"] = named(buyer)
    if isinstance(buyer, str) and buyer.islower() and buyer.split(" ")[0] not in ("hive", "nuc", "yard"):
        fields["to"] = _buyer(buyer)


def named(buyer: str) -> str:
    """The name of a buyer who is told by it: "Ruth" of "a lady named Ruth"."""
    return _NAMED.sub("", buyer)


def _buyer(said: str) -> str:
    """A buyer heard without capitals: "Margaret", "the school", "the bloke in Geraldine"."""
    words = [w for w in said.split() if w not in ("um", "uh", "er", "erm")]
    if words[:1] and words[0] not in ("the", "a", "my", "our", "this", "some"):
        return " ".join(words).title()
    return " ".join(
        w.title() if i and words[i - 1] in ("in", "at", "called", "named") else w for i, w in enumerate(words)
    )


def feed(fields: Fields) -> None:
    """Amounts in litres and kilograms; that the colony was fed needs no amount."""
    fields.pop("fed", None)
    pounds(fields)
    small = {"ml": "l", "g": "kg"}.get(str(fields.get("unit")))
    if small is not None:
        fields["unit"] = small
        amount = fields["amount"] / 1000
        fields["amount"] = int(amount) if amount == int(amount) else round(amount, 4)


# Substances that stay in the hive; the others are given once.
_STAYS = frozenset(["thymol", "formic acid", "amitraz", "flumethrin", "tau-fluvalinate", "coumaphos", "hop beta acids"])


def treatment(fields: Fields) -> None:
    """`strips` where no substance was said; the step that the method implies. Never a dose."""
    method, product = fields.get("method"), fields.get("product")
    if method == "strips" and product is None:
        fields["product"] = product = "strips"
    if "step" not in fields:
        fields["step"] = "in" if method in ("strips", "pads") or product in _STAYS else "given"
    elif fields["step"] == "in" and (
        method in ("trickle", "vapour") or (product in ("oxalic acid", "lactic acid") and method is None)
    ):
        fields["step"] = "given"
    if method == "strips":
        fields.pop("unit", None)


# One pound in kilograms, exact by definition (international pound of 1959).
POUND = 0.45359237


def pounds(fields: Fields) -> None:
    """Pounds as kilograms, to ten grams."""
    if fields.get("unit") == "lb" and fields.get("amount") is not None:
        fields["unit"], fields["amount"] = "kg", round(fields["amount"] * POUND, 2)


def weather(fields: Fields) -> None:
    """The words as one text, in the order in which they were said; degrees Fahrenheit as Celsius."""
    fahrenheit = fields.pop("fahrenheit", None)
    if fahrenheit is not None:
        fields.setdefault("temperature_c", round((fahrenheit - 32) * 5 / 9, 1))
    below = fields.pop("below", None)
    if below is not None:
        fields.setdefault("temperature_c", -below)
    words = fields.get("words")
    if isinstance(words, list):
        fields["words"] = ", ".join(dict.fromkeys(words))


DERIVE: dict[str, Callable[[Fields], None]] = {
    "take": take,
    "graft": graft,
    "mites": mites,
    "cells": cells,
    "plant": plant,
    "mark": mark,
    "queen": queen,
    "sale": sale,
    "feed": feed,
    "treatment": treatment,
    "weather": weather,
    "harvest": pounds,
}
