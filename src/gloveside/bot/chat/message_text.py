"""Fits text to what one message may hold."""

from __future__ import annotations

LONGEST_TEXT = 4096
LONGEST_CAPTION = 1024


def length(text: str) -> int:
    """Length in UTF-16 units: the strictest of the ways in which the service may count."""
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


def clean(text: str) -> str:
    """Without what the service refuses or drops: lone surrogates and control characters other than line breaks."""
    text = text.encode("utf-8", "replace").decode("utf-8")
    return "".join(c for c in text if c in "\n\t" or ord(c) >= 32).strip()


def pieces(text: str, longest: int = LONGEST_TEXT) -> list[str]:
    """The text in parts of at most `longest` units, cut at a line's end, else at a blank, else anywhere."""
    text = clean(text)
    parts: list[str] = []
    while length(text) > longest:
        cut = _fitting(text, longest)
        head = text[:cut]
        for mark in ("\n", " "):
            at = head.rfind(mark)
            if at > cut // 2:
                head = text[:at]
                break
        parts.append(head.rstrip())
        text = text[len(head) :].lstrip()
    if text:
        parts.append(text)
    return parts


def _fitting(text: str, longest: int) -> int:
    """How many characters from the start hold at most `longest` units."""
    used = 0
    for index, character in enumerate(text):
        used += 2 if ord(character) > 0xFFFF else 1
        if used > longest:
            return index
    return len(text)
