"""One line of caution where work can hurt someone or spread disease. Never a dose.

Sting signs, and the advice to call at once: ASCIA First Aid Plan for Anaphylaxis 2021. Acids: the label, always.
Notifiable disease: nothing moves until the authority has spoken (UK National Bee Unit; NZ AFB Management Agency).
Fire weather: NSW DPI and local fire codes. Lifting: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable

from gloveside.extract import models as m

_ACIDS = ("oxalic", "formic")
_NOTIFIABLE = ("foulbrood", "afb", "efb", "hive beetle", "tropilaelaps")
_STING_WORDS = ("stung", "sting", "stings", "anaphyla", "swollen tongue", "can't breathe", "allergic")
_HOT_C = 30


def for_entry(entry: m.EntryBase, emergency_number: str) -> str | None:
    """The caution that belongs to this entry, or None.

    emergency_number: as set for the operation, shown with stings only.
    """
    match entry:
        case m.Disease():
            suspect = (entry.suspect or "").lower()
            if not suspect or any(word in suspect for word in _NOTIFIABLE):
                return (
                    "May be notifiable: move no bees, combs or gear, clean tools and gloves, "
                    "and call your bee authority; local rules decide."
                )
            return None
        case m.Treatment(step="in" | "given" | None):
            if any(acid in (entry.product or "").lower() for acid in _ACIDS):
                return "Acid: follow the product's label; acid-proof gloves, goggles, right mask, water at hand."
            return "Dose, supers and withholding time: as the product's label says."
        case m.Harvest(unit="box") | m.Box(step="off"):
            return "Full boxes are heavy: lift with two, or frame by frame."
        case m.Weather():
            words = (entry.words or "").lower()
            hot = entry.temperature_c is not None and entry.temperature_c >= _HOT_C
            if hot or "fire" in words:
                return "Fire weather: check the local fire ban before lighting a smoker; water at hand."
            return None
        case m.Note():
            if any(word in entry.text.lower() for word in _STING_WORDS):
                return (
                    "Stings: scrape out at once. Trouble breathing, swollen tongue, dizziness or collapse: "
                    f"lie down, adrenaline if you have it, call {emergency_number}."
                )
            return None
        case _:
            return None


def for_entries(entries: Iterable[m.EntryBase], emergency_number: str) -> list[str]:
    """Each caution once, in the order of the entries."""
    found = (for_entry(e, emergency_number) for e in entries)
    return list(dict.fromkeys(c for c in found if c))
