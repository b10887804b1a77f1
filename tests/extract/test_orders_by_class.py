"""Orders on what was kept or asked, by class of speech: each class in sentences by nobody whose notes are measured."""

from __future__ import annotations

import re

import pytest
from one_reader import read


def bare(said: str) -> str:
    """As a poor engine writes it: lower case, no stops."""
    return re.sub(r"[.,;:!?]+(?=\s|$)", "", said).lower()


def ordered(said: str) -> tuple[object, ...] | str:
    """What a note orders: do, field, to; or what else came of it."""
    got = read(said)
    if len(got.orders) != 1 or got.entries or got.questions:
        return f"{got.entries} {got.questions} {got.orders} {[d.ask for d in got.doubts]}"
    told = got.orders[0]
    return (told.do,) if told.field is None else (told.do, told.field, told.to)


YES = [
    "Yep, save that one.",
    "Yeah, you can keep it.",
    "Sure, just go ahead and store it.",
    "Yes, put it in the book.",
    "Please go ahead and save the note.",
    "Aye, keep that as it is.",
    "OK, log it then.",
    "Yes thanks, keep all of it.",
    "Go on, write it down.",
    "That's all correct, keep it.",
    "Yes, I'm happy with that, save it.",
    "Leave it in, that's right.",
    "Yep, that's what I meant.",
    "Yes, chuck it in the book.",
    "Yeah nah, that's good, keep it.",
    "Yes you heard right.",
    "Righto, pop it in.",
    "Yes I do want that kept.",
    "Correct, hang on to that.",
    "Yep, looks good to me, save that.",
    "Sure, why not, save it.",
    "I confirm that.",
    "Uh huh, save it.",
]
NO = [
    "No, don't save it.",
    "Nah, don't bother keeping that.",
    "No, please don't write that down.",
    "Don't keep that one, thanks.",
    "No, I'd rather you didn't keep it.",
    "No need to save that.",
    "Nope, don't put it in the book.",
    "No, you can leave it out.",
    "You don't need to keep that.",
    "No, that's not what I meant at all.",
    "Nah, better not keep it.",
    "I don't want that kept.",
    "No, I never said that.",
    "No, leave that one out please.",
    "No, that isn't what I said.",
    "Not correct, don't file it.",
    "No, I don't think so.",
    "No way, don't you dare save that.",
    "No, that's the wrong hive, don't save it.",
]
UNDO = [
    "Could you please delete my last note?",
    "Take that last one back, would you.",
    "Drop the note I just made, please.",
    "Get rid of what I said just now.",
    "I want that last entry gone.",
    "Forget that one, I had the wrong hive open.",
    "Bin the last note, I misread the tag.",
    "Please remove that entry again.",
    "Kindly strike my last message from the record.",
    "Can we lose that last one, I was chatting to the neighbour.",
    "Don't count that last note, I was dreaming.",
    "Forget I said that, wipe it.",
    "Ignore my last message, I'd had the smoker in my eyes.",
    "Please take that last entry out again.",
    "That last one was nonsense, delete it.",
    "Would you mind deleting that last entry?",
    "Never mind that last note.",
    "I was talking to my wife, ignore that.",
    "The last note should be thrown out.",
    "Take no notice of that last one.",
    "That was wrong, take it off the record.",
    "Let me take that back, I misjudged it.",
    "Let's forget the last one.",
]


@pytest.mark.parametrize("said", [*YES, *map(bare, YES)])
def test_what_was_asked_is_kept(said: str) -> None:
    assert ordered(said) == ("yes",)


@pytest.mark.parametrize("said", [*NO, *map(bare, NO)])
def test_what_was_asked_is_dropped(said: str) -> None:
    assert ordered(said) == ("no",)


@pytest.mark.parametrize("said", [*UNDO, *map(bare, UNDO)])
def test_the_note_before_is_taken_back(said: str) -> None:
    assert ordered(said) == ("undo",)


UNDO_THEN = [
    ("Forget that, I'm grafting on Friday.", "task"),
    ("Scratch that, I'll plant the cells on Monday.", "task"),
    ("Delete the last note, I need to feed hive 12 tomorrow.", "task"),
    ("Scrap that, remind me to order queen cages on Tuesday.", "task"),
    ("Undo that, the slide comes out of hive 7 tomorrow.", "task"),
    ("Take that back. Hive 14 has 6 frames of brood.", "inspection"),
    ("Forget that last one, nuc 5 is laying.", "mating"),
    ("Cancel that, we sold 3 nucs to Tony.", "sale"),
    ("No, drop that, fed hive 9 2 litres of syrup.", "feed"),
    ("Bin that last note, round 3 has 18 ripe cells.", "cells"),
]


@pytest.mark.parametrize(("said", "kind"), [*UNDO_THEN, *((bare(s), k) for s, k in UNDO_THEN)])
def test_the_note_before_is_taken_back_and_the_rest_is_kept(said: str, kind: str) -> None:
    got = read(said)
    assert [o.do for o in got.orders] == ["undo"]
    assert [e.kind for e in got.entries] == [kind]


# The last note, put right by one value: class -> sentences with field and value.
LAST = [
    ("Please alter that to hive 8.", "place", "hive 8"),
    ("Would you kindly amend the place to nuc 14.", "place", "nuc 14"),
    ("Could you correct that last note to hive 31, please.", "place", "hive 31"),
    ("It should read hive 45.", "place", "hive 45"),
    ("That last one should have said round 6.", "round", 6),
    ("The last entry was meant to be nuc 9.", "place", "nuc 9"),
    ("That was supposed to say hive 22.", "place", "hive 22"),
    ("Put that right, it was hive 17.", "place", "hive 17"),
    ("Sorry, I meant to say hive 26.", "place", "hive 26"),
    ("I should've said round 5 there.", "round", 5),
    ("Fix the last note, it was nuc 3.", "place", "nuc 3"),
    ("Make that brood frames 7.", "brood_frames", 7),
    ("Please edit the count to 18.", "count", 18),
    ("The colour ought to be white.", "colour", "white"),
    ("The place is wrong, it should be hive 40.", "place", "hive 40"),
    ("Got the round wrong, it's round 2.", "round", 2),
    ("I got the hive wrong, it was hive 33.", "place", "hive 33"),
    ("That was meant for hive 3.", "place", "hive 3"),
    ("Correct the price to 45 dollars.", "price", 45),
    ("No, the round was 5.", "round", 5),
    ("Alter it so that it says hive 6.", "place", "hive 6"),
    ("Please have the last note say round 3.", "round", 3),
    ("Make the last note hive 6.", "place", "hive 6"),
]
CONTRAST = [
    ("Not hive 13 but hive 30.", "place", "hive 30"),
    ("It was hive 30 and not hive 13.", "place", "hive 30"),
    ("That's hive 30 rather than hive 13.", "place", "hive 30"),
    ("Hive 30 instead of hive 13, please.", "place", "hive 30"),
    ("I said nuc 6 but I meant nuc 16.", "place", "nuc 16"),
    ("I said nuc 6 by mistake, it's nuc 16.", "place", "nuc 16"),
    ("Where I said round 2, it should say round 3.", "round", 3),
    ("Replace hive 12 with hive 20 in that note.", "place", "hive 20"),
    ("Swap hive 12 for hive 20 in the last note.", "place", "hive 20"),
    ("Please change hive 12 into hive 20.", "place", "hive 20"),
    ("The last one wasn't nuc 4, it was nuc 14.", "place", "nuc 14"),
    ("You've got hive 50 down, it should be hive 15.", "place", "hive 15"),
    ("Nuc 12, not nuc 20, please fix that.", "place", "nuc 12"),
    ("That's not nuc 3, that's nuc 13.", "place", "nuc 13"),
    ("In the last note, it's hive 8, not hive 18.", "place", "hive 8"),
    ("Put nuc 2 where I said nuc 12.", "place", "nuc 2"),
    ("That should not be hive 7, it should be hive 17.", "place", "hive 17"),
]
# An older note by its day or its time of day; only the right value is said.
NAMED = [
    ("Please alter this morning's note, the hive was 52.", "place", "hive 52"),
    ("Could you fix yesterday's entry, that was nuc 12.", "place", "nuc 12"),
    ("In Tuesday's note, the hive should be 23.", "place", "hive 23"),
    ("Change the note from Wednesday, it was hive 18.", "place", "hive 18"),
    ("My note from this afternoon should read hive 41.", "place", "hive 41"),
    ("Correct the entry of the day before yesterday, the round was 4.", "round", 4),
    ("Amend Monday's mite wash, it was 12 mites.", "mites", 12),
    ("The feed I noted on Wednesday should be 3 litres.", "amount", 3),
    ("Put yesterday's note right, the queen was queenright.", "queen", "queenright"),
    ("I got the colour wrong on Tuesday, it should have been white.", "colour", "white"),
    ("Update the note I made this morning, brood frames were 7.", "brood_frames", 7),
    ("That entry about the marking on Monday, the colour was blue.", "colour", "blue"),
    ("I made a mistake this morning, it was hive 52.", "place", "hive 52"),
    ("Kindly amend Saturday's note to read hive 22.", "place", "hive 22"),
    ("The number of mites on Monday should be 12.", "mites", 12),
    ("Set the round in yesterday's note to 4.", "round", 4),
    ("The note I left at lunchtime should be for hive 29.", "place", "hive 29"),
    ("I'm afraid I gave you the wrong count on Saturday, it was 17 cells.", "count", 17),
    ("In yesterday's note I want the hive to be 26.", "place", "hive 26"),
    ("The hive in this morning's note was hive 8.", "place", "hive 8"),
    ("On second thoughts yesterday's hive was 43.", "place", "hive 43"),
    ("I need to fix something from Monday, the round was 6.", "round", 6),
    ("Can I change Tuesday's feed to 4 litres?", "amount", 4),
    ("Could you amend the mites from Sunday to 7?", "mites", 7),
]
OLD_TO_NEW = [
    ("In my note of the day before yesterday, kindly change 280 bees to 300.", "bees", 300),
    ("Please change hive 12 to hive 20 in yesterday's note.", "place", "hive 20"),
    ("In Monday's note swap yellow for white.", "colour", "white"),
    ("Could you alter 6 frames of brood to 8 in the note from Tuesday.", "brood_frames", 8),
    ("For Wednesday's wash, correct 9 mites to 12.", "mites", 12),
    ("Change weak to strong in my note about hive 33.", "strength", "strong"),
    ("In the entry about round 3, change 14 ripe cells to 16.", "count", 16),
    ("Amend Tuesday's feed from 2 litres to 3.", "amount", 3),
    ("In this morning's note replace queenless with queenright.", "queen", "queenright"),
    ("Would you please change round 2 to round 3 in yesterday's entry.", "round", 3),
    ("Yesterday's sale, put 5 nucs instead of 4.", "count", 5),
    ("Could you make yesterday's note hive 16 instead of hive 60?", "place", "hive 16"),
    ("On Sunday I noted 3 litres for hive 9, correct that to 2.", "amount", 2),
    ("Please make Monday's round 6 instead of 5.", "round", 6),
    ("Strike hive 12 from Monday's note, it was hive 20.", "place", "hive 20"),
]
MISTAKEN = [
    ("I made a mistake yesterday, it was nuc 6 and not nuc 16.", "place", "nuc 6"),
    ("The queen in nuc 3 that I marked yesterday is white, I said yellow by mistake.", "colour", "white"),
    ("I got it wrong on Tuesday, hive 21 and not hive 12.", "place", "hive 21"),
    ("On Monday I said 6 frames of brood by accident, it was 8.", "brood_frames", 8),
    ("Yesterday I mixed up two hives, it was hive 17 and not hive 70.", "place", "hive 17"),
    ("I slipped up this morning, not round 2 but round 3.", "round", 3),
    ("I wrongly called hive 19 queenless on Tuesday, it's queenright.", "queen", "queenright"),
    ("I wrote blue in error on Monday when it was white.", "colour", "white"),
    ("On Wednesday I said hive 14 when I meant hive 40.", "place", "hive 40"),
    ("I misspoke yesterday, it was 12 mites, not 9.", "mites", 12),
    ("I told you weak for hive 33 on Tuesday, but strong is right.", "strength", "strong"),
    ("My mistake on Monday, it was 30 larvae and not 40.", "larvae", 30),
    ("It wasn't 6 frames of brood yesterday, it was 8.", "brood_frames", 8),
    ("My bad, yesterday that was nuc 5 rather than nuc 15.", "place", "nuc 5"),
    ("Hive 14 on Tuesday was wrong, it was hive 40.", "place", "hive 40"),
    ("Correction to yesterday: it was nuc 19, not nuc 9.", "place", "nuc 19"),
    ("A correction: on Monday hive 6 should be hive 16.", "place", "hive 16"),
    ("Tuesday's hive 40 should have been hive 14.", "place", "hive 14"),
    ("I counted wrong on Monday, there were 16 ripe cells and not 14.", "count", 16),
    ("I've put yesterday's feed down as 2 litres, it should be 4.", "amount", 4),
    ("On Friday I marked the queen green in error, she is blue.", "colour", "blue"),
    ("Last night I said 5 litres, I actually gave 3.", "amount", 3),
]
RECALLED = [
    ("The hive I moved last Wednesday went to Creek and not to the Quarry.", "to", "yard Creek"),
    ("The nucs we shifted on Monday went to the Quarry, not to Creek.", "to", "yard Quarry"),
    ("The hive that I fed yesterday was hive 15 and not hive 50.", "place", "hive 15"),
    ("The queen I marked on Tuesday is blue, not white.", "colour", "blue"),
    ("The nuc that I called laying yesterday was nuc 4, not nuc 14.", "place", "nuc 4"),
    ("The larvae I grafted on Monday came from hive 34 and not hive 21.", "mother", "hive 34"),
    ("The feed I gave on Wednesday was 3 litres rather than 2.", "amount", 3),
    ("The wash that I did yesterday had 12 mites instead of 9.", "mites", 12),
    ("The strips I put in on Tuesday were for hive 11, not hive 12.", "place", "hive 11"),
    ("The take I gave you yesterday was for round 3, not for round 2.", "round", 3),
    ("The nucs I sold last Thursday were 5, not 4.", "count", 5),
    ("That feed this morning was for hive 12, not hive 20.", "place", "hive 12"),
    ("About the move on Sunday, it went to the Quarry rather than Creek.", "to", "yard Quarry"),
    ("Yesterday's sale was 4 nucs, not 5.", "count", 4),
    ("Turns out the hive I treated on Sunday was hive 44, not hive 4.", "place", "hive 44"),
    ("It was hive 11 I fed yesterday, not hive 12.", "place", "hive 11"),
    ("Not hive 11 but hive 12 was the one I fed yesterday.", "place", "hive 12"),
    ("The sale to Tony on Saturday was 3 nucs, I put 2.", "count", 3),
    ("I have to correct myself, the nuc I checked on Monday was nuc 2, not nuc 12.", "place", "nuc 2"),
]
CHANGES = [*LAST, *CONTRAST, *NAMED, *OLD_TO_NEW, *MISTAKEN, *RECALLED]


@pytest.mark.parametrize(("said", "field", "to"), [*CHANGES, *((bare(s), f, t) for s, f, t in CHANGES)])
def test_a_value_is_put_right(said: str, field: str, to: object) -> None:
    assert ordered(said) == ("change", field, to)


OLDER = [*NAMED, *OLD_TO_NEW, *MISTAKEN, *RECALLED]


@pytest.mark.parametrize("said", [s for s, _, _ in OLDER])
def test_a_change_of_an_older_note_says_which(said: str) -> None:
    """Without words of the note that is meant the last note would be changed."""
    told = read(said).orders[0]
    assert (told.said or told.about) is not None


NO_ORDERS = [
    "Hive 12 went to Creek and not to the Quarry.",
    "Moved hive 12 to the Quarry yesterday, not to Creek.",
    "Hive 14 was queenless on Tuesday, it's queenright now.",
    "I marked the queen in hive 3 white, not yellow.",
    "I'll change hive 12 to a new floor tomorrow.",
    "Swap the box on hive 12 for a new one.",
    "On Monday there were 6 frames of brood in hive 12, today there were 8.",
    "Made a mistake grafting, lost 10 larvae, 20 left in round 3.",
    "Fed hive 9 2 litres instead of 3.",
    "The note on the lid of hive 12 says requeen in March.",
    "It wasn't robbing in hive 12, it was a swarm.",
    "Keep that one as a breeder, hive 12.",
    "Leave it in until Friday.",
    "Don't put it in hive 12.",
    "Take that out of hive 12.",
    "Drop that box off at the Quarry tomorrow.",
    "Pull the last super off hive 12 tomorrow.",
    "Wax moth in the old frames, bin the lot.",
    "Bin the lot, wax moth in every frame of hive 12.",
    "Cut that one out, it's a swarm cell in hive 6.",
    "The hive I moved on Sunday is doing well, 8 frames of brood.",
    "Put hive 12 right, the lid was off.",
    "Correct the lean on hive 14 tomorrow.",
    "My notes say hive 12 was strong, it's weak today.",
    "I meant to feed hive 12 but fed hive 14 2 litres.",
    "Yesterday I fed hive 12 and not hive 14.",
    "It was not 12 mites but 14 in the wash on hive 30.",
    "Put 2 supers on hive 12 instead of 1.",
    "Use hive 34 instead of hive 21 for the next graft.",
    "I'd put hive 12 as the best, not hive 14.",
    "Never mind the weather, hive 12 has 8 frames of brood.",
    "The entry at hive 12 was blocked, not hive 14.",
    "I told Bernard 4 nucs on Monday and it was 5 he wanted.",
    "It was hive 14 that swarmed, not hive 12.",
    "Make hive 7 queenless tomorrow.",
    "Change of plan, graft on Friday from hive 34.",
    "Update: hive 12 is queenright, it was queenless on Monday.",
    "My error cost us hive 12, it was robbed out.",
    "Replace the yellow queen in hive 12 with a blue one.",
    "Yesterday's round was 30 larvae from hive 34.",
]


@pytest.mark.parametrize("said", [*NO_ORDERS, *map(bare, NO_ORDERS)])
def test_work_findings_and_things_thrown_out_are_no_orders(said: str) -> None:
    assert read(said).orders == []


UNCLEAR = [
    "Please alter yesterday's note, I was not thinking.",
    "Could you correct the entry about hive 12.",
    "Amend Monday's note, it was hive 12 or hive 20.",
]


@pytest.mark.parametrize("said", UNCLEAR)
def test_an_order_that_cannot_be_read_surely_asks(said: str) -> None:
    got = read(said)
    assert got.orders == []
    assert not got.keep
