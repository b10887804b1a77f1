"""Days and times against one fixed day, and a negative corpus of words that look like dates."""

from __future__ import annotations

import re
from datetime import date, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gloveside.extract.dates import DateSpan, find

ON = date(2026, 11, 20)  # a Friday


def tokens(text: str) -> list[str]:
    return re.findall(r"[\w]+(?:[-'.:/][\w]+)*|[^\w\s]", text.lower())


def only(text: str, on: date = ON) -> DateSpan:
    spans = find(tokens(text), on)
    assert len(spans) == 1, spans
    return spans[0]


# text: (days from ON when past, days from ON when due); None where that reading does not exist
DAYS: dict[str, tuple[int | None, int | None]] = {
    "today": (0, 0),
    "this morning": (0, 0),
    "tonight": (0, 0),
    "in the morning": (0, 1),
    "yesterday": (-1, None),
    "yesterday afternoon": (-1, None),
    "last night": (-1, None),
    "the day before yesterday": (-2, None),
    "two days ago": (-2, None),
    "2 days ago": (-2, None),
    "a couple of days ago": (-2, None),
    "a week ago": (-7, None),
    "a fortnight ago": (-14, None),
    "three weeks back": (-21, None),
    "an hour ago": (0, None),
    "on Tuesday": (-3, 4),
    "Tuesday": (-3, 4),
    "on Friday": (0, 7),
    "last Friday": (-7, None),
    "next Friday": (None, 7),
    "next Tuesday": (None, 4),
    "this Saturday": (-6, 1),
    "this coming Saturday": (-6, 1),
    "on sat": (-6, 1),
    "Saturday morning": (-6, 1),
    "Monday gone": (-4, None),
    "Friday week": (None, 14),
    "a week on Tuesday": (None, 11),
    "two weeks from Friday": (None, 21),
    "tomorrow": (None, 1),
    "tomorrow morning": (None, 1),
    "the day after tomorrow": (None, 2),
    "tomorrow week": (None, 8),
    "in three days": (None, 3),
    "in a week": (None, 7),
    "in a fortnight": (None, 14),
    "in three weeks' time": (None, 21),
    "ten days from now": (None, 10),
    "on the twentieth": (0, 30),
    "the 18th": (-2, 28),
    "by the 25th": (-26, 5),
    "on the second": (-18, 12),
    "20 November": (0, 0),
    "18th of November": (-2, 363),
    "November the eighteenth": (-2, 363),
    "on the twenty third of November": (-362, 3),
    "nov 22": (-363, 2),
    "on 5 May": (-199, 166),
    "the first of December": (-354, 11),
    "25 November 2026": (None, 5),
    "2026-11-18": (-2, None),
    "last week": (-7, None),
    "over the weekend": (-6, 1),
}


def _offset(day: date | None) -> int | None:
    return None if day is None else (day - ON).days


@pytest.mark.parametrize("text", DAYS)
def test_days(text: str) -> None:
    span = only(text)
    assert (_offset(span.past), _offset(span.future)) == DAYS[text]
    assert not span.length


@pytest.mark.parametrize(
    ("text", "at", "due"),
    [
        ("at half past nine", time(9, 30), 0),
        ("at half nine", time(9, 30), 0),
        ("at quarter to three", time(14, 45), 0),
        ("at nine o'clock", time(9), 0),
        ("at 9 am", time(9), 0),
        ("at 9am", time(9), 0),
        ("4 pm", time(16), 0),
        ("9:30", time(9, 30), 0),
        ("tomorrow at nine", time(9), 1),
        ("on Friday at half past nine", time(9, 30), 7),
        ("at nine o'clock tomorrow", time(9), 1),
        ("Tuesday at two in the afternoon", time(14), 4),
        ("at noon on Sunday", time(12), 2),
        ("at eight tonight", None, 0),
    ],
)
def test_times(text: str, at: time | None, due: int) -> None:
    span = only(text)
    assert span.time == at
    assert _offset(span.future) == due


@pytest.mark.parametrize("text", ["3 weeks", "ten days", "a couple of weeks"])
def test_bare_lengths_are_only_due(text: str) -> None:
    span = only(text)
    assert span.length
    assert span.past is None


def test_a_length_dates_nothing_done() -> None:
    """The days of a mite drop must not move the event."""
    assert [(s.past, s.length) for s in find(tokens("twelve mites in three days"), ON)] == [(None, False)]
    past = [s.past for s in find(tokens("twelve mites in three days, on Tuesday"), ON) if s.past]
    assert past == [date(2026, 11, 17)]


NOT_DATES = [
    "she may have swarmed",
    "hive 5 may need feed",
    "may be queenless",
    "march them down the row",
    "8 march in and 3 fly out",
    "wait a second",
    "on the second bar",
    "the second super",
    "a third of the frames",
    "the first one",
    "she sat on the cell",
    "sun on the entrance",
    "they wed in flight",
    "ten frames of bees",
    "five to ten frames",
    "quarter full",
    "half a super",
    "a mar on the comb",
    "top bar eleven out of fifteen",
    "2:1 syrup",
    "i am at 9",
    "hive 12 is queenright",
    "day old larvae",
    "the decks are full",
    "augustus",
    "next hive",
    "last frame",
    "this one",
    "marked her with a dot",
    "week queen",
]


@pytest.mark.parametrize("text", NOT_DATES)
def test_words_that_are_no_dates(text: str) -> None:
    assert find(tokens(text), ON) == []


@given(
    st.dates(min_value=date(2000, 1, 1), max_value=date(2090, 1, 1)),
    st.sampled_from([t for t in DAYS if "2026" not in t]),
)
def test_past_is_never_ahead_and_due_never_behind(on: date, text: str) -> None:
    for span in find(tokens(text), on):
        assert span.past is None or span.past <= on
        assert span.future is None or span.future >= on
        assert span.past is None or on - span.past <= timedelta(days=8 * 366)
