"""The register on the disk: learners' names, certificates and marks set by hand.

One line is one record (see `coach.records.register_lines`), only ever added to but for a wipe.
Names stand nowhere else. Several programs may write at once: each holds the lock while it does.
"""

from __future__ import annotations

import contextlib
import os
import uuid
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime
from io import FileIO
from pathlib import Path

from filelock import FileLock, Timeout

from coach.core.errors import InputError, MissingError
from coach.edges.folders import DATA_VARIABLE, user_data_folder
from coach.edges.lasting import (
    flush,
    flush_folder,
    make_owned_folder,
    open_owned,
    replace_owned,
)
from coach.records.register import Register, check_new_name, register_of
from coach.records.register_contents import RegisterContents, register_bytes, scan_register
from coach.records.register_lines import (
    REGISTER_LINES,
    LearnerAdded,
    RegisterOpened,
    RegisterRecord,
)

FILE = "register.jsonl"

TORN_SUFFIX = ".torn"
"""Added to the register's name for the file that keeps half-written lines cut off its end."""

_WAIT_SECONDS = 10.0
"""Longest wait for another program that writes; a write takes milliseconds."""

_LOOKS_SECONDS = 0.002
"""Between looks at the lock, less than a write takes: who writes much keeps nobody out."""

Decide = Callable[[Register], Sequence[RegisterRecord]]
"""From the register as it is, the records to add; it may raise, and then nothing is added."""

Remake = Callable[[tuple[RegisterRecord, ...]], Sequence[RegisterRecord]]
"""From all records, those to keep."""


class RegisterFile:
    """The register at `path`; `now` gives the wall clock with its offset."""

    def __init__(self, path: Path, now: Callable[[], datetime] | None = None) -> None:
        self.path = path
        self._now = now or (lambda: datetime.now().astimezone())

    @classmethod
    def of(cls, environ: Mapping[str, str]) -> RegisterFile:
        """The register in the data folder."""
        return cls(user_data_folder(environ) / FILE)

    def now(self) -> str:
        """The wall clock as records have it."""
        return self._now().isoformat(timespec="seconds")

    def read(self) -> Register:
        """What the register holds; an empty one where there is none.

        InputError for one that cannot be read or is damaged, with every damaged line.
        """
        return register_of(self.contents().records)

    def contents(self) -> RegisterContents:
        """As `read`, line by line."""
        contents = scan_register(str(self.path), self.content())
        if contents.problems:
            found = "\n".join(map(str, contents.problems))
            raise InputError(
                f"{found}\nThe register is left as it is. Put back one that was saved "
                "(coach records restore), or move it away to begin a new one."
            )
        return contents

    def learner_named(self, name: str) -> str | None:
        """The id of the learner called so (name, name with note in brackets, or id), or None.

        InputError where several people have that name.
        """
        learner = self.read().named(name)
        return learner.id if learner else None

    def add_learner(self, name: str, note: str = "") -> str:
        """Add a learner, and give the new id; InputError for a name that is taken or none."""
        learner = uuid.uuid4().hex

        def added(register: Register) -> Sequence[RegisterRecord]:
            return (LearnerAdded(self.now(), learner, *check_new_name(register, name, note)),)

        self.add(added)
        return learner

    def add(self, decide: Decide) -> Register:
        """Add what `decide` says of the register as it is, nobody else writing meanwhile.

        It is begun if there is none, even if there is nothing to add.

        Returns what the register is then, once that is safe on the disk. InputError where it is
        damaged, in use for long, or not to be written; MissingError for a full disk.
        """
        with self._locked():
            contents = self.contents()
            records = contents.records
            if not records:
                records = (RegisterOpened(self.now(), uuid.uuid4().hex),)
            new = tuple(decide(register_of(records)))
            if new or not contents.records:
                self._append((*records, *new), len(contents.records), contents.torn)
            return register_of((*records, *new))

    def rewrite(self, remade: Remake) -> Register:
        """Write the register anew with the records that `remade` makes of those there.

        What was half written is dropped too: this is for wiping, which must leave nothing.
        """
        with self._locked():
            before = self.contents().records
            records = tuple(remade(before))
            with self._writing():
                if before:
                    replace_owned(self.path, register_bytes(records))
                self._torn.unlink(missing_ok=True)
            return register_of(records)

    @property
    def _torn(self) -> Path:
        return self.path.with_name(self.path.name + TORN_SUFFIX)

    def content(self) -> bytes:
        """The file as it is; nothing where there is none."""
        try:
            return self.path.read_bytes()
        except FileNotFoundError:
            return b""
        except OSError as error:
            raise InputError(f"{self.path} cannot be read ({error.strerror}).") from error

    def _append(self, records: tuple[RegisterRecord, ...], first: int, torn: bytes) -> None:
        """Write the records from the number `first` on; what was torn is set aside before."""
        lines = "".join(
            f"{REGISTER_LINES.encode(record, number)}\n"
            for number, record in enumerate(records[first:], start=first)
        ).encode("ascii")
        with self._writing():
            if torn:
                # Kept first and cut off second: a crash in between leaves it twice, never lost.
                with FileIO(self._torn, "a", opener=open_owned) as kept:
                    kept.write(torn.rstrip(b"\n") + b"\n")
                    flush(kept)
            created = not self.path.exists()
            with FileIO(self.path, "a+", opener=open_owned) as file:
                length = file.seek(0, os.SEEK_END) - len(torn)
                file.truncate(length)
                try:
                    self._write(file, lines, length)
                except OSError:
                    with contextlib.suppress(OSError):
                        file.truncate(length)
                    raise
            if created:
                flush_folder(self.path.parent)

    @staticmethod
    def _write(file: FileIO, lines: bytes, length: int) -> None:
        if length:
            file.seek(length - 1)
            lines = lines if file.read(1) == b"\n" else b"\n" + lines
        view = memoryview(lines)
        while view:
            view = view[file.write(view) :]
        flush(file)

    @contextlib.contextmanager
    def _locked(self) -> Iterator[None]:
        lock = FileLock(f"{self.path}.lock", timeout=_WAIT_SECONDS, mode=0o600)
        try:
            make_owned_folder(self.path.parent)
            lock.acquire(poll_interval=_LOOKS_SECONDS)
        except Timeout:
            raise InputError(
                f"{self.path} is being written by another program: try again when it has ended."
            ) from None
        except OSError as error:
            raise InputError(
                f"The register cannot be written in {self.path.parent} ({error.strerror}). "
                f"Make it writable, or set {DATA_VARIABLE} to another folder."
            ) from error
        try:
            yield
        finally:
            lock.release()

    @contextlib.contextmanager
    def _writing(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            raise MissingError(
                f"{self.path} cannot be written ({error.strerror}). "
                f"Free some space, or set {DATA_VARIABLE} to a folder on another disk."
            ) from error
