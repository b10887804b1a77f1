"""What an engine may expect to hear, generated from the data that the rules read and from the register."""

from __future__ import annotations

from functools import cache

from num2words import num2words

from gloveside.extract.lexicon import Concept, concepts
from gloveside.extract.register import Register
from gloveside.extract.tokens import split, tidy
from gloveside.speech.transcript import Vocabulary


@cache
def lexicon() -> dict[str, tuple[str, ...]]:
    """All words of the trade: concept -> the forms in which it is said (mishearings left out)."""
    return {name: concept.forms for name, concept in concepts().items() if not _plain(concept)}


def _plain(concept: Concept) -> bool:
    return concept.soft or concept.scope is not None


@cache
def _words() -> tuple[str, ...]:
    out: dict[str, None] = {}
    for concept in concepts().values():
        for form in concept.forms:
            for word in split(tidy(form))[0]:
                if word[:1].isalpha():
                    out[word.lower()] = None
    for number in (*range(21), *range(30, 100, 10), 100, 1000):
        for word in num2words(number).replace("-", " ").split():
            out[word] = None
    return tuple(sorted(out))


# Sentences in the engine's own spelling, most telling last; places of the register replace the braces.
_PROMPT = (
    "Wash on {hive}, 9 mites in 300 bees.",
    "No sign of chalkbrood, 2 supers on, fed 2 litres of 1:1 syrup.",
    "Moved {nuc} to the Quarry yard.",
    "Marked the queen blue, clipped her.",
    "Grafted 40 larvae into {builder} from {mother}, 2 bars of 20.",
    "Slide in, excluder in, slide out.",
    "Round 3, top bar 11 out of 15, bottom bar 8 out of 15.",
    "Planted 18 ripe cells in nucs 1 to 18, 12 capped cells in the incubator.",
    "{nuc} laying, virgin seen, drone layer.",
    "{hive}, queenright, 8 frames of brood, supersedure cells knocked down.",
)


def _place(register: Register, sort: str, default: str) -> str:
    known = sorted((p for p in register.places if p.startswith(sort + " ")), key=lambda p: (len(p), p))
    place = known[len(known) // 2] if known else default
    return place[:1].upper() + place[1:]


def build(register: Register) -> Vocabulary:
    """The vocabulary for one operation: words, spoken phrases and a prompt of about 100 tokens."""
    builder = sorted(register.builders)[0] if register.builders else "hive 7"
    mother = sorted(register.mothers)[0] if register.mothers else "hive 21"
    fill = {
        "hive": _place(register, "hive", "hive 14"),
        "nuc": _place(register, "nuc", "nuc 9"),
        "builder": builder.capitalize(),
        "mother": mother.capitalize(),
    }
    names = [n for n in register.names if n.strip()]
    prompt = " ".join(sentence.format(**fill) for sentence in _PROMPT)
    if names:
        prompt = ", ".join(names[:20]) + ". " + prompt
    phrases: dict[str, None] = {}
    for forms in lexicon().values():
        for form in forms:
            if form[:1].isalpha():
                phrases[form] = None
    for place in sorted(register.places):
        sort, _, name = place.partition(" ")
        spoken = num2words(int(name)).replace("-", " ") if name.isdigit() else name.lower()
        phrases[f"{name.lower()} yard" if sort == "yard" else f"{sort} {spoken}"] = None
    for number in range(1, 20):
        phrases[f"round {num2words(number)}"] = None
    words = dict.fromkeys([*_words(), *(w.lower() for n in names for w in n.split())])
    return Vocabulary(tuple(words), tuple(phrases), prompt)
