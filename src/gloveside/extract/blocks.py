"""Long notes: segments joined into one text, which is read block by block with the place carried over."""

from __future__ import annotations

from collections.abc import Sequence

from gloveside.extract.heard import Context, Heard, count
from gloveside.extract.reader import Parse
from gloveside.extract.tokens import split
from gloveside.extract.written import text_of

# A block of this many characters is read at once.
BLOCK = 2_500


def joined(heard: Sequence[Heard]) -> str:
    """The segments as one text, each ending in a pause."""
    parts = [part.text.strip() for part in heard]
    if len(parts) == 1:
        return parts[0]
    return " ".join(text if text[-1:] in (".", "?", "!", ",", ";") else text + "." for text in parts)


def _blocks(text: str) -> list[str]:
    """Cut a long text at sentence ends into blocks that are read one by one."""
    if len(text) <= BLOCK:
        return [text]
    out: list[str] = []
    words, spaces = split(text)
    block: list[str] = []
    gaps: list[bool] = []
    size = 0
    for word, gap in zip(words, spaces, strict=True):
        block.append(word)
        gaps.append(gap)
        size += len(word) + 1
        if size > BLOCK * 0.8 and (word in (".", "?", "!") or size > BLOCK):
            out.append(text_of(block, gaps))
            block, gaps, size = [], [], 0
    if block:
        out.append(text_of(block, gaps))
    return out


def read(text: str, context: Context) -> Parse:
    """Read a text block by block; the place and the round in force are said again at the head of the next block."""
    blocks = _blocks(text)
    if len(blocks) == 1:
        return context.parse(text)
    whole = Parse(text)
    lead = ""
    claimed = total = 0.0
    for block in blocks:
        parse = context.parse(f"{lead}{block}")
        shift = len(whole.entries)
        whole.entries.extend(parse.entries)
        whole.questions.extend(parse.questions)
        whole.orders.extend(parse.orders)
        whole.doubts.extend(
            d if d.entry is None else d.model_copy(update={"entry": d.entry + shift}) for d in parse.doubts
        )
        whole.unclaimed.extend(parse.unclaimed)
        whole.shaky.update({shift + index: left for index, left in parse.shaky.items()})
        whole.evidence.add(parse.evidence)
        words, _ = count(block)
        claimed, total = claimed + parse.score * words, total + words
        known = [p for p in (getattr(e, "place", None) for e in parse.entries) if p]
        lead = f"{known[-1]}. " if known else lead
    return Parse(
        text,
        whole.entries,
        whole.questions,
        whole.orders,
        whole.doubts,
        whole.unclaimed,
        round(claimed / max(total, 1), 3),
        whole.shaky,
        whole.evidence,
    )
