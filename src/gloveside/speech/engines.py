"""Opening a speech engine by choice."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from gloveside.speech.transcript import Engine

Choice = Literal["auto", "whisper", "vosk"]


def open_engine(choice: Choice, *, data_folder: Path, vosk_model: Path | None = None, threads: int = 2) -> Engine:
    """The engine of a choice; nothing is loaded before it is needed."""
    from gloveside.speech.whisper import WhisperEngine

    return WhisperEngine(data_folder=data_folder, threads=threads)
