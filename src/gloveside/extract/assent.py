"""Yes and no to what the notebook asked, in any number of words: "yep, go ahead and keep it", "no, don't save that"."""

from __future__ import annotations

import re
from typing import Literal

from gloveside.extract.models import Order
from gloveside.extract.note import STOPS, Note

LONGEST = 16
_ONE = r"(?:last )?(?:one|note|entry|record|message|bit|lot|reading|lot|thing|figure|number)"
_THING = (
    rf"(?:it all|(?:all|any|none) of (?:it|that|them)|it|that {_ONE}|this {_ONE}|that|this|them|those|these|the lot|"
    rf"everything|(?:the|my) {_ONE}|both)"
)
_INTO = (
    r"(?:in|down|away|on (?:the )?record|on file|to the (?:book|record)|(?:in|into) (?:the|my|your) (?:book|"
    r"record|notebook|log|records|notes))"
)
_KEEP = (
    rf"(?:(?:keep|save|store|record|log|file|enter|accept|retain|add|hold on to|hang on to) {_THING}(?: {_INTO})?|"
    rf"(?:write|put|note|jot|take|mark|pop|get|keep|chuck|stick|bung) (?:{_THING} {_INTO}|{_INTO} {_THING})|"
    rf"(?:leave|have) {_THING} (?:in|be|there|standing|stand)|let {_THING} (?:stand|be)|i (?:do )?(?:want|"
    rf"need) {_THING} (?:kept|saved|stored|recorded|written down|logged|in)|(?:save|store|log) away)"
)
_KEEPING = (
    rf"(?:keeping|saving|storing|recording|logging|filing|entering|adding|writing|putting|"
    rf"noting)(?: {_THING})?(?: {_INTO})?"
)
_SMALL = (
    r"(?:please|thanks|thank you|cheers|ta|well|um|er|oh|ah|just|then|and|so|now|mate|love|dear|anyway|"
    r"by all means|for me|"
    r"if you (?:would|could|please|like|don't mind)|i think|at all|again|will you|would you|could you|can you|"
    r"would ya|all right|"
    r"as (?:it|that|they) (?:is|was|are|stands)|as is|like that|the way it is|as you (?:have|had|heard|read) it|"
    r"actually|sorry)"
)
_RIGHT = (
    r"(?:(?:that is|that's|it is|it's|you're|you are|they're|all|i'm|i am|that's all|it's all|sounds|looks|it sounds|"
    r"it looks|that looks|that sounds|all of that is|both of (?:those|them) are)"
    r"(?: \w+ly| quite| all| just| perfectly| about| near enough)? (?:(?:right|correct|fine|good|it|perfect|lovely|"
    r"great|"
    r"spot on|the one|ok|okay)(?: to me| by me| with me)?|what i (?:meant|said|wanted|had)|happy(?: with (?:that|it))?|"
    r"sure|as i said|how it (?:is|was))|that'd be right|that would be right|you heard (?:me )?(?:right|correctly|well)|"
    r"you(?:'ve| have)? got (?:it|that)(?: right| in one)?|i did|it is|it was|i'm happy with (?:that|it)|"
    r"happy with (?:that|it))"
)
_YES = (
    r"(?:yeah nah|uh huh|mhm|mm hmm|mmm|yes|yep|yeah|yup|yip|aye|ok|okay|sure|sure thing|right|righto|correct|good|"
    r"fine|great|perfect|"
    r"lovely|absolutely|certainly|definitely|"
    r"of course|exactly|go on|go ahead|go for it|do it|do|please do|affirmative|indeed|confirmed|very well|"
    r"too right|all good|no worries|why not|i confirm(?: (?:it|that))?|"
    r"i(?:'d| would) like (?:you )?to|i want (?:you )?to|you (?:can|may|could|should|might as well|better|do)|"
    r"let's|that's a keeper)"
)
_NO = (
    r"(?:no|nope|nah|na|negative|wrong|not quite|not right|not correct|incorrect|no no|that's (?:wrong|not right|"
    r"not it|not correct)|"
    r"that is (?:wrong|not right)|no thanks|no way|no fear|"
    r"(?:not|not that) (?:one|it)|not that one|that's the wrong \w+|that's (?:rubbish|nonsense|not true|not so|"
    r"no good|all wrong)|it's (?:rubbish|nonsense|wrong|not right)|"
    r"on second thoughts|hang on|never|certainly not|definitely not|absolutely not)"
)
_DONT = (
    r"(?:don't|do not|you needn't|you need not|no need to|there's no need to|you don't (?:need|have|want) to|"
    r"you do not (?:need|have) to|you shouldn't|"
    r"better not|you'd better not|best not|rather not|i'd rather (?:you didn't|not|you did not)|"
    r"i would rather (?:you didn't|not)|i don't want (?:you )?to|"
    r"i don't want you to|i wouldn't|please don't|not worth|don't you(?: dare| go)?|no point(?: in)?|"
    r"don't bother(?: to)?|you can skip|"
    r"let's not)"
)
_DISAGREES = (
    r"(?:(?:that's|that is|it's|it is|this is|that was) (?:just |simply )?not|(?:that|it|this) (?:isn't|"
    r"wasn't)) (?:at all )?(?:what|how|the way|that|"
    r"right|correct|it)(?: i| it| at all| you)?"
    r"(?: said| meant| was| is| wanted| at all| heard| had)*(?: at all)?|i (?:don't|do not) think (?:so|"
    r"that's right)|i (?:didn't|never|did not) (?:say|mean|"
    r"said) (?:that|any of that|it)(?: at all)?"
)
_AGREED = re.compile(
    rf" ?(?:(?:{_YES}|{_SMALL}|{_RIGHT}) )*(?:(?:and |just )?{_KEEP} )(?:(?:{_SMALL}|{_YES}|{_RIGHT}) )*"
    rf"| ?(?:(?:{_YES}|{_SMALL}) )+{_RIGHT} (?:(?:{_SMALL}|{_RIGHT}) )*| ?{_RIGHT} (?:(?:{_SMALL}|{_RIGHT}|{_YES}) )*"
)
_NOT_KEPT = (
    rf"{_THING} (?:(?:should|must|shall|need|may|can|is|are|will)(?: not|n't)|(?:shouldn't|mustn't|needn't|can't|isn't|"
    rf"won't)|(?:does not|doesn't|do not|don't) (?:need|have|want)) (?:to )?(?:be )?(?:kept|saved|stored|recorded|"
    rf"written down|logged|noted|entered|put down)"
)
_REFUSED = re.compile(
    rf" ?(?:(?P<lead>{_NO})|{_SMALL}|{_RIGHT}) (?:(?:{_NO}|{_SMALL}) )*(?:(?:{_DONT}) (?:bother )?(?:{_KEEP}|"
    rf"{_KEEPING}) |"
    rf"(?:you can |just |please )*(?:leave|keep) {_THING} out |(?:you can |just )*skip {_THING} |"
    rf"i (?:don't|do not) (?:want|need) {_THING} (?:kept|saved|stored|recorded|written down|logged|in) |"
    rf"(?:{_DISAGREES}|{_NOT_KEPT}) )(?:{_SMALL} )*"
    rf"| ?{_NOT_KEPT} (?:{_SMALL} )*"
    rf"| ?(?:{_DONT}) (?:bother )?(?:{_KEEP}|{_KEEPING}) (?:{_SMALL} )*"
    rf"| ?i (?:don't|do not) (?:want|need) {_THING} (?:kept|saved|stored|recorded|written down|logged|"
    rf"in) (?:{_SMALL} )*"
)
_SAYS_YES = re.compile(rf" (?:{_SMALL} )*{_YES} ")


def order(note: Note, *, led: bool) -> Order | None:
    """The yes or no that the whole note is, or None.

    led: only one that says so first: "no, don't save that" refuses, "don't save that" takes back the note before.
    """
    if len(note.lower) > LONGEST or note.lower[-1] == "?":
        return None
    words = [w for w in note.lower if w not in STOPS and w not in (",", "-", ":")]
    line = re.sub(r"\b(it|that|there) 's\b", r"\1's", f" {' '.join(words)} ")
    refused = _REFUSED.fullmatch(line)
    if refused is not None:
        return _do("no") if refused["lead"] or not led else None
    agreed = _AGREED.fullmatch(line)
    return _do("yes") if agreed and (not led or _SAYS_YES.match(line)) else None


def _do(what: Literal["yes", "no"]) -> Order:
    return Order(do=what)
