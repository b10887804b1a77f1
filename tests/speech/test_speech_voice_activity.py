"""The gate in front of the engines, and the cutting at pauses."""

import itertools
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gloveside.speech.decode import RATE, decode
from gloveside.speech.transcript import Audio
from gloveside.speech.voice_activity import LONGEST, PAD, TOGETHER, Span, group, padded, speech_spans, stretches

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
SEASON = sorted((FIXTURES / "season").glob("note-*.ogg"))


def quiet(seconds):
    return np.zeros(round(seconds * RATE), np.float32)


def noise(seconds, level=0.1):
    return (np.random.default_rng(5).standard_normal(round(seconds * RATE)) * level).astype(np.float32)


def tone(seconds):
    return (0.3 * np.sin(2 * np.pi * 440 * np.arange(round(seconds * RATE)) / RATE)).astype(np.float32)


@pytest.mark.parametrize("samples", [quiet(0), quiet(0.01), quiet(5), noise(5), noise(5, 0.01), tone(5)])
def test_nobody_speaks(samples):
    assert speech_spans(Audio(samples)) == []
    assert list(stretches([Audio(samples)])) == []


@pytest.mark.parametrize("name", ["silence.ogg", "wind.ogg"])
def test_silence_and_wind(name):
    assert list(stretches([decode(FIXTURES / "bad" / name)])) == []


@pytest.mark.parametrize("path", SEASON[::5], ids=lambda p: p.name)
def test_a_short_note_stays_one_segment(path):
    audio = decode(path)
    (only,) = stretches([audio])
    assert only.end - only.start > 0.6 * (audio.seconds - 1)


def test_a_long_pause_parts_and_the_times_are_those_of_the_recording():
    first, second = decode(SEASON[0]).samples, decode(SEASON[1]).samples
    recording = np.concatenate([quiet(3), first, quiet(4), second])
    one, two = stretches([Audio(recording)])
    assert one.start == pytest.approx(3.0, abs=0.6)
    assert two.start == pytest.approx(7 + len(first) / RATE, abs=0.6)
    np.testing.assert_array_equal(one.samples, recording[one.first : one.first + len(one.samples)])


def a_day():
    """Nine minutes of notes: run together, with short and with long pauses, and five minutes without a word."""
    rng = np.random.default_rng(7)
    parts = []
    for i, path in enumerate(SEASON):
        parts += [decode(path).samples, quiet(rng.choice([0.2, 0.9, 2.5, 6.0]))]
        if i == 12:
            parts.append(quiet(300))
    return np.concatenate(parts)


def test_a_long_recording_is_cut_at_pauses_and_the_cutting_into_pieces_changes_nothing():
    day = a_day()
    whole = list(stretches([Audio(day)]))
    assert len(whole) > 12
    assert all(s.end - s.start <= LONGEST + 2 * PAD for s in whole)
    assert all(a.end <= b.start for a, b in itertools.pairwise(whole))
    spoken = speech_spans(Audio(day))
    inside = [any(s.start - 0.1 <= p.start and p.end <= s.end + 0.1 for s in whole) for p in spoken]
    assert np.mean(inside) > 0.98  # what is not inside one segment was cut in two, or lost
    for size in (60.0, 7.77):
        step = round(size * RATE)
        cut = stretches(Audio(day[i : i + step]) for i in range(0, len(day), step))
        assert [(s.first, len(s.samples)) for s in cut] == [(s.first, len(s.samples)) for s in whole]


def test_speech_without_a_pause_is_cut_all_the_same():
    samples = decode(SEASON[6]).samples
    (only,) = stretches([Audio(samples)])
    endless = np.concatenate([only.samples[8000:-8000]] * 12)
    found = list(stretches([Audio(endless)]))
    assert max(s.end - s.start for s in found) <= LONGEST + 2 * PAD
    assert sum(s.end - s.start for s in found) > 0.9 * len(endless) / RATE


spans = st.lists(st.tuples(st.floats(0.05, 4), st.floats(0.1, 20)), max_size=40).map(
    lambda pairs: [
        Span(sum(p + d for p, d in pairs[:i]) + pause, sum(p + d for p, d in pairs[:i]) + pause + length)
        for i, (pause, length) in enumerate(pairs)
    ]
)


@given(spans)
def test_grouping_keeps_every_span_whole_and_every_segment_short(found):
    segments = group(found)
    assert all(s.seconds <= LONGEST + 1e-6 for s in segments)
    assert all(sum(s.start <= p.start and p.end <= s.end for s in segments) == 1 for p in found)
    for one, two in itertools.pairwise(found):
        together = any(s.start <= one.start and two.end <= s.end for s in segments)
        if two.start - one.end >= TOGETHER:
            assert not together
    if found and found[-1].end - found[0].start <= LONGEST:
        short = all(b.start - a.end < TOGETHER for a, b in itertools.pairwise(found))
        assert (len(segments) == 1) >= short


@given(spans)
def test_padding_never_overlaps(found):
    segments = group(found)
    end = (found[-1].end if found else 0) + 0.1
    wide = padded(segments, end)
    assert all(w.start <= s.start and s.end <= w.end for w, s in zip(wide, segments, strict=True))
    assert all(a.end <= b.start + 1e-9 for a, b in itertools.pairwise(wide))
    assert not wide or (wide[0].start >= 0 and wide[-1].end <= end)


def test_too_long_a_run_is_cut_at_its_longest_pause():
    run = [Span(0, 10), Span(10.3, 20), Span(21.0, 25), Span(25.4, 35)]
    assert group(run) == [Span(0, 20), Span(21.0, 35)]
