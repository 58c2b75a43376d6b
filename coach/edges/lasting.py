"""Files that last through a power cut, and that only their owner reads."""

from __future__ import annotations

import contextlib
import os
import sys
from io import FileIO
from pathlib import Path

OWNER_ONLY_FILE = 0o600
OWNER_ONLY_FOLDER = 0o700


def open_owned(path: str, flags: int) -> int:
    """An opener: what it makes is for its owner only."""
    return os.open(path, flags, OWNER_ONLY_FILE)


def make_owned_folder(folder: Path) -> None:
    """Make the folder and those above it where there are none, for their owner only.

    So the XDG Base Directory Specification has it for folders made on the way to a user's file.
    """
    if not folder.exists():
        make_owned_folder(folder.parent)
        folder.mkdir(OWNER_ONLY_FOLDER, exist_ok=True)


def replace_owned(path: Path, content: bytes, draft: str = ".new") -> None:
    """Write the whole file anew, for its owner only; after a crash it is the old one or the new.

    `draft` is what the name of the file has more while it is written: programs that may write one
    file at once need each their own.
    """
    half = path.with_name(path.name + draft)
    half.unlink(missing_ok=True)
    with FileIO(half, "x", opener=open_owned) as file:
        view = memoryview(content)
        while view:
            view = view[file.write(view) :]
        flush(file)
    half.replace(path)
    flush_folder(path.parent)


def flush(file: FileIO) -> None:
    """Return only when what was written is on the disk."""
    os.fsync(file.fileno())
    if sys.platform == "darwin":
        import fcntl

        # There fsync may leave the data in the drive's own memory; not every disk can do more.
        with contextlib.suppress(OSError):
            fcntl.fcntl(file.fileno(), fcntl.F_FULLFSYNC)


def flush_folder(folder: Path) -> None:
    """Make a new name in the folder last through a power cut; only POSIX opens folders."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
