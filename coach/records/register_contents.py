"""What the bytes of a register hold: its records, and every line that is torn or damaged."""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.problem import Problem
from coach.records.register_lines import REGISTER_LINES, RegisterOpened, RegisterRecord
from coach.session.checked_lines import LineError, whole_lines


@dataclass(frozen=True, slots=True)
class RegisterContents:
    """The records in their order; `torn` is what was only half written at the end.

    `problems` are lines that were damaged later, or are missing.
    """

    records: tuple[RegisterRecord, ...]
    torn: bytes
    problems: tuple[Problem, ...]


def scan_register(file: str, data: bytes) -> RegisterContents:
    """What the bytes hold; `file` is its name in the problems."""
    lines, sound_bytes = whole_lines(data, REGISTER_LINES)
    records: list[RegisterRecord] = []
    problems: list[Problem] = []
    for place, line in enumerate(lines, start=1):
        try:
            number, record = REGISTER_LINES.decode_bytes(line)
        except LineError as error:
            problems.append(Problem(file, place, str(error)))
            continue
        if number != place - 1:
            problems.append(Problem(file, place, f"Line {place - 1} belongs here, not {number}."))
        elif isinstance(record, RegisterOpened) != (place == 1):
            problems.append(Problem(file, place, "Only the first line opens a register."))
        records.append(record)
    return RegisterContents(tuple(records), data[sound_bytes:], tuple(problems))


def register_bytes(records: tuple[RegisterRecord, ...]) -> bytes:
    """The lines of a whole register, numbered from 0."""
    lines = (REGISTER_LINES.encode(record, number) for number, record in enumerate(records))
    return "".join(f"{line}\n" for line in lines).encode("ascii")
