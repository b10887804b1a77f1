"""The trained ear's runtime: made whole or not at all, found again, made anew when something changes."""

import json
import multiprocessing
import shutil
import struct
import time
from pathlib import Path

import numpy as np
import pytest

from gloveside.speech import ct2_file
from gloveside.speech.adapter import MANIFEST, patched_model, shipped
from gloveside.speech.decode import decode
from gloveside.speech.transcript import EngineUnavailable, Vocabulary
from gloveside.speech.weights import BASE_SHA256, NEEDED, base_folder
from gloveside.speech.whisper import WhisperEngine

NOTE = Path(__file__).resolve().parents[2] / "fixtures" / "season" / "note-001.ogg"
CODES = {"float32": 0, "int8": 1, "int32": 3, "float16": 4}
LINEAR = "decoder/layer_0/self_attention/linear_0/weight"


def model_bin(variables):
    """A weight file written as CTranslate2's converter writes it (ctranslate2.specs.model_spec, version 6)."""
    name = lambda text: struct.pack("<H", len(text) + 1) + text.encode() + b"\0"  # noqa: E731
    out = struct.pack("<I", 6) + name("WhisperSpec") + struct.pack("<II", 3, len(variables))
    for label, array in variables.items():
        out += name(label) + struct.pack("<B", array.ndim) + struct.pack(f"<{array.ndim}I", *array.shape)
        out += struct.pack("<BI", CODES[str(array.dtype)], array.nbytes) + array.tobytes()
    return out + struct.pack("<I", 1) + name("decoder/alias") + name(LINEAR)


@pytest.fixture
def rng():
    return np.random.default_rng(3)


@pytest.fixture
def base(tmp_path, rng):
    folder = tmp_path / "base"
    folder.mkdir()
    for name in NEEDED[1:]:
        (folder / name).write_text("{}")
    weights = {
        "encoder/num_heads": np.array(6, np.int32),
        "decoder/norm": rng.standard_normal(8).astype(np.float32),
        LINEAR: rng.standard_normal((12, 8)).astype(np.float16),
        "decoder/other/weight": rng.standard_normal((4, 8)).astype(np.float16),
    }
    (folder / "model.bin").write_bytes(model_bin(weights))
    return folder


def adapter(path, rng, shape=(12, 8), rank=2, name=LINEAR):
    key = name.replace("/", "|")
    wide = rng.integers(-127, 128, (rank, shape[1]), np.int8)
    tall = rng.integers(-127, 128, (shape[0], rank), np.int8)
    np.savez(path, **{f"A|{key}": wide, f"B|{key}": tall, f"S|{key}": rng.uniform(1e-4, 3e-4, rank).astype(np.float32)})
    return path


def read(folder):
    data = (folder / "model.bin").read_bytes()
    return {name: ct2_file.matrix(data, v) for name, v in ct2_file.variables(data).items()}


def test_the_product_is_added_and_nothing_else_changes(base, tmp_path, rng):
    npz = adapter(tmp_path / "a.npz", rng)
    before, after = read(base), read(patched_model(base, npz, tmp_path / "data"))
    pair = np.load(npz)
    key = LINEAR.replace("/", "|")
    change = pair[f"B|{key}"].astype(np.float32) @ np.diag(pair[f"S|{key}"]) @ pair[f"A|{key}"].astype(np.float32)
    np.testing.assert_allclose(after[LINEAR].astype(np.float32), before[LINEAR].astype(np.float32) + change, atol=1e-2)
    assert np.abs(change).max() > 0.5
    for name in before.keys() - {LINEAR}:
        np.testing.assert_array_equal(after[name], before[name])


def test_it_is_made_once_and_found_again(base, tmp_path, rng):
    npz = adapter(tmp_path / "a.npz", rng)
    first = patched_model(base, npz, tmp_path / "data")
    stamp = (first / "model.bin").stat()
    assert patched_model(base, npz, tmp_path / "data") == first
    assert (first / "model.bin").stat() == stamp
    manifest = json.loads((first / MANIFEST).read_text())
    assert manifest.keys() == {"base_sha256", "adapter_sha256", "result_sha256"}
    assert {p.name for p in first.iterdir()} == {*NEEDED, MANIFEST}


def test_another_adapter_or_base_makes_it_anew_and_the_old_one_goes(base, tmp_path, rng):
    data = tmp_path / "data"
    npz = adapter(tmp_path / "a.npz", rng)
    first = patched_model(base, npz, data)
    old = read(first)[LINEAR].copy()
    adapter(npz, rng)
    second = patched_model(base, npz, data)
    assert second != first
    assert not first.exists()
    assert not np.array_equal(read(second)[LINEAR], old)
    changed = bytearray((base / "model.bin").read_bytes())
    variable = ct2_file.variables(changed)["decoder/other/weight"]
    changed[variable.offset] ^= 1
    (base / "model.bin").write_bytes(changed)
    third = patched_model(base, npz, data)
    assert [p for p in (data / "ear").iterdir() if p.is_dir()] == [third]


@pytest.mark.parametrize("harm", ["model.bin", MANIFEST, "tokenizer.json", "cut"])
def test_a_damaged_model_is_made_anew(base, tmp_path, rng, harm):
    npz = adapter(tmp_path / "a.npz", rng)
    folder = patched_model(base, npz, tmp_path / "data")
    good = (folder / "model.bin").read_bytes()
    if harm == "cut":
        (folder / "model.bin").write_bytes(good[:-7])
    elif harm == "tokenizer.json":
        (folder / harm).unlink()
    else:
        (folder / harm).write_bytes(b"[]")
    assert patched_model(base, npz, tmp_path / "data") == folder
    assert (folder / "model.bin").read_bytes() == good
    assert (folder / "tokenizer.json").is_file()


def test_a_stop_half_way_leaves_no_model(base, tmp_path, rng, monkeypatch):
    npz, data = adapter(tmp_path / "a.npz", rng), tmp_path / "data"
    write = Path.write_bytes

    def full(path, content):
        if path.name == "model.bin":
            write(path, content[: len(content) // 2])
            raise OSError(28, "No space left on device")
        return write(path, content)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(EngineUnavailable, match=r"No space left on device\. Check that .* has 100 MB free"):
        patched_model(base, npz, data)
    assert not [p for p in (data / "ear").iterdir() if p.is_dir()]
    monkeypatch.undo()
    killed = data / "ear" / ".making-killed"  # as after a power cut
    killed.mkdir()
    (killed / "model.bin").write_bytes(b"half")
    folder = patched_model(base, npz, data)
    assert [p for p in (data / "ear").iterdir() if p.is_dir()] == [folder]


def test_the_model_appears_in_its_place_by_one_rename(base, tmp_path, rng, monkeypatch):
    npz, data = adapter(tmp_path / "a.npz", rng), tmp_path / "data"

    def stopped(path, target):
        assert {p.name for p in path.iterdir()} == {*NEEDED, MANIFEST}  # whole before it is seen
        raise OSError(5, "stopped here")

    monkeypatch.setattr(Path, "rename", stopped)
    with pytest.raises(EngineUnavailable, match="stopped here"):
        patched_model(base, npz, data)
    assert not [p for p in (data / "ear").iterdir() if p.is_dir()]


def _one(base, npz, data, results):
    results.put(str(patched_model(base, npz, data)))


def test_two_processes_at_once_make_one_model(base, tmp_path, rng):
    npz, data = adapter(tmp_path / "a.npz", rng), tmp_path / "data"
    context = multiprocessing.get_context("spawn")
    results = context.Queue()
    workers = [context.Process(target=_one, args=(base, npz, data, results)) for _ in range(3)]
    for worker in workers:
        worker.start()
    found = {results.get(timeout=60) for _ in workers}
    for worker in workers:
        worker.join(timeout=60)
    assert found == {str(patched_model(base, npz, data))}


def test_what_does_not_fit_is_said(base, tmp_path, rng):
    data = tmp_path / "data"
    for bad in (
        adapter(tmp_path / "wide.npz", rng, shape=(12, 9)),
        adapter(tmp_path / "tall.npz", rng, shape=(11, 8)),
        adapter(tmp_path / "name.npz", rng, name="decoder/layer_9/weight"),
        adapter(tmp_path / "type.npz", rng, shape=(8, 1), name="decoder/norm"),
    ):
        with pytest.raises(EngineUnavailable, match=r"does not fit the base weights .*Install Gloveside again"):
            patched_model(base, bad, data)
    (tmp_path / "text.npz").write_text("no arrays")
    with pytest.raises(EngineUnavailable, match="does not fit"):
        patched_model(base, tmp_path / "text.npz", data)
    with pytest.raises(EngineUnavailable, match="cannot be prepared: No such file"):
        patched_model(base, tmp_path / "none.npz", data)
    with pytest.raises(EngineUnavailable, match="cannot be prepared: No such file"):
        patched_model(tmp_path / "nowhere", adapter(tmp_path / "a.npz", rng), data)
    (base / "model.bin").write_bytes(b"\7\0\0\0rest")
    with pytest.raises(EngineUnavailable, match=r"are not of the kind.*its format is 7, not 6"):
        patched_model(base, tmp_path / "a.npz", data)
    assert not [p for p in (data / "ear").iterdir() if p.is_dir()]


def test_the_card_names_the_base(base, tmp_path, rng):
    npz = adapter(tmp_path / "a.npz", rng)
    (tmp_path / "a.json").write_text(json.dumps({"base_sha256": BASE_SHA256, "rank": 2}))
    with pytest.raises(EngineUnavailable, match="made for other base weights"):
        patched_model(base, npz, tmp_path / "data")
    (tmp_path / "a.json").write_text("[")
    with pytest.raises(EngineUnavailable, match=r"card of the trained ear.*damaged"):
        patched_model(base, npz, tmp_path / "data")


@pytest.mark.parametrize("keep", [3, 40, 90])
def test_a_cut_weight_file_is_refused(base, keep):
    data = (base / "model.bin").read_bytes()
    with pytest.raises(ct2_file.NotAModelFile):
        ct2_file.variables(data[:keep])


def test_the_real_weight_file():
    """Shapes as published for Whisper tiny.en: width 384, 4 layers, 51864 tokens (Radford et al. 2022, table 1)."""
    data = (base_folder() / "model.bin").read_bytes()
    found = ct2_file.variables(data)
    assert found["decoder/embeddings/weight"].shape == (51864, 384)
    assert found["decoder/layer_3/ffn/linear_0/weight"].shape == (1536, 384)
    assert found["decoder/layer_0/self_attention/linear_0/weight"].dtype == np.float16
    assert not any(name.startswith("decoder/layer_4/") for name in found)


def real_adapter(path, rng, size):
    """Rank one on one matrix of the real weights; size 0 changes nothing."""
    key = "decoder|layer_0|ffn|linear_0|weight"
    wide = rng.integers(-127, 128, (1, 384), np.int8)
    tall = rng.integers(-127, 128, (1536, 1), np.int8)
    scale = np.array([size / 73**2], np.float32)  # 73: the spread of such integers
    np.savez(path, **{f"A|{key}": wide, f"B|{key}": tall, f"S|{key}": scale})
    path.with_suffix(".json").write_text(json.dumps({"base_sha256": BASE_SHA256, "rank": 1}))
    return path


@pytest.mark.audio
def test_the_engine_hears_with_the_ear_and_without_a_prompt(whisper, tmp_path, rng):
    audio = decode(NOTE)
    vocabulary = Vocabulary(prompt="Slide in on Hive 7. Round 3, 4 ripe cells. Excluder in.")
    npz = real_adapter(tmp_path / "a.npz", rng, 0)
    engine = WhisperEngine(data_folder=tmp_path / "data", adapter=npz)
    spent = time.process_time()
    patched_model(base_folder(), npz, tmp_path / "data")
    assert time.process_time() - spent < 5
    plain = whisper.transcribe(audio, Vocabulary())
    heard = engine.transcribe(audio, vocabulary)
    assert heard.engine == "whisper:tiny.en+ear"
    assert engine.notice == ""
    assert heard.text == plain.text  # an ear that changes nothing, and no prompt
    (segment,), (expected,) = heard.segments, plain.segments
    assert segment.score == pytest.approx(expected.score, abs=1e-5)
    louder = WhisperEngine(data_folder=tmp_path / "other", adapter=real_adapter(tmp_path / "b.npz", rng, 0.05))
    (segment,) = louder.transcribe(audio, vocabulary).segments
    assert abs(segment.scorer.score(expected.text) - expected.scorer.score(expected.text)) > 0.01


@pytest.mark.audio
def test_an_ear_that_does_not_fit_falls_back_to_the_prompt_and_says_so(whisper, tmp_path, rng):
    audio = decode(NOTE)
    vocabulary = Vocabulary(prompt="Slide in on Hive 7. Round 3, 4 ripe cells. Excluder in.")
    npz = real_adapter(tmp_path / "a.npz", rng, 0.01)
    npz.with_suffix(".json").write_text(json.dumps({"base_sha256": "0" * 64}))
    engine = WhisperEngine(data_folder=tmp_path / "data", adapter=npz)
    transcript = engine.transcribe(audio, vocabulary)
    assert transcript.engine == "whisper:tiny.en"
    assert engine.notice.startswith("Hearing without the trained ear, which is less exact. ")
    assert "made for other base weights" in engine.describe()["notice"]
    assert transcript.text == whisper.transcribe(audio, vocabulary).text


@pytest.mark.audio
def test_foreign_weights_fall_back_to_the_prompt(tmp_path, rng):
    foreign = tmp_path / "mine.en"
    shutil.copytree(base_folder(), foreign)
    data = bytearray((foreign / "model.bin").read_bytes())
    data[ct2_file.variables(data)["decoder/layer_0/ffn/linear_0/weight"].offset] ^= 1
    (foreign / "model.bin").write_bytes(data)
    engine = WhisperEngine(
        data_folder=tmp_path / "data", weights=foreign, adapter=real_adapter(tmp_path / "a.npz", rng, 0.01)
    )
    assert engine.transcribe(decode(NOTE), Vocabulary()).engine == "whisper:mine.en"
    assert "made for other base weights" in engine.notice


def test_what_ships_is_whole():
    """Nothing ships before it is trained; once something does, its card names the bundled base."""
    found = shipped()
    if found is not None:
        assert json.loads(found.with_suffix(".json").read_text())["base_sha256"] == BASE_SHA256
        assert found.stat().st_size <= 3_000_000
