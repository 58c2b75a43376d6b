"""What to rehearse in the minutes there are today: what is due, and of it what brings most."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from coach.rehearsal.certificates import Certificate, Needed, needed, noon, supposed_clean
from coach.rehearsal.memory import remembered
from coach.rehearsal.outlook import Outlook, outlook
from coach.rehearsal.spans import about_percent, day_words

AHEAD_DAYS = 30
"""Days over which a rehearsal is held to bring something (our own choice, no source): about the
month that monthly practice, the best of the schedules that were compared, leaves between two
(Anderson 2019, Resuscitation 135, 153)."""

_PARTS = 1_000_000
"""Gains are compared in millionths, so that rounding on another machine never turns a choice."""


@dataclass(frozen=True, slots=True)
class Proposed:
    """A skill to rehearse: it takes `minutes`. `gain`: by how much the chance is higher for it, on
    average over the days ahead. `needed`: what certificates ask of it."""

    outlook: Outlook
    minutes: int
    gain: float
    needed: tuple[Needed, ...] = ()

    @property
    def skill(self) -> str:
        """The id of the skill."""
        return self.outlook.skill

    def sentence(self) -> str:
        """Why today."""
        told = self.outlook.sentence()
        if self.outlook.chance is not None and not self.outlook.after_now:
            aim = about_percent(self.outlook.aim).removeprefix("about ")
            told = f"{told.removesuffix('.')}, {aim} is aimed at."
        dates = sorted({(each.certificate.until, each.certificate.name) for each in self.needed})
        if dates:
            until, name = dates[0]
            told += f" {name} needs it, valid until {day_words(until)}."
        return told


@dataclass(frozen=True, slots=True)
class Today:
    """The plan of a day: `chosen` fit into `minutes`, `left` are due as well; `next_due` is what
    comes after all these, with its day (None: nothing is known to come)."""

    minutes: int
    chosen: tuple[Proposed, ...]
    left: tuple[Proposed, ...]
    next_due: tuple[str, date] | None

    def closing(self) -> str:
        """What there is to say beside the chosen skills."""
        if self.left:
            names = ", ".join(f"{each.skill} ({each.minutes} min)" for each in self.left)
            return f"Due as well, but over the {self.minutes} minutes: {names}."
        more = "Nothing more is due" if self.chosen else "Nothing is due"
        if self.next_due is None:
            return f"{more}."
        skill, day = self.next_due
        return f"{more}; the next is {skill} on {day_words(day)}."


def plan_today(
    known: Mapping[str, Outlook],
    certificates: Iterable[Certificate],
    minutes_of: Mapping[str, int],
    now: datetime,
    aim: float,
    minutes: int,
) -> Today:
    """The skills to rehearse within the minutes; what is due and the certificates ask for.

    `minutes_of` holds the minutes of each skill that can be practised here; others are passed
    over. Of all sets that fit, that with the highest sum of gains is chosen, and of two alike the
    one that takes less time.
    """
    asked = [each for certificate in certificates for each in needed(certificate, known, now, aim)]
    proposed = [
        _proposed(each, minutes_of[each.skill], asked)
        for each in _candidates(known, asked, now, aim)
        if each.skill in minutes_of
    ]
    proposed.sort(key=lambda each: (-each.gain, each.skill))
    chosen, named = _best(proposed, minutes), {each.skill for each in proposed}
    coming = sorted(
        (each.due, each.skill)
        for each in known.values()
        if each.due is not None and each.skill in minutes_of and each.skill not in named
    )
    return Today(
        minutes,
        chosen,
        tuple(each for each in proposed if each not in chosen),
        (coming[0][1], coming[0][0]) if coming else None,
    )


def _candidates(
    known: Mapping[str, Outlook], asked: Sequence[Needed], now: datetime, aim: float
) -> list[Outlook]:
    due = {skill: each for skill, each in known.items() if each.is_due}
    for each in asked:
        if each.days and each.days[0] <= now.date():
            due[each.skill] = known.get(each.skill) or outlook(each.skill, (), now, aim)
    return list(due.values())


def _proposed(skill: Outlook, minutes: int, asked: Sequence[Needed]) -> Proposed:
    wanted = tuple(each for each in asked if each.skill == skill.skill)
    return Proposed(skill, minutes, _gain(skill, wanted), wanted)


def _gain(skill: Outlook, wanted: Sequence[Needed]) -> float:
    """How much higher the chance is, over the days ahead and on the dates of certificates, if the
    skill is done clean now. A certificate in that time counts once more."""
    zone = skill.now.tzinfo
    if zone is None:
        raise ValueError(f"{skill.now.isoformat()} has no time zone")
    now = max(skill.now, skill.memory.last) if skill.memory else skill.now
    with_it = remembered(skill.memory, supposed_clean(skill.skill, now))
    without = skill.memory

    def gain_at(at: datetime) -> float:
        return with_it.chance(at) - (without.chance(at) if without else 0.0)

    over_days = sum(gain_at(now + timedelta(days=n)) for n in range(1, AHEAD_DAYS + 1)) / AHEAD_DAYS
    last = skill.now.date() + timedelta(days=AHEAD_DAYS)
    dates = {each.certificate.until for each in wanted if each.certificate.until <= last}
    return over_days + sum(gain_at(noon(day, zone)) for day in sorted(dates))


def _best(proposed: Sequence[Proposed], minutes: int) -> tuple[Proposed, ...]:
    """The best set within the minutes, exactly: best sets of the first skills by time spent."""
    best: dict[int, tuple[int, tuple[Proposed, ...]]] = {0: (0, ())}
    for each in proposed:
        gain = round(each.gain * _PARTS)
        for spent, (gained, chosen) in sorted(best.items(), reverse=True):
            total = spent + each.minutes
            if total <= minutes and gained + gain > best.get(total, (-1, ()))[0]:
                best[total] = (gained + gain, (*chosen, each))
    spent = min(best, key=lambda spent: (-best[spent][0], spent))
    return best[spent][1]
