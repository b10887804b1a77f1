"""States of places: worked out from entries on any date, and right again after undo, change and late notes."""

# ruff: noqa: PT012 - a unit of work that fails half-way is the thing tested.
from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from gloveside.extract.models import (
    Box,
    Disease,
    Feed,
    Inspection,
    Loss,
    Mark,
    Mating,
    Mites,
    Move,
    Plant,
    Queen,
    QueenCells,
    Split,
    Treatment,
    Unite,
)
from gloveside.storage.store import Store

D = date(2026, 11, 1)


def day(n: int) -> date:
    return D + timedelta(days=n)


def test_each_measure_stands_at_its_last_word_on_the_date_asked_for(store, say):
    say(Inspection(on=day(0), place="hive 12", queen="seen", brood_frames=6, strength="fair", eggs=True))
    say(Inspection(on=day(10), place="hive 12", queen="not seen", brood_frames=7.5))
    say(Inspection(on=day(20), place="hive 12", queen="queenless", eggs=False))
    then = store.states.of("hive 12", day(15))
    assert (then.queen, then.queenright, then.brood_frames, then.strength) == ("not seen", True, 7.5, "fair")
    assert (then.queenright_on, then.brood_frames_on, then.last_look) == (day(0), day(10), day(10))
    now = store.states.of("hive 12", day(20))
    assert (now.queen, now.queenright, now.eggs) == ("queenless", False, False)
    assert store.states.of("hive 12", day(-1)).last_on is None


def test_a_note_uploaded_late_takes_its_place_by_date(store, say):
    say(Inspection(on=day(10), place="hive 12", brood_frames=7))
    say(Inspection(on=day(5), place="hive 12", brood_frames=3))
    assert store.states.of("hive 12", day(10)).brood_frames == 7


def test_feed_treatment_boxes_and_mites(store, say):
    say(Feed(on=day(0), place="hive 3", feed="syrup 1:1", amount=2, unit="l"))
    say(Treatment(on=day(1), place="hive 3", product="thymol", step="in"))
    say(
        Box(on=day(2), place="hive 3", box="super", step="on", count=2), Box(on=day(2), place="hive 3", box="brood box")
    )
    say(Box(on=day(9), place="hive 3", box="super", step="off"))
    say(Mites(on=day(9), place="hive 3", method="wash", mites=9, bees=300))
    state = store.states.of("hive 3", day(9))
    assert (state.feed["amount"], state.feed_on) == (2, day(0))
    assert state.treatments == {"thymol": day(1)}
    assert (state.supers, state.brood_boxes, state.mites_percent) == (1, 1, 3.0)
    say(Treatment(on=day(30), place="hive 3", product="strips", step="out"))
    assert store.states.of("hive 3", day(30)).treatments == {}


def test_the_life_of_a_mating_nuc(store, say):
    say(Split(**{"on": day(0), "from": "hive 3", "places": ["nuc 4"]}))
    say(Plant(on=day(1), round=2, places=["nuc 4"]))
    planted = store.states.of("nuc 4", day(1))
    assert (planted.queen, planted.cells_round, planted.cells_on, planted.queenright) == ("cell", 2, day(1), None)
    say(Mating(on=day(15), place="nuc 4", result="laying"), Mark(on=day(15), place="nuc 4", colour="white"))
    laying = store.states.of("nuc 4", day(15))
    assert (laying.queen, laying.mating, laying.queenright, laying.mark) == ("laying", "laying", True, "white")
    say(Queen(on=day(20), place="nuc 4", step="caught"))
    caught = store.states.of("nuc 4", day(20))
    assert (caught.queen, caught.mark, caught.queenright) == ("queenless", None, False)
    say(Plant(on=day(21), round=3, places=["nuc 4"]))
    again = store.states.of("nuc 4", day(21))
    assert (again.mating, again.cells_round) == (None, 3)


def test_a_queen_moved_from_a_nuc_to_a_hive(store, say):
    say(Queen(on=day(0), place="nuc 4", step="introduced", to="hive 12"))
    assert store.states.of("nuc 4", day(0)).queen == "queenless"
    assert store.states.of("hive 12", day(0)).queen == "introduced"


def test_a_queen_released_where_she_was_caged_keeps_her_mark(store, say):
    say(Mark(on=day(0), place="hive 5", colour="blue"))
    say(Queen(on=day(1), place="hive 5", step="caged"))
    say(Queen(on=day(4), place="hive 5", step="released"))
    state = store.states.of("hive 5", day(4))
    assert (state.queen, state.mark) == ("released", "blue")


def test_lost_and_united_colonies_are_gone_until_they_are_seen_again(store, say):
    say(Loss(on=day(0), place="hive 5", cause="starved"), Unite(**{"on": day(0), "from": "hive 6", "into": "hive 8"}))
    five, six, eight = (store.states.of(f"hive {n}", day(0)) for n in (5, 6, 8))
    assert (five.alive, five.loss_cause, six.alive, six.loss_cause) == (False, "starved", False, "united into hive 8")
    assert eight.alive
    say(Inspection(on=day(9), place="hive 5", queen="seen"))
    assert store.states.of("hive 5", day(9)).alive


def test_the_yard_is_the_registered_one_until_a_move(store, say):
    store.places.add("hive 5", yard="yard Orchard")
    say(Move(on=day(3), places=["hive 5"], to="yard Creek"))
    assert store.states.of("hive 5", day(2)).yard == "yard Orchard"
    assert store.states.of("hive 5", day(3)).yard == "yard Creek"
    assert store.states.all(day(2))["hive 5"].yard == "yard Orchard"
    assert store.states.all(day(3))["hive 5"].yard == "yard Creek"


def test_drone_layer_eggs_do_not_make_a_colony_queenright(store, say):
    say(Inspection(on=day(0), place="nuc 9", eggs=True, queen="drone layer"))
    assert store.states.of("nuc 9", day(0)).queenright is False


def test_swarm_cells_and_signs_and_disease(store, say):
    cells = QueenCells(count=4, type="swarm", done="knocked down")
    say(Inspection(on=day(0), place="hive 9", queen_cells=cells, signs=["robbing"]))
    say(Disease(on=day(1), place="hive 9", suspect="American foulbrood", signs=["sunken caps"]))
    state = store.states.of("hive 9", day(1))
    assert (state.queen_cells, state.signs) == ({"count": 4, "type": "swarm", "done": "knocked down"}, ("robbing",))
    assert (state.disease, state.disease_on) == ("American foulbrood", day(1))


def test_places_where(store, say):
    say(Inspection(on=day(0), place="hive 10", queen="queenless"))
    say(Inspection(on=day(0), place="hive 9", queen="queenless"))
    say(Inspection(on=day(0), place="hive 2", queen="seen"))
    assert [s.place for s in store.states.where(lambda s: s.queen == "queenless", day(0))] == ["hive 9", "hive 10"]


def test_a_retired_place_is_not_listed_after_its_day(store, say, clock):
    say(Inspection(on=day(0), place="hive 1"))
    store.places.add("hive 1")
    store.places.retire("hive 1")
    assert "hive 1" in store.states.all(date(2026, 11, 24))
    assert "hive 1" not in store.states.all(date(2026, 11, 25))


def test_all_follows_undo_change_and_a_second_process(store, say, folder, clock, speaker_for):
    kept = say(Inspection(on=day(0), place="hive 1", queen="queenless"))
    queenless = lambda: [s.place for s in store.states.where(lambda s: s.queen == "queenless", day(5))]  # noqa: E731
    assert queenless() == ["hive 1"]
    store.notes.change("place", "hive 2", note_id=kept.note_id)
    assert queenless() == ["hive 2"]
    store.notes.undo("c")
    assert queenless() == ["hive 1"]
    with Store.open(folder, clock) as other:
        speaker = speaker_for(other)
        speaker.count = 100
        speaker(Inspection(on=day(1), place="hive 7", queen="queenless"))
        assert queenless() == ["hive 1", "hive 7"]
        other.notes.undo("c")
    assert queenless() == ["hive 1"]
    store.notes.undo("c")
    assert queenless() == []


def test_a_unit_of_work_that_fails_leaves_no_trace_in_what_is_remembered(store, say):
    say(Inspection(on=day(0), place="hive 1", queen="queenless"))
    store.states.all(day(5))
    with pytest.raises(ZeroDivisionError), store.together():
        say(Inspection(on=day(1), place="hive 1", queen="seen"))
        assert store.states.all(day(5))["hive 1"].queen == "seen"
        raise ZeroDivisionError
    assert store.states.all(day(5))["hive 1"].queen == "queenless"


def test_a_state_that_the_caller_altered_is_not_handed_out_again(store, say):
    say(Treatment(on=day(0), place="hive 1", product="thymol", step="in"))
    store.states.all(day(5))["hive 1"].queen = "altered"
    assert store.states.all(day(5))["hive 1"].queen is None


# -- the register ----------------------------------------------------------------------------------------


def test_places_that_were_used_are_not_forced_into_an_empty_register(store, say, clock):
    say(Inspection(on=day(0), place="hive 99"))
    register = store.places.register(clock.now, "c")
    assert register.places == frozenset()
    assert register.knows("hive 1234")
    assert store.places.used() == ["hive 99"]
    store.places.add("hive 1")
    assert not store.places.register(clock.now, "c").knows("hive 99")


def test_here_is_the_place_before_the_note_and_not_one_uploaded_earlier(store, say, clock):
    at = datetime(2026, 11, 1, 2, tzinfo=UTC)
    say(Inspection(on=day(0), place="hive 3"), spoken_at=at)
    say(Inspection(on=day(0), place="hive 4"), spoken_at=at + timedelta(minutes=20))
    say(Inspection(on=day(0), place="hive 5"), chat="other", spoken_at=at + timedelta(minutes=5))
    between = store.places.register(at + timedelta(minutes=10), "c")
    assert (between.last_place, between.last_place_at) == ("hive 3", at)
    assert store.places.register(at + timedelta(hours=1), "c").last_place == "hive 4"
    assert store.places.register(at - timedelta(hours=1), "c").last_place is None
    store.notes.undo("c")
    assert store.places.register(at + timedelta(hours=1), "c").last_place == "hive 3"


def test_places_are_registered_updated_retired_and_brought_back(store, clock):
    store.places.add("hive A3", yard="yard Quarry", remark="green lid")
    store.places.add("hive A3", breeder=True)
    row = store.places.get("hive A3")
    assert (row.yard, row.breeder, row.remark) == ("yard Quarry", True, "green lid")
    assert [p.place for p in store.places.all(kind="yard")] == ["yard Quarry"]
    store.places.retire("hive A3")
    assert not store.places.register(clock.now, "c").knows("hive A3")
    store.places.add("hive A3")
    assert store.places.register(clock.now, "c").mothers == {"hive A3"}


@pytest.mark.parametrize("name", ["hive", "hive ", "shed 3", "Hive 3", "", "hive " + "x" * 80])
def test_what_is_no_place_is_refused_with_an_example(store, name):
    with pytest.raises(Exception, match="hive 12, nuc 5 or yard Quarry"):
        store.places.add(name)


def test_places_stand_in_the_order_of_their_numbers(store):
    for name in ("hive 10", "nuc 1", "hive 9", "hive Clover", "yard Creek"):
        store.places.add(name)
    assert [p.place for p in store.places.all()] == ["hive 9", "hive 10", "hive Clover", "nuc 1", "yard Creek"]


def test_words_and_corrections_feed_the_register(store, clock):
    store.words.add("Clover")
    store.words.add("Marrow  Hill")
    store.words.learn("Quarrel", "Quarry")
    store.words.learn("mux", "nucs")
    store.words.learn("mux", "nuc six")
    store.words.learn("same", "Same")
    register = store.places.register(clock.now, "c")
    assert register.names == ("Clover", "Marrow Hill")
    assert register.corrections == {"quarrel": "Quarry", "mux": "nuc six"}
    assert store.words.remove("Clover")
    assert store.words.unlearn("QUARREL")
    assert not store.words.remove("Clover")
    assert store.places.register(clock.now, "c").names == ("Marrow Hill",)
    store.words.learn("mux", "nuc six")
    assert store.words.corrections(at_least=2) == {"mux": "nuc six"}
