"""One file a session: every event is on the disk before it acts, and none is ever taken out again.

The file grows line by line (see `coach.session.journal_lines`). Its first line is JournalOpened,
its last, once the session has ended, JournalClosed; a file without that is unfinished. Words and
readings are kept, sound never.
"""

from __future__ import annotations

import contextlib
import errno
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from io import FileIO
from pathlib import Path
from types import TracebackType

from filelock import FileLock, Timeout

from coach.core.errors import InputError, MissingError
from coach.dialogue.events import Event
from coach.edges.folders import DATA_VARIABLE
from coach.edges.lasting import flush as _flush
from coach.edges.lasting import flush_folder as _flush_folder
from coach.edges.lasting import make_owned_folder, open_owned
from coach.session.journal_contents import JournalContents, decode_bytes, scan
from coach.session.journal_lines import JournalClosed, JournalOpened, LineError, Record, encode
from coach.session.student_events import StudentEvent

SUFFIX = ".journal.jsonl"
"""How the name of every journal ends."""

TORN_SUFFIX = ".torn"
"""Added to a journal's name for the file that keeps half-written lines cut off its end."""

_TAIL_BYTES = 4096
"""Enough of a file's end to hold a JournalClosed line, which takes about 100 bytes."""


class NotRecordedError(MissingError):
    """The disk takes nothing more: what was recorded before is kept, what comes now is not."""


class InUseError(InputError):
    """A session is being recorded in the journal by another program."""


@dataclass(frozen=True, slots=True)
class JudgedBy:
    """What an attempt will always be judged by, and its lasting id: see JournalOpened."""

    attempt: str
    skill_sha256: str
    rule: str


class JournalFile:
    """A journal open for writing; it is locked until closed, so no other program writes it."""

    def __init__(self, path: Path, file: FileIO, lock: FileLock, sequence: int) -> None:
        """For `create` and `resume`, which open the file: `sequence` numbers the next line."""
        self.path = path
        self._file = file
        self._lock = lock
        self._sequence = sequence
        self._length = file.seek(0, os.SEEK_END)

    @classmethod
    def create(
        cls,
        folder: Path,
        skill: str,
        started: datetime,
        program: str,
        judged_by: JudgedBy | None = None,
    ) -> JournalFile:
        """A new journal in `folder` (made if need be), named by the wall clock and the skill.

        `judged_by` is what the attempt is to be judged by.

        InputError for a folder that cannot be written, MissingError for a full disk.
        """
        make_folder(folder)
        with _writing_in(folder):
            path, lock = _free_name(folder, f"{started:%Y-%m-%dT%H-%M-%S}-{_slug(skill)}")
            try:
                journal = cls(path, FileIO(path, "x", opener=open_owned), lock, sequence=0)
            except OSError:
                lock.release()
                raise
        try:
            opened = JournalOpened(skill, started.isoformat(timespec="seconds"), program)
            if judged_by is not None:
                opened = replace(
                    opened,
                    attempt=judged_by.attempt,
                    skill_sha256=judged_by.skill_sha256,
                    rule=judged_by.rule,
                )
            journal._write(opened)
            _flush_folder(folder)
        except BaseException:
            journal.close()
            path.unlink()
            raise
        return journal

    @classmethod
    def resume(cls, path: Path) -> tuple[JournalFile, JournalContents]:
        """An unfinished journal, opened to go on, and what it held.

        A torn last line is moved to a file beside it first. InputError, with the file left as it
        is, for a journal that is damaged, ended, in use or not to be written.
        """
        with _writing_in(path.parent):
            lock = _lock_of(path)
            try:
                lock.acquire()
            except Timeout:
                raise InUseError(
                    f"{path} is in use by another session. End that one, or start a new session."
                ) from None
            try:
                data = _bytes_of(path)
                contents = scan(str(path), data)
                if contents.refusal:
                    place = "" if contents.problems else f"{path}: "
                    raise InputError(place + contents.refusal)
                _mend(path, data, contents)
                journal = cls(path, path.open("r+b", buffering=0), lock, len(contents.events) + 1)
            except BaseException:
                lock.release()
                raise
        return journal, contents

    def append(self, event: Event | StudentEvent) -> None:
        """Write one event; returns only when it is safe on the disk.

        NotRecordedError if the disk is full or fails; the journal is then as it was before, and the
        event may be appended again.
        """
        self._write(event)

    def finish(self, ended: datetime) -> None:
        """Write that the session has ended (wall clock), and close."""
        self._write(JournalClosed(ended.isoformat(timespec="seconds")))
        self.close()
        # Nobody opens an ended journal for writing again, so its lock file has served.
        Path(self._lock.lock_file).unlink(missing_ok=True)

    def close(self) -> None:
        """Release the file; a session that was not finished can be resumed."""
        self._file.close()
        self._lock.release()

    def __enter__(self) -> JournalFile:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _write(self, record: Record) -> None:
        data = f"{encode(record, self._sequence)}\n".encode("ascii")
        try:
            self._cut_back()
            written = 0
            while written < len(data):
                written += self._file.write(data[written:])
            _flush(self._file)
        except OSError as error:
            # If this fails too, the next write tries it again, and a reader sees a torn line.
            with contextlib.suppress(OSError):
                self._cut_back()
            raise NotRecordedError(
                f"The session cannot be recorded in {self.path} ({error.strerror}). "
                f"Free some space, or set {DATA_VARIABLE} to a folder on another disk."
            ) from error
        self._length += len(data)
        self._sequence += 1

    def _cut_back(self) -> None:
        """Leave only what was acknowledged, if an earlier write failed half-way."""
        if self._file.seek(0, os.SEEK_END) != self._length:
            self._file.truncate(self._length)
            self._file.seek(self._length)


def make_folder(folder: Path) -> None:
    """Make the folder of the journals; InputError if nothing can be written in it."""
    with _writing_in(folder):
        make_owned_folder(folder)
        if not os.access(folder, os.W_OK | os.X_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


def read_journal(path: Path) -> JournalContents:
    """What a journal holds; the file is not touched. InputError if it cannot be read at all."""
    return scan(str(path), _bytes_of(path))


def unfinished(folder: Path, skill: str) -> Path | None:
    """The newest session of the skill that has not ended and is in nobody's use, or None.

    A damaged journal counts as unfinished, so that its damage is told and not passed over; one
    that broke off before its first line was whole holds nothing and does not count.
    """
    for path in _newest_first(folder, skill):
        if has_ended(path) or _in_use(path):
            continue
        contents = read_journal(path)
        if contents.drilled:
            continue  # a drill with a student is not gone on with
        damaged = contents.header is None and contents.problems
        if damaged or (contents.header is not None and contents.header.skill == skill):
            return path
    return None


def _slug(skill: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", skill.lower()).strip("-") or "session"


def _free_name(folder: Path, name: str) -> tuple[Path, FileLock]:
    """A path that no journal has yet, and its lock, held."""
    number = 1
    while True:
        path = folder / f"{name}{f'-{number}' if number > 1 else ''}{SUFFIX}"
        lock = _lock_of(path)
        if not path.exists():
            with contextlib.suppress(Timeout):
                lock.acquire()
                if not path.exists():
                    return path, lock
                lock.release()
        number += 1


def _newest_first(folder: Path, skill: str) -> list[Path]:
    """Journals that may be of the skill; of one second, the higher number is the newer."""
    paths = folder.glob(f"????-??-??T??-??-??-{_slug(skill)}*{SUFFIX}")
    return sorted(paths, key=lambda path: (path.name[:19], len(path.name), path.name), reverse=True)


def has_ended(path: Path) -> bool:
    """Whether the last line of a journal is its end; reads the end of the file only."""
    with _reading(path), path.open("rb") as file:
        file.seek(max(0, file.seek(0, os.SEEK_END) - _TAIL_BYTES))
        last = file.read().removesuffix(b"\n").rpartition(b"\n")[2]
    try:
        return isinstance(decode_bytes(last)[1], JournalClosed)
    except LineError:
        return False


def _lock_of(path: Path) -> FileLock:
    # The lock of the operating system goes with the process, even one that was killed.
    return FileLock(f"{path}.lock", timeout=0, thread_local=False)


@contextlib.contextmanager
def held(path: Path) -> Iterator[None]:
    """Nobody records in the journal meanwhile; InUseError while somebody does."""
    lock = _lock_of(path)
    begun = not Path(lock.lock_file).exists()
    try:
        lock.acquire()
    except Timeout:
        raise InUseError(f"{path} is being recorded just now: end that session first.") from None
    try:
        yield
    finally:
        lock.release()
        if begun:
            Path(lock.lock_file).unlink(missing_ok=True)


def _in_use(path: Path) -> bool:
    if not Path(_lock_of(path).lock_file).exists():
        return False
    try:
        with held(path):
            return False
    except InUseError:
        return True
    except OSError:
        # A lock that may not be taken for another reason is told when the session is resumed.
        return False


@contextlib.contextmanager
def _reading(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}).") from error


@contextlib.contextmanager
def _writing_in(folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise InputError(
            f"Sessions cannot be recorded in the folder {folder} ({error.strerror}). "
            f"Make it writable, or set {DATA_VARIABLE} to another folder."
        ) from error


def _bytes_of(path: Path) -> bytes:
    with _reading(path):
        return path.read_bytes()


def _mend(path: Path, data: bytes, contents: JournalContents) -> None:
    """Make the next line start on its own: what is torn moves to a file beside the journal."""
    torn = data[contents.sound_bytes :]
    if torn:
        # Kept first and cut off second: a crash in between leaves it twice, never lost.
        with FileIO(path.with_name(path.name + TORN_SUFFIX), "a", opener=open_owned) as kept:
            kept.write(torn.rstrip(b"\n") + b"\n")
            _flush(kept)
        _flush_folder(path.parent)
    with path.open("r+b", buffering=0) as file:
        file.truncate(contents.sound_bytes)
        file.seek(contents.sound_bytes)
        if not data[: contents.sound_bytes].endswith(b"\n"):
            file.write(b"\n")
        _flush(file)
