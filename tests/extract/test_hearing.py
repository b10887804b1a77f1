"""Hearing: rival texts, repair by sound, number doubts, learnt words, long notes, and talk left alone."""

from __future__ import annotations

from datetime import date
from functools import cache

import pytest

from gloveside.extract import phonemes, repair, rivals
from gloveside.extract.hearing import read_text, read_transcript
from gloveside.extract.hearing_settings import HearingSettings
from gloveside.extract.models import Reading
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register
from gloveside.extract.written import shown, written
from gloveside.speech.transcript import Hypothesis, Segment, Transcript, Word

ON = date(2026, 11, 20)
REGISTER = Register(
    places=frozenset([f"hive {n}" for n in range(1, 61)] + [f"nuc {n}" for n in range(1, 25)]),
    builders=frozenset(["hive 7"]),
)


@cache
def reader() -> Reader:
    return Reader()


class Table:
    """An engine's scores as a table; what is not in it scores low."""

    def __init__(self, scores: dict[str, float]) -> None:
        self.scores = scores
        self.asked: list[str] = []

    def score(self, text: str) -> float:
        self.asked.append(text)
        return self.scores.get(text, -50.0)


def heard(*segments: Segment, register: Register = REGISTER, **switches: bool) -> Reading:
    note = Transcript(segments, 3.0, "test")
    return read_transcript(note, reader(), on=ON, register=register, settings=HearingSettings(**switches))


def segment(text: str, *rivals_: tuple[str, float], scorer: Table | None = None) -> Segment:
    alternatives = (Hypothesis(text, -0.2), *(Hypothesis(t, s) for t, s in rivals_)) if rivals_ else ()
    return Segment(text=text, start=0.0, end=3.0, alternatives=alternatives, score=-0.2, scorer=scorer)


def fields(reading: Reading, index: int = 0) -> dict[str, object]:
    entry = reading.entries[index].model_dump(mode="json", by_alias=True)
    return {k: v for k, v in entry.items() if k not in ("sure", "on")}


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("High 12 is queen right, eight frames of brood", "hive 12 is queenright 8 frames of brood"),
        ("knucks 1 to 4 are laying", "nucs 1 to 4 are laying"),
        ("necks one to four laying", "nucs 1 to 4 laying"),
        ("mux 1 to 4 laying", "nucs 1 to 4 laying"),
        ("graph take round two, 24 of 40", "graft take round 2, 24 of 40"),
        ("Vera will count hive 9, 12 out of 300", "varroa count hive 9, 12 out of 300"),
        ("I've 12, queen seen", "hive 12 queen seen"),
        ("exclude her in on hive 8", "excluder in on hive 8"),
    ],
)
def test_usual_mishearings_are_read_as_what_was_meant(typed: str, meant: str) -> None:
    """The mishearings are those measured on synthetic voices; none touches a number, so none is asked about."""
    reading = read_text(typed, reader(), on=ON, register=REGISTER)
    assert reading.raw == typed
    assert reading.heard.replace(",", "") == meant.replace(",", "")
    assert any(entry.kind != "note" for entry in reading.entries)
    assert reading.doubts == []
    assert reading.keep


@pytest.mark.parametrize(
    ("typed", "place"),
    [("five 12, eight frames of brood", "hive 12"), ("nuc for is laying", "nuc 4"), ("hive ate queenless", "hive 8")],
)
def test_a_repair_that_touches_a_number_is_asked_about(typed: str, place: str) -> None:
    reading = read_text(typed, reader(), on=ON, register=REGISTER)
    assert fields(reading)["place"] == place
    assert not reading.keep
    assert reading.doubts[0].field == "place"
    assert place in reading.doubts[0].options


@pytest.mark.parametrize(
    "typed",
    [
        "my back is sore today",
        "Dave wants to come along on Saturday",
        "that cell phone bill was ninety dollars",
        "she's the queen of our house",
        "I put the picture in a nice frame",
        "drones at the wedding, you know, with the cameras",
        "honey, I'm home",
        "somebody should fix this road",
    ],
)
def test_other_talk_is_left_alone(typed: str) -> None:
    reading = read_text(typed, reader(), on=ON, register=REGISTER)
    assert [entry.kind for entry in reading.entries] == ["note"]
    assert reading.questions == []
    assert reading.doubts == []


def test_the_hypothesis_that_reads_is_chosen() -> None:
    good = "Hive 12, queen seen, 8 frames of brood."
    reading = heard(segment("Hive 12, Queensland, 8 frames a brute.", (good, -0.25)))
    assert fields(reading) == {"kind": "inspection", "place": "hive 12", "queen": "seen", "brood_frames": 8}
    alone = heard(segment("Hive 12, Queensland, 8 frames a brute.", (good, -0.25)), rivals=False, repair=False)
    assert fields(alone) != fields(reading)


def test_the_first_hypothesis_wins_ties_and_shorter_rivals_never_win() -> None:
    text = "Grafted 40 larvae into Hive 7, 2 bars of 20."
    reading = heard(segment(text, ("Grafted 40 larvae into Hive 7.", -0.1), ("Grafted", -0.05)))
    assert fields(reading)["bars"] == [20, 20]


def test_a_near_rival_of_a_number_is_asked_about_and_a_far_one_is_not() -> None:
    text = "Hive 19, queen seen."
    near = heard(segment(text, scorer=Table({text: -2.0, "Hive 90, queen seen.": -3.0})), register=Register())
    assert near.doubts[0].options == ["hive 19", "hive 90"]
    assert near.doubts[0].ask == "Hive 19 or hive 90?"
    assert not near.keep
    far = heard(segment(text, scorer=Table({text: -2.0, "Hive 90, queen seen.": -12.0})), register=Register())
    assert far.doubts == []
    assert far.keep


def test_no_doubt_between_a_known_hive_and_one_that_does_not_exist() -> None:
    text = "Hive 19, queen seen."
    reading = heard(segment(text, scorer=Table({text: -2.0, "Hive 90, queen seen.": -2.5})))
    assert reading.doubts == []


def test_hypotheses_that_differ_in_one_number_cast_doubt_without_a_scorer() -> None:
    reading = heard(segment("Wash on Hive 30, 9 mites in 300.", ("Wash on Hive 30, 5 mites in 300.", -0.22)))
    assert reading.doubts[0].field == "mites"
    assert reading.doubts[0].options == [9, 5]


def test_the_engine_decides_between_a_word_and_its_repair() -> None:
    said = "Fed Hive 14 2 leaders of syrup."
    meant = "Fed Hive 14 2 litres of syrup."
    taken = heard(segment(said, scorer=Table({said: -9.0, meant: -10.0})))
    assert fields(taken)["amount"] == 2
    refused = heard(segment(said, scorer=Table({said: -2.0, meant: -40.0})))
    assert "litres" not in refused.heard


@pytest.mark.parametrize(
    "typed",
    [
        "hive forty, not fourteen",
        "actually that was hive sixteen",
        "slide isn't on hive 8",
        "I mean nuc 8, virgin seen",
        "took 2 soups off hive 20",
        "checked the fence by hive 9, all clean there, queen seen",
        "hive 12 queen seen, left my best hat on the side of the road",
        "left a note about the market for hive 3, eight frames of brood",
    ],
)
def test_typed_everyday_words_stay_as_they_were_typed(typed: str) -> None:
    """Faults seen in use: "not" taken for "mite", "that was" for "loss"; whoever types means the word."""
    reading = read_text(typed, reader(), on=ON, register=REGISTER)
    assert shown(written(typed)) == reading.heard
    assert not any(entry.kind in ("mites", "loss") for entry in reading.entries)


def test_everyday_words_stay_in_speech_whatever_the_engine_would_like() -> None:
    said = "Hive 12, queen seen, that was not my friend."
    scores = Table({said: -90.0})
    reading = heard(segment(said, scorer=scores))
    assert reading.heard == "hive 12 queen seen that was not my friend"


def test_an_uncommon_word_is_repaired_where_the_engine_agrees() -> None:
    said, meant = "Took 2 soups off Hive 20.", "Took 2 supers off Hive 20."
    assert "supers" in heard(segment(said, scorer=Table({said: -6.0, meant: -8.0}))).heard
    assert "soups" in heard(segment(said, scorer=Table({said: -2.0, meant: -30.0}))).heard


def test_a_note_that_reads_cleanly_costs_no_second_look_at_the_sound() -> None:
    said = "Hive 14, queen seen, 8 frames of brood."
    words = tuple(Word(w, 0.0, 0.1, 0.99) for w in said.split())
    scorer = Table({said: -1.0})
    reading = heard(Segment(text=said, start=0.0, end=3.0, words=words, score=-0.05, scorer=scorer))
    assert scorer.asked == []
    assert reading.keep
    assert reading.entries[0].sure is not None


def test_a_note_full_of_trouble_asks_the_engine_at_most_six_times() -> None:
    said = "Hive 14, 15, 16, 17, 18, 19 and 13 grommets, soups, leaders, brutes, hats."
    words = tuple(Word(w, 0.0, 0.1, 0.3) for w in said.split())
    scorer = Table({said: -1.0})
    heard(Segment(text=said, start=0.0, end=3.0, words=words, score=-0.6, scorer=scorer), register=Register())
    assert len(scorer.asked) <= HearingSettings().most_scores


@pytest.mark.parametrize("typed", ["hive 12 queenless", "round 2, 24 of 40 taken", "fed hive 3 two litres of syrup"])
def test_typed_text_that_reads_fully_is_sure(typed: str) -> None:
    reading = read_text(typed, reader(), on=ON, register=REGISTER)
    assert reading.keep
    assert all((entry.sure or 0.0) >= 0.95 for entry in reading.entries)


def test_learnt_words_are_put_in_first() -> None:
    register = Register(places=REGISTER.places, corrections={"kipper dust": "pollen patty"})
    reading = read_text("kipper dust on hive 7", reader(), on=ON, register=register)
    assert fields(reading)["feed"] == "pollen patty"


def test_places_carry_over_segments_and_blocks() -> None:
    """Twelve hives in a long note of many segments, longer than one block, come out in order."""
    filler = "That's all for this one, moving along the row, mind the wire there."
    segments = [
        part
        for n in range(1, 41)
        for part in (segment(f"Hive {n}."), segment(f"Queen seen, {n % 9 + 1} frames of brood."), segment(filler))
    ]
    reading = heard(*segments)
    seen = [(e.place, e.brood_frames) for e in reading.entries if e.kind == "inspection"]
    assert seen == [(f"hive {n}", n % 9 + 1) for n in range(1, 41)]


def test_nothing_heard_and_nothing_typed_say_so() -> None:
    assert heard().error
    assert not heard().keep
    assert read_text("  ", reader(), on=ON, register=REGISTER).error
    assert read_text("Привет, это улей номер семь", reader(), on=ON, register=REGISTER).error


def test_one_way_of_writing() -> None:
    assert written("Three and a half frames, twenty-five cells, hive one hundred and four, queen right") == (
        "3.5 frames, 25 cells, hive 104, queenright"
    )
    assert written("half a litre, a couple of frames, this one, the first one") == (
        "half a litre, a couple of frames, this one, the first one"
    )
    assert shown("Hive 12, 8 frames, sold to Marta. Round 3.") == "hive 12, 8 frames sold to Marta. round 3"


@pytest.mark.parametrize(
    ("left", "right", "near"),
    [("knucks", "nucs", True), ("graph take", "graft take", True), ("high", "hive", True), ("Dave", "round", False)],
)
def test_sounds(left: str, right: str, near: bool) -> None:
    assert (phonemes.nearest(left, right) < repair.FURTHEST) is near


def test_rivals_of_numbers() -> None:
    assert rivals.of_value(19) == (90,)
    assert rivals.of_value(40)[0] == 14
    texts = {v.text for v in rivals.variants(["Took", "20", ",", "8"])}
    assert "28" in texts
    assert "1 18" in {v.text for v in rivals.variants(["Bar", "118"])}


def test_only_the_sound_turns_a_negation_round() -> None:
    """ "slide isn't on hive 8" for "slide is in on hive 8": where the engine's score says so, and only there."""
    said, meant = "Slide isn't on hive 8.", "Slide is in on hive 8."
    taken = heard(segment(said, scorer=Table({said: -9.0, meant: -4.0})))
    assert fields(taken) == {"kind": "builder", "place": "hive 8", "step": "slide in"}
    kept = heard(segment(said, scorer=Table({said: -4.0, meant: -9.0})))
    assert not any(entry.kind == "builder" for entry in kept.entries)
