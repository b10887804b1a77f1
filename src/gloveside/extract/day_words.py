"""The words of days: weekdays and months, units of time, and words that tell a day from a count or a verb."""

from __future__ import annotations

from gloveside.extract import numbers

WEEKDAYS = {
    name: index
    for index, names in enumerate(
        [
            ("monday", "mon", "mondays"),
            ("tuesday", "tues", "tue", "tuesdays"),
            ("wednesday", "wednesdays"),
            ("thursday", "thurs", "thur", "thu", "thursdays"),
            ("friday", "fri", "fridays"),
            ("saturday", "saturdays"),
            ("sunday", "sundays"),
        ]
    )
    for name in names
}
# Abbreviations that are words or names of other things: only after a word that leads a date in.
SHY_WEEKDAYS = {"sat": 5, "sun": 6, "wed": 2}
LEAD_IN = frozenset(["on", "last", "next", "this", "by", "until", "till", "since", "before", "from", "coming"])
MONTHS = {
    name: index
    for index, names in enumerate(
        [
            ("january", "jan"),
            ("february", "feb"),
            ("march", "mar"),
            ("april", "apr"),
            ("may",),
            ("june", "jun"),
            ("july", "jul"),
            ("august", "aug"),
            ("september", "sep", "sept"),
            ("october", "oct"),
            ("november", "nov"),
            ("december", "dec"),
        ],
        start=1,
    )
    for name in names
}
# Months that are verbs as well: "hive 5 may swarm", "8 march in".
VERB_MONTHS = frozenset(["may", "march", "mar"])
VERBS_AFTER = numbers.word_set(
    "be have not need want come go get take well swarm die make just still or in out into off on up down back along"
    " past through lose fail start run do also yet"
)
# Nouns that an ordinal counts: "on the second bar" is no date.
COUNTED = numbers.word_set(
    "bar bars frame frames box boxes hive hives nuc nucs cell cells cup cups brood super supers one ones round rounds"
    " graft grafts time week day days go try look check check-up inspection batch lot row yard split splits queen"
    " queens virgin virgins colony colonies strip strips patty patties feed comb combs seam floor lid side half month"
    " year visit dose treatment wash shake litre liter bucket tray pallet stand swarm cast attempt pass run hour"
)
DAY_UNITS = {"day": "days", "days": "days", "week": "weeks", "weeks": "weeks", "month": "months", "months": "months"}
DAY_UNITS |= {"fortnight": "fortnight", "fortnights": "fortnight", "hour": "hours", "hours": "hours"}
DAY_UNITS |= {"minute": "hours", "minutes": "hours"}
# Words that may follow a small day of the month ("on the second we grafted", "on the third and").
AFTER_A_DAY = numbers.word_set(
    "and at in i we the then for with to from is was were but so by about around please again not it they he she"
    " grafted checked put took pulled fed made found planted marked sold moved treated did had"
)
