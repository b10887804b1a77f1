"""Takes in a folder of recordings (a memory card, a shared folder): each once, dated by its own time, in order."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Literal, Protocol
from zoneinfo import ZoneInfo

import av

from gloveside.bot.messages import Incoming, Reply
from gloveside.storage.audio_files import file_sha256
from gloveside.storage.store import Store

SUFFIXES = frozenset(
    {".ogg", ".oga", ".opus", ".mp3", ".m4a", ".mp4", ".aac", ".wav", ".flac", ".wma", ".amr", ".3gp", ".aif", ".aiff"}
    | {".webm", ".mka", ".caf", ".dss", ".ds2"}
)
Progress = Callable[[int, int, str], None]
"""Called with the number done, the number of all, and the name of the file in work."""
DatedBy = Literal["name", "metadata", "file time"]
_EARLIEST = datetime(2005, 1, 1, tzinfo=UTC)
"""A recorder whose clock was never set starts in some earlier year: such a time says nothing."""
_NEAR = timedelta(hours=2)
_AHEAD = timedelta(hours=26)
"""How far ahead of our clock a recording may be (another zone, a fast clock) and still be believed."""

_YEAR = r"(?P<year>20\d\d)"
_LONG = re.compile(
    rf"(?<!\d){_YEAR}[-_. ]?(?P<month>[01]\d)[-_. ]?(?P<day>[0-3]\d)"
    r"(?:(?:[-_. T]| at ){0,3}(?P<hour>[0-2]\d)[-_.:h ]?(?P<minute>[0-5]\d)(?:[-_.:m ]?(?P<second>[0-5]\d))?)?(?!\d)"
)
_SHORT = re.compile(
    r"(?<!\d)(?P<year>[2-4]\d)(?P<month>[01]\d)(?P<day>[0-3]\d)[-_ ]"
    r"(?P<hour>[0-2]\d)(?P<minute>[0-5]\d)(?P<second>[0-5]\d)?(?!\d)"
)


class Conversation(Protocol):
    """Hears one recording; see `gloveside.bot.chat.port`."""

    def hear(self, said: Incoming) -> Reply:
        """Answer."""
        ...


@dataclass(frozen=True, slots=True)
class Recording:
    """One sound file. at: when it was recorded, aware; sha256: of its content."""

    path: Path
    sha256: str
    at: datetime
    dated_by: DatedBy


@dataclass(slots=True)
class Summary:
    """What came of a folder. taken: (recording, reply), in order of recording; known: files whose content was there."""

    taken: list[tuple[Recording, Reply]] = field(default_factory=list)
    known: int = 0
    unreadable: list[tuple[Path, str]] = field(default_factory=list)


def recorded_at(path: Path, zone: ZoneInfo, now: datetime) -> tuple[datetime, DatedBy]:
    """When a file was recorded: by its name, else its metadata, else the file's own time.

    Times without a zone are local. A name with a date but no time takes the time of day from the metadata or the file
    where they are of the same local date, else noon. Four digits after a date may be a time or a counter: a time unless
    the metadata or the file, of the same date, are more than two hours away. What cannot be true (before 2005, ahead of
    now) is passed over.
    """
    others: list[tuple[datetime, DatedBy]] = []
    if (tagged := _by_metadata(path, zone)) is not None and _believable(tagged, now):
        others.append((tagged, "metadata"))
    changed = datetime.fromtimestamp(path.stat().st_mtime, UTC)
    others.append((min(changed, now), "file time"))
    named = _by_name(path.stem)
    if named is not None:
        at = named.moment(zone, [at for at, _ in others])
        if _believable(at, now):
            return min(at, now), "name"
    return others[0]


@dataclass(frozen=True, slots=True)
class _Named:
    """What a file's name says: a local date, and a time of day where there is one. sure: the time has seconds."""

    day: date
    clock: time | None
    sure: bool

    def moment(self, zone: ZoneInfo, others: Sequence[datetime]) -> datetime:
        same_day = next((at for at in others if at.astimezone(zone).date() == self.day), None)
        if self.clock is not None:
            at = datetime.combine(self.day, self.clock, zone).astimezone(UTC)
            counter = self.clock.hour == 0 if same_day is None else abs(at - same_day) > _NEAR
            if self.sure or not counter:
                return at
        return same_day or datetime.combine(self.day, time(12), zone).astimezone(UTC)


def _believable(at: datetime, now: datetime) -> bool:
    return _EARLIEST <= at <= now + _AHEAD


def _by_name(stem: str) -> _Named | None:
    for pattern, century in ((_LONG, 0), (_SHORT, 2000)):
        for match in pattern.finditer(stem):
            part = {key: int(value) for key, value in match.groupdict().items() if value is not None}
            try:
                day = date(part["year"] + century, part["month"], part["day"])
                clock = time(part["hour"], part["minute"], part.get("second", 0)) if "hour" in part else None
            except ValueError:
                continue
            return _Named(day, clock, "second" in part)
    return None


def _by_metadata(path: Path, zone: ZoneInfo) -> datetime | None:
    try:
        with av.open(str(path), "r") as container:
            tags = dict(container.metadata)
            for stream in container.streams:
                tags = dict(stream.metadata) | tags
    except (OSError, av.FFmpegError, ValueError):
        return None
    for name in ("creation_time", "com.apple.quicktime.creationdate", "date", "DATE", "ICRD"):
        text = tags.get(name, "").strip()
        if len(text) < len("2026-11-20T14:32"):
            continue
        try:
            at = datetime.fromisoformat(text.replace("Z", "+00:00"))
        except ValueError:
            continue
        return (at if at.tzinfo else at.replace(tzinfo=zone)).astimezone(UTC)
    return None


@dataclass(slots=True)
class TakeIn:
    """Takes recordings into one record. chat, user: numbers under which the notes are kept."""

    store: Store
    conversation: Conversation
    zone: ZoneInfo
    chat: int = 0
    user: int = 0
    _unsettled: dict[Path, tuple[int, int]] = field(default_factory=dict)

    def find(self, folder: Path, summary: Summary, *, settled_only: bool = False) -> list[Recording]:
        """New recordings below a folder, oldest first. Counts those known; lists those that cannot be opened.

        settled_only: leave out files that have changed since the last call, or are seen for the first time: somebody
        may still be copying them.
        """
        found: dict[str, Recording] = {}
        now = self.store.file.clock()
        for path in sorted(_sound_files(folder)):
            try:
                state = path.stat()
                if settled_only and self._unsettled.get(path) != (state.st_size, state.st_mtime_ns):
                    self._unsettled[path] = (state.st_size, state.st_mtime_ns)
                    continue
                sha256 = file_sha256(path)
                note = self.store.notes.by_audio(sha256)
                if sha256 in found or (note is not None and note.state != "new"):
                    summary.known += 1
                    continue
                at, how = recorded_at(path, self.zone, now)
            except OSError as error:
                summary.unreadable.append((path, error.strerror or str(error)))
                continue
            found[sha256] = Recording(path, sha256, at, how)
        return sorted(found.values(), key=lambda r: (r.at, r.path.name))

    def take(self, recordings: Sequence[Recording], summary: Summary, progress: Progress | None = None) -> None:
        """Have each recording heard, in order. Stopping in between loses nothing: the rest is new the next time."""
        for number, recording in enumerate(recordings):
            if progress is not None:
                progress(number, len(recordings), recording.path.name)
            reply = self.conversation.hear(
                Incoming(
                    chat=self.chat,
                    user=self.user,
                    message_id=message_number(recording.sha256),
                    spoken_at=recording.at,
                    received_at=self.store.file.clock(),
                    audio=recording.path,
                )
            )
            summary.taken.append((recording, reply))
        if progress is not None and recordings:
            progress(len(recordings), len(recordings), "")

    def folder(self, folder: Path, progress: Progress | None = None) -> Summary:
        """Take in everything new below a folder. Raises NotADirectoryError with a sentence when there is none."""
        summary = Summary()
        self.take(self.find(_checked(folder), summary), summary, progress)
        return summary

    def watch(self, folder: Path, pause: Callable[[], bool], told: Callable[[Summary], None]) -> None:
        """Look again and again, as long as `pause` (which waits a while) says so; `told` gets what each look brought.

        A file is taken when two looks in a row find it unchanged. A folder that is gone for a while (a card taken out)
        is waited for.
        """
        _checked(folder)
        while True:
            summary = Summary()
            if folder.is_dir():
                self.take(self.find(folder, summary, settled_only=True), summary)
            if summary.taken:
                told(summary)
            if not pause():
                return


def _checked(folder: Path) -> Path:
    if not folder.is_dir():
        raise NotADirectoryError(f"{folder} is no folder. Put the card in, or check the name, and try again.")
    return folder


def message_number(sha256: str) -> int:
    """A message number for a recording: the same content is the same message, so it is kept once (52 bits)."""
    return int(sha256[:13], 16)


def _sound_files(folder: Path) -> Iterator[Path]:
    for path in folder.rglob("*"):
        hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
        if path.suffix.lower() in SUFFIXES and not hidden and path.is_file():
            yield path
