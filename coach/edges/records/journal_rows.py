"""What the records take out of a journal."""

from __future__ import annotations

import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from coach.core.errors import CoachError
from coach.edges.records.journals_seen import TAIL_BYTES, Seen
from coach.records.register import Register
from coach.records.register_lines import MarkSet
from coach.records.rows import AttemptRows, attempt_rows, stored
from coach.records.scoring import Scorer, learner_of, marks_crc32, refusal_of, scored
from coach.records.student_drill_journals import student_drill_of
from coach.records.student_drills import StudentDrill
from coach.session.journal_contents import scan


@dataclass(frozen=True, slots=True)
class ReadJournal:
    """A journal that was read; `rows` is None where `seen.refused` says why, or where it holds a
    `drill` with a student who makes mistakes."""

    name: str
    seen: Seen
    rows: AttemptRows | None
    drill: StudentDrill | None = None


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
        zlib.crc32(data[-TAIL_BYTES:]),
        marks_crc32(by_hand),
        attempt,
        stored(refused),
        ended,
    )
    kept = replace(drill, learner=learner) if drill and not refused else None
    return ReadJournal(path.name, seen, rows, kept)
