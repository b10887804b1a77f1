"""The constants of hearing in one place: measured in `bench/`, never in the code that uses them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class HearingSettings:
    """How hearing weighs things.

    ask_below: a reading whose chance is less is asked about.  rivals, repair, doubts: switch a step off, for measuring.
    rival_weight: cost of one nat of the engine's score, in words; rival_lead: by how many words a rival must lead.
    bonus, sound_cost: gain of a repair = score difference + bonus - sound_cost * distance (nats).
    distance_cost: the same without an engine's score, in words; least_better: words by which the note must read better.
    surely: a mishearing as near as this is tried even in a note without any word of the trade.
    furthest, furthest_unscored: the most distant sound that is tried, with and without a score.
    most_rivals, most_proposals, scored_proposals: how many hypotheses, repairs, and repairs by sound are tried.
    most_scores: how often the engine's sound may be asked in one note.
    certain: a number heard with this probability has no rivals.
    margin: a number whose rival is nearer than this (nats) is asked about.
    rival_gap: mean score by which a hypothesis may be worse and still cast doubt on a number.
    """

    ask_below: float = 0.6
    rivals: bool = True
    repair: bool = True
    doubts: bool = True
    rival_weight: float = 0.6
    rival_lead: float = 0.75
    bonus: float = 8.0
    sound_cost: float = 20.0
    distance_cost: float = 5.0
    least_better: float = 0.9
    surely: float = 0.05
    furthest: float = 0.42
    furthest_unscored: float = 0.34
    most_rivals: int = 4
    most_proposals: int = 8
    scored_proposals: int = 3
    most_scores: int = 6
    certain: float = 0.9
    margin: float = 2.0
    rival_gap: float = 0.06
