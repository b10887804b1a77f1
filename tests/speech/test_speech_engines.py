"""What holds for every engine, and the choice between them."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from gloveside.speech.decode import decode, pieces
from gloveside.speech.engines import open_engine
from gloveside.speech.transcript import Audio, EngineUnavailable, Transcript, Vocabulary
from gloveside.speech.vosk_engine import VoskEngine
from gloveside.speech.whisper import WhisperEngine

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
RATE = 16_000
VOCABULARIES = {
    "whisper": Vocabulary(prompt="Slide in on Hive 7. Took 2 supers off."),
    "vosk": Vocabulary(words=("점심", "라디오", "기차"), phrases=("점심 라디오",)),
}
NOTES = {"whisper": FIXTURES / "season" / "note-001.ogg", "vosk": FIXTURES / "korean" / "three-1.ogg"}


@pytest.fixture(params=["whisper", "vosk"])
def kind(request):
    return request.param


@pytest.fixture
def engine(kind, request):
    return request.getfixturevalue(kind)


def noise(seconds, level):
    return (np.random.default_rng(9).standard_normal(round(seconds * RATE)) * level).astype(np.float32)


@pytest.mark.audio
@pytest.mark.parametrize(
    "samples",
    [
        np.zeros(0, np.float32),
        np.zeros(RATE // 20, np.float32),
        np.zeros(10 * RATE, np.float32),
        noise(4, 0.1),
        noise(4, 1.0),
        (0.3 * np.sin(np.arange(4 * RATE) * 2 * np.pi * 440 / RATE)).astype(np.float32),
        np.ones(RATE, np.float32),
    ],
    ids=["nothing", "a blink", "silence", "hiss", "roar", "tone", "stuck"],
)
def test_where_nobody_speaks_nothing_is_written(engine, kind, samples):
    transcript = engine.transcribe(Audio(samples), VOCABULARIES[kind])
    assert transcript == Transcript((), len(samples) / RATE, engine.name)
    assert transcript.text == ""


@pytest.mark.audio
@pytest.mark.parametrize("name", ["silence.ogg", "wind.ogg"])
def test_bad_recordings_without_speech(engine, kind, name):
    assert tuple(engine.segments(pieces(FIXTURES / "bad" / name), VOCABULARIES[kind])) == ()


@pytest.mark.audio
def test_what_a_transcript_holds(engine, kind):
    audio = decode(NOTES[kind])
    transcript = engine.transcribe(audio, VOCABULARIES[kind])
    assert transcript.seconds == audio.seconds
    assert transcript.engine == engine.name
    assert transcript.text
    for segment in transcript.segments:
        assert 0 <= segment.start < segment.end <= audio.seconds + 0.01
        assert segment.text.split() == [w.text for w in segment.words]
        assert segment.alternatives[0].text == segment.text
        assert segment.score <= 0
        assert segment.no_speech is None or 0 <= segment.no_speech <= 1


@pytest.mark.audio
def test_the_same_note_gives_the_same_transcript_whole_and_in_pieces(engine, kind):
    whole = engine.transcribe(decode(NOTES[kind]), VOCABULARIES[kind])
    assert whole == engine.transcribe(decode(NOTES[kind]), VOCABULARIES[kind])
    assert whole.segments == tuple(engine.segments(pieces(NOTES[kind], seconds=0.7), VOCABULARIES[kind]))


@pytest.mark.audio
def test_describe_says_what_hears(engine):
    report = engine.describe()
    assert report["engine"] == engine.name
    assert all(isinstance(text, str) and text for text in report.values())


def test_auto_takes_a_vosk_model_where_there_is_one(tmp_path, korean_model):
    assert isinstance(open_engine("auto", data_folder=tmp_path), WhisperEngine)
    assert isinstance(open_engine("auto", data_folder=tmp_path, vosk_model=korean_model), VoskEngine)
    assert isinstance(open_engine("whisper", data_folder=tmp_path, vosk_model=korean_model), WhisperEngine)
    (tmp_path / "vosk").mkdir()
    (tmp_path / "vosk" / "vosk-model-small-xx-1").symlink_to(korean_model)
    assert open_engine("auto", data_folder=tmp_path).name == "vosk:vosk-model-small-xx-1"
    assert open_engine("vosk", data_folder=tmp_path).name == "vosk:vosk-model-small-xx-1"


def test_auto_with_a_broken_vosk_model_hears_with_the_bundled_engine_and_says_so(tmp_path):
    engine = open_engine("auto", data_folder=tmp_path, vosk_model=tmp_path / "gone")
    assert isinstance(engine, WhisperEngine)
    assert engine.notice.startswith("Hearing with the bundled engine instead of Vosk. There is no folder")
    assert engine.describe()["notice"] == engine.notice


def test_vosk_without_a_model_is_refused(tmp_path):
    with pytest.raises(EngineUnavailable, match=r"has no model.*gloveside voice get"):
        open_engine("vosk", data_folder=tmp_path)
    with pytest.raises(EngineUnavailable, match="There is no folder"):
        open_engine("vosk", data_folder=tmp_path, vosk_model=tmp_path / "gone")


def test_nothing_heavy_is_imported_before_a_note_needs_it(tmp_path, korean_model):
    code = (
        "import sys; from pathlib import Path; from gloveside.speech.engines import open_engine;"
        "engines = [open_engine('auto', data_folder=Path(sys.argv[1])),"
        " open_engine('vosk', data_folder=Path(sys.argv[1]), vosk_model=Path(sys.argv[2]))];"
        "[e.describe() for e in engines];"
        "heavy = {'av', 'ctranslate2', 'faster_whisper', 'httpx', 'onnxruntime', 'requests', 'vosk'};"
        "print(sorted(heavy & sys.modules.keys()))"
    )
    ended = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path), str(korean_model)], capture_output=True, text=True, timeout=60
    )
    assert ended.stdout.strip() == "[]", ended.stderr
