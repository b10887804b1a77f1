"""What a reply asks about words beside the record that were not understood: the record is kept meanwhile."""

from __future__ import annotations

import pytest
from yard import Yard

UNREAD = [
    # a second work said of a second place in words that no rule has; "wimbled" is no word of the trade
    ("Put a super on hive 6 and wimbled the gizmo off hive 8.", "hive 6", "hive 8"),
    ("Hive 12, 8 frames of brood, and wimbled the floor of hive 9.", "hive 12", "hive 9"),
]


@pytest.mark.parametrize(("said", "kept", "quoted"), UNREAD)
def test_the_record_is_kept_while_the_words_left_over_are_asked_about(
    registered: Yard, said: str, kept: str, quoted: str
) -> None:
    reply = registered.say(said)
    assert reply.startswith("Kept")
    assert kept in reply.lower()
    question = next(line for line in reply.splitlines() if line.startswith("I made nothing of"))
    assert quoted in question
    assert question.endswith("Say it again?")
    assert registered.labels() == ["Drop these words", "Undo"]
    kinds = [e.kind for e in registered.store.entries.find()]
    assert len(kinds) == 2
    assert "note" in kinds, "the words stand as a note until they are said again or dropped"


def test_the_words_left_over_can_be_dropped_and_the_record_stays(registered: Yard) -> None:
    registered.say(UNREAD[0][0])
    reply = registered.tap("Drop these words")
    assert reply.startswith("Dropped: ")
    assert [e.kind for e in registered.store.entries.find()] == ["box"]


def test_words_said_again_are_a_note_of_their_own(registered: Yard) -> None:
    registered.say(UNREAD[0][0])
    assert registered.say("Took a super off hive 8.").startswith("Kept")
    assert sorted(e.kind for e in registered.store.entries.find()) == ["box", "box", "note"]


def test_a_second_tap_says_that_it_is_settled(registered: Yard) -> None:
    registered.say(UNREAD[0][0])
    first = registered.last
    registered.tap("Drop these words")
    registered.last = first
    assert registered.tap("Drop these words") == "That is settled already."


def test_a_note_of_which_nothing_was_made_waits_for_a_word(registered: Yard) -> None:
    reply = registered.say("Twiddled the queen in hive 9 about.")
    assert "Keep it as a note?" in reply
    assert registered.labels() == ["Keep", "Drop"]
    assert registered.tap("Keep").startswith("Kept")
    assert [e.kind for e in registered.store.entries.find()] == ["note"]
