"""Sounds of a long recording's segments, kept on the disk while something may still want to hear them again."""

from __future__ import annotations

import tempfile
import threading
import weakref
from collections.abc import Callable

import numpy as np
import numpy.typing as npt


class SoundStore:
    """A nameless temporary file of 16-bit samples; it goes when the last sound kept in it is no longer referred to."""

    def __init__(self) -> None:
        # Closed with the last reader: no scope could close it, readers outlive the call.
        self._file = tempfile.TemporaryFile()  # noqa: SIM115
        weakref.finalize(self, self._file.close)
        self._lock = threading.Lock()

    def keep(self, samples: npt.NDArray[np.float32]) -> Callable[[], npt.NDArray[np.float32]]:
        """Write samples (float32, in -1..1) to the file; the function returned reads them again."""
        data = pcm(samples)
        with self._lock:
            at = self._file.seek(0, 2)
            self._file.write(data)

        def read() -> npt.NDArray[np.float32]:
            with self._lock:
                self._file.seek(at)
                found = self._file.read(len(data))
            return np.frombuffer(found, np.int16).astype(np.float32) / np.float32(32768.0)

        return read


def pcm(samples: npt.NDArray[np.float32]) -> bytes:
    """Samples in -1..1 as 16-bit PCM in this machine's byte order; louder ones are clipped."""
    return np.clip(np.round(samples * 32768.0), -32768, 32767).astype(np.int16).tobytes()
