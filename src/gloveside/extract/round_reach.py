"""Which facts a round belongs to, by where it stands: as another matter of its own, or closing what was told."""

from __future__ import annotations

from gloveside.extract.frames import Match
from gloveside.extract.note import PREPOSITIONS, STOPS, Note


def own_fact(note: Note, matches: list[Match], match: Match, said: tuple[int, int, int]) -> bool:
    """Whether a round opens another fact: "2 bars of 20 into hive 7, and as for the old lot, round 5 has 22 capped"."""
    clause = note.clause[said[0]]
    opens = said[0] == 0 or note.clause[said[0] - 1] != clause or note.lower[said[0] - 1] == ","
    return opens and any(
        note.clause[m.start] == clause
        and m.rule.kind != match.rule.kind
        and m.start >= said[0]
        and m.rule.role != "slot"
        for m in matches
    )


# Said after a round that closes what was told: "round 4 that is".
CLOSING = frozenset(["that", "is", "was", "this", "that's", "it's", "it", "one", ","])


def trails(note: Note, said: tuple[int, int, int]) -> bool:
    """Whether a round closes what was told, though a guess stands before it: "they'll smell her again, round 4"."""
    if note.blocked[said[0]].concept not in ("maybe_future", "condition", "will_need"):
        return False
    sentence, places = note.sentence[said[0]], note.of_places()
    others = [r for r in note.rounds if note.sentence[r[0]] == sentence and r != said]
    end = said[1]
    while end < len(note.lower) and note.sentence[end] == sentence:
        if not (note.lower[end] in CLOSING or end in places or end in note.soft or note.lower[end] in STOPS):
            return False
        end += 1
    return not others and note.lower[said[0] - 1] not in PREPOSITIONS
