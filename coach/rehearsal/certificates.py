"""Certificates that run out: what has to be rehearsed by when, so that it holds on the day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

from coach.rehearsal.memory import Memory, remembered
from coach.rehearsal.outlook import Outlook, outlook
from coach.rehearsal.practised import Practised
from coach.rehearsal.spans import about_percent, day_words
from coach.report.attempt import Verdict, Way

SPARE_DAYS = 7
"""Days between the last rehearsal and the date of a certificate: time for a second one, should it
not be clean (our own choice, no source)."""


MOST_TOLD = 4
"""Days of rehearsals that a sentence tells: the first ones and the last."""


@dataclass(frozen=True, slots=True)
class Certificate:
    """A certificate of a learner, valid until the end of that day, the skills it is about, and how
    often anything was told of it."""

    name: str
    until: date
    skills: tuple[str, ...]
    changes: int = 1


@dataclass(frozen=True, slots=True)
class Needed:
    """What a certificate asks of a skill.

    `days` are those of the rehearsals until its date, each supposed to be clean; empty if the
    skill holds without. `chance` is that on the date without any rehearsal (None: never
    practised).
    """

    skill: str
    days: tuple[date, ...]
    chance: float | None
    certificate: Certificate

    def sentence(self) -> str:
        """What to do, and why."""
        until = day_words(self.certificate.until)
        if not self.days:
            return f"Holds until {until} as it is."
        chance = (
            "Never practised"
            if self.chance is None
            else f"Without rehearsal {about_percent(self.chance)} on {until}"
        )
        return f"{chance}; rehearse on {_listed(self.days)}."


def needed(
    certificate: Certificate, known: Mapping[str, Outlook], now: datetime, aim: float
) -> tuple[Needed, ...]:
    """What the certificate asks of each of its skills, in the order it names them.

    Nothing is asked for one that has run out.
    """
    if certificate.until < now.date():
        return ()
    return tuple(
        _needed(certificate, known.get(skill) or outlook(skill, (), now, aim))
        for skill in certificate.skills
    )


def _needed(certificate: Certificate, skill: Outlook) -> Needed:
    zone = skill.now.tzinfo
    if zone is None:
        raise ValueError(f"{skill.now.isoformat()} has no time zone")
    today, on_the_day = skill.now.date(), noon(certificate.until, zone)
    last_day = max(today, certificate.until - timedelta(days=SPARE_DAYS))
    memory, days = skill.memory, list[date]()
    chance = None if memory is None else memory.chance(on_the_day)
    while memory is None or memory.chance(on_the_day) < skill.aim:
        day = _next_day(memory, skill.aim, zone, today)
        day = min(day, last_day)
        if days and day <= days[-1]:
            break
        days.append(day)
        memory = remembered(memory, supposed_clean(skill.skill, noon(day, zone)))
    return Needed(skill.skill, tuple(days), chance, certificate)


def noon(day: date, zone: tzinfo) -> datetime:
    """The middle of a day, for what happens some time in it."""
    return datetime.combine(day, time(12), zone)


def supposed_clean(skill: str, when: datetime) -> Practised:
    """A rehearsal as it is hoped for: recalled without a hint."""
    return Practised(skill, when, Way.RECALL, Verdict.READY, 1.0, 0)


def _next_day(memory: Memory | None, aim: float, zone: tzinfo, today: date) -> date:
    return today if memory is None or not memory.shown else max(today, memory.due(aim, zone))


def _listed(days: tuple[date, ...]) -> str:
    told = list(map(day_words, days))
    if len(told) > MOST_TOLD:
        between = len(told) - MOST_TOLD
        some = f"{between} day{'' if between == 1 else 's'}"
        return f"{', '.join(told[: MOST_TOLD - 1])}, on {some} between and on {told[-1]}"
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
