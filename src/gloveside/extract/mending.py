"""Misheard words put right where the whole note then reads: guarded, one pass, everyday words left as they are."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from gloveside.extract import everyday, phonemes, repair
from gloveside.extract.heard import Change, Context, Heard, count, merit, understood, unread
from gloveside.extract.reader import Parse
from gloveside.extract.tokens import split
from gloveside.extract.written import text_of


def of_the_trade(lower: Sequence[str]) -> bool:
    """Whether a text speaks of the trade: one of its own words, or a hive, nuc or round with a number."""
    named = any(a in repair.WANTS_NUMBER and b.isdigit() for a, b in pairwise(lower))
    return named or any(word in repair.trade_words() for word in lower)


def worth_mending(parse: Parse, text: str) -> bool:
    """Whether something in a text may be misheard: an uncommon word over, a doubt, or nothing made of the trade."""
    if parse.questions or parse.orders:
        return bool(unread(parse))
    if unread(parse) or parse.doubts:
        return True
    return bool(parse.unclaimed) and not understood(parse) and of_the_trade([w.lower() for w in split(text)[0]])


def _missing(parse: Parse) -> int:
    """Doubts about something that was not said at all ("Which hive?")."""
    return sum(not d.said for d in parse.doubts)


def _free(lower: list[str], parse: Parse) -> set[int]:
    """Tokens that may be misheard: unclaimed ones, and all of a text of the trade that gives nothing."""
    unclaimed = set(parse.unclaimed)
    found = {i for i, word in enumerate(lower) if word in unclaimed and word[:1].isalnum()}
    # the word before a number that nothing claims may be a misheard hive, nuc or round ("next 1 to 4", "I've 12")
    found |= {i - 1 for i in found if i and lower[i].isdigit() and lower[i - 1][:1].isalnum()}
    wanting = (i for i in range(1, len(lower)) if lower[i - 1] in repair.WANTS_NUMBER)
    found |= {i for i in wanting if lower[i] in repair.SOUNDS_LIKE_NUMBER}
    if not (understood(parse) or parse.questions or parse.orders) and of_the_trade(lower):
        found |= {i for i, word in enumerate(lower) if word[:1].isalnum()}
    return found


def _turns_round(proposal: repair.Proposal, lower: Sequence[str]) -> bool:
    """Whether a proposal takes a negation away: "slide isn't on hive 8" as "slide is in on hive 8"."""
    return proposal.text == "is in" and list(lower[proposal.start : proposal.end]) == ["isn't"]


def _wanted(proposal: repair.Proposal, lower: list[str], scored: bool, context: Context) -> bool:
    """Whether a proposal is worth a trial.

    Everyday words stay: but for known mishearings and nouns before a number that are known to be misheard for a place.
    Where no engine can be asked, as in typed text, every other English word stays as well.
    """
    settings = context.settings
    window = lower[proposal.start : proposal.end]
    if proposal.named:
        return repair.known_head(window[0]) or not phonemes.is_english(window[0])
    known = tuple(window) in repair.misheard() and proposal.distance <= settings.surely
    if known:
        return len(window) > 1 or not everyday.is_everyday(window[0])
    if proposal.touches:
        return not any(everyday.is_everyday(w) for w in window if w not in repair.SOUNDS_LIKE_NUMBER)
    if _turns_round(proposal, lower):
        return scored  # only the sound can tell "isn't on" from "is in on"
    if any(everyday.is_everyday(word) for word in window):
        return False
    if not of_the_trade(lower) and proposal.distance > settings.surely:
        return False
    if scored:
        return proposal.distance <= settings.furthest
    return proposal.distance <= settings.furthest_unscored and not any(phonemes.is_english(word) for word in window)


def _reads(before: Parse, after: Parse, text: str) -> bool:
    """Whether a repaired text reads as a note of the trade: more claimed, nothing newly missing."""
    if not understood(after) or _missing(after) > _missing(before) or len(after.questions) > len(before.questions):
        return False
    if understood(before):
        return len(after.unclaimed) + len(after.doubts) < len(before.unclaimed) + len(before.doubts)
    if _missing(after):
        return False
    words, _ = count(text)
    return len(after.unclaimed) <= words // 8


def mend(heard: Heard, parse: Parse, context: Context) -> None:
    """Put the best proposals in, one pass, and only where the whole then reads."""
    settings = context.settings
    words, spaces = split(heard.text)
    lower = [w.lower() for w in words]
    scored = heard.segment.scorer is not None
    found = repair.proposals(lower, _free(lower, parse), context.register)
    kept = [p for p in found if _wanted(p, lower, scored, context)]
    if not kept:
        return
    base = merit(parse)
    trials: list[tuple[float, repair.Proposal]] = []
    for proposal in kept[: settings.most_proposals]:
        other = context.parse(put(words, spaces, [proposal]))
        better = merit(other) - base
        if better >= _needed(proposal, context) and _missing(other) <= _missing(parse):
            trials.append((better - settings.distance_cost * proposal.distance, proposal))
    trials.sort(key=lambda g: -g[0])
    taken: list[repair.Proposal] = []
    used: set[int] = set()
    reached = base
    for gain, proposal in _believed(trials, heard, words, spaces, context):
        span = set(range(proposal.start, proposal.end))
        if span & used:
            continue
        trial = sorted([*taken, proposal], key=lambda p: p.start)
        now = merit(context.parse(put(words, spaces, trial)))
        if now < reached + _needed(proposal, context):
            continue
        taken, used, reached = trial, used | span, now
        said = " ".join(words[proposal.start : proposal.end])
        heard.changes.append(Change(said, proposal.text, round(gain, 2), proposal.touches))
    text = put(words, spaces, taken)
    if taken and _reads(parse, context.parse(text), text):
        heard.text = text
    else:
        heard.changes.clear()


def _needed(proposal: repair.Proposal, context: Context) -> float:
    return 0.5 if proposal.touches else context.settings.least_better


def _believed(
    trials: Sequence[tuple[float, repair.Proposal]],
    heard: Heard,
    words: list[str],
    spaces: list[bool],
    context: Context,
) -> list[tuple[float, repair.Proposal]]:
    """The trials that gain, best first. With an engine at hand its score decides, for the few best of them."""
    if not trials:
        return []
    settings = context.settings
    base = context.score(heard.segment, heard.text)
    if base is None:
        # the sound is spent or was never there: only what needs no sound is believed
        scored = heard.segment.scorer is not None
        return [(g, p) for g, p in trials if g > 0 and (not scored or p.distance <= settings.surely)]
    out = []
    for _, proposal in trials[: settings.scored_proposals]:
        score = context.score(heard.segment, put(words, spaces, [proposal]))
        if score is None:
            break
        gain = score - base + settings.bonus - settings.sound_cost * proposal.distance
        if _turns_round(proposal, [w.lower() for w in words]):
            gain = score - base  # no help for what would say the opposite
        if gain > 0:
            out.append((gain, proposal))
    return sorted(out, key=lambda g: -g[0])


def as_meant(text: str, context: Context) -> str:
    """Known mishearings that the rules read anyhow, shown as what was meant ("mux 1 to 4" as "nucs 1 to 4")."""
    words, spaces = split(text)
    known = repair.unmistakable([w.lower() for w in words])
    if not known:
        return text
    better = put(words, spaces, known)
    return better if merit(context.parse(better)) >= merit(context.parse(text)) else text


def put(words: list[str], spaces: list[bool], proposals: Sequence[repair.Proposal]) -> str:
    """The text with proposals put in; case and punctuation around them are kept."""
    out, gaps, at = [], [], 0
    for proposal in proposals:
        out.extend(words[at : proposal.start])
        gaps.extend(spaces[at : proposal.start])
        text = proposal.text
        out.append(text[:1].upper() + text[1:] if words[proposal.start][:1].isupper() else text)
        gaps.append(spaces[proposal.end - 1])
        at = proposal.end
    return text_of([*out, *words[at:]], [*gaps, *spaces[at:]])
