"""The lines of the register: what was told of learners, certificates and marks, version 1.

How a line is made and checked: `coach.session.checked_lines`. Every record carries `at`, the wall
clock (ISO 8601 with its offset).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from coach.report.attempt import Mark
from coach.report.by_hand import THE_LEARNER
from coach.session.checked_lines import LineFormat

VERSION = 1
"""Raised when a line of today's program could no longer be read by yesterday's."""


@dataclass(frozen=True, slots=True)
class RegisterOpened:
    """The first line; `station` is the lasting id of this data folder."""

    at: str
    station: str


@dataclass(frozen=True, slots=True)
class LearnerAdded:
    """A learner with a new id (32 hex digits of a UUID); `note` tells people of one name apart."""

    at: str
    learner: str
    name: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class LearnerRenamed:
    """A learner is called otherwise from now on."""

    at: str
    learner: str
    name: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class LearnersJoined:
    """`learner` and `into` are one person, who is known by the id `into` from now on."""

    at: str
    learner: str
    into: str


@dataclass(frozen=True, slots=True)
class CertificateHeld:
    """A learner holds a certificate until the end of a day (ISO 8601); it is about these skills
    (none: about all). Told anew, the later line counts."""

    at: str
    learner: str
    certificate: str
    valid_until: str
    skills: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CertificateDropped:
    """A certificate is no longer minded."""

    at: str
    learner: str
    certificate: str


@dataclass(frozen=True, slots=True)
class MarkSet:
    """A person set the mark of a step of an attempt by hand; the coach's own mark stays beside.

    By THE_LEARNER it is what the learner answered in the debrief, in the words of `because`: it is
    kept and shown, and changes no verdict.
    """

    at: str
    attempt: str
    step: str
    mark: Mark
    by: str
    because: str = ""

    @property
    def own_word(self) -> bool:
        """Whether it is the learner's own answer, which decides nothing."""
        return self.by == THE_LEARNER


@dataclass(frozen=True, slots=True)
class RecordsImported:
    """Records of another station came in by a file with that SHA-256; what was new in it."""

    at: str
    file: str
    sha256: str
    attempts: int
    learners: int


@dataclass(frozen=True, slots=True)
class ReportWritten:
    """A report or calendar that names a learner was written into a file (its whole path), with
    that SHA-256; a wipe of the learner takes it away where it is still that file."""

    at: str
    learner: str
    file: str
    sha256: str


@dataclass(frozen=True, slots=True)
class ClassFileWritten:
    """A file that names everybody in the register (the class, a roster) was written, as
    `ReportWritten`; a wipe of anybody in it takes it away."""

    at: str
    file: str
    sha256: str


@dataclass(frozen=True, slots=True)
class LearnerWiped:
    """Somebody was wiped everywhere: nothing of whose id has this SHA-256 may come back; it is a
    learner's or an attempt's."""

    at: str
    sha256: str


RegisterRecord = (
    RegisterOpened
    | LearnerAdded
    | LearnerRenamed
    | LearnersJoined
    | CertificateHeld
    | CertificateDropped
    | MarkSet
    | RecordsImported
    | ReportWritten
    | ClassFileWritten
    | LearnerWiped
)

REGISTER_RECORDS: Mapping[str, type] = {kind.__name__: kind for kind in get_args(RegisterRecord)}
"""Every class that can stand in the register, by the name it has there."""

REGISTER_LINES: LineFormat[RegisterRecord] = LineFormat("register", VERSION, REGISTER_RECORDS)
"""Makes and reads the lines of the register."""
