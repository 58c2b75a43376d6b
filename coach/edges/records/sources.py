"""The journals of a data folder as the records read them: what changed, and what is in each."""

from __future__ import annotations

import os
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from coach.core.errors import CoachError, InputError
from coach.edges.journal_file import SUFFIX
from coach.records.register import Register
from coach.records.register_lines import MarkSet
from coach.records.rows import AttemptRows, attempt_rows, stored
from coach.records.scoring import (
    Scorer,
    learner_of,
    marks_crc32,
    refusal_of,
    scored,
)
from coach.records.student_drills import StudentDrill, student_drill_of
from coach.session.journal_contents import scan

_TAIL_BYTES = 64


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


@dataclass(frozen=True, slots=True)
class ReadJournal:
    """A journal that was read; `rows` is None where `seen.refused` says why, or where it holds a
    `drill` with a student who makes mistakes."""

    name: str
    seen: Seen
    rows: AttemptRows | None
    drill: StudentDrill | None = None


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


def read(
    path: Path, register: Register, marks: Mapping[str, Sequence[MarkSet]], score: Scorer
) -> ReadJournal:
    """A journal and the rows it gives."""
    try:
        data = path.read_bytes()
    except OSError as error:
        return ReadJournal(path.name, Seen(0, 0, 0, "", f"{error.strerror}.", False), None)
    contents = scan(path.name, data)
    attempt = contents.attempt
    by_hand = marks.get(attempt, ())
    learner = register.known_by(learner_of(contents))
    drill = None if contents.problems else student_drill_of(contents)
    rows, ended = None, contents.closed is not None
    refused = "" if drill else refusal_of(contents)
    if not refused and any(register.is_wiped(one) for one in (learner, learner_of(contents))):
        refused = "Its learner was wiped."
    if not refused and drill is None:
        try:
            result, coachs = scored(contents, by_hand, score)
            rows = attempt_rows(result, coachs, learner, ended, len(contents.events))
        except CoachError as error:
            refused = str(error)
    seen = Seen(
        len(data),
        zlib.crc32(data[-_TAIL_BYTES:]),
        marks_crc32(by_hand),
        attempt,
        stored(refused),
        ended,
    )
    kept = replace(drill, learner=learner) if drill and not refused else None
    return ReadJournal(path.name, seen, rows, kept)


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
            file.seek(-min(_TAIL_BYTES, file.seek(0, os.SEEK_END)), os.SEEK_END)
            return zlib.crc32(file.read())
    except OSError:
        return -1
