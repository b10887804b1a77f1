"""Notes, answers, orders and questions over a real record."""

from __future__ import annotations

from datetime import timedelta

from yard import Yard


def whole_round(yard: Yard) -> None:
    yard.on("2026-11-15").say("excluder in on hive seven")
    yard.on("2026-11-17").say("slide is in on hive seven")
    yard.on("2026-11-18").say("grafted thirty larvae into hive seven from hive twenty one, two bars of fifteen")
    yard.on("2026-11-19").say("pulled the slide out of hive seven")
    yard.on("2026-11-20").say("top bar eleven out of fifteen, bottom bar eight out of fifteen")


def test_the_excluder_gives_the_days_up_to_the_graft(yard: Yard) -> None:
    reply = yard.on("2026-11-15").say("excluder in on hive seven")
    assert reply.splitlines()[:4] == [
        "Kept · hive 7 · Sun 15 Nov",
        "Excluder in",
        "Slide in Tue 17 Nov",
        "Graft Wed 18 Nov",
    ]


def test_a_graft_gets_its_round_and_its_dates(yard: Yard) -> None:
    reply = yard.on("2026-11-18").say("grafted thirty larvae into hive seven from hive twenty one, two bars of fifteen")
    assert "Kept · round 1 (new) · Wed 18 Nov" in reply
    assert "Leave the cells alone 23–27 Nov" in reply
    assert "Splits Fri 27 Nov, plant Sat 28 Nov" in reply
    assert "Queens emerge Mon 30 Nov (29 Nov–1 Dec)" in reply


def test_the_take_gives_the_splits_and_their_day(yard: Yard) -> None:
    whole_round(yard)
    reply = yard.last.text
    assert "Take: 19 of 30 (63 %), top 11/15, bottom 8/15" in reply
    assert "Leave the cells alone until Fri 27 Nov" in reply
    assert "Make 18 splits on Fri 27 Nov" in reply


def test_ripe_cells_counted_are_split_for_exactly(yard: Yard) -> None:
    whole_round(yard)
    assert "Make 16 splits on" in yard.on("2026-11-27").say("counted sixteen ripe cells in hive seven")
    assert "plant 16 ripe cells" in yard.say("what's due")


def test_every_line_of_a_reply_to_a_round_fits_a_narrow_phone(yard: Yard) -> None:
    from gloveside.bot.console import wrapped

    whole_round(yard)
    assert all(len(line) <= 40 for line in wrapped(yard.last.text).splitlines())
    assert len(wrapped(yard.last.text).splitlines()) <= 12


def test_questions_are_answered_from_the_record(yard: Yard) -> None:
    whole_round(yard)
    assert "ripe Sat 28 Nov" in yard.say("when are cells ripe for round one")
    assert "19 of 30 (63 %)" in yard.say("how did round one take")
    assert "18 splits on Fri 27 Nov" in yard.say("how many splits do I need for round one")
    assert "There is no round 9" in yard.say("when are cells ripe for round nine")


def test_undo_takes_back_the_last_note_and_its_reminders(yard: Yard) -> None:
    yard.on("2026-11-18").say("grafted thirty larvae into hive seven")
    assert yard.store.reminders.of("round 1")
    assert yard.say("scratch that").startswith("Taken back: Hive 7: grafted 30 larvae")
    assert not yard.store.entries.find()
    assert all(r.state == "dropped" for r in yard.store.reminders.of("round 1"))


def test_a_reminder_held_by_quiet_hours_outlives_a_new_plan(yard: Yard) -> None:
    whole_round(yard)
    morning = next(r for r in yard.store.reminders.of("round 1") if r.step == "splits" and r.moment == "morning")
    yard.on("2026-11-27", "09:00").say("ripe cells in round one: seventeen")
    assert yard.store.reminders.get(morning.id).state == "waiting"


def test_a_step_taken_back_rings_again(yard: Yard) -> None:
    whole_round(yard)
    splits = [r for r in yard.store.reminders.of("round 1") if r.step == "splits"]
    assert {r.state for r in splits} == {"waiting"}
    yard.on("2026-11-27").say("made eighteen splits into nucs one to eighteen")
    assert {r.state for r in yard.store.reminders.of("round 1") if r.step == "splits"} == {"done"}
    yard.say("scratch that")
    assert "waiting" in {r.state for r in yard.store.reminders.of("round 1") if r.step == "splits"}


def test_undo_by_button_and_a_second_press_does_no_harm(yard: Yard) -> None:
    yard.say("hive four queenright")
    button = yard.last
    assert yard.tap("Undo").startswith("Taken back")
    yard.last = button
    assert "Only the last note" in yard.tap("Undo")


def test_a_place_outside_the_register_is_asked_about_and_can_be_added(registered: Yard) -> None:
    reply = registered.say("hive seventy seven is queenright")
    assert reply.startswith("Not kept yet")
    assert not registered.store.entries.find()
    kept = registered.tap("Hive 77")
    assert kept.startswith("Kept · hive 77")
    assert registered.store.places.get("hive 77")


def test_a_question_back_is_answered_by_voice(registered: Yard) -> None:
    registered.say("hive seventy seven is queenright")
    assert registered.say("hive seventeen").startswith("Kept · hive 17")
    assert registered.store.entries.find(place="hive 17")


def test_no_leaves_the_note_out(registered: Yard) -> None:
    registered.say("hive ninety nine is queenright")
    registered.tap("Drop")
    assert not registered.store.entries.find()
    assert registered.say("yes") == "Nothing is waiting for a yes or no."


def test_a_correction_moves_the_last_note(registered: Yard) -> None:
    registered.say("hive fourteen queenright")
    reply = registered.say("hive forty, not fourteen")
    assert reply.startswith("Put right · hive 40")
    assert not registered.store.entries.find(place="hive 14")


def test_the_same_message_again_keeps_nothing_twice(yard: Yard) -> None:
    yard.say("hive four queenright", message=900)
    assert yard.say("hive four queenright", message=900).startswith("Kept already")
    assert yard.store.entries.count() == 1


def test_an_edited_message_amends_its_note(yard: Yard) -> None:
    yard.say("hive four queenright", message=901)
    assert yard.say("hive five queenright", message=902, amends=901).startswith("Put right · hive 5")
    assert [e.place for e in yard.store.entries.find()] == ["hive 5"]


def test_a_note_uploaded_late_is_dated_by_when_it_was_spoken(yard: Yard) -> None:
    yard.on("2026-11-20")
    yard.say("hive four queenright", spoken=yard.now - timedelta(days=1))
    assert yard.store.entries.find()[0].on.isoformat() == "2026-11-19"


def test_chatter_is_kept_as_heard(yard: Yard) -> None:
    assert "“" in yard.say("Dave wants to come fishing")
    assert [e.kind for e in yard.store.entries.find()] == ["note"]


def test_what_cannot_be_answered_says_so(yard: Yard) -> None:
    assert "No round is open" in yard.say("when are the cells ripe")


def test_a_disease_suspicion_brings_its_caution(yard: Yard) -> None:
    reply = yard.say("hive nine, I suspect american foulbrood, sunken cappings and it ropes out")
    assert "move no bees, combs or gear" in reply


def test_stings_bring_the_emergency_number(yard: Yard) -> None:
    assert "call 111" in yard.say("got stung a dozen times and my tongue feels swollen")


def test_acid_is_cautioned_and_never_dosed(yard: Yard) -> None:
    reply = yard.say("treated hive nine with oxalic acid")
    assert "product's label" in reply
    assert "ml" not in reply
