"""The register: what all its lines together come to."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from coach.core.errors import InputError
from coach.records.names import called_by, name_key, name_words, tidy_name, tidy_note
from coach.records.register_lines import (
    CertificateDropped,
    CertificateHeld,
    ClassFileWritten,
    LearnerAdded,
    LearnerRenamed,
    LearnersJoined,
    LearnerWiped,
    MarkSet,
    RecordsImported,
    RegisterOpened,
    RegisterRecord,
    ReportWritten,
)
from coach.records.rows import instant_s


@dataclass(frozen=True, slots=True)
class Learner:
    """A person: `note` tells people of one name apart; `changed` is when that was last told."""

    id: str
    name: str
    note: str
    changed: str

    @property
    def called(self) -> str:
        """The name, with the note in brackets if there is one."""
        return called_by(self.name, self.note)


@dataclass(frozen=True, slots=True)
class Certificate:
    """A certificate that a learner holds until the end of a day (ISO 8601), about these skills
    (none: about all). `changes`: how often anything was told of it, which only grows."""

    learner: str
    name: str
    valid_until: str
    skills: tuple[str, ...]
    changed: str
    changes: int = 1


@dataclass(frozen=True, slots=True)
class Register:
    """Learners by id; `joined` leads from an id to the one that its owner is known by now.

    `certificates` are by learner and the key of their name. `marks` are in the order of their
    instants, so that every station they are carried to has them in the same one; `imports` are in
    the order in which they were told, `wiped` the SHA-256 of ids that may not come back.
    """

    station: str = ""
    learners: Mapping[str, Learner] = field(default_factory=dict)
    joined: Mapping[str, str] = field(default_factory=dict)
    certificates: Mapping[tuple[str, str], Certificate] = field(default_factory=dict)
    marks: tuple[MarkSet, ...] = ()
    imports: tuple[RecordsImported, ...] = ()
    reports: tuple[ReportWritten, ...] = ()
    class_files: tuple[ClassFileWritten, ...] = ()
    wiped: frozenset[str] = frozenset()

    def known_by(self, learner: str) -> str:
        """The id by which the owner of this id is known now."""
        return self.joined.get(learner, learner)

    def ids_of(self, learner: str) -> tuple[str, ...]:
        """Every id of a learner, the present one first."""
        earlier = sorted(old for old, now in self.joined.items() if now == learner)
        return (learner, *earlier)

    def is_wiped(self, learner: str) -> bool:
        """Whether the owner of this id was wiped."""
        return digest_of(learner) in self.wiped

    def called(self, learner: str) -> str:
        """What a learner is called; the first digits of an id that the register does not have."""
        found = self.learners.get(self.known_by(learner))
        return found.called if found else f"somebody ({learner[:8]})"

    def named(self, text: str) -> Learner | None:
        """The learner of that name, name with note, or id; None if there is none.

        InputError where several people have the name, or where no name could look like that.
        """
        if text in self.learners or text in self.joined:
            return self.learners[self.known_by(text)]
        key = name_key(tidy_name(text))
        people = self.of_name(text)
        exact = [one for one in self.learners.values() if name_key(one.called) == key]
        if len(exact) == 1 and (exact[0].note or len(people) == 1):
            return exact[0]
        if len(people) > 1:
            called = "; ".join(sorted(one.called for one in people))
            raise InputError(
                f'There are {len(people)} people called "{people[0].name}": say which, by the '
                f"name with its note: {called}. If they are one: coach records join."
            )
        return people[0] if people else None

    def meant(self, said: str) -> Learner | None:
        """The learner who is called so aloud: by the whole name, or by as much of name and note as
        tells one from all others; accents are not heard. None if there is none.

        InputError where several could be meant.
        """
        found = self.could_be(said)
        if len(found) > 1:
            called = "; ".join(one.called for one in found)
            raise InputError(f"There are {len(found)} people called {said}: say which, {called}.")
        return found[0] if found else None

    def could_be(self, said: str) -> tuple[Learner, ...]:
        """All whom `meant` could mean, by what they are called."""
        words = name_words(said)
        if not words:
            return ()
        people = [one for one in self.learners.values() if {*words} <= {*name_words(one.called)}]
        found = [one for one in people if name_words(one.name) == words] or people
        return tuple(sorted(found, key=lambda one: one.called))

    def of_name(self, name: str) -> tuple[Learner, ...]:
        """Everybody who has this name, whatever the notes."""
        key = name_key(name)
        return tuple(one for one in self.learners.values() if name_key(one.name) == key)

    def reports_of(self, learner: str) -> tuple[ReportWritten, ...]:
        """The reports written about a learner, under whichever of their ids."""
        ids = self.ids_of(learner)
        return tuple(report for report in self.reports if report.learner in ids)

    def marks_of(self, attempt: str) -> tuple[MarkSet, ...]:
        """The marks set by hand in an attempt, in the order of their instants."""
        return tuple(mark for mark in self.marks if mark.attempt == attempt)


def digest_of(learner: str) -> str:
    """The SHA-256 of an id, in hex: tells that id again, and nothing about its owner."""
    return hashlib.sha256(learner.encode()).hexdigest()


def register_of(records: Iterable[RegisterRecord]) -> Register:
    """What the records come to, in their order."""
    so_far = _SoFar()
    for record in records:
        so_far.take(record)
    return so_far.register()


def check_new_name(register: Register, name: str, note: str, learner: str = "") -> tuple[str, str]:
    """Name and note as they are kept, for a new learner or for one who is renamed.

    InputError if they would not tell the learner from another of that name.
    """
    name, note = tidy_name(name), tidy_note(note)
    others = [one for one in register.of_name(name) if one.id != learner]
    if not others:
        return name, note
    if not note:
        raise InputError(
            f"{others[0].called} is in the register already: for another person of that name "
            'give a note that tells them apart, such as --note "evening class".'
        )
    if any(name_key(one.note) == name_key(note) for one in others):
        raise InputError(f"{name} ({note}) is in the register already: give another note.")
    return name, note


class _SoFar:
    """The register while its records are taken in."""

    def __init__(self) -> None:
        self._station = ""
        self._learners: dict[str, Learner] = {}
        self._joined: dict[str, str] = {}
        self._certificates: dict[tuple[str, str], Certificate] = {}
        self._changes: Counter[tuple[str, str]] = Counter()
        self._marks: dict[MarkSet, None] = {}
        self._imports: list[RecordsImported] = []
        self._reports: list[ReportWritten] = []
        self._class_files: list[ClassFileWritten] = []
        self._wiped: set[str] = set()

    def register(self) -> Register:
        return Register(
            self._station,
            self._learners,
            self._joined,
            self._certificates,
            tuple(sorted(self._marks, key=lambda mark: instant_s(mark.at))),
            tuple(self._imports),
            tuple(self._reports),
            tuple(self._class_files),
            frozenset(self._wiped),
        )

    def take(self, record: RegisterRecord) -> None:
        match record:
            case RegisterOpened():
                self._station = self._station or record.station
            case LearnerAdded() | LearnerRenamed():
                learner = self._now(record.learner)
                self._learners[learner] = Learner(learner, record.name, record.note, record.at)
            case LearnersJoined():
                self._join(self._now(record.learner), self._now(record.into))
            case CertificateHeld():
                learner = self._now(record.learner)
                key = (learner, name_key(record.certificate))
                self._changes[key] += 1
                self._certificates[key] = Certificate(
                    learner,
                    record.certificate,
                    record.valid_until,
                    record.skills,
                    record.at,
                    self._changes[key],
                )
            case CertificateDropped():
                key = (self._now(record.learner), name_key(record.certificate))
                self._changes[key] += 1
                self._certificates.pop(key, None)
            case MarkSet():
                self._marks[record] = None
            case RecordsImported():
                self._imports.append(record)
            case ReportWritten():
                self._reports.append(record)
            case ClassFileWritten():
                self._class_files.append(record)
            case LearnerWiped():
                self._wiped.add(record.sha256)

    def _now(self, learner: str) -> str:
        return self._joined.get(learner, learner)

    def _join(self, learner: str, into: str) -> None:
        if learner == into:
            return
        for old, now in list(self._joined.items()):
            if now == learner:
                self._joined[old] = into
        self._joined[learner] = into
        self._learners.pop(learner, None)
        for key in [key for key in self._changes if key[0] == learner]:
            self._changes[into, key[1]] += self._changes.pop(key)
        for key in [key for key in self._certificates if key[0] == learner]:
            moved = replace(self._certificates.pop(key), learner=into)
            kept = self._certificates.get((into, key[1]))
            later = moved if kept is None or kept.valid_until < moved.valid_until else kept
            changes = self._changes[into, key[1]]
            self._certificates[into, key[1]] = replace(later, changes=changes)
