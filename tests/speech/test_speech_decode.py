"""Decoding: every form of sound a phone hands over, and every file that is none."""

import io
import tracemalloc
import wave
from pathlib import Path

import av
import numpy as np
import pytest
from ogg_pages import with_last_granule

from gloveside.speech.decode import RATE, decode, pieces
from gloveside.speech.transcript import AudioUnreadable

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
BAD = FIXTURES / "bad"
NOTE = FIXTURES / "season" / "note-001.ogg"


def wav(samples, rate, channels=1):
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(channels)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(np.asarray(samples, np.int16).tobytes())
    return file.getvalue()


def tone(hertz, rate, seconds):
    return (np.sin(2 * np.pi * hertz * np.arange(round(rate * seconds)) / rate) * 16_000).astype(np.int16)


@pytest.mark.parametrize("rate", [8_000, 16_000, 44_100, 48_000])
def test_any_rate_becomes_16_khz_with_the_same_pitch_and_length(rate):
    audio = decode(wav(tone(440, rate, 1.0), rate))
    assert audio.rate == RATE
    assert audio.samples.dtype == np.float32
    assert audio.seconds == pytest.approx(1.0, abs=0.01)
    spectrum = np.abs(np.fft.rfft(audio.samples[:RATE]))
    assert np.argmax(spectrum) * RATE / len(audio.samples[:RATE]) == pytest.approx(440, abs=3)


def test_both_ears_of_a_stereo_file_are_heard():
    left, right = tone(440, 48_000, 0.5), np.zeros(24_000, np.int16)
    for pair in ((left, right), (right, left)):
        audio = decode(wav(np.stack(pair, axis=1).reshape(-1), 48_000, channels=2))
        assert audio.seconds == pytest.approx(0.5, abs=0.01)
        assert np.abs(audio.samples).max() > 0.1


def test_a_stereo_note_at_48_khz():
    audio = decode(BAD / "stereo48.ogg")
    assert audio.name == "stereo48.ogg"
    assert 4 < audio.seconds < 5
    assert np.abs(audio.samples).max() <= 1.0


def test_path_text_bytes_and_file_give_the_same():
    expected = decode(NOTE).samples
    assert len(expected) > 4 * RATE
    with NOTE.open("rb") as file:
        for source in (str(NOTE), NOTE.read_bytes(), file):
            np.testing.assert_array_equal(decode(source).samples, expected)


@pytest.mark.parametrize("seconds", [0.1, 1.0, 3.3, 60.0])
def test_pieces_are_the_whole_cut_up(seconds):
    found = list(pieces(NOTE, seconds=seconds))
    np.testing.assert_array_equal(np.concatenate([p.samples for p in found]), decode(NOTE).samples)
    assert {len(p.samples) for p in found[:-1]} <= {round(seconds * RATE)}


def test_a_cut_off_file_gives_its_first_part():
    audio = decode(BAD / "truncated.ogg")
    assert 0.5 < audio.seconds < 3


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("empty.ogg", "nothing was recorded. Record it again"),
        ("not_audio.ogg", "is not a recording that I can read. Send it as"),
        ("picture.ogg", "holds no sound, only a picture"),
    ],
)
def test_what_is_no_recording_says_what_to_do(name, says):
    with pytest.raises(AudioUnreadable, match=f"^{name}.*{says}"):
        decode(BAD / name)
    with pytest.raises(AudioUnreadable, match=says):
        list(pieces((BAD / name).read_bytes()))


def test_a_video_without_sound(tmp_path):
    path = tmp_path / "film.mp4"
    with av.open(str(path), "w") as film:
        stream = film.add_stream("mpeg4", rate=5)
        stream.width = stream.height = 64
        stream.pix_fmt = "yuv420p"
        for _ in range(3):
            film.mux(stream.encode(av.VideoFrame.from_ndarray(np.zeros((64, 64, 3), np.uint8), format="rgb24")))
        film.mux(stream.encode(None))
    with pytest.raises(AudioUnreadable, match=r"film.mp4 holds no sound"):
        decode(path)


def test_missing_file_and_folder(tmp_path):
    with pytest.raises(AudioUnreadable, match=r"There is no file .*gone.ogg. Check its name"):
        decode(tmp_path / "gone.ogg")
    with pytest.raises(AudioUnreadable, match="cannot be opened"):
        decode(tmp_path)


def test_a_header_without_sound_behind_it():
    with pytest.raises(AudioUnreadable, match=r"holds no sound that can be played|not a recording"):
        decode(wav([], 16_000))


def test_an_address_is_never_opened_as_one():
    with pytest.raises(AudioUnreadable, match="There is no file"):
        decode("http://127.0.0.1:9/note.ogg")


def test_a_play_list_opens_no_other_file(tmp_path):
    listed = tmp_path / "list.ogg"
    listed.write_text(f"#EXTM3U\n#EXT-X-TARGETDURATION:5\n#EXTINF:5,\n{NOTE.as_uri()}\n#EXT-X-ENDLIST\n")
    with pytest.raises(AudioUnreadable):
        decode(listed)
    joined = tmp_path / "joined.ogg"
    joined.write_text(f"ffconcat version 1.0\nfile '{NOTE}'\n")
    with pytest.raises(AudioUnreadable):
        decode(joined)


def test_ninety_minutes_are_refused_before_anything_is_decoded():
    sparse = with_last_granule(NOTE.read_bytes(), 90 * 60 * 48_000)
    with pytest.raises(AudioUnreadable, match=r"longer than 75 minutes.*Cut it into shorter parts"):
        decode(sparse)
    with pytest.raises(AudioUnreadable, match=r"longer than 75 minutes"):
        next(pieces(sparse))
    assert decode(sparse, longest_minutes=100).seconds > 4


def test_a_length_that_the_file_understates_is_counted():
    modest = with_last_granule(NOTE.read_bytes(), 48_000)
    with pytest.raises(AudioUnreadable, match=r"longer than 0.05 minutes"):
        decode(modest, longest_minutes=3 / 60)


def test_pieces_need_no_more_memory_for_more_sound(tmp_path):
    def peak(minutes):
        path = tmp_path / f"{minutes}.wav"
        with wave.open(str(path), "wb") as out:
            out.setnchannels(1)
            out.setsampwidth(2)
            out.setframerate(RATE)
            for _ in range(minutes):
                out.writeframes(bytes(2 * 60 * RATE))
        tracemalloc.start()
        seconds = sum(p.seconds for p in pieces(path, seconds=20))
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert seconds == pytest.approx(60 * minutes)
        return most

    peak(1)  # what is imported and cached at the first call
    assert peak(8) < 1.2 * peak(2)
