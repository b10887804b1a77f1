"""Classes of speech about running hives: what is only named, not done, and what was not found. Own sentences."""

from __future__ import annotations

import pytest
from one_reader import read


@pytest.mark.parametrize(
    "text",
    [
        # another time, another place, or only a name
        "The bees hate the smell of thymol, they're all over the front of hive 3.",
        "Only half the strips left in the packet, enough for hive 10.",
        "Ran out of oxalic before I got to hive 12.",
        # feed that was eaten, has gone off, or was not given
        "No more syrup for hive 50.",
        "They'd chewed through the patty in hive 38.",
        "Fondant's gone hard as a rock on hive 50.",
        "The patties are like cardboard and hive 8 won't look at them.",
        "Dry sugar on newspaper for hive 31.",
        # frames of brood handed over
        "Two frames of brood out of hive 5 into nuc 3.",
        "Took three frames of brood from hive 18 and put them into nuc 11.",
        "Frame of brood from hive 40 over to hive 41.",
        "2 brood frames off hive 9 into hive 10.",
        # looked for and not found
        "Went through every frame in hives 2 to 5 for foulbrood, all clear.",
        "Nothing roped when I tried it in hive 2.",
        "Matchstick test in hive 14 came back clean.",
        "Hive 19 cleared up the chalkbrood by itself.",
        "Hive 23 has got over its chalkbrood.",
        # dead, but not a colony
        "The chooks are eating the dead drones at the front of hive 5.",
        "Smells like a dead fish under the mat of hive 58.",
        # only sounds alike
        "Robbing screens on nucs 39, 30 and 8.",
        "Took two frames out of hive 38 to calm them down.",
        "The lot got chilled in nuc 30.",
        "Undersupered hive 26, empty box beneath the full one.",
        "Sent a sample from hive 1 off to the lab last Friday.",
        "Half the brood in hive 3 is chilled.",
        "Check the ants haven't come back to nuc 10.",
        "Lid on hive 27 has split, I've put a bit of tin over it.",
        "A branch came down on hive 22, split the boxes.",
        "The super on hive 3 weighs a ton.",
        "They've started up in the super on hive 40.",
    ],
)
def test_is_no_finding(text: str) -> None:
    assert {e.kind for e in read(text).entries} <= {"note", "box"}


@pytest.mark.parametrize(
    ("text", "kind", "fields"),
    [
        ("Opened hive 5, the bees were calm, I'd left the lid off too long.", "inspection", {"temper": "calm"}),
        ("Six frames of brood in hive 9 and nowhere left to lay.", "inspection", {"brood_frames": 6}),
        ("Left the smoker burning, hive 12 strong.", "inspection", {"strength": "strong"}),
        ("Pulled the super off hive 25 and stacked them in the shed.", "box", {"step": "off"}),
        ("I'd give hive 29 a fair for temper.", "inspection", {"temper": "fair"}),
        ("Small hive beetle in the corners of hive 15, squashed 9.", "inspection", {"signs": ["small hive beetle"]}),
        ("A single egg in each cell in hive 7.", "inspection", {"eggs": True}),
        ("Three eggs to a cell in nuc 57.", "inspection", {"signs": ["several eggs in a cell"]}),
        ("Mite drop on hive 3 is down to 2 a day since the strips went in.", "mites", {"mites": 2, "days": 1}),
        ("Lost the queen in hive 56 after the formic.", "inspection", {"queen": "queenless"}),
        ("Caged her in hive 50 so there's a break before the oxalic.", "queen", {"step": "caged"}),
        ("Rotating away from amitraz, so it's thymol at the Creek yard.", "treatment", {"product": "thymol"}),
        ("Strips out of hive 3 today, they've been in six weeks.", "treatment", {"step": "out"}),
        ("Amitraz strips taken out of hive 34, they'd been in 8 weeks.", "treatment", {"product": "amitraz"}),
        ("The vaporiser ran out of battery after hive 47.", "treatment", {"step": "given"}),
        ("Trickle feeding hive 3 with thin syrup.", "feed", {"feed": "syrup 1:1"}),
        ("Drizzled syrup over the bees in hive 32.", "feed", {"feed": "syrup"}),
        ("Frame of pollen from hive 59 over to nuc 43.", "feed", {"place": "nuc 43", "feed": "pollen frame"}),
        ("2 frames of honey off hive 6 into hive 8.", "feed", {"place": "hive 8", "amount": 2}),
    ],
)
def test_is_read_as_one_entry(text: str, kind: str, fields: dict[str, object]) -> None:
    made = [e.model_dump(by_alias=True) for e in read(text).entries if e.kind != "note"]
    assert [e["kind"] for e in made] == [kind]
    assert {name: made[0].get(name) for name in fields} == fields
    assert not ({"queen_cells"} - set(fields)) & {k for k, v in made[0].items() if v is not None}


@pytest.mark.parametrize(
    ("text", "kind", "fields"),
    [
        # a count beside a hive's number
        ("Wash on hive thirty nine mites in three hundred bees.", "mites", {"place": "hive 30", "mites": 9}),
        ("Mite drop hive forty-four thirty-five in seven days.", "mites", {"place": "hive 44", "mites": 35, "days": 7}),
        ("Mite drop hive 25 18 over two days.", "mites", {"place": "hive 25", "mites": 18, "days": 2}),
        ("Wash on hive 9 4 out of 300.", "mites", {"place": "hive 9", "mites": 4, "bees": 300}),
        ("Sugar roll on 33: 4.", "mites", {"place": "hive 33", "mites": 4}),
        ("Sugar shake on 14, 6 in 300.", "mites", {"place": "hive 14", "mites": 6, "bees": 300}),
        ("Amitraz strips in hive thirty two of them.", "treatment", {"place": "hive 30", "amount": 2}),
        # a correction that changes the unit, or leaves words out
        ("Hive 12, 8 percent, no sorry, 18 mites.", "mites", {"place": "hive 12", "mites": 18, "percent": None}),
        ("Washed hive 4, 9 mites, correction, 3 percent.", "mites", {"place": "hive 4", "percent": 3, "mites": None}),
        ("Pulled 6 frames of honey from hive 31, no wait, 7 frames.", "harvest", {"amount": 7, "unit": "frame"}),
        ("Fed hive 4 three litres of syrup, no, four litres.", "feed", {"amount": 4, "feed": "syrup"}),
        # how long it took is no day to come
        ("Hive 35 took 12 litres in a week.", "feed", {"on": "2026-11-25", "amount": 12}),
        ("Hive 12 emptied two litres of syrup in a day.", "feed", {"on": "2026-11-25", "amount": 2}),
        ("16 mites in hive 48, they want something done this week.", "mites", {"on": "2026-11-25"}),
        # counts of none, and counts told in other words
        ("Nothing at all in the wash from hive 44.", "mites", {"place": "hive 44", "mites": 0}),
        ("Sugar shake on nuc 51, half a cup of bees, and I counted 18.", "mites", {"mites": 18}),
        ("The count for hive 3 was 1 from 300.", "mites", {"mites": 1, "bees": 300}),
        # temper by its words
        ("Hive 29 were in a filthy temper.", "inspection", {"temper": "hot"}),
        ("Hive 6 in a rotten mood.", "inspection", {"temper": "hot"}),
        ("Hive 4 in a lovely mood.", "inspection", {"temper": "calm"}),
        # put together, carried off, taken off
        (
            "Hive 51 had been hopeless, so it was put down onto hive 52.",
            "unite",
            {"from": "hive 51", "into": "hive 52"},
        ),
        ("Nucs 1 to 4 taken over to Creek.", "move", {"to": "yard Creek"}),
        ("17.5 kilos came off hive 55 in the end.", "harvest", {"amount": 17.5, "unit": "kg"}),
        ("The honey was taken from hive 35, 5 frames of it.", "harvest", {"amount": 5, "unit": "frame"}),
        ("Flood came through and took hive 38 clean away.", "loss", {"place": "hive 38", "cause": "flood"}),
        ("Hive 46 is a dead out, wasps by the look.", "loss", {"cause": "wasps"}),
        ("Hive 12 dead, starved I reckon.", "loss", {"cause": "starved"}),
        ("Hive 8 gone, blame the wasps.", "loss", {"cause": "wasps"}),
        # a killer that was seen, what a lost colony leaves, signs of a disease in another sentence
        ("Mice in the bottom. Hive 11 is a dead loss.", "loss", {"cause": "mice"}),
        ("Not a live bee in hive 25. Plenty of honey.", "loss", {"place": "hive 25"}),
        ("Wasps finished nuc 17. Gone.", "loss", {"cause": "wasps"}),
        ("Shrivelled wings on the grass, hive 19. Deformed wing virus.", "disease", {"suspect": "deformed wing virus"}),
        ("Went through hive 29 twice and no queen. Eggs though.", "inspection", {"queen": "not seen", "eggs": True}),
        ("Looked for swarm cells, hive 3, found none.", "inspection", {"queen_cells": {"count": 0, "type": "swarm"}}),
        ("There were queen cells in both boxes of hive 56 and not one egg to be found.", "inspection", {"eggs": False}),
        ("Not one egg in hive 4.", "inspection", {"eggs": False}),
        ("She's not a virgin at all in nuc 15, I can see an egg.", "inspection", {"eggs": True}),
        ("Hive 38 dead out, mites I should think.", "loss", {"cause": "mites"}),
        ("Hive 53 died out, the combs are only fit for the fire.", "loss", {"cause": None}),
        ("Cleared hive 30. 3 boxes.", "harvest", {"amount": 3, "unit": "box"}),
        ("Hive 17, brood 4, honey 3, pollen 1, no queen seen.", "inspection", {"honey_frames": 3, "queen": "not seen"}),
        ("Queen's gone from hive 22, eggs nowhere.", "inspection", {"eggs": False}),
        (
            "Hive 22 looks to have swarmed, hardly a bee left.",
            "inspection",
            {"signs": ["swarmed"], "queen_cells": None},
        ),
        ("Four frames of honey out of hive 12 for the extractor.", "harvest", {"amount": 4, "unit": "frame"}),
        ("Hive 7's honey came to 31 kilos.", "harvest", {"amount": 31}),
        ("Mite wash hive 19 nil.", "mites", {"place": "hive 19", "mites": 0}),
        ("Hive 30 alcohol wash, 12 out of half a cup.", "mites", {"mites": 12}),
        ("Took the last of the strips out of hive 4.", "treatment", {"step": "out"}),
        ("The flumethrin strips in hive 44, I've taken them out.", "treatment", {"step": "out"}),
        ("Hive 31 rough as guts.", "inspection", {"temper": "hot"}),
        # one way of counting for all, boards, pairs without a preposition
        (
            "Board's been under hive 5 for 3 days and there's 41 mites.",
            "mites",
            {"method": "drop", "mites": 41, "days": 3},
        ),
        ("Counted the drop on hive 16 overnight, 8.", "mites", {"mites": 8, "days": 1}),
        ("Did the wash for hive 60 and forgot to say, 4 mites 300 bees.", "mites", {"mites": 4, "bees": 300}),
        ("1 mite in 300, on the wash, hive 34.", "mites", {"method": "wash", "mites": 1, "bees": 300}),
        ("Hive 60, drop 5 in 2 days.", "mites", {"mites": 5, "days": 2}),
        ("Rolled 200 bees in icing sugar out of hive 38 and shook out 5 mites.", "mites", {"mites": 5, "bees": 200}),
        # frames and weights
        ("A frame of honey off the back of hive 14 and into hive 31.", "feed", {"place": "hive 31", "amount": 1}),
        (
            "2 frames of honey I'd kept back in the shed, they went to hive 47.",
            "feed",
            {"place": "hive 47", "amount": 2},
        ),
        ("60 pound off hive 44.", "harvest", {"place": "hive 44", "amount": 27.22, "unit": "kg"}),
        ("Drew the strips from hive 10.", "treatment", {"step": "out"}),
        ("Fumed hive 3 with oxalic, 2 grams.", "treatment", {"method": "vapour"}),
        # where a hive went
        ("Hive 14 to Quarry.", "move", {"places": ["hive 14"], "to": "yard Quarry"}),
        ("Hive 60 off the Orchard and on to Quarry.", "move", {"to": "yard Quarry"}),
        ("Hive 27 and hive 28 moved to Creek.", "move", {"places": ["hive 27", "hive 28"]}),
        ("Sheet of newspaper and hive 44 down on top of hive 45.", "unite", {"from": "hive 44", "into": "hive 45"}),
        ("Not laying yet in nuc 14, give her till the weekend.", "mating", {"on": "2026-11-25"}),
        # the weather as it was put
        ("Hot north wind, 37 degrees.", "weather", {"temperature_c": 37, "words": "hot north wind"}),
        ("17 degrees out here and cloudy with a light breeze.", "weather", {"words": "cloudy with a light breeze"}),
        # what is to be done, without the talk round it
        (
            "Oh, gotta pick up more foundation tomorrow, don't let me forget.",
            "task",
            {"text": "pick up more foundation"},
        ),
        ("Need reminding to requeen hive 33 in a week, she's a shocker.", "task", {"text": "requeen hive 33"}),
        ("Remind me, what was it, to ring the packaging lady on Tuesday.", "task", {"text": "ring the packaging lady"}),
        ("Could you remind me in 3 days to check nuc 7 for eggs.", "task", {"text": "check nuc 7 for eggs"}),
        (
            "Remind me on Monday no Tuesday to requeen hive 31.",
            "task",
            {"text": "requeen hive 31", "due": "2026-12-01"},
        ),
        ("He'll forget if I do, so on Monday I have to ring Bernard about his queens.", "task", {"due": "2026-11-30"}),
        ("Lid's cracked, remind me to bring a lid for hive 44 next time.", "task", {"place": "hive 44"}),
        ("Hive 9 must be fed by Friday.", "task", {"place": "hive 9", "due": "2026-11-27"}),
    ],
)
def test_is_read_so(text: str, kind: str, fields: dict[str, object]) -> None:
    reading = read(text)
    made = [e.model_dump(mode="json", by_alias=True) for e in reading.entries if e.kind != "note"]
    assert [e["kind"] for e in made] == [kind]
    assert {name: made[0].get(name) for name in fields} == fields


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("Took the strips out of 3, 4 and 11.", ["hive 3", "hive 4", "hive 11"]),
        ("Pulled the pads out of 22 and 23 today.", ["hive 22", "hive 23"]),
        ("Took the strips out of 40.", ["hive 40"]),
        ("Pulled the strips from hive 40 and one had been chewed.", ["hive 40"]),
        ("Amitraz strips into hive 3, 2 of them, one either side of the brood.", ["hive 3"]),
    ],
)
def test_bare_numbers_name_hives(text: str, places: list[str]) -> None:
    made = [e.model_dump() for e in read(text).entries if e.kind == "treatment"]
    assert [e["place"] for e in made] == places


@pytest.mark.parametrize(
    "text",
    [
        "I must have missed one in hive 49 because they've gone.",
        "Dark bees in hive 14, so the yellow queen must've been replaced.",
        "So there must be a queen in nuc 33 somewhere.",
        "Hive 22 and hive 40 both gone in a day.",
    ],
)
def test_a_guess_is_no_task(text: str) -> None:
    assert {e.kind for e in read(text).entries} <= {"note", "loss"}


def test_a_day_holds_for_what_is_joined_to_it() -> None:
    made = read("Pulled 2 boxes off hive 9 yesterday and 2 off hive 10, honey.").entries
    assert [str(e.on) for e in made if e.kind == "harvest"] == ["2026-11-24", "2026-11-24"]
