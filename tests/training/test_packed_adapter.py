"""An adapter packed into 8 bits changes the weights as the trained one did, within a rounding."""

import importlib.util
from pathlib import Path

import numpy as np
import pytest

TRAINING = Path(__file__).resolve().parents[2] / "training"
NAME = "decoder|layer_0|ffn|linear_0|weight"


@pytest.fixture(scope="module")
def packed():
    spec = importlib.util.spec_from_file_location("packed", TRAINING / "packed.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def pairs(rng, rank=12):
    """Factors whose ranks differ a thousandfold in size, as singular values do."""
    size = np.geomspace(1, 1e-3, rank)
    return {
        f"A|{NAME}": rng.standard_normal((rank, 40)) * np.sqrt(size)[:, None],
        f"B|{NAME}": rng.standard_normal((30, rank)) * np.sqrt(size),
    }


def change(arrays):
    return arrays[f"B|{NAME}"] @ arrays[f"A|{NAME}"]


def test_the_change_survives_packing(packed):
    given = pairs(np.random.default_rng(1))
    got = packed.pack(given)
    assert {k[0]: str(v.dtype) for k, v in got.items()} == {"A": "int8", "B": "int8", "S": "float32"}
    apart = np.linalg.norm(change(packed.unpack(got)) - change(given)) / np.linalg.norm(change(given))
    assert 0 < apart < 0.02


def test_unpacking_halves_the_scale_evenly_and_leaves_a_run_as_it_is(packed):
    given = pairs(np.random.default_rng(2))
    back = packed.unpack(packed.pack(given))
    sizes = np.linalg.norm(back[f"A|{NAME}"], axis=1) / np.linalg.norm(back[f"B|{NAME}"], axis=0)
    np.testing.assert_allclose(sizes, 1, rtol=1e-3)
    run = {k: v.astype(np.float16) for k, v in given.items()}
    np.testing.assert_array_equal(packed.unpack(run)[f"A|{NAME}"], run[f"A|{NAME}"].astype(np.float32))


def test_a_rank_without_effect_stays_so(packed):
    given = pairs(np.random.default_rng(3))
    given[f"B|{NAME}"][:, -1] = 0
    back = packed.unpack(packed.pack(given))
    assert np.isfinite(back[f"A|{NAME}"]).all()
    assert np.abs(back[f"B|{NAME}"][:, -1]).max() == 0
