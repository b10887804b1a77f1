"""Annotating a note: concepts, numbers, places, rounds and dates as labelled spans, and the scope of cues."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import pairwise
from threading import Lock

import spacy
from spacy.lang.en.stop_words import STOP_WORDS
from spacy.language import Language
from spacy.matcher import PhraseMatcher
from spacy.tokens import Doc
from spacy.util import registry

from gloveside.extract import (
    bar_sizes,
    counts,
    dates,
    numbers,
    passive_plans,
    progressive,
    references,
    scopes,
    the_rest,
)
from gloveside.extract.elements import replaceable
from gloveside.extract.lexicon import Concept, concepts
from gloveside.extract.note import STOPS, Cue, Note, Unsure
from gloveside.extract.patterns import Lattice
from gloveside.extract.place_words import HESITATIONS
from gloveside.extract.places import Finder, PlaceSpan, either
from gloveside.extract.register import Register
from gloveside.extract.tokens import NoteTokenizer, split, tidy

# Figures that a rule may ask for as words.
SPELLED = {"1": "one", "2": "two", "3": "three", "4": "four", "5": "five"}
# Before "one" these point at a thing instead of counting it.
POINTS_AT_ONE = {"top", "bottom", "middle", "other", "upper", "lower", "centre"}

TOKENIZER = "gloveside.note_tokenizer"
# Tokens of the longest phrase in the lexicon that may hold a cue.
LONGEST_PHRASE = 7
NO_NAMES = {"couple", "dozen", "few", "pair", "half", "a", "an", "another"}
# Verbs of what came to pass by and by.
TAKING = {
    "took", "taken", "gone", "drank", "drunk", "emptied", "empties", "went", "through", "ate", "eaten", "drew", "drawn",
    "built", "filled", "grew", "gained", "died", "dead", "lost", "cleaned", "finished", "used", "guzzled", "doubled",
}  # fmt: skip
# Work that is named by its day: "yesterday's graft, 40 larvae".
DAYS_WORK = {"take", "graft", "grafting", "grafts", "inspection", "visit", "check", "checks", "wash", "washes"}
DAYS_WORK |= {"splits", "notes", "note", "treatment", "feed", "feeding", "round", "work", "count", "shake", "drop"}
DAYS_WORK |= {"harvest", "extraction", "planting", "marking", "split", "move", "walk", "rounds", "inspections", "roll"}
DAYS_WORK |= {"trickle", "vapour", "batch", "counts", "catch", "sale", "sales", "look"}
DAYS_WORK |= {"nucs", "hives", "lot", "stuff", "ones", "doings", "list", "trip", "session"}
# What a day to come has of its own: "Friday's job is to plant", "in a week's time".
DAYS_PLAN = {"time", "job", "jobs", "task", "tasks", "list", "plan", "plans", "worth"}


@registry.tokenizers(TOKENIZER)  # type: ignore[untyped-decorator]
def _tokenizer() -> Callable[[Language], NoteTokenizer]:
    return lambda nlp: NoteTokenizer(nlp.vocab)


def _forms_by_first_word() -> dict[str, list[tuple[str, list[str]]]]:
    """All forms of all concepts, cut into words, by their first word."""
    forms: dict[str, list[tuple[str, list[str]]]] = {}
    for name, concept in concepts().items():
        for form in (*concept.forms, *concept.heard):
            # plain words need no tokenizer
            words = form.split() if form.replace(" ", "").isalpha() else split(tidy(form))[0]
            forms.setdefault(words[0], []).append((name, words))
    return forms


@cache
def pipeline() -> Language:
    """The spaCy pipeline: our tokenizer, then the lexicon as a component that fills `doc.spans["lexicon"]`."""
    # our tokenizer from the start: the one of English with its special cases takes a third of a second to build
    nlp = spacy.blank("en", config={"nlp": {"tokenizer": {"@tokenizers": TOKENIZER}}})
    matcher = PhraseMatcher(nlp.vocab, attr="LOWER", validate=False)
    waiting, adding = _forms_by_first_word(), Lock()
    order = {name: at for at, name in enumerate(concepts())}

    @Language.component("lexicon")
    def lexicon(doc: Doc) -> Doc:
        # a form joins the matcher when its first word is first met: all of them at once take half a second
        with adding:  # the chat reads on several threads
            for word in {token.lower_ for token in doc} & waiting.keys():
                for name, words in waiting.pop(word):
                    matcher.add(name, [Doc(nlp.vocab, words=words)])
            found = matcher(doc, as_spans=True)
        doc.spans["lexicon"] = sorted(found, key=lambda span: (span.start, span.end, order[span.label_]))
        return doc

    nlp.add_pipe("lexicon")
    return nlp


def _add_concepts(note: Note, names: list[tuple[int, int, Concept]]) -> None:
    widest_soft: dict[int, int] = {}
    for start, end, concept in names:
        note.lattice.add(start, end, concept.name, concept.value)
        for group in concept.classes:
            note.lattice.add(start, end, group, concept.value)
        if concept.soft:
            widest_soft[start] = max(widest_soft.get(start, 0), end - start)
            if concept.name == "filler":
                note.filler.update(range(start, end))
        elif not concept.asked:
            for at in range(start, end):
                note.content.add(at)
                if concept.light or concept.name == "fix_weak":
                    note.light.add(at)
                if not concept.everyday and concept.scope is None:
                    note.trade.add(at)
        if concept.scope:
            note.cues.append(Cue(start, end, concept.scope, concept.name))
    for start, length in widest_soft.items():
        note.lattice.soft[start] = length
        note.soft.update(range(start, start + length))
    wider: dict[int, list[tuple[int, str]]] = {}
    for start, end, concept in names:
        if concept.soft or concept.scope:
            wider.setdefault(start, []).append((end, concept.scope or ""))
    note.cues = [c for c in note.cues if not _swallowed(c, wider)]
    _only_correction(note)
    for cue in note.cues:
        if cue.scope == "negation":
            note.lattice.soft[cue.start] = max(note.lattice.soft[cue.start], cue.end - cue.start)


def _days_work(lower: list[str], at: int) -> bool:
    """Whether work is named by its day, also with a word or two before it: "Monday's alcohol wash"."""
    ahead = lower[at : at + 3]
    if not ahead or ahead[0] in (*STOPS, ",", "hive", "nuc"):
        return True  # "this is all yesterday's", also without a stop
    stop = next((k for k, word in enumerate(ahead) if not word.isalpha()), len(ahead))
    return bool(DAYS_WORK & set(ahead[:stop]))


def _lasted(note: Note, span: dates.DateSpan) -> bool:
    """Whether "in a week" tells how long something took: "hive 35 took 12 litres in a week", "both gone in a day"."""
    if span.past is not None or note.lower[span.start] != "in":
        return False
    own = [k for k in range(span.start) if note.sentence[k] == note.sentence[span.start]]
    planned = any(c.scope in ("future", "question") and c.start in own for c in note.cues)
    return not planned and any(note.lower[k] in TAKING for k in own[-8:])


def _only_correction(note: Note) -> None:
    """Words of a correction name no value: "I mean" says nothing of a temper."""
    values = {name for name, concept in concepts().items() if replaceable().intersection(concept.classes)}
    for cue in note.cues:
        if cue.scope != "correction" or cue.end - cue.start < 2:
            continue
        for at in range(cue.start, cue.end):
            edges = note.lattice.edges[at]
            for label in (values | replaceable()) & set(edges):
                edges[label] = [e for e in edges[label] if e[0] > cue.end]
                if not edges[label]:
                    del edges[label]


def _swallowed(cue: Cue, wider: dict[int, list[tuple[int, str]]]) -> bool:
    """Whether a longer phrase of another sort holds the cue: "what's" in "what's it called"."""
    if cue.scope not in ("question", "future", "condition", "correction") or cue.concept == "remind":
        return False
    return any(
        end >= cue.end and (start, end) != (cue.start, cue.end) and scope != cue.scope
        for start in range(max(0, cue.start - LONGEST_PHRASE), cue.start + 1)
        for end, scope in wider.get(start, ())
    )


def _add_rounds(note: Note, round_nouns: dict[int, int]) -> None:
    for at, end in round_nouns.items():
        pause = int(note.lower[end : end + 2] == [",", "number"])  # "a new round, number 13"
        step = end + pause + 1 if note.lower[end + pause : end + pause + 1] in (["number"], ["no"]) else end
        while note.lower[step : step + 1] and note.lower[step] in HESITATIONS:
            step += 1
        span = note.numbers.get(step)
        if span is not None and not span.ordinal and span.value == int(span.value):
            number, stop = int(span.value), span.end
            other = note.numbers.get(either(note.lower, span.end))
            if other is not None and not other.ordinal and counts.count_meant(note, at, span.value, other.value):
                other = None
            if other is not None and not other.ordinal:
                number, stop = Unsure(number), other.end
                number.rivals = (int(span.value), int(other.value))
            note.lattice.add(at, stop, "R", number)
            note.rounds.append((at, stop, number))
    for first, second in list(pairwise(sorted(note.rounds, key=lambda r: r[0]))):
        if either(note.lower, first[1]) == second[0] and first[2] != second[2]:
            # "round three or round four"
            number = Unsure(first[2])
            number.rivals = (int(first[2]), int(second[2]))
            note.lattice.edges[first[0]]["R"] = [(second[1], number)]
            note.lattice.edges[second[0]].pop("R", None)
            note.rounds = [r for r in note.rounds if r not in (first, second)]
            note.rounds.append((first[0], second[1], number))
    ends = {end: at for at, end in ((s.start, s.end) for s in note.numbers.values() if s.ordinal)}
    for at, end in round_nouns.items():
        if at in ends:
            span = note.numbers[ends[at]]
            note.lattice.add(span.start, end, "R", int(span.value))
            note.rounds.append((span.start, end, int(span.value)))


def annotate(text: str, on: date, register: Register, extra_places: tuple[PlaceSpan, ...] = ()) -> Note:
    """Annotate one note. extra_places: bare numbers that turned out to be places."""
    doc = pipeline()(text)
    lower = [t.lower_ for t in doc]
    lattice = Lattice(len(lower))
    note = Note(doc, lower, lattice, northern=register.northern)
    lexicon = concepts()
    found = [(s.start, s.end, lexicon[s.label_]) for s in doc.spans["lexicon"]]
    _add_concepts(note, found)
    for number in numbers.find(lower):
        only_one = number.value == 1 and number.end == number.start + 1
        if only_one and lower[number.start - 1] in POINTS_AT_ONE and lower[number.end : number.end + 1] != ["of"]:
            continue  # "the bottom one" is no count
        note.numbers[number.start] = number
        lattice.add(number.start, number.end, "ORD" if number.ordinal else "N", number.value)
        if not number.ordinal:
            lattice.add(number.start, number.end, "N1", number.value)
            if number.value < 0:
                lattice.add(number.start, number.end, "M", number.value)
            if number.value == int(number.value) and NO_NAMES.isdisjoint(lower[number.start : number.end]):
                lattice.add(number.start, number.end, "H", number.value)
    for at, word in enumerate(lower):
        if word in ("a", "an", "another", "one") and at not in note.numbers:
            lattice.add(at, at + 1, "N1", 1)
        lattice.add(at, at + 1, "=" + word, str(doc[at].text))
        if word in SPELLED:
            lattice.add(at, at + 1, "=" + SPELLED[word], str(doc[at].text))
        lattice.comma[at] = word in (",", ":", "-")
        if word == "what" and lower[at - 1 : at] == lower[at + 1 : at + 2] == [","]:
            lattice.soft[at], note.cues = 1, [c for c in note.cues if c.start != at]  # "brood on, what, 4 frames"
            note.soft.add(at)
            note.filler.add(at)
        if word == "," and {at - 1, at + 1} & note.filler:
            lattice.soft[at] = max(1, lattice.soft[at])  # "to, um, Tony": the pause belongs to the filler
    counts.in_doubt(note)
    counts.between(note)
    counts.fewer_than(note)
    counts.all_but(note)
    counts.both(note)
    counts.fractions(note)
    counts.summed(note)
    _boundaries(note)
    # "yesterday's newspaper" dates the paper, not the work; "ready for tomorrow's graft" is no plan
    note.dates = [
        d
        for d in dates.find(lower, on)
        if lower[d.end : d.end + 1] != ["'s"]
        or DAYS_PLAN & set(lower[d.end + 1 : d.end + 2])
        or (d.past is not None and _days_work(lower, d.end + 1))
    ]
    note.dates = [d for d in note.dates if not _lasted(note, d)]
    for span in note.dates:
        lattice.add(span.start, span.end, "D", span)
    if not any({"mite_word", "mite_way", "mite_count"} & set(edges) for edges in lattice.edges):
        for span in note.dates:
            if lower[span.start] == "in" and span.future is not None and span.past is None:
                for at in range(span.start, span.end):  # "ripe in 5 days" counts no cells
                    lattice.edges[at].pop("N", None)
                    lattice.edges[at].pop("N1", None)
    nouns: dict[int, tuple[int, str, bool]] = {}
    rounds: dict[int, int] = {}
    counted: set[int] = set()
    for start, end, concept in found:
        if "place_noun" in concept.classes and (start not in nouns or end > nouns[start][0]):
            sort = str(concept.value)
            nouns[start] = (end, sort, concept.name.endswith("s_noun"))
        if concept.name == "round_noun":
            rounds[start] = max(end, rounds.get(start, 0))
        if "counted" in concept.classes:
            counted.add(start)
    parted = counts.parted(note, nouns, counted)
    sizes = bar_sizes.find(note, {end for end, _, _ in nouns.values()} | set(rounds.values()))
    for counting in note.numbers.values():
        if counting.end in counted:  # "into three bars" names no hive
            lattice.edges[counting.start].pop("H", None)
    dated = note.of_dates()
    finder = Finder(
        [t.text for t in doc],
        lower,
        [not t.whitespace_ for t in doc],
        {k: v for k, v in note.numbers.items() if k not in dated},
        nouns,
        counted,
        note.content | dated,
        note.soft,
        register,
        sizes,
    )
    note.places = [
        replace(p, rivals=(f"{p.sort} {parted[p.end]}",)) if p.end in parted and not p.rivals else p
        for p in finder.find()
    ]
    note.places.extend(extra_places)
    references.here(note, found, register)
    note.places.sort(key=lambda p: (p.start, -p.end))
    references.pronouns(note)
    references.in_order(note)
    references.pair(note)
    references.without_excepted(note)
    references.one_of_two(note)
    the_rest.others(note)
    for place in note.places:
        lattice.add(place.start, place.end, "P", place)
        lattice.add(place.start, place.end, "YP" if place.sort == "yard" else "HP", place)
        if lower[place.start] in ("breeder", "donor", "mother", "mum") and place.end > place.start + 1:
            lattice.add(place.start + 1, place.end, "P", place)  # "breeder 21" says both what and which
            lattice.add(place.start + 1, place.end, "HP", place)
        for at in range(place.start + 1, place.end):
            # "builder hive 7": the builder, hive 7
            if at in nouns and nouns[at][1] == place.sort:
                lattice.add(at, place.end, "P", replace(place, start=at))
                break
    for place in references.side_by_side(note):
        lattice.add(place.start, place.end, "P", place)
        lattice.add(place.start, place.end, "HP", place)
    _add_rounds(note, rounds)
    counts.counted_aloud(note)
    counts.names_only(note)
    scopes.looks(note)
    passive_plans.find(note)
    progressive.coming(note)
    scopes.dated(note)
    scopes.errands(note)
    scopes.planned(note)
    _unknown(note)
    scopes.negation(note)
    scopes.future(note)
    return note


def _boundaries(note: Note) -> None:
    """Number sentences and clauses, and tell the lattice where clauses start and end."""
    breaks = {c.start: c.end for c in note.cues if c.scope == "break"}
    sentence = clause = 0
    for at, word in enumerate(note.lower):
        if at in breaks:
            clause += 1
            note.lattice.ends.add(at)
            note.lattice.starts.add(breaks[at])
        note.sentence.append(sentence)
        note.clause.append(clause)
        if word in STOPS:
            sentence, clause = sentence + 1, clause + 1
        elif word == ",":
            clause += 1
        if word in STOPS or word in (",", "and", "then", ":"):
            note.lattice.ends.add(at)
            note.lattice.starts.add(at + 1)


def _unknown(note: Note) -> None:
    """Mark words that nothing covers, and offer runs of up to three of them as names (label W)."""
    covered = set(note.content) | note.soft
    covered |= {at for s in note.numbers.values() for at in range(s.start, s.end)}
    covered |= note.of_places() | note.of_dates()
    length = len(note.lower)
    for at in range(length):
        note.lattice.unknown[at] = at not in covered and note.lower[at][:1].isalpha()
    for at in range(length):
        for end in range(at + 1, min(at + 3, length) + 1):
            word = note.lower[end - 1]
            if not note.lattice.unknown[end - 1] or word in STOP_WORDS or word.endswith("ly"):
                break
            if end > at + 1 and word.endswith(("ed", "ing", "ly")):
                break  # "moved to creek strapped down on the ute"
            note.lattice.add(at, end, "W", note.text(at, end))
