"""Sound files by their SHA-256, in a folder beside the record. A file is whole under its name or is not there."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import tempfile
from collections.abc import Iterator
from pathlib import Path

from gloveside.storage.errors import NotFound, Refused, StoreError

_SHA256 = re.compile(r"[0-9a-f]{64}")
_SUFFIX = re.compile(r"\.[a-z0-9]{1,8}")
_CHUNK = 1 << 20


class AudioFiles:
    """The folder `audio`: `ab/abcdef….ogg`, named by what is inside."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def keep(self, sound: bytes | Path, suffix: str = "") -> str:
        """Store a sound and return its SHA-256; one that is there already is not written again.

        sound: the bytes, or a file to copy (left where it is).  suffix: such as `.ogg`; default: that of the file.
        """
        if isinstance(sound, Path) and not suffix:
            suffix = sound.suffix
        suffix = suffix.lower()
        if suffix and not _SUFFIX.fullmatch(suffix):
            suffix = ""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(prefix=".part-", dir=self.folder)
            temporary = Path(name)
            try:
                digest = hashlib.sha256()
                with os.fdopen(handle, "wb") as out:
                    for chunk in _chunks(sound):
                        digest.update(chunk)
                        out.write(chunk)
                    out.flush()
                    os.fsync(out.fileno())
                sha256 = digest.hexdigest()
                if self.find(sha256) is None:
                    target = self.folder / sha256[:2] / f"{sha256}{suffix}"
                    target.parent.mkdir(exist_ok=True)
                    temporary.replace(target)
                    _sync_folder(target.parent)
                return sha256
            finally:
                temporary.unlink(missing_ok=True)
        except OSError as error:
            raise StoreError(
                f"The sound could not be kept: {error}. Free some disk space and send it again."
            ) from error

    def find(self, sha256: str) -> Path | None:
        """The file with this content, or None."""
        if not _SHA256.fullmatch(sha256):
            raise Refused(f"{sha256!r} is no SHA-256.")
        return next(iter(sorted((self.folder / sha256[:2]).glob(f"{sha256}*"))), None)

    def path(self, sha256: str) -> Path:
        """The file with this content. Raises NotFound."""
        found = self.find(sha256)
        if found is None:
            raise NotFound(f"The sound {sha256[:12]}… is not in {self.folder}. Restore it from a backup.")
        return found

    def all(self) -> Iterator[tuple[str, Path]]:
        """(SHA-256 by name, file) of every sound, in order."""
        for path in sorted(self.folder.glob("??/*")):
            if _SHA256.fullmatch(path.stem):
                yield path.stem, path

    def damaged(self) -> list[Path]:
        """Files whose content is not what their name says."""
        return [path for sha256, path in self.all() if file_sha256(path) != sha256]


def file_sha256(path: Path) -> str:
    """SHA-256 of a file's content, in hexadecimal."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _chunks(sound: bytes | Path) -> Iterator[bytes]:
    if isinstance(sound, bytes):
        yield sound
        return
    with sound.open("rb") as stream:
        while chunk := stream.read(_CHUNK):
            yield chunk


def _sync_folder(folder: Path) -> None:
    """Make the new name outlive a power cut, where the platform can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
