from pathlib import Path

import pytest
from vosk_korean import repeatable_model

from gloveside.speech.vosk_engine import VoskEngine
from gloveside.speech.whisper import WhisperEngine

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"


@pytest.fixture(scope="session")
def whisper(tmp_path_factory):
    """The bundled engine without a trained ear, so that what is measured does not change with the one that ships."""
    return WhisperEngine(data_folder=tmp_path_factory.mktemp("data"), threads=2)


@pytest.fixture(scope="session")
def korean_model(tmp_path_factory):
    # No skip where the model is missing: it belongs to the packages of the tests, and its absence is a failure.
    return repeatable_model(tmp_path_factory.mktemp("korean"))


@pytest.fixture(scope="session")
def vosk(korean_model):
    return VoskEngine(korean_model)
