"""What a class's table adds to the register, row by row."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.procedure.wording import did_you_mean
from coach.records.names import name_key
from coach.records.register import Register
from coach.records.register_lines import CertificateHeld, LearnerAdded, RegisterRecord
from coach.records.roster import Roster, RosterRow


@dataclass(frozen=True, slots=True)
class RosterTaken:
    """What a roster brings: `records` for the register, how many learners and certificates are
    new, and how many learners were there already."""

    records: tuple[RegisterRecord, ...]
    added: int
    there: int
    certificates: int


def taken_from(
    file: str,
    roster: Roster,
    register: Register,
    at: str,
    new_id: Callable[[], str],
    skills: Collection[str],
) -> RosterTaken:
    """What a roster adds to the register; taken twice, it adds nothing the second time.

    InputError tells every row whose person cannot be told from one who is there, or whose
    certificate is about something that is none of the `skills`.
    """
    taking = _Taking(register, at, new_id)
    problems: list[Problem] = []
    for row in roster.rows:
        unknown = (skill for skill in row.skills if skill not in skills)
        problems += [Problem(file, row.line, _no_skill(skill, skills)) for skill in unknown]
        try:
            taking.take(row)
        except InputError as error:
            problems.append(Problem(file, row.line, str(error)))
    if problems:
        raise InputError("\n".join(map(str, problems)))
    return taking.taken()


def _no_skill(skill: str, skills: Collection[str]) -> str:
    advice = did_you_mean(skill, skills, "skills", "coach skills")
    return f"There is no skill '{skill}' (spaces go between several): {advice}"


class _Taking:
    """The rows so far: who is known by name and note, and what goes into the register."""

    def __init__(self, register: Register, at: str, new_id: Callable[[], str]) -> None:
        self._register = register
        self._at = at
        self._new_id = new_id
        learners = register.learners.values()
        self._known = {(name_key(one.name), name_key(one.note)): one.id for one in learners}
        self._names = {name for name, _ in self._known}
        self._records: list[RegisterRecord] = []
        self._added: set[str] = set()
        self._there: set[str] = set()
        self._certificates = 0

    def take(self, row: RosterRow) -> None:
        """Take a row; InputError if its person cannot be told from one who is there."""
        learner = self._known.get(row.person) or self._add(row)
        if learner not in self._added:
            self._there.add(learner)
        held = self._register.certificates.get((learner, name_key(row.certificate)))
        same = held is not None and (held.valid_until, held.skills) == (row.valid_until, row.skills)
        if row.certificate and not same:
            self._certificates += 1
            self._records.append(
                CertificateHeld(self._at, learner, row.certificate, row.valid_until, row.skills)
            )

    def taken(self) -> RosterTaken:
        """All that the rows brought."""
        counts = len(self._added), len(self._there), self._certificates
        return RosterTaken(tuple(self._records), *counts)

    def _add(self, row: RosterRow) -> str:
        """A new learner's id; InputError for one who may be somebody else."""
        name, note = row.person
        if not note and name in self._names:
            called = self._register.of_name(row.name)
            told = called[0].called if called else row.name
            raise InputError(f"{told} is there already: give a note, or the same.")
        learner = self._new_id()
        self._known[row.person] = learner
        self._names.add(name)
        self._added.add(learner)
        self._records.append(LearnerAdded(self._at, learner, row.name, row.note))
        return learner
