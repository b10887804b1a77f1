"""Every question of the season against SQL, on a reduced made-up record; `bench/asking.py` does it on the full one."""

from __future__ import annotations

import itertools
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from yard import SETTINGS

from gloveside.bot.console import wrapped
from gloveside.bot.conversation import Conversation
from gloveside.bot.ear import Ear
from gloveside.bot.messages import Incoming, Reply
from gloveside.storage.store import Store

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1] / "storage")]

import asking_cases  # noqa: E402
from season_maker import keep_season, make_season  # noqa: E402

Ask = Callable[[str], Reply]


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """Fifteen rounds and some 3,300 entries, cut in the middle of the third season."""
    made = make_season(rounds=15, entries=3_900, hives=60)
    made.notes = [note for note in made.notes if note.on <= asking_cases.TODAY]
    with Store.open(tmp_path_factory.mktemp("season"), lambda: asking_cases.NOW) as store:
        keep_season(store, made)
        yield store


@pytest.fixture(scope="module")
def ask(record: Store, shared_ear: Ear) -> Ask:
    """Puts a typed question to the conversation."""
    numbers = itertools.count(1)
    talk = Conversation(record, shared_ear, SETTINGS, lambda: asking_cases.NOW)
    return lambda text: talk.hear(Incoming(1, 1, next(numbers), asking_cases.NOW, asking_cases.NOW, text=text))


def test_each_question_holds_what_sql_says_and_fits_a_lock_screen(record: Store, ask: Ask) -> None:
    with record.file.reading() as db:
        cases = [(case.ask, case.holds(db.conn)) for case in asking_cases.cases(db.conn)]
    checked = 0
    wrong = []
    for asked, holds in cases:
        said = ask(asked).text
        lines = wrapped(said).splitlines()
        missing = [piece for piece in holds if piece not in said]
        if missing or len(lines) > 12 or max(map(len, lines)) > 40:
            wrong.append((asked, missing, said))
        checked += len(holds)
    assert wrong == []
    assert checked >= 50
    assert len(cases) >= 35


def test_an_answer_shows_the_notes_it_rests_on(record: Store, ask: Ask) -> None:
    reply = ask("how did round two take")
    button = reply.buttons[0][0]
    assert button.label == "Show notes"
    numbers = itertools.count(10_000)
    talk = Conversation(record, Ear(SETTINGS, Path()), SETTINGS, lambda: asking_cases.NOW)
    shown = talk.hear(Incoming(1, 1, next(numbers), asking_cases.NOW, asking_cases.NOW, tap=button.data)).text
    assert "kind take" in shown
    assert "round 2" in shown


def test_follow_ups_keep_the_context(ask: Ask) -> None:
    assert ask("how did round two take").text.startswith("Round 2:")
    assert ask("and round four").text.startswith("Round 4:")
    assert ask("the other one").text.startswith("Round 2:")
    assert "hive 21" in ask("and by mother").text
    assert ask("what did I feed in November").text.startswith("Fed in November 2025")
    assert ask("and in October").text.startswith("Fed in October 2025")
    assert ask("when did I last feed hive seven").text.startswith("Last feed of hive 7")
    assert ask("and hive nine").text.startswith("Last feed of hive 9")
    assert ask("what did I feed in November").text.startswith("Fed in November 2025")
    assert ask("fair enough, and what was it the year before that?").text.startswith("Fed in November 2024")
    assert ask("what did I feed in November").text.startswith("Fed in November 2025")
    assert ask("and the month before?").text.startswith("Fed in October 2025")
    assert ask("and the month before that?").text.startswith("Fed in September 2025")
    listed = ask("which hives are queenless").text.split("\n", 1)[0]
    assert listed.split(": ")[-1] in ask("how many would that be?").text
    assert "as of Fri 9 Jan" in ask("which hives were queenless last Friday").text


def test_what_the_record_does_not_hold_is_said_and_nothing_is_made_up(record: Store, ask: Ask) -> None:
    assert "No take with the goose quill" in ask("take with the goose quill").text
    assert ask("when are cells ripe for round ninety").text == "There is no round 90 in the record."
    before = record.entries.count()
    reply = ask("what is the capital of France")
    assert "I have no answer to that in the record." in reply.text
    offered = [b for row in reply.buttons for b in row if b.data.startswith("q:")]
    assert len(offered) == 2
    assert record.entries.count() == before + 1, "the words themselves are kept as a note"


def test_a_question_stores_no_entry(record: Store, ask: Ask) -> None:
    before = record.entries.count()
    for asked in ("did I mark the queen in hive nine", "has hive nine been treated", "is hive nine queenright"):
        ask(asked)
    assert record.entries.count() == before
