"""Fields that follow from what was said: totals, percent, cups on each bar."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Fields = dict[str, Any]


def take(fields: Fields) -> None:
    """Totals over the bars; `taken` and `of` only where every bar gives them."""
    bars = fields.get("bars") or []
    for name in ("taken", "of"):
        if bars and name not in fields and all(name in b for b in bars):
            fields[name] = sum(b[name] for b in bars)


def graft(fields: Fields) -> None:
    """Larvae are the sum of the bars where only the bars were said; bars follow from their number and cups on each."""
    number, each = fields.pop("bar_count", None), fields.pop("per_bar", None)
    if "bars" not in fields and each:
        if number is None and fields.get("larvae") and fields["larvae"] % each == 0:
            number = fields["larvae"] // each
        if number:
            fields["bars"] = [each] * int(number)
    bars = fields.get("bars")
    if bars and "larvae" not in fields:
        fields["larvae"] = sum(bars)


def mites(fields: Fields) -> None:
    """Mites in 100 bees."""
    if fields.get("bees") and fields.get("mites") is not None:
        fields["percent"] = round(100 * fields["mites"] / fields["bees"], 2)


def plant(fields: Fields) -> None:
    """One cell for each place where a count of one each was said."""
    if fields.pop("each", None) and fields.get("places"):
        fields["count"] = len(fields["places"])
    more = fields.pop("more", None)
    if more and fields.get("count") is not None:
        fields["count"] += sum(more)


def queen(fields: Fields) -> None:
    """A queen introduced to a hive is that hive's own matter: the hive is the place."""
    target = str(fields.get("to", ""))
    if target.startswith(("hive ", "nuc ")) and (fields.get("step") == "introduced" or "place" not in fields):
        fields["place"] = fields.pop("to")


def sale(fields: Fields) -> None:
    """Price of each one from the price of the lot."""
    total = fields.pop("total", None)
    if total is not None and "price" not in fields:
        count = fields.get("count") or 1
        price = total / count
        fields["price"] = int(price) if price == int(price) else round(price, 2)


DERIVE: dict[str, Callable[[Fields], None]] = {
    "take": take,
    "graft": graft,
    "mites": mites,
    "plant": plant,
    "queen": queen,
    "sale": sale,
}
