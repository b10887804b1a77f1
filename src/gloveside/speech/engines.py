"""Opening a speech engine by choice. Nothing is imported or loaded before a note needs it."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from gloveside.speech import adapter as ear
from gloveside.speech.model_download import fetched_model
from gloveside.speech.transcript import Engine, EngineUnavailable
from gloveside.speech.vosk_engine import HOW_TO_GET, VoskEngine, check_folder
from gloveside.speech.whisper import Prompting, WhisperEngine

Choice = Literal["auto", "whisper", "vosk"]


def open_engine(
    choice: Choice,
    *,
    data_folder: Path,
    vosk_model: Path | None = None,
    threads: int = 2,
    prompting: Prompting = "auto",
    adapter: Path | None = None,
) -> Engine:
    """The engine of a choice; it may be called from any thread and loads its model with the first note or `warm`.

    choice: `vosk` needs a model: `vosk_model`, else the one that `gloveside voice get` fetched; `auto` takes such a
    model where there is one, else the bundled weights. adapter: another trained ear than the one that ships.
    Raises EngineUnavailable where `vosk` is chosen and no model is there.
    """
    folder = vosk_model or fetched_model(data_folder)
    if choice == "vosk":
        if folder is None:
            raise EngineUnavailable(f"The engine vosk has no model. {HOW_TO_GET}")
        check_folder(folder)
        return VoskEngine(folder)
    trouble = ""
    if choice == "auto" and folder is not None:
        try:
            check_folder(folder)
        except EngineUnavailable as error:
            trouble = f"Hearing with the bundled engine instead of Vosk. {error}"
        else:
            return VoskEngine(folder)
    return WhisperEngine(
        data_folder=data_folder,
        threads=threads,
        adapter=adapter or ear.shipped(),
        prompting=prompting,
        notice=trouble,
    )
