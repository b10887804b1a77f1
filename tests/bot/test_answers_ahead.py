"""Ages, rankings, supers, growth, plans and broodless windows asked for; what is not sure is offered, not answered."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from pydantic import ValidationError
from yard import Yard

from gloveside.bot.answers.outlook import season_of_year
from gloveside.bot.console import wrapped
from gloveside.bot.settings import FILE_NAME, Operation, Settings, SettingsError, Varroa, load
from gloveside.bot.thresholds import threshold_table
from gloveside.rearing.varroa import starting_table


def fits(text: str) -> bool:
    """Whether a reply fits a lock screen: 40 characters by 12 lines."""
    lines = wrapped(text).splitlines()
    return len(lines) <= 12 and max(map(len, lines)) <= 40


def test_the_age_of_a_queen_follows_from_her_cell(registered: Yard) -> None:
    registered.on("2026-11-20").say("grafted thirty larvae into hive seven from hive twenty one, two bars of fifteen")
    registered.on("2026-11-30").say("planted round one in nucs one to four")
    registered.on("2026-12-20").say("nuc two is laying")
    reply = registered.on("2027-01-31").say("how old is the queen in nuc two")
    # Emergence 12 days after the graft (the contract's calendar): 2 December 2026, 60 days before.
    assert (date(2027, 1, 31) - date(2026, 12, 2)).days == 60
    assert "2 months old" in reply
    assert "2 Dec 2026" in reply
    assert fits(reply)


def test_a_mark_gives_the_years_she_may_be_of(registered: Yard) -> None:
    registered.on("2026-11-15").say("marked the queen in hive nine blue")
    # Blue is for years that end in 0 or 5 (trade standard): 2025 or earlier.
    assert "2025" in registered.say("how old is the queen in hive nine")
    registered.say("hive ten queenright")
    assert "does not say" in registered.say("how old is the queen in hive ten")


def test_the_strongest_and_weakest(registered: Yard) -> None:
    registered.say("hive nine strong, eight frames of brood")
    registered.say("hive ten weak, two frames of brood")
    registered.say("hive eleven strong, six frames of brood")
    assert registered.say("which hive is the strongest").splitlines()[1].startswith("Hive 9")
    assert registered.say("what's my weakest colony").splitlines()[1].startswith("Hive 10")
    assert registered.say("which hive has the least brood").splitlines()[1].startswith("Hive 10")


def test_a_full_hive_needs_a_super_until_it_has_one(registered: Yard) -> None:
    registered.say("hive nine, nine frames of bees")
    registered.say("hive ten, five frames of bees")
    reply = registered.say("which hives need a super")
    assert "Hive 9" in reply
    assert "Hive 10" not in reply
    registered.say("super on hive nine")
    assert "Hive 9" not in registered.say("which hives need a super")


def test_a_nuc_sold_by_its_number_is_not_for_sale(registered: Yard) -> None:
    registered.on("2026-11-01").say("nucs one to three are laying")
    assert registered.say("how many laying queens for sale").startswith("3 laying queens")
    registered.on("2026-11-05").say("sold nuc two to Tony for 250")
    reply = registered.say("how many laying queens for sale")
    assert reply.startswith("2 laying queens")
    assert "name no nuc" not in reply


def test_growth_plan_and_odds_are_asked_for(registered: Yard) -> None:
    for n in range(9, 15):
        registered.say(f"hive {n} queenright")
    for asked, holds in (
        ("how many hives by next spring", "hives, middle"),
        ("how many hives will I have in two years", "By 2028"),
        ("plan the season for twenty queens by February", "20 laying queens"),
        ("how many should I graft for twenty laying queens", "nucs, one ripe"),
    ):
        reply = registered.say(asked)
        assert holds in reply, (asked, reply)
        assert fits(reply), reply


def test_a_broodless_window_follows_from_the_caging(registered: Yard) -> None:
    registered.on("2026-11-01").say("caged the queen in hive twelve")
    reply = registered.on("2026-11-10").say("what's the broodless window for hive twelve")
    # The last worker emerges 21 days after the last egg (any textbook): 22 November.
    assert "22" in reply
    assert "caged" in reply
    assert fits(reply)


@pytest.mark.parametrize(
    "asked",
    [
        "How do I treat chalkbrood?",
        "Why is hive twelve so grumpy?",
        "Which hives are not queenless?",
        "Which hives have more than six frames of brood and a ladder?",
        "What was hive twelve's price at the saleyard?",
        "Should I split hive twelve?",
        "How hot was it in the Quarry on Monday?",
        "Which hives bit me?",
    ],
)
def test_what_leaves_words_over_is_offered(registered: Yard, asked: str) -> None:
    registered.say("hive twelve queenright, six frames of brood")
    reply = registered.say(asked)
    assert "Nearest I can answer" in reply
    assert len(registered.labels()) >= 2
    assert fits(reply)


def test_an_offer_keeps_the_place_and_round(registered: Yard) -> None:
    registered.say("hive twelve queenright, six frames of brood")
    registered.say("why is hive twelve so grumpy")
    assert any("hive 12" in label for label in registered.labels())
    assert "6 brood" in registered.tap("Last note of hive 12")


@pytest.mark.parametrize(
    "asked", ["Was hive thirty the nasty one?", "What does a queen excluder cost?", "Who'd I sell nucs to last month?"]
)
def test_a_question_is_never_kept_as_a_fact(registered: Yard, asked: str) -> None:
    registered.say(asked)
    assert all(e.kind == "note" for e in registered.store.entries.find())


def test_hemisphere_season_and_thresholds_are_settings(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_text(
        '[operation]\nhemisphere = "northern"\n[varroa]\nsource = "region"\n[varroa.thresholds]\n8 = 2.5\n', "utf-8"
    )
    settings = load(tmp_path)
    assert settings.operation.season_month == 1
    table = threshold_table(settings)
    assert (table[8].percent, table[8].source) == (2.5, "region")
    assert table[3] == starting_table(southern=False)[3]
    assert Settings().operation.season_month == 7
    assert Settings(operation=Operation(season_begins=9)).operation.season_month == 9
    with pytest.raises(ValidationError):
        Varroa(thresholds={13: 2})
    (tmp_path / FILE_NAME).write_text("[growth]\nhours_a_moth = 100\n", "utf-8")
    with pytest.raises(SettingsError, match="hours_a_moth"):
        load(tmp_path)
    (tmp_path / FILE_NAME).write_text("[varroa.thresholds]\n8 = 250\n", "utf-8")
    with pytest.raises(SettingsError, match="100"):
        load(tmp_path)


@pytest.mark.parametrize(
    ("words", "southern", "first"),
    [("next spring", True, date(2027, 9, 1)), ("next spring", False, date(2027, 3, 1)),
     ("by winter", True, date(2027, 6, 1)), ("by winter", False, date(2026, 12, 1))],
)  # fmt: skip
def test_seasons_of_the_year_follow_the_hemisphere(words: str, southern: bool, first: date) -> None:
    # Meteorological seasons: spring begins on 1 September in the south, on 1 March in the north.
    assert season_of_year(words, date(2026, 11, 20), southern=southern) == first
    assert first - date(2026, 11, 20) > timedelta(0)
