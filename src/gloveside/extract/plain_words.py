"""Ways to speak that the rules read in plainer words: "no sir, 14" is "no, 14", "back on Saturday" is last Saturday.

Only what stands between a value and its correction, or before what is told with a hedge, is put in other words.
"""

from __future__ import annotations

import re

_NO = (
    r"sirree|siree|sir|ma'am|mate|boss|buddy|partner|fellas|listen to me|listen here|listen|hear me|hear me out"
    r"|look here|look|dang it|darn it|bother|blast|hush|let me see|let me think|strike me|forget it"
)
_SAID_AGAIN = re.compile(rf"(?<=[\w'],) ?((?:well |oh |aw |ah )?no),? (?:{_NO})\b,? (?=\w)", re.IGNORECASE)
_CALL_IT = re.compile(
    r"\b(no,?|no wait,?|actually,?|nah,?) (?:let's |i'd |we'll |i'll |better )?(?:call|say|make) (?:it|that) "
    r"(?=\w)",
    re.IGNORECASE,
)
_WELL_NO = re.compile(r"(?<=\w)(,?) (?:well|aw|ah|oh|nah),? no\b", re.IGNORECASE)
# "I want to say it's nuc 5": what is told is told with a hedge, nothing is to be done.
_HEDGE = re.compile(
    r"\b(?:i|i'd|i'm|we|we'd) (?:(?:kind of |sort of |kinda |almost |really |still )?(?:want to|wanna|would like to"
    r"|like to|going to|gonna|inclined to|tempted to|have to|am inclined to)(?: just)? )say (?:that )?"
    r"(?=(?:its|it's|it is|it was|that's|that was|they're|she's|about|around|hives?|nucs?|rounds?|maybe|a|an|\d+)\b)",
    re.IGNORECASE,
)
_ELSE = re.compile(
    r"(,?) (?:but|though|then again|or else|unless)(?:,)? (?:it|that) "
    r"(could|might|may)(?:'ve| have| of)?( just as well| easily| well| also)? (?:been|be) (?=\w)",
    re.IGNORECASE,
)
_OR_ELSE = re.compile(r",? or else (?:it was |that was |in |on |it's )?(?=(?:hive|nuc) \w+)", re.IGNORECASE)
# "Put a dot on the queen in hive 19 back on Saturday": where the work was told, so the day has been.
_DAY = r"(?:mon|tues|wednes|thurs|fri|satur|sun)day"
_BACK_ON = re.compile(
    rf"(?:^|(?<=[.;!?] ))((?:i |we |and |then |so )?(?:put|set|split|cut|let|shut)\b(?:(?![.;!?]).)*?"
    rf"\b(?:in|on|into|onto|to|from|of|under|over) (?:hive|nuc) [\w-]+),? back (?:on )?(?:a )?({_DAY})\b",
    re.IGNORECASE,
)


def plain(text: str) -> str:
    """The text of a note in plainer words."""
    text = _SAID_AGAIN.sub(r" \1, ", text)
    text = _WELL_NO.sub(r"\1 no", text)
    text = _CALL_IT.sub("no, make it ", text)
    text = _HEDGE.sub("", text)
    text = _OR_ELSE.sub(", or it might have been ", text)
    text = _ELSE.sub(", or it might have been ", text)
    return _BACK_ON.sub(r"\1 last \2", text)
