"""What the bytes of a journal hold: its events, and every line that is torn, damaged or missing."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from coach.core.problem import Problem
from coach.dialogue.events import Event
from coach.session.checked_lines import whole_lines
from coach.session.journal_lines import (
    JOURNAL_LINES,
    JournalClosed,
    JournalOpened,
    LineError,
    Record,
)
from coach.session.student_events import StudentEvent

TORN = (
    "The last line of the record was only half written when the program stopped: it is set aside, "
    "and everything before it is there."
)
"""What to tell the user when JournalContents.torn is set."""


_ID_DIGITS = 32


@dataclass(frozen=True, slots=True)
class JournalContents:
    """What a journal holds.

    `events` are those before the first problem, in order. `torn`: the last line was cut off while
    it was written, so it was never acted upon. `problems` are lines that were damaged later or are
    missing: such a session cannot be gone on with. `sound_bytes` is the length of the file without
    a torn line. `first_line_sha256` is of the first line as it stands in the file. `drilled` is
    what happened in a drill with a student who makes mistakes, which is no attempt.
    """

    header: JournalOpened | None
    events: tuple[Event, ...]
    closed: JournalClosed | None
    torn: bool
    problems: tuple[Problem, ...]
    sound_bytes: int
    first_line_sha256: str = ""
    drilled: tuple[StudentEvent, ...] = ()

    @property
    def attempt(self) -> str:
        """The lasting id of the attempt.

        Journals of before ids were kept have the first 32 hex digits of the SHA-256 of their first
        line, which no other journal has: it holds the second in which it was begun.
        """
        if self.header is not None and self.header.attempt:
            return self.header.attempt
        return self.first_line_sha256[:_ID_DIGITS]

    @property
    def refusal(self) -> str:
        """Why the session cannot be gone on with and what to do; empty if it can."""
        if self.problems:
            found = "\n".join(map(str, self.problems))
            return f"{found}\nThis session cannot be gone on with; its file is left as it is."
        if self.closed is not None:
            return "This session has ended. Start a new one."
        if self.header is None:
            return "This session broke off before anything was recorded. Start a new one."
        return ""


def first_line_sha256(data: bytes) -> str:
    """The SHA-256 of the first line of these bytes, without its break."""
    return hashlib.sha256(data.split(b"\n", 1)[0]).hexdigest()


def decode_bytes(line: bytes) -> tuple[int, Record]:
    """As `decode`, for the bytes of a line without its break."""
    return JOURNAL_LINES.decode_bytes(line)


def scan(file: str, data: bytes) -> JournalContents:
    """What the bytes of a journal hold.

    A line that is damaged, missing, twice or out of its place is a Problem with `file` as its name.
    """
    lines, sound_bytes = whole_lines(data, JOURNAL_LINES)
    header: JournalOpened | None = None
    closed: JournalClosed | None = None
    events: list[Event] = []
    drilled: list[StudentEvent] = []
    problems: list[Problem] = []
    due = 0
    for place, line in enumerate(lines, start=1):
        try:
            sequence, record = decode_bytes(line)
        except LineError as error:
            problems.append(Problem(file, place, str(error)))
            due += 1
            continue
        if sequence != due:
            problems.append(Problem(file, place, f"Line {due} belongs here, not line {sequence}."))
        elif closed is not None:
            problems.append(Problem(file, place, "The session had ended before this line."))
        elif isinstance(record, JournalOpened) != (place == 1):
            problems.append(Problem(file, place, "Only the first line opens a journal."))
        due = sequence + 1
        if isinstance(record, JournalOpened):
            header = header or record
        elif isinstance(record, JournalClosed):
            closed = record
        elif isinstance(record, StudentEvent):
            drilled += [] if problems else [record]
        elif not problems:
            events.append(record)
    return JournalContents(
        header,
        tuple(events),
        closed,
        sound_bytes < len(data),
        tuple(problems),
        sound_bytes,
        first_line_sha256(data),
        tuple(drilled),
    )
