"""Questions by class of speech: fragments, yards, times before the question word, periods, requests; and statements.

All worded for this check. What a question asks for must be held by its slots, and no statement may become a question.
"""

from __future__ import annotations

from typing import Any

import pytest
from asked_slots import holds
from one_reader import read


@pytest.mark.parametrize(
    ("said", "want"),
    [
        ("Ripe date round 3", {"ask": "ripe", "round": 3}),
        ("ripe date, round five", {"ask": "ripe", "round": 5}),
        ("take round 4", {"ask": "take", "round": 4}),
        ("acceptance round seven", {"ask": "take", "round": 7}),
        ("mites hive 6 last count", {"ask": "last", "place": "hive 6"}),
        ("hive 30 last wash result", {"ask": "last", "place": "hive 30"}),
        ("hive 9 last fed", {"ask": "last", "place": "hive 9", "kind": "feed"}),
        ("last treated hive 10", {"ask": "last", "place": "hive 10", "kind": "treatment"}),
        ("temper hive 31", {"ask": "last", "place": "hive 31", "measure": "temper"}),
        ("brood frames hive 12", {"ask": "last", "place": "hive 12", "measure": "brood_frames"}),
        ("queenless hives quarry", {"ask": "list", "queen": "queenless", "place": "yard Quarry"}),
        ("weak hives creek", {"ask": "list", "state": "weak", "place": "yard Creek"}),
        ("jobs friday orchard", {"ask": "due", "place": "yard Orchard", "since": "2026-11-27"}),
        ("treatments hive 10 this year", {"ask": "history", "place": "hive 10", "kind": "treatment"}),
        ("slide out hive 7 when", {"ask": "due", "place": "hive 7"}),
        ("graft date round 5", {"ask": "history", "round": 5}),
        ("blue queens where", {"ask": "list", "colour": "blue"}),
        ("hives not opened since 1 november", {"ask": "list", "since": "2026-11-01"}),
        ("nucs sold since september", {"ask": "count", "kind": "sale", "since": "2026-09-01"}),
        ("splits needed round 7", {"ask": "splits", "round": 7}),
    ],
)
def test_a_few_words_typed_in_haste_ask(said: str, want: dict[str, Any]) -> None:
    holds(said, **want)


@pytest.mark.parametrize(
    "said",
    [
        "hive 12 everything good",
        "hive 12 all good",
        "quarry all good",
        "round 3 looking good",
        "hive 9 same as last time",
        "nuc 5 still nothing",
        "hive 30 to check next week",
        "hive 4 last look before winter",
        "jobs done for the day",
        "My boss is in a hot temper today.",
        "nuc 4 laying",
        "hive 9 strong, no swarm cells",
        "mites hive 6 three in three hundred",
        "I need the strips out of hive 5 by Friday.",
    ],
)
def test_a_few_words_that_tell_ask_nothing(said: str) -> None:
    assert not read(said).questions


@pytest.mark.parametrize(
    ("said", "want"),
    [
        ("I'm up at the Quarry, what needs doing?", {"ask": "due", "place": "yard Quarry"}),
        ("I'm over at Creek for an hour, what wants doing there?", {"ask": "due", "place": "yard Creek"}),
        ("Since I'm out at the Creek anyway, which hives there need feed?", {"ask": "list", "place": "yard Creek"}),
        (
            "I'm heading over to the Orchard on Saturday, anything due?",
            {"place": "yard Orchard", "since": "2026-11-28"},
        ),
        ("I'm going up to Creek this afternoon, what wants doing there?", {"place": "yard Creek"}),
        ("Which treatments did the Orchard get last month?", {"ask": "history", "place": "yard Orchard"}),
        ("Over the last fortnight how much syrup did I give the Orchard?", {"ask": "count", "place": "yard Orchard"}),
        ("How much syrup has gone into the Quarry this month?", {"ask": "count", "place": "yard Quarry"}),
        ("Anything to do down the Creek tomorrow?", {"ask": "due", "place": "yard Creek"}),
        ("Which hives over at Orchard are weak?", {"ask": "list", "place": "yard Orchard"}),
        ("Show me all that are queenright down by the Creek.", {"ask": "list", "place": "yard Creek"}),
        (
            "The man from the Ministry is here, so which hives did I suspect of foulbrood?",
            {"ask": "list", "place": None},
        ),
        ("How many hives died over the winter?", {"ask": "count", "place": None}),
        ("What did I feed over the month of November?", {"ask": "history", "place": None}),
    ],
)
def test_yards(said: str, want: dict[str, Any]) -> None:
    holds(said, **want)


@pytest.mark.parametrize(
    ("said", "since"),
    [
        ("Over the first week of November, what did I feed?", "2026-11-01"),
        ("In the whole of October, how many larvae did I graft?", "2026-10-01"),
        ("On Monday, what did I do at hive 7?", "2026-11-23"),
        ("For the days that are left of this week, what must I do?", "2026-11-25"),
        ("Since the start of October, how many nucs did I sell?", "2026-10-01"),
        ("Between the 3rd and the 10th of November, which hives did I treat?", "2026-11-03"),
        ("My mate's popping round on Thursday for a queen, so how many laying queens have I got?", None),
        ("A lady rang wanting one for Friday, bless her, so where have I got laying queens?", None),
        ("The bank wants figures by Monday: how many hives do I have?", None),
        ("Someone's calling on Saturday, which nucs are laying?", None),
        ("How many colonies am I down to now, after the winter?", None),
        ("There's a buyer due tomorrow, how many virgins have I got?", None),
    ],
)
def test_a_time_before_the_question_word_belongs_to_it_unless_it_is_told(said: str, since: str | None) -> None:
    holds(said, since=since)


@pytest.mark.parametrize(
    ("period", "since", "until"),
    [
        ("throughout October", "2026-10-01", "2026-10-31"),
        ("in the month of October", "2026-10-01", "2026-10-31"),
        ("since ten days", "2026-11-15", None),
        ("since two weeks", "2026-11-11", None),
        ("10th to 24th", "2026-11-10", "2026-11-24"),
        ("10 to 24 November", "2026-11-10", "2026-11-24"),
        ("from the 3rd of October to the 24th of November", "2026-10-03", "2026-11-24"),
        ("the weekend before last", "2026-11-14", "2026-11-15"),
        ("last weekend", "2026-11-21", "2026-11-22"),
        ("since the weekend", "2026-11-21", None),
        ("in the week of the 11th", "2026-11-09", "2026-11-15"),
        ("the week starting Monday the 9th", "2026-11-09", "2026-11-15"),
        ("in the first fortnight of November", "2026-11-01", "2026-11-14"),
        ("in the last fortnight", "2026-11-11", "2026-11-25"),
        ("this time last month", "2026-10-25", "2026-10-25"),
    ],
)
def test_periods_that_are_over(period: str, since: str | None, until: str | None) -> None:
    holds(f"What did I feed {period}?", ask="history", since=since, until=until)


@pytest.mark.parametrize(
    ("period", "since", "until"),
    [
        ("between now and Christmas", "2026-11-25", "2026-12-25"),
        ("tomorrow and the day after", "2026-11-26", "2026-11-27"),
        ("by month's end", None, "2026-11-30"),
        ("until the end of the year", None, "2026-12-31"),
        ("this arvo", "2026-11-25", "2026-11-25"),
        ("over the next fortnight", "2026-11-25", "2026-12-09"),
        ("for the rest of the week", "2026-11-25", "2026-11-29"),
        ("on the thirtieth", "2026-11-30", "2026-11-30"),
        ("Saturday or Sunday", "2026-11-28", "2026-11-29"),
        ("the week after next", "2026-12-07", "2026-12-13"),
    ],
)
def test_periods_to_come(period: str, since: str | None, until: str | None) -> None:
    holds(f"What's due {period}?", ask="due", since=since, until=until)


@pytest.mark.parametrize(
    ("said", "want"),
    [
        ("The vet's here, give me all the treatments of hive 9.", {"ask": "history", "kind": "treatment"}),
        ("There's an audit coming, so I need every treatment hive ten has had since August.", {"ask": "history"}),
        ("For each of the tools I'd like the number of larvae.", {"ask": "count", "by": "tool"}),
        ("I'd like to see how my grafting has gone since the first of October.", {"ask": "take"}),
        ("Remind me again, when was round seven going to be ripe?", {"ask": "ripe", "round": 7}),
        ("I've rather lost track, when did I say round three would be ripe?", {"ask": "ripe", "round": 3}),
        ("Run me through round three from start to finish.", {"ask": "history", "round": 3}),
        ("I'm at hive nine and I can't remember what I found here last time.", {"ask": "last", "place": "hive 9"}),
        ("Have I let anything slip?", {"ask": "due"}),
        ("On the thirtieth, am I needed anywhere?", {"ask": "due", "until": "2026-11-30"}),
        ("What did I get done yesterday?", {"ask": "history", "since": "2026-11-24"}),
        ("What did I write down on the fourteenth?", {"ask": "history", "since": "2026-11-14"}),
        ("Is there anything to do for round six on Friday, or can I go fishing?", {"ask": "due", "round": 6}),
        ("What shape was nuc 18 in when I last closed it up?", {"ask": "last", "place": "nuc 18"}),
        ("When did I move hive 5 to the yard Quarry?", {"ask": "history", "place": "hive 5"}),
        ("Which nucs have lost their queen?", {"ask": "list", "queen": "missing"}),
        ("And the fourth?", {"ask": "same", "number": 4}),
    ],
)
def test_ways_of_asking_for_a_thing(said: str, want: dict[str, Any]) -> None:
    holds(said, **want)


@pytest.mark.parametrize(
    "said",
    [
        "What did I feed between Melbourne Cup and now?",
        "How many queens did I sell in the last quarter?",
        "Which queens did Tony buy?",
        "How many nucs did I sell at the market?",
    ],
)
def test_a_time_or_a_name_that_no_slot_holds_is_offered(said: str) -> None:
    assert all("unsure" in question.model_dump() for question in read(said).questions)
