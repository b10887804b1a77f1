"""Two unlike yard noises for the bench, and a phone's band. Written apart from the noise that the training mixes in."""

from __future__ import annotations

import numpy as np
from scipy.signal import butter, lfilter, sosfilt

RATE = 16000


def _rms(x: np.ndarray) -> float:
    return float(np.sqrt(np.mean(np.square(x)) + 1e-12))


def wind(n: int, rng: np.random.Generator) -> np.ndarray:
    """Gusty wind on a microphone: rumble that swells in gusts, hiss on the crests, a few bumps of the pocket."""
    white = rng.normal(size=n)
    rumble = sosfilt(butter(2, [25, 350], "bandpass", fs=RATE, output="sos"), white)
    hiss = sosfilt(butter(1, [800, 5000], "bandpass", fs=RATE, output="sos"), rng.normal(size=n))
    points = max(2, int(n / RATE / 0.35) + 2)
    gust = np.interp(np.linspace(0, points - 1, n), np.arange(points), rng.gamma(1.2, 0.6, points))
    out = rumble / _rms(rumble) * (0.3 + gust) + 0.35 * hiss / _rms(hiss) * gust**2
    for _ in range(rng.poisson(n / RATE / 3)):
        at, length = rng.integers(0, n), int(RATE * rng.uniform(0.02, 0.09))
        bump = np.exp(-np.linspace(0, 6, length)) * np.sin(2 * np.pi * rng.uniform(60, 180) * np.arange(length) / RATE)
        out[at : at + length] += 4 * bump[: max(0, n - at)]
    return out / _rms(out)


def hum(n: int, rng: np.random.Generator) -> np.ndarray:
    """An open hive near 230 Hz (harmonics that wander and beat), an idling engine, a cheap microphone's hiss."""
    t = np.arange(n) / RATE
    out = np.zeros(n)
    for _ in range(12):
        drift = np.cumsum(rng.normal(0, 0.03, n // 160 + 2))
        f = 230 * rng.uniform(0.93, 1.07) + np.interp(np.arange(n) / 160, np.arange(len(drift)), drift)
        phase = 2 * np.pi * np.cumsum(f) / RATE + rng.uniform(0, 6)
        for k, weight in ((1, 1.0), (2, 0.6), (3, 0.35), (4, 0.15)):
            out += (
                weight * np.sin(k * phase) * (1 + 0.3 * np.sin(2 * np.pi * rng.uniform(2, 9) * t + rng.uniform(0, 6)))
            )
    engine = lfilter([1], [1, -0.97], rng.normal(size=n)) * (
        1 + 0.8 * np.sign(np.sin(2 * np.pi * rng.uniform(24, 32) * t))
    )
    return out / _rms(out) + 0.5 * engine / _rms(engine) + 0.35 * rng.normal(size=n)


NOISES = {"wind": wind, "hum": hum}


def speech_level(x: np.ndarray) -> float:
    """Root mean square of the samples over 2 % of the peak: the pauses do not count as speech."""
    active = np.abs(x) > 0.02 * np.abs(x).max()
    return _rms(x[active]) if active.any() else 0.0


def mix(x: np.ndarray, kind: str, snr_db: float, seed: int) -> np.ndarray:
    """Speech with noise before, under and after it, at a ratio of levels in decibels."""
    rng = np.random.default_rng(seed)
    padded = np.concatenate([np.zeros(RATE // 4), x, np.zeros(RATE // 4)]).astype(np.float64)
    noise = NOISES[kind](len(padded), rng)
    padded += noise / _rms(noise) * speech_level(x) * 10 ** (-snr_db / 20)
    return (padded / max(1e-9, np.abs(padded).max()) * 0.8).astype(np.float32)


def phone_band(x: np.ndarray) -> np.ndarray:
    """300 to 3400 Hz, as over a telephone."""
    return sosfilt(butter(4, [300, 3400], "bandpass", fs=RATE, output="sos"), x).astype(np.float32)
