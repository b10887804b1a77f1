"""Turn whatever a phone hands over into 16 kHz mono samples, whole or piece by piece."""

from __future__ import annotations

import contextlib
import io
from collections.abc import Iterator
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from gloveside.speech.transcript import Audio, AudioUnreadable

if TYPE_CHECKING:
    import av

RATE = 16_000
LONGEST_MINUTES = 75.0
PIECE_SECONDS = 60.0
# A file that goes on failing after so many broken packets in a row is given up; a few are common in cut recordings.
BROKEN_IN_A_ROW = 200

Source = Path | str | bytes | IO[bytes]

SEND_AGAIN = "Send it as a voice note, or as an OGG, MP3, M4A or WAV file."


def decode(source: Source, *, longest_minutes: float = LONGEST_MINUTES, name: str = "") -> Audio:
    """Decode a whole recording: any container and codec that PyAV reads, from a path, bytes or an open binary file.

    A cut-off file gives its first part. Takes 3.8 MB a minute; `pieces` keeps that constant for long recordings.
    Raises AudioUnreadable with a sentence: nothing there, no sound in it, not a recording, longer than the limit.
    """
    blocks = list(_blocks(source, longest_minutes, name))
    samples = np.empty(sum(map(len, blocks)), np.float32)
    end = len(samples)
    while blocks:  # from the back, each block given up as soon as it is copied
        block = blocks.pop()
        samples[end - len(block) : end] = _floats(block)
        end -= len(block)
    return Audio(samples, _name_of(source, name))


def pieces(
    source: Source, *, longest_minutes: float = LONGEST_MINUTES, seconds: float = PIECE_SECONDS, name: str = ""
) -> Iterator[Audio]:
    """Decode a recording piece by piece, each of `seconds` (the last one shorter), so that memory does not grow.

    The pieces follow each other without gap or overlap. Raises like `decode`, at the latest where the limit is passed.
    """
    size, label = max(1, round(seconds * RATE)), _name_of(source, name)
    held: list[npt.NDArray[np.int16]] = []
    count = 0
    for block in _blocks(source, longest_minutes, name):
        held.append(block)
        count += len(block)
        while count >= size:
            whole = np.concatenate(held)
            yield Audio(_floats(whole[:size]), label)
            held, count = [whole[size:].copy()], count - size
    if count:
        yield Audio(_floats(np.concatenate(held)), label)


def _floats(block: npt.NDArray[np.int16]) -> npt.NDArray[np.float32]:
    return block.astype(np.float32) / np.float32(32768.0)


def _name_of(source: Source, name: str) -> str:
    return name or (Path(source).name if isinstance(source, str | Path) else "")


def _blocks(source: Source, longest_minutes: float, name: str) -> Iterator[npt.NDArray[np.int16]]:
    """16-bit samples at 16 kHz, mono, a packet or so at a time; checks everything that can be wrong with a file."""
    label = _name_of(source, name) or "The recording"
    total = 0
    with _opened(source, label) as file:
        if not file.read(1):
            raise AudioUnreadable(f"{label} is empty: nothing was recorded. Record it again and send it once more.")
        file.seek(0)
        with _container(file, label) as container:
            stream = next(iter(container.streams.audio), None)
            if stream is None:
                raise AudioUnreadable(f"{label} holds no sound, only a picture or other data. {SEND_AGAIN}")
            _refuse_long(_announced(container, stream), longest_minutes, label)
            for block in _resampled(container, stream, label):
                total += len(block)
                _refuse_long(total / RATE, longest_minutes, label)
                yield block
    if not total:
        raise AudioUnreadable(f"{label} holds no sound that can be played. Record it again; {_lower(SEND_AGAIN)}")


@contextlib.contextmanager
def _opened(source: Source, label: str) -> Iterator[IO[bytes]]:
    """The source as a seekable binary file. A path is opened here, so that it is never taken for an address."""
    if isinstance(source, bytes):
        yield io.BytesIO(source)
    elif isinstance(source, str | Path):
        try:
            file = Path(source).open("rb")  # noqa: SIM115 (closed below; only the opening is guarded)
        except FileNotFoundError as error:
            raise AudioUnreadable(f"There is no file {source}. Check its name and folder.") from error
        except OSError as error:
            trouble = error.strerror or str(error)
            raise AudioUnreadable(
                f"{label} cannot be opened: {trouble}. Check that it is a file you may read."
            ) from error
        with file:
            yield file
    else:
        yield source


@contextlib.contextmanager
def _container(file: IO[bytes], label: str) -> Iterator[av.container.InputContainer]:
    import av

    try:
        # Play lists may name other files and addresses: nothing but the file in hand is ever opened.
        container = av.open(file, mode="r", metadata_errors="ignore", options={"protocol_whitelist": "none"})
    except (av.error.FFmpegError, OSError, ValueError, IndexError) as error:
        raise AudioUnreadable(f"{label} is not a recording that I can read. {SEND_AGAIN}") from error
    with container:
        yield container


def _announced(container: av.container.InputContainer, stream: Any) -> float:
    """Length in seconds as the file states it; 0 where it does not."""
    if stream.duration is not None and stream.time_base is not None:
        return float(stream.duration * stream.time_base)
    return float(container.duration or 0) / 1_000_000


def _refuse_long(seconds: float, longest_minutes: float, label: str) -> None:
    if seconds > longest_minutes * 60:
        raise AudioUnreadable(
            f"{label} is longer than {longest_minutes:g} minutes, the most I take at once. "
            "Cut it into shorter parts and send them one after the other."
        )


def _resampled(container: av.container.InputContainer, stream: Any, label: str) -> Iterator[npt.NDArray[np.int16]]:
    import av

    resampler, shape = None, None
    for frame in _frames(container, stream, label):
        frame.pts = None  # gaps in the time stamps must not reach the resampler as jumps
        now = (frame.format.name, frame.layout.name, frame.sample_rate)
        if now != shape:  # a chained file may change its rate or channels on the way
            if resampler is not None:
                yield from _samples(resampler, None)
            resampler, shape = av.AudioResampler(format="s16", layout="mono", rate=RATE), now
        yield from _samples(resampler, frame)
    if resampler is not None:
        yield from _samples(resampler, None)


def _samples(resampler: Any, frame: Any) -> Iterator[npt.NDArray[np.int16]]:
    for out in resampler.resample(frame):
        if out.samples:
            yield out.to_ndarray().reshape(-1)


def _frames(container: av.container.InputContainer, stream: Any, label: str) -> Iterator[Any]:
    import av

    frames = container.decode(stream)
    broken = 0
    while True:
        try:
            frame = next(frames)
        except StopIteration:
            return
        except av.error.EOFError:
            return
        except (av.error.FFmpegError, OSError, ValueError) as error:
            broken += 1
            frames = container.decode(stream)
            if broken > BROKEN_IN_A_ROW:
                raise AudioUnreadable(f"{label} is damaged and cannot be played. Record it again.") from error
        else:
            broken = 0
            yield frame


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
