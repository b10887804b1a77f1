"""Entries that the tests of notes speak."""

from __future__ import annotations

from datetime import date

from gloveside.extract.models import Doubt, Feed, Inspection

ON = date(2026, 11, 20)
NINETEEN = Doubt(
    entry=0, field="place", said="hive nineteen ninety", options=["hive 19", "hive 90"], ask="Hive 19 or hive 90?"
)


def look(place="hive 12", on=ON, **fields):
    return Inspection(on=on, place=place, **fields)


def fed(place="hive 12", on=ON, litres=2):
    return Feed(on=on, place=place, feed="syrup 1:1", amount=litres, unit="l")


def standing(store):
    return [(e.kind, e.place) for e in store.entries.find()]
