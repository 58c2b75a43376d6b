"""Whose plan it is, and what the records hold of it: the wiring of the commands that plan."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol

from coach.app.records import records_here
from coach.core.errors import CoachError, InputError
from coach.edges.records.database import Records
from coach.edges.records.drill_rows import drills_by
from coach.edges.records.practice_rows import practised_by
from coach.records.names import nearest_called
from coach.records.register import Register
from coach.records.student_drills import drill_words
from coach.rehearsal.certificates import Certificate, Needed, needed
from coach.rehearsal.learner_page import LearnerPage, Watched
from coach.rehearsal.outlook import Outlook, outlook, outlooks
from coach.rehearsal.practised import Practised, practised_from
from coach.rehearsal.spans import day_words
from coach.report.attempt import Result

_MOST_NAMES = 8
"""Learners that a mistake names: a class has more than a screen holds."""

_BRIEF_WAIT_SECONDS = 1.0
"""Longest wait for the database where somebody waits to hear what comes next."""


class Practice(Protocol):
    """Where attempts come from."""

    def attempts_of(self, learner: str) -> tuple[Practised, ...]:
        """All attempts of a learner by id; of "" those that are nobody's."""


class Everything(Practice, Protocol):
    """Attempts, and drills too."""

    def watched_by(self, learner: str) -> tuple[Watched, ...]:
        """The drills with a student in which the learner watched, oldest first."""


class RecordedPractice:
    """Attempts out of the database of the records."""

    def __init__(self, records: Records) -> None:
        self._records = records

    def attempts_of(self, learner: str) -> tuple[Practised, ...]:
        """As Practice. MissingError where the database cannot be reached."""
        with self._records.reading() as connection:
            return practised_by(connection, learner)

    def watched_by(self, learner: str) -> tuple[Watched, ...]:
        """As Practice. MissingError where the database cannot be reached."""
        with self._records.reading() as connection:
            drills = drills_by(connection, learner)
        return tuple(
            Watched(one.skill, one.day, one.seconds, one.seed, drill_words(one)) for one in drills
        )


@dataclass(frozen=True, slots=True)
class Whose:
    """A learner by `id` ("" for nobody), `called` so."""

    id: str
    called: str


def whose(register: Register, name: str | None, in_part: bool = False) -> Whose:
    """The learner of that name, or without one the only learner there is.

    With nobody in the register, attempts are nobody's. `in_part`: as much of a name is enough as
    tells one from all others, for what is only shown. InputError for an unknown name, for one that
    several could be, or none where there are several learners.
    """
    if name is not None:
        found = register.named(name) or (register.meant(name) if in_part else None)
        if found is None:
            names = sorted(one.called for one in register.learners.values())
            raise InputError(f'There is no learner called "{name}": {_meant(name, names)}')
        return Whose(found.id, found.called)
    people = sorted(register.learners.values(), key=lambda one: one.called)
    if not people:
        return Whose("", "Practice without a name")
    if len(people) > 1:
        some = [one.called for one in people[:_MOST_NAMES]]
        told = ", ".join(some + ["..."] * (len(people) > _MOST_NAMES))
        raise InputError(f"There are {len(people)} learners: say whose by --learner ({told}).")
    return Whose(people[0].id, people[0].called)


def _meant(name: str, names: Sequence[str]) -> str:
    if not names:
        return (
            "there are no learners yet. A name given to coach practice by --learner is added, and "
            "so is a class by coach records roster FILE.csv."
        )
    if near := nearest_called(name, names):
        return f'did you mean "{near}"?'
    some = ", ".join(names[:_MOST_NAMES])
    return f"there are {len(names)} learners, such as {some}."


def certificates_of(
    register: Register, learner: str, known: Mapping[str, Outlook]
) -> tuple[Certificate, ...]:
    """The learner's certificates by their dates; one without skills is about all practised."""
    held = (
        Certificate(
            one.name, date.fromisoformat(one.valid_until), one.skills or tuple(known), one.changes
        )
        for one in register.certificates.values()
        if one.learner == learner
    )
    return tuple(sorted(held, key=lambda one: (one.until, one.name)))


def asked_by(
    certificates: tuple[Certificate, ...], known: Mapping[str, Outlook], now: datetime, aim: float
) -> tuple[tuple[Certificate, tuple[Needed, ...]], ...]:
    """Each certificate with what it asks of its skills."""
    return tuple((one, needed(one, known, now, aim)) for one in certificates)


def page_of_learner(
    register: Register, practice: Everything, learner: Whose, now: datetime, aim: float
) -> LearnerPage:
    """The page of a learner."""
    known = outlooks(practice.attempts_of(learner.id), now, aim)
    certificates = certificates_of(register, learner.id, known)
    asked = asked_by(certificates, known, now, aim)
    watched = practice.watched_by(learner.id)
    return LearnerPage(learner.called, now, aim, known, asked, watched)


def practice_at_hand(environ: Mapping[str, str]) -> tuple[Practice, bool]:
    """The attempts in the database, and whether all that was practised here is among them.

    What is new is taken in if that takes no longer than somebody waits to hear what comes next, and
    so is the wait for others that write.
    """
    here = records_here(environ, _BRIEF_WAIT_SECONDS)
    began_s: list[float] = []

    def stop(read: int, of: int) -> None:
        began_s.append(time.monotonic())
        # Journals are all read before anything is written: nothing is half done.
        if read < of and began_s[-1] - began_s[0] > _BRIEF_WAIT_SECONDS:
            raise _OutOfTimeError

    try:
        here.keeping.update(stop)
    except (_OutOfTimeError, CoachError):
        return RecordedPractice(here.records), False
    return RecordedPractice(here.records), True


class _OutOfTimeError(Exception):
    """There is more to read than there is time for."""


def next_time(
    result: Result, practice: Practice, now: datetime, aim: float, all_counted: bool = True
) -> str:
    """When to rehearse again after an attempt: "tomorrow", "on 3 December 2026".

    Empty where the records cannot be reached: what is said right after an attempt never fails for
    them. Attempts that they do not hold yet make it sooner, never later; that some may be missing
    (not `all_counted`) is told.
    """
    new = practised_from(result)
    try:
        earlier = practice.attempts_of(result.learner)
    except CoachError:
        return ""
    # Records that are in step hold the attempt already.
    others = (one for one in earlier if (one.skill, one.instant) != (new.skill, new.instant))
    due = outlook(new.skill, (*others, new), now, aim).due
    if due is None:
        return ""
    days = (due - now.date()).days
    when = {0: "today", 1: "tomorrow"}.get(max(days, 0), f"on {day_words(due)}")
    return when if all_counted else f"{when}; earlier attempts are not all counted yet"
