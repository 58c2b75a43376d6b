"""Files that name learners and lie anywhere: noted when they are written, taken away by a wipe.

The register keeps the whole path, which a digest could not be found by; only its owner reads it,
and it forgets the path with the learner.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from pathlib import Path

from coach.edges.register_file import RegisterFile
from coach.records.register import Register
from coach.records.register_lines import ClassFileWritten, ReportWritten


def note_reports(register: RegisterFile, learner: str, contents: Mapping[Path, bytes]) -> None:
    """Note that these files (reports, calendars) are about to be written about a learner; each is
    noted once.

    Before they are written: a program that is ended in between leaves a note too many, and no file
    that nobody knows of.
    """
    at = register.now()
    new = [
        ReportWritten(at, learner, str(path.absolute()), hashlib.sha256(content).hexdigest())
        for path, content in contents.items()
    ]

    def decide(known: Register) -> list[ReportWritten]:
        there = {(one.learner, one.file, one.sha256) for one in known.reports}
        return [one for one in new if (one.learner, one.file, one.sha256) not in there]

    register.add(decide)


def note_class_file(register: RegisterFile, path: Path, content: bytes) -> None:
    """Note that a file that names everybody is about to be written; each is noted once."""
    sha256 = hashlib.sha256(content).hexdigest()
    new = ClassFileWritten(register.now(), str(path.absolute()), sha256)

    def decide(known: Register) -> list[ClassFileWritten]:
        there = {(one.file, one.sha256) for one in known.class_files}
        return [] if (new.file, new.sha256) in there else [new]

    register.add(decide)


def take_away(
    written: Sequence[ReportWritten | ClassFileWritten],
) -> tuple[int, tuple[str, ...]]:
    """Delete the files that are still as they were written: how many these are, and of the others
    where each should be and why it was left."""
    digests: dict[str, set[str]] = {}
    for one in written:
        digests.setdefault(one.file, set()).add(one.sha256)
    gone, left = 0, list[str]()
    for file, known in digests.items():
        path = Path(file)
        try:
            if path.is_symlink() or hashlib.sha256(path.read_bytes()).hexdigest() not in known:
                left.append(f"{file} (changed since: look at it yourself)")
                continue
            path.unlink()
            gone += 1
        except FileNotFoundError:
            left.append(f"{file} (not there any more: moved, copied or deleted)")
        except OSError as error:
            left.append(f"{file} (cannot be deleted: {error.strerror})")
    return gone, tuple(left)
