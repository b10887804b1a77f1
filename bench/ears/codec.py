"""A voice note's way through Opus, with the product's own audio library."""

from __future__ import annotations

import io

import av
import numpy as np

RATE = 16000


def opus(x: np.ndarray, kbit: int) -> np.ndarray:
    """Samples (float32, 16 kHz mono) after Ogg/Opus at so many kbit/s."""
    buffer = io.BytesIO()
    with av.open(buffer, "w", format="ogg") as out:
        stream = out.add_stream("libopus", rate=48000, layout="mono")
        stream.bit_rate = kbit * 1000
        frame = av.AudioFrame.from_ndarray(
            (np.clip(x, -1, 1) * 32767).astype(np.int16)[None], format="s16", layout="mono"
        )
        frame.sample_rate = RATE
        resampler = av.AudioResampler(format="s16", layout="mono", rate=48000)
        for f in [*resampler.resample(frame), *resampler.resample(None)]:
            out.mux(stream.encode(f))
        out.mux(stream.encode(None))
    buffer.seek(0)
    parts = []
    with av.open(buffer) as source:
        resampler = av.AudioResampler(format="s16", layout="mono", rate=RATE)
        for f in source.decode(audio=0):
            parts += [r.to_ndarray()[0] for r in resampler.resample(f)]
        parts += [r.to_ndarray()[0] for r in resampler.resample(None)]
    return np.concatenate(parts).astype(np.float32) / 32768
