"""The plan against fixed intervals, at equal minutes of practice of a class."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .learners import Kind, learner
from .schedules import FIXED, Minutes, Year, by_fixed, by_plan, by_slots, minutes_spent

LOW = 0.5
"""A skill below this chance is gone, more likely than not."""

RESAMPLED = 2000


@dataclass(frozen=True)
class Outcome:
    """One learner's year: minutes of practice, the mean true chance of a clean attempt, the share
    of skills and days below LOW, and the mean chance on the last day. `foretold` and `came_true`
    are the chances at the sessions of the plan, foretold and true (0: not noted)."""

    minutes: int
    chance: float
    low: float
    last_day: float
    foretold: float
    came_true: float


@dataclass(frozen=True)
class Row:
    """A kind of learner at an aim (or in slots): outcomes of the plan and of each fixed schedule,
    learner by learner in the same order."""

    kind: Kind
    aim: float
    slots: bool
    plan: tuple[Outcome, ...]
    fixed: dict[str, tuple[Outcome, ...]]


@dataclass(frozen=True)
class Interval:
    """A mean with its 95 % bootstrap interval over learners."""

    mean: float
    low: float
    high: float


def compare(kind: Kind, minutes_of: Minutes, aim: float, seeds: range, slots: bool) -> Row:
    """A year of a class by the plan, then by each fixed schedule with the same minutes.

    By the plan each learner takes the minutes that the plan asks for; by the calendar, which does
    not know them, everybody the mean of these, to within the last session.
    """
    skills = tuple(minutes_of)
    plan: list[Outcome] = []
    for seed in seeds:
        year = Year(learner(kind, skills, seed), seed)
        if slots:
            by_slots(year, minutes_of, aim)
        else:
            by_plan(year, aim)
        plan.append(_outcome(year, minutes_of))
    mean = round(sum(outcome.minutes for outcome in plan) / len(plan))
    fixed: dict[str, list[Outcome]] = {name: [] for name in FIXED}
    for name, schedule in FIXED.items():
        sessions = schedule(skills, minutes_of, mean)
        for seed in seeds:
            year = Year(learner(kind, skills, seed), seed)
            by_fixed(year, sessions)
            fixed[name].append(_outcome(year, minutes_of))
    return Row(kind, aim, slots, tuple(plan), {name: tuple(out) for name, out in fixed.items()})


def _outcome(year: Year, minutes_of: Minutes) -> Outcome:
    chances = year.chances()
    pairs = np.array(year.foretold) if year.foretold else np.zeros((1, 2))
    return Outcome(
        minutes_spent(year.sessions, minutes_of),
        float(chances.mean()),
        float((chances < LOW).mean()),
        float(chances[:, -1].mean()),
        float(pairs[:, 0].mean()),
        float(pairs[:, 1].mean()),
    )


def interval(values: Sequence[float]) -> Interval:
    """The mean and its bootstrap interval (percentiles of means of learners drawn anew)."""
    numbers: NDArray[np.float64] = np.array(values, dtype=np.float64)
    drawn = np.random.default_rng(20261126).integers(0, len(numbers), (RESAMPLED, len(numbers)))
    means = numbers[drawn].mean(axis=1)
    low, high = np.percentile(means, [2.5, 97.5])
    return Interval(float(numbers.mean()), float(low), float(high))


def difference(row: Row, against: str, what: str) -> Interval:
    """By how much the plan is higher than a fixed schedule, learner by learner."""
    pairs = zip(row.plan, row.fixed[against], strict=True)
    return interval([getattr(plan, what) - getattr(fixed, what) for plan, fixed in pairs])
