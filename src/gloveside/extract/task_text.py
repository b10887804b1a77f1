"""What is to be done, in words without the talk round it: courtesies, reasons, false starts."""

from __future__ import annotations

import re

# Courtesies after a task, which are no part of it.
COURTESY = re.compile(
    r"[,;]?\s*\b(please|thanks|thank you|thank you kindly|ta|cheers|mate|love|my love|would you|will you|could you"
    r"|will ya|if you (would|will|could|please|don't mind)|there's a (good|dear|love)\w*( \w+)?|like a good \w+"
    r"|be a dear|first thing|before i forget|lest i forget|okay|ok|yeah|eh"
    r"|(as|or|because|cause|since|otherwise|else|for) (i|i'll|i'm|i'd|we|we'll|we're|it'll)\b"
    r"[^,]*\b(forget|forgotten|remember|slip my mind)\b.*)\s*$",
    re.IGNORECASE,
)
# Why something is to be done, said behind it: "requeen hive 33, she's a shocker".
REASON = re.compile(
    r"[,;]\s*(because|cause|cos|for (?:i|by|we|she|they|it|he|it's)|she's|she is|he's|they're|they are"
    r"|it's|it is|they've|we're|i'm|that's|there's|we've got|i've got|if my|god willing|weather permitting|no excuses"
    r"|no matter what|do that|and do that)\b[^,]*$",
    re.IGNORECASE,
)
# A clause with a subject of its own and a verb that tells how things are or will be: "…, they'll want the room".
_SUBJECT = (
    r"(?:they|she|he|it|that|there|this|nobody|nothing|everything|everyone|someone|somebody"
    r"|(?:the|a|an|my|our|her|his|its|their|those|these|this|that|no|some|any|most|both|all)(?: [\w-]+){1,4}?)"
)
_TELLS = (
    r"(?:'ll|'ve|'re|'s|'d| (?:will|won't|is|isn't|are|aren't|was|wasn't|were|weren't|has|hasn't|have|haven't|had"
    r"|hadn't"
    r"|should|shouldn't|ought|could|couldn't|can|can't|may|might|would|wouldn't|looks?|looked|seems?|seemed"
    r"|feels?|felt|sounds?|sounded|says?|said"
    r"|keeps?|kept|gets?|got|goes|went|comes?|came|wants?|likes?|don't|doesn't|didn't|do|does|did|never|always))"
)
CLAUSE = re.compile(
    rf"[,;]\s*(?:and |since |as |seeing as |seeing |so |'cause )?{_SUBJECT}{_TELLS}\b"
    r"(?! (?:need|needs|have to|got to)\b)[^,]*$|[,;]\s*(?:ahead of|in time for)\b[^,]*$",
    re.IGNORECASE,
)
UNPAUSED = re.compile(
    r"(?<=\w) (?<!that )(?<!if )(?<!when )(?<!while )(?<!where )(?<!because )(?<!so )(?<!before )(?<!until )(?<!after )"
    r"(?<!see )(?<!and )(?<!once )(?<!whether )(?<!unless )(?<!as )(?<!what )(?<!till )(?<!say )(?<!think )(?<!them )"
    r"(?:they'll|they've|she'll|they'd|it'll|we've got)\b(?! (?:need|have to|got to)\b)[^,]*$",
    re.IGNORECASE,
)
# Words before what is to be done.
OPENING = re.compile(
    r"^((oh|ah|right|okay|ok|um|uh|er|well|yeah|hey|now|so|please|kindly|that i|what was it|what is it|what's it called"
    r"|let me think|let's see|what|gotta|got to|i've got to|i must|must)\b[ ,]*)+(to )?(?=\w)",
    re.IGNORECASE,
)
# A job put right: "to test, sorry, to change the battery".
INSTEAD = re.compile(r"^.*[,.] ?(sorry|no|i mean|or rather|correction|rather),? to (?=\w)", re.IGNORECASE)
# After "be", what can be done: "be back at hive 7", "be fed"; "be queenright" is no task.
DOABLE = frozenset(["back", "there", "here", "sure", "ready", "at", "home", "in", "on", "careful", "up", "out"])
# What bees are about to do, not their keeper.
OF_BEES = frozenset(["swarm", "die", "starve", "abscond", "supersede", "emerge", "hatch", "fail", "rain", "collapse"])
# How the keeper goes on, which is no work: "let's walk the row", "I want to do this slow".
GOING = (
    "walk ",
    "do this slow",
    "do it slow",
    "take this slow",
    "take it slow",
    "do this right",
    "go slow",
    "see what",
)
OF_THEMSELVES = frozenset(["mated", "laying", "capped", "sealed", "emerged", "hatched", "ripe", "queenright"])
FOR_IT = re.compile(r"(?<=\w) for (it|them|that one)$", re.IGNORECASE)
# Said while looking for the words: "remind me, what was it, to ring the lady".
SEEKING = re.compile(r"^(what was it|what is it|what else|now what|let me think|where was i)\b[ ,]*(to )?(?=\w)", re.I)
REMINDING = re.compile(r"^(you\s+)?((please|kindly|just|also)\s+)?(remind|tell|nudge) me( please)? to (?=\w)", re.I)
LEADING = re.compile(r"^(first thing|come|early|first up|in the morning)\b[ ,]*(?=\w)", re.IGNORECASE)


# What is being done or will be being done, as it is to be done: "putting a super on" is "put a super on".
BARE = {
    "putting": "put", "feeding": "feed", "moving": "move", "splitting": "split", "taking": "take", "giving": "give",
    "marking": "mark", "treating": "treat", "grafting": "graft", "planting": "plant", "washing": "wash",
    "adding": "add", "uniting": "unite", "combining": "combine", "joining": "join", "merging": "merge",
    "requeening": "requeen",
    "checking": "check", "pulling": "pull", "harvesting": "harvest", "introducing": "introduce", "caging": "cage",
    "catching": "catch", "selling": "sell", "buying": "buy", "bringing": "bring", "collecting": "collect",
    "making": "make", "setting": "set", "sliding": "slide", "opening": "open", "closing": "close",
    "inspecting": "inspect", "removing": "remove", "shifting": "shift", "swapping": "swap", "supering": "super",
    "stocking": "stock",
    "dropping": "drop", "popping": "pop", "sticking": "stick", "trickling": "trickle", "vaporising": "vaporise",
    "ordering": "order", "picking": "pick", "ringing": "ring", "clipping": "clip", "releasing": "release",
    "killing": "kill", "pinching": "pinch", "looking": "look", "getting": "get", "topping": "top", "shaking": "shake",
    "extracting": "extract", "robbing": "rob", "reducing": "reduce", "cleaning": "clean", "delivering": "deliver",
    "doing": "do", "testing": "test", "counting": "count", "cutting": "cut", "lifting": "lift", "leaving": "leave",
    "going": "go", "transferring": "transfer", "loading": "load", "replacing": "replace", "running": "run",
}  # fmt: skip


def bare(text: str) -> str:
    """What is to be done without its ending: "putting two supers on", "be putting two supers on"."""
    first, _, rest = text.partition(" ")
    if first == "be":
        first, _, rest = rest.partition(" ")
    plain = BARE.get(first.lower())
    return f"{plain} {rest}".strip() if plain else text


def told(text: str) -> str:
    """What is to be done, without the courtesies around it: "ring Dave, there's a good lad"."""
    while True:
        shorter = REASON.sub("", FOR_IT.sub("", COURTESY.sub("", text))).rstrip(" ,;")
        shorter = UNPAUSED.sub("", CLAUSE.sub("", shorter)).rstrip(" ,;")
        shorter = SEEKING.sub("", OPENING.sub("", shorter) or shorter)
        shorter = INSTEAD.sub("", REMINDING.sub("", shorter)) or shorter
        shorter = LEADING.sub("", shorter) if "," in shorter else shorter
        if shorter == text or not shorter:
            return text
        text = shorter


def is_state(text: str) -> bool:
    """Whether what follows the cue tells how something is or will be: "must be queenright after all"."""
    words = text.lower().split()
    if words[0] in OF_BEES or words[-1 if len(words) < 3 else 0] in OF_THEMSELVES or text.lower().startswith(GOING):
        return True
    return words[0] == "be" and len(words) > 1 and words[1] not in DOABLE and not words[1].endswith(("ed", "en", "ing"))
