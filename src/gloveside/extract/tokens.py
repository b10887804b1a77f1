"""From text to tokens: one tokenizer for notes, for the forms of the lexicon and for heard text."""

from __future__ import annotations

import re
import unicodedata

from spacy.tokens import Doc
from spacy.vocab import Vocab

# A note longer than this is a mistake or an attack; the rest is kept as heard text but not read.
MAX_CHARACTERS = 12_000

_TOKEN = re.compile(
    r"\d{1,3}(?:,\d{3})+(?:\.\d+)?(?!\d)"  # 1,500
    r"|\d+(?:\.\d+)?(?:st|nd|rd|th)\b"  # 1st
    r"|\d+(?:\.\d+)?"  # 12 and 2.5
    r"|'s\b"  # hive twelve's, it's
    r"|[^\W\d_]+(?:'(?!s\b)[^\W\d_]+)*"  # words, with don't as one
    r"|\S",
    re.IGNORECASE,
)
_LETTER_HYPHEN = re.compile(r"(?<=[^\W\d_])-(?=[^\W\d_])|(?<=[^\W\d_]{2})-(?=\d)")
_THEM = re.compile(r"(?<!\w)'em\b", re.IGNORECASE)
_TRANSLATE = str.maketrans({"’": "'", "‘": "'", "`": "'", "–": "-", "—": ",", "“": '"', "”": '"', "…": ".", "\n": "."})


def tidy(text: str) -> str:
    """Fold the signs that engines and phones write differently; words and digits are left as they are."""
    text = unicodedata.normalize("NFKC", text.translate(_TRANSLATE)).replace("\u2044", "/").replace("⁄", "/")
    text = _THEM.sub("them", _LETTER_HYPHEN.sub(" ", text))
    return re.sub(r"\s+", " ", text).strip()


def split(text: str) -> tuple[list[str], list[bool]]:
    """Cut tidied text into words and whether a blank follows each."""
    words: list[str] = []
    spaces: list[bool] = []
    for found in _TOKEN.finditer(text):
        words.append(found.group())
        spaces.append(text[found.end() : found.end() + 1].isspace())
    return words, spaces


class NoteTokenizer:
    """A spaCy tokenizer for notes: "11/15", "1:1" and "5kg" come apart, "don't" and "1st" stay whole."""

    def __init__(self, vocab: Vocab) -> None:
        self.vocab = vocab

    def __call__(self, text: str) -> Doc:
        """Tokens of one text; blanks at the ends are dropped."""
        words, spaces = split(tidy(text))
        return Doc(self.vocab, words=words, spaces=spaces)


def foreign_share(text: str) -> float:
    """Share of letters outside the Latin script, 0..1; 0 for a text without letters."""
    letters = [c for c in text if c.isalpha()]
    if not letters:
        return 0.0
    return sum("LATIN" not in unicodedata.name(c, "") for c in letters) / len(letters)
