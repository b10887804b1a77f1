"""Which typed lines may overtake notes that still wait to be read: questions, which change nothing."""

from __future__ import annotations

import re

_OPENINGS = re.compile(
    r"(what|when|which|who|where|how (many|much|long|often|old|is|are|did)|last note|show|list|due\b)", re.IGNORECASE
)


def looks_like_question(text: str) -> bool:
    """Whether a typed line asks and tells nothing. In doubt no: then it is answered in its turn."""
    text = text.strip()
    return len(text) <= 200 and "\n" not in text and (text.endswith("?") or _OPENINGS.match(text) is not None)
