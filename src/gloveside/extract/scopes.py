"""The reach of cues: what a negation negates, and which words speak of the future or of a condition."""

from __future__ import annotations

from itertools import groupby

from gloveside.extract import passive_plans, progressive
from gloveside.extract.note import PREPOSITIONS, STOPS, Cue, Note

NEGATION_REACH = 7
# Verbs of work whose object is not there either: "haven't put the slide in", "didn't give it any syrup".
WORK_VERBS = ("in_verb", "out_verb", "plant_verb", "stock_verb", "graft_verb", "feed_verb", "give_verb")
LONGEST_DATED = 26
# Verbs of what was done or seen: a clause with one of them is no plan, whatever day it names.
PAST = {
    "put", "took", "gave", "fed", "saw", "found", "made", "did", "was", "were", "had", "got", "sold", "caught", "died",
    "went", "came", "split", "set", "cut", "brought", "left", "lost", "swarmed", "is", "are", "has", "have", "emerge",
    "emerging", "emerges", "hatch", "hatching", "hatches", "ripe", "due", "ready", "back", "capped", "open", "laying",
}  # fmt: skip
LEADING = {"first", "thing", "early", "morning", "afternoon", "come", ",", ":"}
# Verbs of errands, which nobody uses of what was done in a hive.
ERRANDS = {
    "order", "buy", "bring", "fetch", "ring", "email", "repair", "mend", "mow", "restock", "borrow", "collect",
}  # fmt: skip
IMPERATIVES = frozenset(
    (
        "check", "plant", "feed", "look", "wash", "pull", "take", "bring", "make", "move",
        "mark", "graft", "treat", "order", "add", "give", "go", "unite", "super", "inspect",
        "clean", "fix", "buy", "get", "pick", "collect", "ring", "call", "requeen", "introduce",
        "release", "harvest", "put", "set", "come", "fetch", "clip", "sell", "start", "finish", "swap", "replace",
        "visit", "drop", "book", "recheck", "revisit", "follow", "double", "keep", "watch", "prepare", "prep", "weigh",
        "test", "sort", "return", "cut", "paint", "mow", "strips", "pads",
    )
)  # fmt: skip


# "I'm grafting on Friday" tells a plan, as "grafting on Friday" does.
GOING = frozenset(("i'm", "we're", "i", "we", "'m", "'re", "am", "are", "so", "and", ","))


LOOKS = frozenset(("look", "peek", "peep", "squiz", "glance"))


def looks(note: Note) -> None:
    """Whoever "had a look" gave nothing ("had a proper look in hive 44"), and whoever catches up catches no queen."""
    for at, word in enumerate(note.lower):
        if word in ("catching", "catch", "caught") and note.lower[at + 1 : at + 2] == ["up"]:
            note.lattice.edges[at].pop("queen_step", None)
        if word in ("had", "having") and LOOKS & set(note.lower[at + 1 : at + 4]):
            note.lattice.edges[at].pop("give_verb", None)


def errands(note: Note) -> None:
    """A sentence that begins with what is to be bought, brought or mended tells a plan: "order 50 jars"."""
    for _, own in groupby(range(len(note.sentence)), key=lambda k: note.sentence[k]):
        at = list(own)
        if len(at) > LONGEST_DATED or any(c.scope in ("future", "question") and c.start in at for c in note.cues):
            continue
        first = next((k for k in at if k not in note.filler and note.lower[k].isalnum()), at[-1])
        follows = note.lower[first + 1] if first < at[-1] else "."
        better = note.lower[first] in ("best", "better") and follows in IMPERATIVES
        noun = follows in PREPOSITIONS or follows in STOPS or follows in ("is", "was", "came", "'s", "has", ",")
        if better or (note.lower[first] in ERRANDS and not noun):
            note.cues.append(Cue(at[0], first + better, "future", "dated"))


def planned(note: Note) -> None:
    """A clause with a day that can only be to come, and no verb of the past, tells a plan: "slide out tomorrow"."""
    for span in note.dates:
        if span.future is None or span.past is not None or (span.length and note.lower[span.start] != "in"):
            continue
        number = note.sentence[span.start]
        at = [k for k, s in enumerate(note.sentence) if s == number]
        spoken = any(c.scope in ("future", "question", "condition") and c.start in at for c in note.cues)
        if len(at) > LONGEST_DATED or spoken:
            continue
        own = [k for k in at if note.clause[k] == note.clause[span.start]]
        dates = set(range(span.start, span.end))
        if all(k in dates or k in note.soft or note.lower[k] in LEADING for k in own) and own[-1] < at[-1]:
            after = own[-1] + 1
            own += [k for k in at if k >= after and note.clause[k] == note.clause[after]]
        done = any(note.lower[k] in PAST or (note.lower[k].endswith("ed") and len(note.lower[k]) > 4) for k in own)
        apart = {k for p in note.places for k in range(p.start, p.end)}
        apart |= {k for left, right, _ in note.rounds for k in range(left, right)}
        counted = any(k in note.numbers and not note.numbers[k].ordinal and k not in dates | apart for k in own)
        if not done and not counted and any(k in note.content and k not in dates for k in own):
            note.cues.append(Cue(own[0], own[0], "future", "dated"))


def dated(note: Note) -> None:
    """A short sentence that tells what to do on a day to come ("plant round three tomorrow") speaks of the future."""
    for span in note.dates:
        if span.future is None or (span.length and note.lower[span.start] != "in"):
            continue
        if span.past == span.future or (span.past is not None and note.lower[span.end : span.end + 1] == ["'s"]):
            continue  # "super on hive 18 today", "Friday's harvest" are done
        number = note.sentence[span.start]
        at = [k for k, s in enumerate(note.sentence) if s == number]
        if len(at) > LONGEST_DATED or any(c.scope in ("future", "question") and c.start in at for c in note.cues):
            continue
        # the first word that says something, the day itself and the place aside
        apart = set(range(span.start, span.end)) | note.soft
        apart |= {
            k
            for p in note.places
            if p.end < len(note.lower) and note.lower[p.end] == ","
            for k in range(p.start, p.end)
        }
        first_said = next((k for k in at if k not in apart and note.lower[k] not in (",", ":")), at[0])
        head = note.lower[first_said]
        told = first_said > 0 and note.lower[first_said - 1] in (
            "i",
            "we",
            "he",
            "she",
            "they",
            "the",
            "my",
            "our",
            "that",
            "this",
        )  # "the paint had dried up": no order to paint
        told = told or (head in LOOKS and bool({"had", "took", "having"} & set(note.lower[at[0] : first_said])))
        counted = head == "drop" and any("mite_word" in note.lattice.edges[k] or k in note.numbers for k in at)
        if head in IMPERATIVES and not told and not counted:
            note.cues.append(Cue(at[0], at[0], "future", "dated"))
            continue
        # "grafting tomorrow", "hive 7 strong, planting round 3 on Friday"
        own = [k for k in at if note.clause[k] == note.clause[span.start]]
        doing = next((k for k in own if k in note.content and note.lower[k].endswith("ing")), None)
        counts = [k for k in own if "N" in note.lattice.edges[k]]
        opens = doing is not None and {note.lower[k] for k in own if k < doing} <= GOING
        if doing is not None and note.lower[doing] in progressive.NO_WORK:
            continue  # "I'm seeing eggs like on Friday"
        if doing is not None and (span.past is None or (opens and not counts)):
            first = own[0] if doing < span.start else doing
            note.cues.append(Cue(first, first, "future", "dated"))


# After "no" these answer what was said before.
ANSWERED = frozenset(
    ("there she", "here she", "there's the", "there she's", "she is", "she's here", "she's there", "i see", "i saw",
     "i can", "i found", "there they", "here they", "they are", "it is", "there it", "here it", "she was", "we found")
)  # fmt: skip


def negation(note: Note) -> None:
    """Find where a match would be negated: right after the cue, past soft words and verbs of seeing, and after "or"."""
    through = note.lattice
    for cue in (c for c in note.cues if c.scope == "negation"):
        at, reach, worked = cue.end, 0, False
        if note.lower[cue.start : cue.end] == ["no"] and ANSWERED & {" ".join(note.lower[at : at + 2])}:
            continue  # "queenless, actually no, there she is"
        while at < len(note.lower) and reach < NEGATION_REACH:
            not_one = note.lower[at] in ("one", "1") and at == cue.end
            if note.lower[at] in STOPS or (at in note.numbers and "not_any" not in through.edges[at] and not not_one):
                break
            note.negated.setdefault(at, cue)
            step = through.soft[at]
            passing = through.edges[at].get("neg_through")
            if passing is None and not worked and _not_done(note, cue):
                passing = [e for verb in WORK_VERBS for e in through.edges[at].get(verb, ()) if e[0] == at + 1] or None
                worked = passing is not None
            taken = note.lower[at - 1] in ("it", "them", "that", "her", "those")  # "never got to it nuc 4 laying"
            if worked and not passing and not taken and "HP" in through.edges[at]:
                passing = through.edges[at]["HP"]  # "didn't give hive 12 any syrup"
            if step:
                at += step
            elif passing:
                note.negated.setdefault(at, cue)
                at = max(end for end, _ in passing)
            else:
                # content: go on only over a list with "or"
                ahead = next(
                    (k for k in range(at + 1, min(at + 5, len(note.lower))) if note.lower[k] in ("or", "nor")), 0
                )
                if not ahead or any(w in STOPS or w in ("but", "and") for w in note.lower[at:ahead]):
                    break
                at = ahead + 1
            reach += 1


def _not_done(note: Note, cue: Cue) -> bool:
    """Whether a negation says that something was not done: "didn't", "haven't", "did not", "never"."""
    words = note.lower[cue.start : cue.end]
    return words[-1] in ("n't", "never") or words[-1].endswith("n't") or (words[-1] == "not" and len(words) > 1)


def _runs_on(note: Note, at: int) -> bool:
    """Whether a token has a word right before it in its clause."""
    return at > 0 and note.lower[at - 1] not in (*STOPS, ",", ":")


def _opens(note: Note, cue: Cue, at: int, places: int) -> bool:
    """Whether a place under a future cue opens another matter instead of belonging to what is planned.

    "I'll just keep talking while I walk, hive 21 first, queen seen" tells; "I'll feed hive 9, hive 12 and nuc 3" plans.
    """
    last = at - 1
    if note.lower[last] in (*PREPOSITIONS, *IMPERATIVES):
        return False
    while last > cue.end and note.lower[last] in ("and", "then", ","):
        last -= 1
    if last == at - 1:
        return True
    listed = any(p.start <= last < p.end for p in note.places)
    return cue.concept != "remind" and not listed and (bool(places) or note.lower[at - 1] != "and")


# Who tells, after "so" or "and": "it needs bees, so I stocked it", "I need 10 and it looks as if I've 11".
TELLERS = frozenset(["i", "we", "he", "she", "they", "it", "there", "i've", "we've", "it's", "they're", "all", "both"])


# Before "I've" these keep it under the cue: "once I've fed hive 7".
HANGING = frozenset(("if", "that", "what", "when", "once", "until", "after", "as", "because", "before", "till", "time"))


TELLING_ON = frozenset(["i've", "we've", "so", "and", "but"])


def _tells_on(note: Note, at: int) -> bool:
    """Whether "so" or "and" and a verb of what was done or found end what a cue speaks of."""
    if note.lower[at] in ("i've", "we've") and note.lower[at - 1] not in HANGING:
        return note.lower[at + 1 : at + 2] != ["got"] and at + 1 not in note.soft
    if note.lower[at] not in ("so", "and", "but") or at + 2 >= len(note.lower) or note.lower[at + 1] not in TELLERS:
        return False
    after = [k for k in range(at + 2, min(at + 5, len(note.lower))) if note.lower[k] not in ("all", "just", "'s", "ve")]
    verb = note.lower[after[0]] if after else ""
    if any(c.scope in ("future", "condition") and at < c.start < at + 4 for c in note.cues):
        return False
    counted = note.lower[at + 1] in ("i've", "we've") and at + 2 in note.numbers
    return (
        counted
        or verb in PAST - {"put", "set", "is", "are", "left"}
        or verb in ("looks", "gone")
        or verb.endswith("ed")
    )


# After "got to": where somebody came, not what is to be done.
ARRIVED = frozenset(("the", "a", "work", "it", "about", "my", "our", "this", "here", "there", "be", "know", "bed"))


def _no_plan(note: Note, cue: Cue) -> bool:
    """Whether a cue of the future tells none: "must have helped", "I'd better on hand"."""
    last, after = note.lower[cue.end - 1], note.lower[cue.end : cue.end + 2]
    if last == "to" and after[:1] and after[0] in ("it", "them", "that", "this"):
        # "I never got to it": nothing is named that is to be done
        then = note.lower[cue.end + 1 : cue.end + 2]
        return cue.concept != "remind" and (not then or then[0] in STOPS or then[0] in ("hive", "nuc", ",", "till"))
    if note.lower[cue.start : cue.end] == ["got", "to"]:
        return after[:1] == [] or after[0] in ARRIVED or after[0] in STOPS or after[0].endswith("ing")
    if last == "must" and after[:1] == ["have"] and len(after) > 1:
        return after[1] in PAST or after[1].endswith(("ed", "en"))
    return last == "better" and bool(after) and after[0] in PREPOSITIONS


def _together(note: Note, first: Cue, second: Cue) -> bool:
    return note.sentence[first.start] == note.sentence[second.start]


def _task_before(note: Note, end: int) -> int:
    """Where the task before a closing "remind me" begins: the clause of its day, else the sentence."""
    start = end
    while start > 0 and note.lower[start - 1] not in STOPS:
        start -= 1
    days = [d.start for d in note.dates if start <= d.start < end and d.future is not None]
    at = days[-1] if days else start
    while at > start:
        at -= 1
        if note.lower[at] == "," and any(k in note.content for k in range(at + 1, days[-1])):
            return at + 1
    return start


def future(note: Note) -> None:
    """Block the words after a future, conditional or question cue up to the end of what it governs."""
    hard = {c.start for c in note.cues if c.scope == "break" and c.concept in ("but", "restart")}
    topics = {p.start for p in note.places}
    dated_at = {k for d in note.dates for k in range(d.start, d.end)}
    for cue in sorted(note.cues, key=lambda c: (c.start, -c.end)):
        if cue.scope not in ("future", "condition"):
            continue
        if cue.concept == "remind" and note.lower[cue.start : cue.end] == ["to", "do"] and _runs_on(note, cue.start):
            continue  # "used to do a round quicker than this"
        if note.lower[cue.end - 1] == "to" and (cue.end in topics or cue.end in note.numbers):
            continue  # "she's going to hive 30", "it got to 28 degrees"
        if _no_plan(note, cue):
            continue
        start = cue.start
        if cue.scope == "condition" or cue.concept.endswith("_after"):
            # "I'll mark her if she's laying": the whole clause hangs on it
            while start > 0 and note.lower[start - 1] not in STOPS and cue.concept.endswith("_back"):
                start -= 1
        if cue.concept == "remind":
            tail = cue.end
            while tail < len(note.lower) and (tail in note.soft or note.lower[tail] in (",", "about", "that")):
                tail += 1
            if any(
                c.concept == "remind"
                and c.end <= cue.start
                and _together(note, c, cue)
                and note.lower[c.start] != "next"
                for c in note.cues
            ):
                tail = cue.end - 1  # "remind me to bring a new lid next time": nothing before it is the task
            if tail >= len(note.lower) or note.lower[tail] in STOPS:
                # "take the strips out tomorrow, remind me": what was said before it is the task
                start = _task_before(note, start)
        at, places, told = cue.end, 0, 0
        while at < len(note.lower) and note.lower[at] not in STOPS and at not in hard:
            enough = 2 if note.lower[at - 1] == "," and cue.concept != "remind" else 4
            if at in topics and (places or told > enough) and _opens(note, cue, at, places):
                break  # dictated without stops: another place opens another matter
            if passive_plans.over(note, cue, at):
                break
            if at > cue.end and note.lower[at] in TELLING_ON and _tells_on(note, at):
                break
            places += at in topics
            told += at not in note.soft and at not in dated_at and note.lower[at] != ","
            at += 1
        for k in range(start, at):
            note.blocked.setdefault(k, cue)
