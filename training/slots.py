"""Slots of the grammar whose spoken and written forms differ: numbers, prices, times, letters, digit strings."""

from __future__ import annotations

import random
from collections.abc import Callable

from num2words import num2words

Slot = Callable[[random.Random, str], tuple[str, str]]

TEENS = tuple(range(13, 20))
TENS = tuple(range(20, 100, 10))
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def cardinal(n: int, rng: random.Random) -> str:
    """A whole number in words as people say it, without hyphens; the "and" after hundreds comes and goes."""
    words = num2words(n).replace("-", " ").replace(",", "")
    if n >= 100 and rng.random() < 0.4:
        words = words.replace(" and ", " ")
    if 100 <= n < 200 and rng.random() < 0.4:
        words = words.replace("one hundred", "a hundred", 1)
    return words


def _bounds(arg: str) -> tuple[int, int]:
    low, high = arg.split("-")
    return int(low), int(high)


def whole(rng: random.Random, arg: str) -> tuple[str, str]:
    """A number between bounds, with the pairs that ears mix up (13/30 … 19/90) drawn more often."""
    low, high = _bounds(arg)
    n = rng.randint(low, high)
    mixed = [k for k in TEENS + TENS if low <= k <= high]
    if mixed and rng.random() < 0.3:
        n = rng.choice(mixed)
    return cardinal(n, rng), str(n)


def place_number(rng: random.Random, _: str) -> tuple[str, str]:
    """The number of a hive or a nuc: mostly 1-60, sometimes up to 250 ("one twenty three")."""
    r = rng.random()
    if r < 0.72:
        return whole(rng, "1-60")
    if r < 0.9:
        return whole(rng, "1-99")
    n = rng.randint(100, 250)
    if n % 100 >= 10 and rng.random() < 0.5:
        return f"{cardinal(n // 100, rng)} {cardinal(n % 100, rng)}", str(n)
    return cardinal(n, rng), str(n)


def letter_number(rng: random.Random, _: str) -> tuple[str, str]:
    """A place such as A3."""
    letter, n = rng.choice(LETTERS), rng.randint(1, 30)
    return f"{letter} {cardinal(n, rng)}", f"{letter}{n}"


def teen(rng: random.Random, _: str) -> tuple[str, str]:
    """13 to 19."""
    n = rng.choice(TEENS)
    return cardinal(n, rng), str(n)


def decimal(rng: random.Random, _: str) -> tuple[str, str]:
    """A number with one decimal place."""
    n, d = rng.randint(0, 36), rng.randint(1, 9)
    if n == 0:
        return f"{rng.choice(['zero point', 'nought point', 'point'])} {DIGITS[d]}", f"0.{d}"
    return f"{cardinal(n, rng)} point {DIGITS[d]}", f"{n}.{d}"


def and_a_half(rng: random.Random, _: str) -> tuple[str, str]:
    """Give "two and a half", written 2.5."""
    n = rng.randint(1, 9)
    return f"{cardinal(n, rng)} and a half", f"{n}.5"


def hundreds(rng: random.Random, _: str) -> tuple[str, str]:
    """The size of a sample of bees; 300 is the usual one."""
    n = rng.choice([300] * 6 + [200, 250, 280, 310, 320, 350, 400, 500, 100, 150])
    return cardinal(n, rng), str(n)


def price(rng: random.Random, _: str) -> tuple[str, str]:
    """Dollars, with and without cents."""
    n = rng.choice(
        [rng.randint(2, 99), rng.choice(TEENS + TENS), rng.randrange(100, 400, 5), rng.randrange(20, 250, 5)]
    )
    if rng.random() < 0.15:
        cents = rng.choice([50, 20, 95, 99, 75])
        if rng.random() < 0.5:
            return f"{cardinal(n, rng)} dollars {cardinal(cents, rng)}", f"${n}.{cents}"
        return f"{cardinal(n, rng)} dollars and {cardinal(cents, rng)} cents", f"${n}.{cents}"
    return f"{cardinal(n, rng)} dollars", f"${n}"


def clock(rng: random.Random, _: str) -> tuple[str, str]:
    """A time of day."""
    h = rng.randint(1, 12)
    r = rng.random()
    if r < 0.35:
        return f"{cardinal(h, rng)} o'clock", f"{h} o'clock"
    if r < 0.5:
        return f"half past {cardinal(h, rng)}", f"half past {h}"
    if r < 0.65:
        half = rng.choice(["a m", "p m"])
        return f"{cardinal(h, rng)} {half}", f"{h} {half.replace(' ', '')}"
    minute = rng.choice([10, 15, 20, 30, 40, 45, 50])
    return f"{cardinal(h, rng)} {cardinal(minute, rng)}", f"{h}.{minute}"


def ordinal(rng: random.Random, arg: str) -> tuple[str, str]:
    """A day of the month."""
    low, high = _bounds(arg)
    n = rng.randint(low, high)
    return num2words(n, to="ordinal").replace("-", " "), num2words(n, to="ordinal_num")


def year(rng: random.Random, _: str) -> tuple[str, str]:
    """A year, said in two halves."""
    n = rng.randint(1950, 2029)
    return num2words(n, to="year").replace("-", " "), str(n)


def digit_string(rng: random.Random, _: str) -> tuple[str, str]:
    """Digits said one by one, written apart."""
    digits = [rng.randint(0, 9) if rng.random() < 0.7 else rng.choice([0, 1]) for _ in range(rng.randint(3, 8))]
    zero = rng.choice(["zero", "zero", "oh"]) if 0 in digits else "zero"
    said = [zero if d == 0 else DIGITS[d] for d in digits]
    return " ".join(said), " ".join(str(d) for d in digits)


def ratio(parts: tuple[int, int]) -> Slot:
    """A syrup ratio. Written "1 to 1": the engine never writes a colon."""

    def slot(_rng: random.Random, _: str) -> tuple[str, str]:
        return f"{DIGITS[parts[0]]} to {DIGITS[parts[1]]}", f"{parts[0]} to {parts[1]}"

    return slot


def letters(rng: random.Random, _: str) -> tuple[str, str]:
    """A few letters."""
    picked = rng.sample(LETTERS, rng.randint(2, 4))
    return " ".join(picked), " ".join(picked)


def word_slot(words: list[str]) -> Slot:
    """Any common English word of a list."""

    def slot(rng: random.Random, _: str) -> tuple[str, str]:
        w = rng.choice(words)
        return w, w

    return slot


def all_slots(words: list[str]) -> dict[str, Slot]:
    """Every slot by the name that the templates use."""
    return {
        "n": whole,
        "id": place_number,
        "letter_id": letter_number,
        "teen": teen,
        "dec": decimal,
        "half": and_a_half,
        "hundred": hundreds,
        "price": price,
        "clock": clock,
        "ord": ordinal,
        "year": year,
        "digits": digit_string,
        "letters": letters,
        "r11": ratio((1, 1)),
        "r21": ratio((2, 1)),
        "word": word_slot(words),
    }
