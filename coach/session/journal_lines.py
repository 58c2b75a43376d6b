"""An event as one line of text, and back: the journal's format, version 1.

How a line is made and checked: `coach.session.checked_lines`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from coach.dialogue.events import Event
from coach.session.checked_lines import LineError as LineError
from coach.session.checked_lines import LineFormat
from coach.session.checked_lines import NewerLineError as NewerLineError
from coach.session.student_events import StudentEvent

VERSION = 1
"""Raised when a line of today's program could no longer be read by yesterday's."""


@dataclass(frozen=True, slots=True)
class JournalOpened:
    """The first line: the skill, when it began (ISO 8601, wall clock), the program's version.

    `attempt` is the lasting id of the attempt, `skill_sha256` names the skill's content as it was
    then (`coach.procedure.skill_content`), `rule` is the rule it is scored by, as JSON; all are
    empty in journals of before they were kept.
    """

    skill: str
    started: str
    program: str
    attempt: str = ""
    skill_sha256: str = ""
    rule: str = ""


@dataclass(frozen=True, slots=True)
class JournalClosed:
    """The last line: the session ended at this time (ISO 8601, wall clock)."""

    ended: str


Record = Event | StudentEvent | JournalOpened | JournalClosed

RECORDS: Mapping[str, type] = {kind.__name__: kind for kind in get_args(Record)}
"""Every class that can stand in a journal, by the name it has there."""

JOURNAL_LINES: LineFormat[Record] = LineFormat("journal", VERSION, RECORDS)
"""Makes and reads the lines of a journal."""


def encode(record: Record, sequence: int) -> str:
    """The line of a record, without the line break; `sequence` is its number in the journal.

    ValueError for a record whose values are not of the declared types, or not finite.
    """
    return JOURNAL_LINES.encode(record, sequence)


def decode(line: str) -> tuple[int, Record]:
    """The number and the record of a line (without its line break).

    LineError for a line that was cut off, changed or not written by this program,
    NewerLineError for one that a newer program wrote.
    """
    return JOURNAL_LINES.decode(line)
