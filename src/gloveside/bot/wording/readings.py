"""A reading that was not kept, for people: what was heard and what it would become."""

from __future__ import annotations

from gloveside.bot.wording.days import day
from gloveside.bot.wording.entries import line, where
from gloveside.extract.models import Reading


def summary(reading: Reading) -> str:
    """Several short lines: what was heard, each entry, question, order, and the first doubt."""
    if reading.error:
        return f"{reading.source}: {reading.error}"
    lines = [f"“{reading.heard or reading.raw}”"]
    for entry in reading.entries:
        place = where(entry)
        lines.append(" · ".join(p for p in (place, line(entry), day(entry.on)) if p))
    lines += [f"Asks: {q.ask}" for q in reading.questions]
    lines += [f"Order: {o.do}" for o in reading.orders]
    lines += [d.ask for d in reading.doubts[:1]]
    return "\n".join(lines)
