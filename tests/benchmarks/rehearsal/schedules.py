"""A year of practice by the plan and by fixed intervals, and how well the skills are there."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from coach.rehearsal.memory import SURE, Memory, remembered
from coach.rehearsal.outlook import Outlook
from coach.rehearsal.practised import Practised
from coach.rehearsal.today import plan_today
from coach.report.attempt import Verdict, Way

from .learners import Truth

DAYS = 365
BEGIN = datetime(2026, 1, 5, 18, tzinfo=UTC)
SLOT_DAYS, SLOT_MINUTES = 3.5, 15

Session = tuple[float, str]
"""Day from the course on, and the skill practised."""

Minutes = Mapping[str, int]


class Year:
    """One learner's year: practises, draws what comes of it, and keeps the true chances.

    `foretold` holds the chance of a clean attempt by the plan, slips counted, and the true one, of
    each session.
    """

    def __init__(self, truths: Mapping[str, Truth], seed: int) -> None:
        self.truths = truths
        self.sessions: list[Session] = []
        self.foretold: list[tuple[float, float]] = []
        self._chance = {
            skill: np.random.default_rng([seed, 2, number]) for number, skill in enumerate(truths)
        }
        self._until = dict.fromkeys(truths, 0)
        self.curves = {skill: np.zeros(DAYS + 1) for skill in truths}

    def practise(self, day: float, skill: str) -> Practised:
        """Practise on that day; days of one skill never go back."""
        self._note(skill, day)
        truth = self.truths[skill]
        clean = bool(self._chance[skill].random() < truth.chances(np.array([day]))[0])
        truth.practise(day, clean)
        self.sessions.append((day, skill))
        verdict = Verdict.READY if clean else Verdict.NOT_YET
        return Practised(skill, BEGIN + timedelta(days=day), Way.RECALL, verdict, 1.0, 0)

    def end(self) -> None:
        """Let the rest of the year pass."""
        for skill in self.truths:
            self._note(skill, DAYS + 1)

    def _note(self, skill: str, day: float) -> None:
        """The chances each noon until that day."""
        first, after = self._until[skill], min(DAYS + 1, int(np.ceil(day)))
        if after > first:
            days = np.arange(first, after, dtype=np.float64)
            self.curves[skill][first:after] = self.truths[skill].chances(days)
            self._until[skill] = after

    def chances(self) -> NDArray[np.float64]:
        """True chances by skill and day, of the whole year."""
        return np.array(list(self.curves.values()))


def introduced(skill: str) -> Memory:
    """What the records hold after the course: led through it once."""
    led = Practised(skill, BEGIN, Way.LED, Verdict.READY, 1.0, 0)
    return remembered(None, led)


def by_plan(year: Year, aim: float) -> None:
    """Each skill on the day on which the plan has it due."""
    for skill in year.truths:
        memory = introduced(skill)
        day = float(memory.days_above(aim))
        while day <= DAYS:
            true = float(year.truths[skill].chances(np.array([day]))[0])
            year.foretold.append((SURE * memory.kept(BEGIN + timedelta(days=day)), true))
            memory = remembered(memory, year.practise(day, skill))
            day += memory.days_above(aim)
    year.end()


def by_slots(year: Year, minutes_of: Minutes, aim: float) -> None:
    """Twice a week what `coach today` says of a quarter of an hour."""
    memories = {skill: introduced(skill) for skill in year.truths}
    for number in range(1, int(DAYS / SLOT_DAYS) + 1):
        day = number * SLOT_DAYS
        now = BEGIN + timedelta(days=day)
        known = {
            skill: Outlook(skill, now, aim, (_last(memory, skill),), memory)
            for skill, memory in memories.items()
        }
        for chosen in plan_today(known, (), minutes_of, now, aim, SLOT_MINUTES).chosen:
            attempt = year.practise(day, chosen.skill)
            memories[chosen.skill] = remembered(memories[chosen.skill], attempt)
    year.end()


def _last(memory: Memory, skill: str) -> Practised:
    return Practised(skill, memory.last, Way.RECALL, Verdict.READY, 1.0, 0)


def minutes_spent(sessions: Sequence[Session], minutes_of: Minutes) -> int:
    """Minutes of practice after the course."""
    return sum(minutes_of[skill] for _, skill in sessions)


def in_turn(skills: Sequence[str], minutes_of: Minutes, minutes: int) -> list[Session]:
    """All skills in turn, at one interval through the year, as many as these minutes give."""
    order = _within(skills, minutes_of, minutes)
    return [((n + 0.5) * DAYS / len(order), skill) for n, skill in enumerate(order)]


def widening(skills: Sequence[str], minutes_of: Minutes, minutes: int) -> list[Session]:
    """All skills at the same widening intervals, from two days to the end of the year."""
    order = _within(skills, minutes_of, minutes)
    found: list[Session] = []
    for skill in skills:
        times = order.count(skill)
        found += [(2 * (DAYS / 2) ** (n / max(times, 1)), skill) for n in range(times)]
    return sorted(found)


Fixed = Callable[[Sequence[str], Minutes, int], list[Session]]
FIXED: Mapping[str, Fixed] = {"fixed intervals": in_turn, "widening intervals": widening}


def by_fixed(year: Year, sessions: Sequence[Session]) -> None:
    """Practise on days that stand beforehand."""
    for day, skill in sessions:
        year.practise(day, skill)
    year.end()


def _within(skills: Sequence[str], minutes_of: Minutes, minutes: int) -> list[str]:
    """Skills in turn until the next one would take more minutes than there are; the time left over
    is given to the next ones that still fit, so that it is as much as can be."""
    order: list[str] = []
    left, number = minutes, 0
    while left >= min(minutes_of[skill] for skill in skills):
        skill = skills[number % len(skills)]
        number += 1
        if minutes_of[skill] <= left:
            order.append(skill)
            left -= minutes_of[skill]
    return order
