"""The words with which a kept note is put right, as patterns over a line of `layout`."""

from __future__ import annotations

import re

_W = r"(?:[^<\s]+ )"
_GLUE = (
    r"(?:(?:for|on|in|to|into|the|from|off|at|a|an|of|as|with|under|number|called|marked|it|was|is|that|my|hive|nuc|"
    r"round|like|only|just|really|actually|about|against|queen|with|just|more) )*"
)
_NOTES = (
    r"(?:note|notes|entry(?! (?:at|to|block|hole))|entries|record|message|recording|log|voice note|bit|"
    r"reading|line|figure)"
)
LABELS = (
    r"(?:colour|color|place|location|hive|nuc|yard|round|count|number|figure|amount|price|mother|breeder|queen|brood|"
    r"frames?|mites|bees|larvae|take|litres|strength|temper|dose|cells|feed|mark|dot|day|total)"
)
_HAVE = r"(?:have |had |'ve |'d |must have |also )?"

COURTESY = re.compile(
    r"\b(?:please|kindly|would|could|can|will|you|so|just|then|mate|love|dear|oh|sorry|um|right|okay|ok|hey|well|no|"
    r"actually|i'd|like|want|to|need|wish|wait|we|i|me|be|an|angel|good|hang|on|and|but|for|the|thanks|ta|ah|mind|do)\b"
)
PLANNED = re.compile(
    r"\b(?:(?<!can )(?<!could )(?<!may )(?<!should )(?:i|we)|i'll|we'll|i'd better|must|gotta|"
    r"gonna|going to|need to|have to|should|remember to) $"
)
CHANGE = re.compile(
    r"\b(?P<verb>change|alter|amend|correct|edit|adjust|revise|fix|update|modify|mend|rectify|swap|switch|replace|have|"
    r"exchange|turn|move|set|make|put)\b"
)
ONLY_OF_NOTES = {
    "change",
    "alter",
    "amend",
    "correct",
    "edit",
    "adjust",
    "revise",
    "fix",
    "update",
    "modify",
    "rectify",
}
"""Verbs that are said of notes rather than of hives."""
NOTE_REF = re.compile(
    rf"\b(?:my|the|that|this|your|our|'s|last|previous|first|latest|a) (?:\w+ ){{0,2}}?{_NOTES}\b(?: (?:of|from|on|"
    rf"for|about|"
    rf"with|i (?:made|gave|left|sent|put in)|that i made)(?: {_W}?)?)?"
    rf"|@\d+ 's (?:\w+ ){{0,2}}?\w+\b|\bwhat i (?:said|told you|put|wrote)\b|\b(?:something|a thing|one thing|"
    rf"anything) (?:from|on|of|i said)\b"
)
NOT_SO = re.compile(
    r"^ (?:no |sorry |oh |actually |um )*(?:it|that|they|there|those) (?:wasn't|weren't|isn't|"
    r"aren't|was not|were not)\b"
)
LAST_NOTE = re.compile(
    rf"\b(?:the|that|my|this) (?:very )?(?:last|previous)(?: {_NOTES}| one| thing| bit)?\b|"
    rf"\bthe one i just (?:said|gave|made)\b|\bthat "
    rf"{_NOTES}\b(?! about)"
)
TOLD = re.compile(
    rf"\b(?:i|we|i've|we've|i'd|we'd) (?:\w+ly )?{_HAVE}(?:put (?:\S+ ){{1,4}}?down|said|told you|told(?= (?:<|@|"
    rf"it|on|in|that) ?)|put down|"
    rf"put|wrote|noted|recorded|logged|called|call|"
    rf"entered|reported|gave|"
    r"mentioned|marked down|(?:had|got)(?= (?:\S+ ){0,5}?(?:down|as|under)\b))\b|\b(?:it|you|you've|it's) (?:says|"
    r"said|reads|has|have|got|'ve got|have got|had)\b"
)
CLEFT = re.compile(
    r"^ (?:\S+ ){0,3}?(?:it|that) ?(?:was|is|'s) (?:in |on |at |from |to |for |the )*<\d+> (?:that |which )?(?:i|"
    r"we|was) \w+|"
    r"<\d+> (?:was|is) the one (?:that |which )?(?:i|we)\b|\bthe one (?:that |which )?(?:i|"
    r"we) (?:\S+ ){1,4}?(?:was|is) "
)
"""Sentences that pick one of two: "it was hive 11 I fed", "hive 12 was the one I fed"."""
MISTAKE = re.compile(
    r"\b(?:made|make|been|was) (?:a |an |the )?(?:\w+ )?(?:mistake|error|slip|blunder|mix up|muddle)\b|\b(?:my|"
    r"a) (?:mistake|bad|error|slip|"
    r"blunder|fault)\b|\b(?:in error|by mistake|by accident|mistakenly|mistaken|wrongly|incorrectly|erroneously)\b|"
    r"\b(?:got|had|have|"
    r"put|wrote|said|gave|recorded|noted|is|was|were|are|'s|that's|it's) (?:\S+ ){0,6}?wrong\b|\bmis(?:spoke|read|"
    r"counted|heard|said|took|"
    r"remembered|named|labelled|typed|recorded|reported|stated)\b|\b(?:mixed|muddled|messed|mucked|stuffed|slipped|"
    r"slip|muddle|tangled) "
    r"(?:\S+ ){0,3}?(?:up|together)\b|\b(?:mixed|muddled|confused)\b|\bslip of the tongue\b|"
    r"^ (?:sorry )?wrong \w+\b|^ (?:\w+ )?correction\b|^ on second thoughts\b|\b(?:counted|read|heard|went|got|"
    r"wrote) (?:\S+ ){0,2}?wrong(?:ly)?\b|\bcorrect myself\b|\b(?:put|set) (?:that|it|the record) (?:right|"
    r"straight)\b|^ (?:\w+ )?i (?:stand corrected|"
    r"beg your pardon)\b"
)
ALIKE_BEFORE = re.compile(
    rf"(?:^| )(?:not|never|wasn't|isn't|weren't|aren't|shouldn't be|should not be|should not have been|"
    rf"shouldn't read|strike|delete|scrap|forget|ignore|drop|"
    rf"shouldn't have been) {_GLUE}$"
)
CONTRASTED = re.compile(
    rf"^ (?:{_W}{{0,5}}?(?:but|it|it's|that|that's|rather|make|should|was|is|were|be|i|they|"
    rf"she|'s) {_W}{{0,5}})?$"
)
DENIED = re.compile(
    rf"^ {_W}{{0,6}}?(?:not|never|instead of|rather than|as opposed to|in place of|wasn't|isn't|weren't|aren't|"
    rf"where (?:i|we|it|you) "
    rf"(?:said|says|say|put|had|have|has|wrote|read|reads|got)) {_GLUE}$"
)
FOR_NEW = re.compile(rf"^ {_W}{{0,6}}?(?:to|into|for|with|by|as|say|read) {_W}{{0,3}}?$")
BE = (
    r"(?:was|is|'s|were|are|went|came|had|has|belongs?|goes|make it|make that|call it|it's|that's|they're|she's|"
    r"read|reads|"
    r"says?|becomes?|got)"
)
EARLIER = re.compile(
    r"\b(?:last (?:night|week|month|time)|earlier|the other day|a while (?:ago|back)|(?:before|but) (?:last|that|one)|"
    r"second last|some days ago)\b"
)
"""Words that name an older note without a day."""
SHOULD = (
    r"(?:should (?:have |of )?(?:be|been|read|say|said|show|have|go|gone)|should(?:'ve|a) (?:been|said|read|gone)|"
    r"ought to (?:have )?(?:be|been|read|"
    r"say|said|go)|(?:was|is|were|are|'s|that's|it's) (?:meant|supposed|intended) to (?:have )?(?:be|been|say|said|"
    r"read|show|go)|must have been|"
    r"(?:needs|has|wants|is|was) to (?:be|say|read)|(?:want|like|need) (?:\S+ ){1,4}?to (?:be|say|read)|(?:i|"
    r"we) (?:meant|mean|meant to say|meant to put|"
    r"meant to have said|wanted to say|should have said|"
    r"should've said|should have put|ought to have said))"
)
KINDS = (
    r"(?:feeds?|feeding|grafts?|grafting|larvae|(?:mite )?wash|mite count|count|mites|move|treatment|strips|take|"
    r"takes|(?:ripe )?cells|marking|mark|"
    r"queens?|sale|nucs?|splits?|harvest|honey|inspection|check|visit|hives?|round|supers?|box|boxes|brood|"
    r"frames of brood|bees|number of \w+|"
    r"amount of \w+|syrup|mating|planting|excluder|slide|loss|swarm|price|colour|reading|figure|one)"
)
"""What a note may have been about."""
SUBJECT = (
    rf"(?:it|that|this|they|these|those|she|he|there|which|(?:the |my |its |her |right )*{LABELS}(?: {LABELS}|"
    rf" of| in| for| number| @\d+| one)"
    r"{0,4})"
)
WORD = _W
RIGHTING = re.compile(rf"\b(?:put|set|get) {_W}{{1,7}}?(?:right|straight)\b|\bsort out\b")
WRONG_AFTER = re.compile(
    r"^ (?:\S+ ){0,4}?(?:is|was|'s|were) (?:all |quite |just )?(?:wrong|a mistake|not right|"
    r"incorrect)\b"
)
RIGHT_AFTER = re.compile(r"^ (?:is|was|'s|would be) (?:right|correct|the right|what|the correct|it)\b")
OF_REF = re.compile(
    rf"^ (?:on second thoughts |correction |actually |sorry |no )*(?:(?:the |that )?{LABELS} (?:in|of|on|for|"
    rf"from) (?:{NOTE_REF.pattern}) |"
    rf"@\d+ 's (?:hive|nuc|round|colour|place|yard|mother) )"
)
"""A label of a named note as the subject: "the hive in this morning's note", "yesterday's round"."""
LABEL = re.compile(rf"^ (?:the |that |my )?{LABELS}(?: {LABELS}| of| in| for| number)*  ?$")
GLUE = _GLUE
TAIL = re.compile(
    r"^ (?:(?:please|instead|actually|really|there|then|thanks|ta|cheers|after all|all along|in fact|frames?|of|"
    r"brood|bees|mites?|larvae|grubs|"
    r"cells?|litres?|l|kilos?|kg|grams?|ml|nucs?|queens?|syrup|honey|pollen|dollars|each|mate|love|that is|"
    r"would you|will you|could you|if you would|"
    r"if you|in it|on it|right|correct|i think|@\d+|in|on|from|for|my|the|that|'s|note|entry|record|ripe|capped|"
    r"taken|boxes|supers|seams|not) )*$"
)
RECALLED = re.compile(
    rf"^ (?:um |so |sorry |right |oh |well |and |actually |now |it |turns out |in fact |looking back |i find |"
    rf"i see |no |please )*(?:the|that|those|these|"
    rf"my) (?:(?:\S+) ){{1,6}}?(?:that |which |who )?(?:i|we) (?:'ve |have |had |'d )?"
    rf"\w+(?: \S+){{0,4}}? (?:on )?@\d+"
    rf"|^ (?:um |so |sorry |right |oh |well |and |actually |now |it |turns out |in fact |looking back |i find |"
    rf"i see |no |please )*(?:for |about |on |in |as for |regarding |"
    rf"with )?(?:the|that|those|these|my) {KINDS}(?: we did| i did| (?:to|with|for|of|in|from) \S+){{0,2}} (?:on |"
    rf"from |of )?@\d+"
    rf"|^ (?:um |so |sorry |and )*(?:for |about |on |in )?@\d+ 's {KINDS}\b"
)
