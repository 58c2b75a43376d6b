"""The journals of a data folder: which there are, and which changed since they were read."""

from __future__ import annotations

import os
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from coach.core.errors import InputError
from coach.edges.journal_file import SUFFIX
from coach.records.register import Register
from coach.records.register_lines import MarkSet
from coach.records.scoring import marks_crc32

TAIL_BYTES = 64
"""What of a journal's end tells whether it changed."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A journal as it was when it was last read; `refused`: why it gave no attempt, `ended`: the
    session had ended."""

    bytes: int
    tail_crc32: int
    marks_crc32: int
    attempt: str
    refused: str
    ended: bool


def listed(folder: Path) -> dict[str, int]:
    """The names of the journals with their sizes in bytes; none where there is no folder."""
    try:
        with os.scandir(folder) as entries:
            return {
                entry.name: entry.stat().st_size for entry in entries if entry.name.endswith(SUFFIX)
            }
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise InputError(f"{folder} cannot be read ({error.strerror}).") from error


def changed(
    folder: Path,
    sizes: Mapping[str, int],
    seen: Mapping[str, Seen],
    marks: Mapping[str, Sequence[MarkSet]],
) -> set[str]:
    """The names of journals that are new or may give something else than when they were read."""
    return {
        name
        for name, size in sizes.items()
        if (before := seen.get(name)) is None
        or before.refused
        or before.marks_crc32 != marks_crc32(marks.get(before.attempt, ()))
        or _differs(folder / name, size, before)
    }


def grown(folder: Path, seen: Mapping[str, Seen]) -> bool:
    """Whether one of these journals is not as it was when it was read."""
    for name, before in seen.items():
        try:
            size = (folder / name).stat().st_size
        except OSError:
            return True
        if _differs(folder / name, size, before):
            return True
    return False


def _differs(path: Path, size: int, before: Seen) -> bool:
    return before.bytes != size or (
        # Nobody writes to the journal of a session that has ended.
        not before.ended and before.tail_crc32 != _tail_crc32(path)
    )


def by_attempt(register: Register) -> dict[str, list[MarkSet]]:
    """The marks set by hand, by attempt."""
    marks: dict[str, list[MarkSet]] = {}
    for mark in register.marks:
        marks.setdefault(mark.attempt, []).append(mark)
    return marks


def _tail_crc32(path: Path) -> int:
    """Of the last bytes: two texts of one length seldom end alike, as each line ends in its CRC."""
    try:
        with path.open("rb") as file:
            file.seek(-min(TAIL_BYTES, file.seek(0, os.SEEK_END)), os.SEEK_END)
            return zlib.crc32(file.read())
    except OSError:
        return -1
