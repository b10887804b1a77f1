"""The Vosk engine on a real model. It shows that the library is driven rightly; nothing about English or people."""

import json
import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import numpy as np
import pytest

from gloveside.speech.decode import decode
from gloveside.speech.transcript import Audio, EngineUnavailable, Vocabulary
from gloveside.speech.vosk_engine import VoskEngine, check_folder

pytestmark = pytest.mark.audio

KOREAN = Path(__file__).resolve().parents[2] / "fixtures" / "korean"
SPOKEN = json.loads((KOREAN / "spoken.json").read_text(encoding="utf-8"))
WORDS = ("기차", "카메라", "라디오", "감자", "여섯", "점심", "버스", "영수증")
EIGHT = Vocabulary(words=WORDS)


def said(vosk, name, vocabulary=EIGHT):
    return vosk.transcribe(decode(KOREAN / name), vocabulary)


@pytest.mark.parametrize("name", SPOKEN)
def test_the_words_spoken_are_heard(vosk, name):
    transcript = said(vosk, name)
    assert transcript.text.split() == SPOKEN[name]
    assert [w.text for w in transcript.words] == SPOKEN[name]
    assert transcript.engine == vosk.name
    assert transcript.engine.startswith("vosk:")
    assert all(0 <= w.start < w.end <= transcript.seconds + 0.1 for w in transcript.words)
    assert all(0 < w.probability <= 1 for w in transcript.words)


def test_words_on_both_sides_of_a_pause_are_on_one_clock(vosk):
    first, second = said(vosk, "pause.ogg").words
    assert first.start == pytest.approx(0.4, abs=0.2)
    assert second.start - first.end == pytest.approx(2.4, abs=0.4)


def test_a_pause_within_a_segment_loses_nothing(vosk):
    """The library ends a result at a pause; all of them must be joined."""
    parts = []
    for name in ("word-ko-f2-6.ogg", "word-ko-f2-3.ogg", "word-ko-f2-1.ogg"):
        samples = decode(KOREAN / name).samples
        parts += [samples[3000:-6000], np.zeros(12_000, np.float32)]
    transcript = vosk.transcribe(Audio(np.concatenate(parts)), EIGHT)
    assert len(transcript.segments) == 1
    assert transcript.text.split() == ["점심", "라디오", "기차"]


def test_a_word_outside_the_phrases_cannot_come_out(vosk):
    without = Vocabulary(words=tuple(w for w in WORDS if w != "라디오"))
    transcript = said(vosk, "word-ko-f2-3.ogg", without)
    assert transcript.words
    assert set(transcript.text.split()) <= set(without.words)


def test_phrases_prime_and_nothing_at_all_is_free(vosk):
    primed = Vocabulary(phrases=("점심 라디오", "라디오 기차"))
    assert said(vosk, "three-1.ogg", primed).text == "점심 라디오 기차"
    free = said(vosk, "three-1.ogg", Vocabulary())
    assert (
        free.text != "점심 라디오 기차"
    )  # the priming is what made it right: freely decoded, this voice is not understood


def test_unknown_words_are_reported_and_the_rest_still_works(korean_model):
    engine = VoskEngine(korean_model)
    vocabulary = Vocabulary(words=(*WORDS, "supersedure", "nuc"), phrases=("hello 점심",))
    assert engine.unknown_words(vocabulary) == ("hello", "nuc", "supersedure")
    assert said(engine, "three-2.ogg", vocabulary).text.split() == SPOKEN["three-2.ogg"]
    assert engine.notice.startswith("This Vosk model does not know 3 of 11 words: hello, nuc, supersedure.")
    assert engine.describe()["notice"] == engine.notice


@pytest.mark.parametrize(
    "vocabulary",
    [
        Vocabulary(words=("supersedure", "nuc")),
        Vocabulary(words=("", " "), phrases=("",)),
        Vocabulary(phrases=('{"a": 1}', '"', "[]", "\\", "\0")),
    ],
    ids=["all unknown", "empty", "odd"],
)
def test_a_vocabulary_without_a_known_word_is_never_a_grammar(vosk, vocabulary):
    """An empty or malformed list makes the library crash the whole process (see the next test)."""
    transcript = said(vosk, "word-ko-f2-6.ogg", vocabulary)
    assert transcript.text == said(vosk, "word-ko-f2-6.ogg", Vocabulary()).text


def test_why_the_guard_is_there(korean_model):
    code = "import sys, vosk; vosk.SetLogLevel(-2); m = vosk.Model(sys.argv[1]); vosk.KaldiRecognizer(m, 16000, '[]')"
    ended = subprocess.run([sys.executable, "-c", code, str(korean_model)], capture_output=True, timeout=120)
    assert ended.returncode < 0  # by a signal: no Python exception could be caught


def test_many_threads_hear_what_one_hears(vosk):
    names = [n for n in SPOKEN if n.startswith("three")]
    alone = [said(vosk, n) for n in names]
    together = [None] * len(names)

    def work(i):
        together[i] = said(vosk, names[i])

    threads = [threading.Thread(target=work, args=(i,)) for i in range(len(names))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=120)
    assert together == alone


def test_nothing_is_written_to_the_terminal(korean_model):
    code = (
        "import sys; from pathlib import Path; from gloveside.speech.vosk_engine import VoskEngine;"
        "from gloveside.speech.decode import decode; from gloveside.speech.transcript import Vocabulary;"
        "e = VoskEngine(Path(sys.argv[1]));"
        "e.transcribe(decode(sys.argv[2]), Vocabulary(words=('점심', 'nuc'), phrases=('hello  점심',)))"
    )
    ended = subprocess.run(
        [sys.executable, "-c", code, str(korean_model), str(KOREAN / "three-1.ogg")], capture_output=True, timeout=120
    )
    assert (ended.returncode, ended.stdout, ended.stderr) == (0, b"", b"")


@pytest.mark.parametrize("missing", ["", "am/final.mdl", "graph/Gr.fst", "graph/HCLr.fst"])
def test_a_folder_that_is_no_model(tmp_path, missing):
    folder = tmp_path / "model"
    if missing:
        for name in ("am/final.mdl", "graph/Gr.fst", "graph/HCLr.fst"):
            if name != missing:
                (folder / name).parent.mkdir(parents=True, exist_ok=True)
                (folder / name).touch()
    with pytest.raises(EngineUnavailable, match=r"speech.vosk_model.*gloveside voice get"):
        check_folder(folder)
    engine = VoskEngine(folder)
    assert "gloveside voice get" in engine.describe()["notice"]
    with pytest.raises(EngineUnavailable):
        engine.warm()


def test_a_damaged_model_is_a_sentence_not_a_crash(korean_model, tmp_path):
    broken = tmp_path / "broken"
    shutil.copytree(korean_model / "conf", broken / "conf")
    for name in ("graph", "ivector"):
        (broken / name).symlink_to(korean_model / name)
    (broken / "am").mkdir()
    data = (korean_model / "am" / "final.mdl").read_bytes()
    (broken / "am" / "final.mdl").write_bytes(data[: len(data) // 2])
    with pytest.raises(EngineUnavailable, match="damaged or of a kind that cannot be read"):
        VoskEngine(broken).warm()


def test_no_model_is_searched_for_or_fetched(korean_model, monkeypatch):
    """The library looks for models by language on the disk and on the net, and ends the process where it finds none."""
    import vosk

    monkeypatch.setattr(vosk.Model, "get_model_path", lambda *_: pytest.fail("looked for a model"))
    VoskEngine(korean_model).warm()
    assert "VOSK_MODEL_PATH" not in os.environ
