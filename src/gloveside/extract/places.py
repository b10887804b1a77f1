"""Places in a note: hives, nucs and yards by number, letter or name, singly, in lists and in ranges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from gloveside.extract import numbers
from gloveside.extract.numbers import NumberSpan
from gloveside.extract.place_words import (
    ALL_TOLD,
    ASIDE,
    EXCEPT_WORDS,
    GETS,
    HESITATIONS,
    HUNDREDS,
    JOINERS,
    LIGHT_ADJECTIVES,
    LONGEST_EITHER,
    LONGEST_LIST,
    MONEY,
    NOT_NAMES,
    NOT_YARDS,
    ONE_THING,
    PERHAPS,
    POINTERS,
    RANGE_PHRASES,
    RANGE_WORDS,
)
from gloveside.extract.register import Register


def either(lower: Sequence[str], at: int) -> int:
    """Where the second of two values that may be meant begins ("or", ", or maybe", ", maybe"); -1 when none does."""
    step = at
    while step < len(lower) and lower[step] in PERHAPS and step - at < LONGEST_EITHER:
        step += 1
    said = set(lower[at:step])
    could = {"be", "been"} & said and said & {"may", "might", "could", "might've", "could've"}
    return step if could or said & {"or", "maybe", "perhaps", "possibly"} else -1


@dataclass(frozen=True, slots=True)
class PlaceSpan:
    """Tokens start..end-1 name these places. rivals: others that may be meant; deictic: "here", "this one"."""

    start: int
    end: int
    places: tuple[str, ...]
    rivals: tuple[str, ...] = ()
    deictic: bool = False
    sort: str = "hive"


def near(first: int, second: int) -> bool:
    """Whether one number may be a slip for the other: neighbours, or teen for ty."""
    low, high = sorted((first, second))
    return high - low == 1 or (13 <= low <= 19 and high == (low - 10) * 10)


@dataclass(slots=True)
class Finder:
    """Finds places in one tokenised note.

    words: original tokens; lower: the same in lower case; joined[i]: no blank after token i;
    nouns: token -> (end, sort, plural) of a place noun; counted: tokens at which a counted noun or "of" starts;
    known: tokens that some concept of the lexicon covers; soft: tokens to step over; sizes: numbers that tell how many
    cups a bar holds.
    """

    words: Sequence[str]
    lower: Sequence[str]
    joined: Sequence[bool]
    numbers: Mapping[int, NumberSpan]
    nouns: Mapping[int, tuple[int, str, bool]]
    counted: set[int]
    known: set[int]
    soft: set[int]
    register: Register
    sizes: set[int] = field(default_factory=set)
    names: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for place in self.register.places:
            sort, _, name = place.partition(" ")
            if not name.isdigit():
                self.names[f"{sort} {name.lower()}"] = place

    def _integer(self, at: int) -> NumberSpan | None:
        span = self.numbers.get(at)
        if span is None or span.ordinal or span.value != int(span.value) or span.value < 0:
            return None
        return span

    def _counts(self, end: int) -> bool:
        """Whether what stands at `end` makes the number before it a count, not a name."""
        if self.lower[end : end + 1] == [":"] and end + 1 in self.numbers and self.joined[end]:
            return True  # "nuc 5, 1:1"
        if self.lower[end : end + 1] == ["split"] and self.lower[end + 1 : end + 2] in (
            ["into"],
            ["in"],
            ["up"],
            ["three"],
        ):
            return False  # "hives 40 and 41 split into two"
        if self.lower[end : end + 1] == ["split"] and self.lower[end - 1 : end] not in (["one"], ["1"], ["a"]):
            return False  # "hives 40 and 41 split, 2 nucs apiece": several are "splits"
        if self.lower[end : end + 1] == ["each"] and self.lower[end + 1 : end + 2] and self.lower[end + 1] in GETS:
            return False  # "nucs 1 to 6 each got a cell"
        excepted = self._integer(end + 1)
        if self.lower[end : end + 1] == ["bar"] and excepted is not None and excepted.end not in self.counted:
            return False  # "nucs 1 to 12 bar 6", but not "one bar 20 cups"
        if " ".join(self.lower[end : end + 2]) in ALL_TOLD or self.lower[end : end + 1] == ["altogether"]:
            return True  # "nucs 14 to 18, 5 in all"
        while self.lower[end : end + 1] and self.lower[end] in LIGHT_ADJECTIVES:
            end += 1
        return end in self.counted

    def _elsewhere(self, at: int, end: int, plural: bool) -> bool:
        """Whether the number before `end` counts things for another place: "hive 9 and one to hive 10"."""
        if (
            self.lower[end : end + 1]
            and self.lower[end] in ASIDE
            and (end + 1 in self.nouns or end + 1 in self.numbers)
        ):
            if self.lower[end] == "to" and end + 1 in self.nouns and not plural and self._counted_to(at):
                return True
            return self.lower[at] in ("one", "a", "another") or (not plural and self.lower[end] != "to")
        return False

    def _counted_to(self, at: int) -> bool:
        """Whether things were counted to the place before: "3 to hive 1 and 3 to hive 2"."""
        nouns = [k for k in self.nouns if k < at]
        last = max(nouns, default=0)
        return last > 1 and self.lower[last - 1] == "to" and last - 2 in self.numbers

    def _list(self, at: int, sort: str, plural: bool) -> tuple[int, list[int], tuple[str, ...]] | None:
        first = self._integer(at)
        if first is None:
            return None
        if self.lower[first.end : first.end + 1] and self.lower[first.end] in MONEY:
            return None  # "picked up one nuc, 220 dollars"
        pointed = at < 2 or self.lower[at - 2] in POINTERS
        if self._counts(first.end) and (plural or (pointed and at >= 2)) and self.lower[first.end] != "to":
            # "this hive 8 frames", "hives 8 frames": the number belongs to the noun; "hive 39 strips out" names a hive
            return None
        values, end = [int(first.value)], first.end
        rivals: tuple[str, ...] = ()
        while len(values) < LONGEST_LIST and end < len(self.lower):
            step = end
            if (ranged := self._range(step, plural)) > step:
                ahead = ranged
                while ahead < len(self.lower) and self.lower[ahead] in HESITATIONS:
                    ahead += 1  # "nucs 1 to, er, 6"
                last = self._integer(ahead)
                if (
                    last is not None
                    and values[-1] < last.value <= values[-1] + LONGEST_LIST
                    and (not self._counts(last.end) or self._from_place(last.end))
                    and last.end not in self.nouns
                ):
                    values.extend(range(values[-1] + 1, int(last.value) + 1))
                    end = last.end
                    continue
                break
            joiner = False
            while step < len(self.lower) and self.lower[step] in JOINERS:
                joiner, step = True, step + 1
            doubt = either(self.lower, end)
            following = self._integer(doubt if doubt >= 0 else step)
            if (
                following is None
                or following.start in self.sizes
                or (self._counts(following.end) and not (plural and len(values) == 1 and self._lone(following)))
                or self._elsewhere(following.start, following.end, plural)
                or following.value == 0  # "mite wash hive 19 nil"
                or (doubt < 0 and self._measured(following.end))
                or (doubt < 0 and len(values) > 2 and following.value in values)  # "nucs 1 to 4, 1 and 3 are laying"
                or (doubt < 0 and self._of_so_many(values[0], following))
                or (not plural and self.lower[following.end : following.end + 1] == ["brood"])  # "hive 15 6 brood"
                or (doubt < 0 and following.end in self.nouns)  # "hive 10 and one nuc"
                or (doubt < 0 and not plural and following.value == 1)  # "hive 40 and one had been chewed"
            ):
                break
            if doubt >= 0 or (
                not plural and joiner and self.lower[step - 1] != "and" and not self._goes_on(following.end)
            ):
                # "hive 14 or 40"; "hive 12, 13, no eggs": one of the two is meant
                if doubt < 0 and (
                    self.lower[following.end : following.end + 1] not in ([","], ["."], [])
                    or not near(values[-1], int(following.value))
                ):
                    break
                rivals = (f"{sort} {int(following.value)}",)
                end = following.end
                break
            if not joiner and not plural and not self._goes_on(following.end):
                rivals = (f"{sort} {int(following.value)}",)
                end = following.end
                break
            values.append(int(following.value))
            end = following.end
        return *self._excepted(end, values), rivals

    def _range(self, at: int, plural: bool) -> int:
        """Where the words of a range end that begin at `at` ("to", "right through to"); `at` itself for none."""
        if self.lower[at] in RANGE_WORDS and self.lower[at + 1 : at + 2] != ["to"]:
            return at + 1
        said = next((w for w in RANGE_PHRASES if tuple(self.lower[at : at + len(w)]) == w), ())
        listing = plural or "through" in said or "thru" in said or "way" in said
        return at + len(said) if listing else at

    def _lone(self, span: NumberSpan) -> bool:
        """Whether a number above one stands before a thing in the singular: "hives 15 16 patty each" counts none."""
        return span.value > 1 and self.lower[span.end : span.end + 1] != [] and self.lower[span.end] in ONE_THING

    def _of_so_many(self, name: int, span: NumberSpan) -> bool:
        """Whether a number, or the next one, is of hundreds and so names no hive: "wash, hive 18, 11, 300"."""
        step = span.end
        while step < len(self.lower) and self.lower[step] in JOINERS:
            step += 1
        after = self._integer(step)
        return name < HUNDREDS and (span.value >= HUNDREDS or (after is not None and after.value >= HUNDREDS))

    def _measured(self, end: int) -> bool:
        """Whether a number counts out of another or over a time: "hive 44, 35 in 7 days", "hive 9, 4 out of 300"."""
        other = self._integer(either(self.lower, end))
        if other is not None:
            end = other.end  # "hive 28, 6 or 8 in 300"
        if self.lower[end : end + 1] not in (["in"], ["over"], ["out"], ["per"], ["from"], ["after"], ["across"]):
            return False
        step = end + 2 if self.lower[end + 1 : end + 2] == ["of"] else end + 1
        word = self.lower[step] if step < len(self.lower) else ""
        return word == "a" or word.isdigit() or word in numbers.UNITS or word in numbers.TEENS or word in numbers.TENS

    def _excepted(self, end: int, values: list[int]) -> tuple[int, list[int]]:
        """A list without the number that is excepted right after it: "nucs 1 to 12 bar 6"."""
        step = end
        while step < len(self.lower) and self.lower[step] in EXCEPT_WORDS:
            step += 1
        said = set(self.lower[end:step]) - {",", "for"}
        out = self._integer(step) if said and len(values) > 1 else None
        if out is None or out.value not in values or self._counts(out.end):
            return end, values
        return out.end, [v for v in values if v != out.value]

    def _goes_on(self, end: int) -> bool:
        """Whether a list of numbers goes on at `end`: "and 7", ", 7"."""
        step = end
        while step < len(self.lower) and self.lower[step] in JOINERS:
            step += 1
        return step > end and self._integer(step) is not None and not self._counts(self._integer(step).end)  # type: ignore[union-attr]

    def _from_place(self, end: int) -> bool:
        """Whether "of", "out of" and a place follow: "nucs one to six out of hive fifty"."""
        step = end
        while step < len(self.lower) and self.lower[step] in ("out", "of"):
            step += 1
        return step > end and step in self.nouns

    def _name(self, at: int, sort: str) -> tuple[int, str] | None:
        """A name or letter after a place noun."""
        if at >= len(self.lower):
            return None
        for length in (3, 2, 1):
            said = " ".join(self.lower[at : at + length])
            glued = "".join(self.lower[at : at + length])
            for form in (said, glued):
                if f"{sort} {form}" in self.names and at + length <= len(self.lower):
                    return at + length, self.names[f"{sort} {form}"]
        word = self.words[at]
        if len(word) == 1 and word.isalpha():
            number = self._integer(at + 1)
            if number is not None and (self.joined[at] or not self._counts(number.end)):
                return number.end, f"{sort} {word.upper()}{int(number.value)}"
            if word.lower() not in "aio" or (word in "AO"):
                return at + 1, f"{sort} {word.upper()}"
            return None
        if not word.isalpha() or word.lower() in NOT_NAMES or at in self.known | self.soft or at in self.numbers:
            return None
        if word.islower() and word.endswith(("ing", "ed", "ly", "s")):
            return None
        return at + 1, f"{sort} {word.capitalize()}"

    def find(self) -> list[PlaceSpan]:
        """All places, left to right; a longer reading before a shorter one from the same token."""
        out: list[PlaceSpan] = []
        taken = 0
        for at in range(len(self.lower)):
            if at < taken:
                continue
            span = self._noun(at) or self._yard(at) or self._numbers(at)
            if span is not None:
                out.append(span)
                taken = span.end
        return out

    def _noun(self, at: int) -> PlaceSpan | None:
        found = self.nouns.get(at)
        if found is None:
            return None
        end, sort, plural = found
        if sort == "yard":
            return None
        step = end
        while step < len(self.lower) and self.lower[step] in HESITATIONS:
            step += 1
        numbered = self.lower[step : step + 1] in (["number"], ["no"]) and self._integer(step + 1) is not None
        if step > end and self._integer(step) is None and not numbered:
            step = end
        if step < len(self.lower) and self.lower[step] == "from":
            # "nucs from 1 to 12", "every nuc from 3 up to 8"
            first = self._integer(step + 1)
            if first is not None and first.end < len(self.lower) and self._range(first.end, True) > first.end:
                step, plural = step + 1, True
        start_of_number = step
        while step < len(self.lower) and self.lower[step] in {"number", "numbers", "no", "nr", "#", "."}:
            step += 1
        if step > start_of_number and self._integer(step) is None:
            step = end
        listed = self._list(step, sort, plural)
        if listed is not None:
            stop, values, rivals = listed
            counted = next((n.value for n in self.numbers.values() if n.end == at and not n.ordinal), None)
            pause = {",", "no"} & set(self.lower[end:step])
            if plural and counted is not None and pause and counted != len(values):
                return None  # "sold six nucs, two hundred each": counted already; "sold four nucs, no, five"
            places = tuple(dict.fromkeys(f"{sort} {v}" for v in values))
            if len(values) == 1 and not rivals and 1000 <= values[0] <= 9999 and values[0] % 100:
                high, low = divmod(values[0], 100)
                if not self.register.knows(places[0]) or not self.register.places:
                    return PlaceSpan(at, stop, (f"{sort} {high}",), (f"{sort} {low}",), sort=sort)
            return PlaceSpan(at, stop, places, rivals, sort=sort)
        named = self._name(end, sort)
        if named is not None and not (plural and self.words[end].islower()):
            return PlaceSpan(at, named[0], (named[1],), sort=sort)
        return None

    def _numbers(self, at: int) -> PlaceSpan | None:
        """The numbers of things counted before: "made four nucs up from hive 40, numbers 1 to 4"."""
        if self.lower[at] not in ("numbers", "number", "nos") or self._integer(at + 1) is None:
            return None
        counted = [
            k
            for k, (end, sort, _) in self.nouns.items()
            if sort != "yard" and at - 14 <= k < at and self._integer(end) is None
        ]
        if not counted or {".", "?", "!"} & set(self.lower[counted[-1] : at]):
            return None
        sort = self.nouns[max(counted)][1]
        listed = self._list(at + 1, sort, True)
        if listed is None or self.lower[max(0, at - 1)] not in (",", "to", "into", "in", "as"):
            return None
        return PlaceSpan(at, listed[0], tuple(dict.fromkeys(f"{sort} {v}" for v in listed[1])), listed[2], sort=sort)

    def _yard(self, at: int) -> PlaceSpan | None:
        noun = self.nouns.get(at)
        if noun is not None and noun[1] == "yard":
            word = self.lower[noun[0]] if noun[0] < len(self.lower) else ""
            if f"yard {word}" in self.names:
                return PlaceSpan(at, noun[0] + 1, (self.names[f"yard {word}"],), sort="yard")
            if noun[0] < len(self.words) and self.words[noun[0]][:1].isupper() and noun[0] not in self.known:
                return PlaceSpan(at, noun[0] + 1, (f"yard {self.words[noun[0]]}",), sort="yard")
            return None
        word = self.lower[at]
        known = self.names.get(f"yard {word}")
        after = self.nouns.get(at + 1)
        if after is not None and after[1] == "yard":
            if known:
                return PlaceSpan(at, after[0], (known,), sort="yard")
            if word.isalpha() and word not in NOT_YARDS and at not in self.known and at not in self.numbers:
                return PlaceSpan(at, after[0], (f"yard {word.capitalize()}",), sort="yard")
            return None
        if known:
            return PlaceSpan(at, at + 1, (known,), sort="yard")
        return None
