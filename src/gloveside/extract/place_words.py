"""Words of lists of places: what joins, ranges, excepts and hesitates, and what is never a name."""

from __future__ import annotations

from spacy.lang.en.stop_words import STOP_WORDS

RANGE_WORDS = {"to", "through", "till", "until", "-", "thru"}
# "15 right through to 24", "1 up to 6".
RANGE_PHRASES = tuple(
    tuple(words.split())
    for words in (
        "all the way through to", "all the way up to", "all the way to", "right through to", "right up to",
        "clear through to", "on through to", "through to", "thru to", "up to", "up through", "on to",
    )
)  # fmt: skip
JOINERS = {"and", "&", ","}
HESITATIONS = {"um", "uh", "er", "erm", "ah", ","}
MONEY = frozenset(["dollars", "dollar", "bucks", "quid", "euros", "euro"])
LIGHT_ADJECTIVES = {
    "full", "good", "solid", "big", "small", "nice", "new", "empty", "more", "large", "ripe", "capped", "sealed",
    "amitraz", "thymol", "formic", "oxalic", "fluvalinate", "flumethrin",
}  # fmt: skip
LONGEST_LIST = 60
# Things in the singular, which no number above one counts.
ONE_THING = {"patty", "strip", "super", "box", "pad"}
# From here on a number beside the names of hives below it counts bees.
HUNDREDS = 100
# What a list of places may do each.
GETS = {"got", "get", "gets", "had", "has", "have", "received", "with", "took", "were", "are", "went", "given"}
EXCEPT_WORDS = {"bar", "except", "but", "not", "excepting", "barring", "for", "minus", ","}
ALL_TOLD = {"in all", "all told", "all up", "in total", "of them", "all together"}
ASIDE = {"to", "on", "off", "into", "from", "onto"}
# Between two values of which one is meant: "sixteen, or was it sixty".
PERHAPS = {
    ",", "may", "or", "maybe", "perhaps", "possibly", "was", "it", "is", "might",
    "might've", "could've", "be", "been", "have", "could", "even", "uh", "um", "er",
}  # fmt: skip
LONGEST_EITHER = 7
POINTERS = {
    "the", "this", "that", "a", "an", "each", "every", "per",
    "same", "whole", "one", "my", "his", "her", "their", "our", "its",
}  # fmt: skip
# Never a yard's name though they may stand before the word "yard".
NOT_YARDS = STOP_WORDS | {"mating", "bee", "home", "holding", "back", "front", "same", "other", "next", "new", "old"}
# Never a hive's name though they may follow the word "hive".
NOT_NAMES = STOP_WORDS | {"checked", "queen", "looks", "looking", "good", "great", "fine", "number"}
