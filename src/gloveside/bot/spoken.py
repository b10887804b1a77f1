"""Spoken replies: a voice message made from a reply's text by a local engine. Off unless the settings ask for it."""

from __future__ import annotations

import io
import logging
import re
import shutil
import subprocess
from pathlib import Path

import av

log = logging.getLogger(__name__)

PROGRAM = "espeak-ng"
LONGEST_TEXT = 600
"""Characters that are spoken; a longer reply is read on the screen."""
WORDS_A_MINUTE = 150
DEADLINE = 20.0
OPUS_RATE = 48_000
_ABBREVIATIONS = (
    (r"\bMon\b", "Monday"), (r"\bTue\b", "Tuesday"), (r"\bWed\b", "Wednesday"), (r"\bThu\b", "Thursday"),
    (r"\bFri\b", "Friday"), (r"\bSat\b", "Saturday"), (r"\bSun\b", "Sunday"),
    (r"\bJan\b", "January"), (r"\bFeb\b", "February"), (r"\bMar\b", "March"), (r"\bApr\b", "April"),
    (r"\bJun\b", "June"), (r"\bJul\b", "July"), (r"\bAug\b", "August"), (r"\bSep\b", "September"),
    (r"\bOct\b", "October"), (r"\bNov\b", "November"), (r"\bDec\b", "December"),
    (r"(?<=\w)\s*–\s*(?=\d)|(?<=\d)-(?=\d)", " to "), (r"(\d)\s*/\s*(\d)", r"\1 of \2"),
    (r"%", " percent"), (r"[·•–]", ", "),
)  # fmt: skip


def installed() -> bool:
    """Whether the engine is on this computer."""
    return shutil.which(PROGRAM) is not None


def for_the_ear(text: str) -> str:
    """The text as it should be said: days and months in full, signs as words."""
    for pattern, spoken in _ABBREVIATIONS:
        text = re.sub(pattern, spoken, text)
    return " ".join(text.replace("\n", ". ").split())


class SpokenReplies:
    """Makes voice messages in a folder; the last one is overwritten by the next."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def say(self, text: str) -> Path | None:
        """An OGG/Opus file of the text, or None when it is too long, empty, or the engine is missing or fails."""
        program = shutil.which(PROGRAM)
        if program is None or not text.strip() or len(text) > LONGEST_TEXT:
            return None
        try:
            done = subprocess.run(  # noqa: S603 - fixed program and options; the text goes in by standard input
                [program, "--stdin", "--stdout", "-v", "en", "-s", str(WORDS_A_MINUTE)],
                input=for_the_ear(text).encode(),
                capture_output=True,
                timeout=DEADLINE,
                check=True,
            )
            data = _as_opus(done.stdout)
        except (OSError, subprocess.SubprocessError, av.FFmpegError, ValueError) as error:
            log.warning("no spoken reply: %s", error)
            return None
        self._folder.mkdir(parents=True, exist_ok=True)
        path = self._folder / "spoken.ogg"
        path.write_bytes(data)
        return path


def _as_opus(wav: bytes) -> bytes:
    """A mono OGG/Opus file, as the chat service wants voice messages."""
    out = io.BytesIO()
    with av.open(io.BytesIO(_with_true_length(wav)), "r") as source, av.open(out, "w", format="ogg") as target:
        stream = target.add_stream("libopus", rate=OPUS_RATE)
        stream.layout = "mono"
        stream.bit_rate = 24_000
        resampler = av.AudioResampler(format="s16", layout="mono", rate=OPUS_RATE)
        fifo = av.AudioFifo()
        for frame in source.decode(audio=0):
            frame.pts = None
            for piece in resampler.resample(frame):
                fifo.write(piece)
        for piece in resampler.resample(None):
            fifo.write(piece)
        while (chunk := fifo.read(960, partial=True)) is not None:
            target.mux(stream.encode(chunk))
        target.mux(stream.encode(None))
    return out.getvalue()


def _with_true_length(wav: bytes) -> bytes:
    """A WAV that was written to a pipe states no length; put the true ones in."""
    at = wav.find(b"data")
    if not wav.startswith(b"RIFF") or at < 0:
        raise ValueError("the engine gave no sound")
    head = wav[:4] + (len(wav) - 8).to_bytes(4, "little") + wav[8 : at + 4]
    return head + (len(wav) - at - 8).to_bytes(4, "little") + wav[at + 8 :]
