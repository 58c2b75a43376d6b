"""The benchmark of the plan: its learners forget as published, its schedules take equal time."""

from __future__ import annotations

import math

import numpy as np
import pytest

from benchmarks.rehearsal.comparing import compare, difference, interval
from benchmarks.rehearsal.learners import (
    COURSE_TRACES,
    HALF_LIFE_DAYS,
    MAIN,
    OTHER,
    POWER,
    STEPS,
    TRACES,
    Kind,
    learner,
)
from benchmarks.rehearsal.schedules import DAYS, Fixed, in_turn, minutes_spent, widening

MINUTES = {"suction": 6, "cpr": 10, "gloves": 5}

PUBLISHED = {1: 0.58, 3: 0.26, 6: 0.21, 12: 0.15}
"""Anderson 2019 (Resuscitation 135, 153): share with excellent compressions after 12 months, by the
months between two practices."""


def after_a_year(kind: Kind, months: int) -> float:
    """The chance at twelve months of a population that practised every so many months."""
    # Gauss and Hermite's nodes: the mean over learners who differ by a normal logarithm.
    nodes, weights = np.polynomial.hermite_e.hermegauss(15)
    chances = []
    for node in nodes:
        truth = kind.truth(math.exp(0.5 * node))
        for number in range(1, 12 // months):
            truth.practise(number * months * DAYS / 12, clean=True)
        chances.append(float(truth.chances(np.array([float(DAYS)]))[0]))
    return float(np.dot(weights, chances) / weights.sum())


@pytest.mark.parametrize("months", PUBLISHED)
@pytest.mark.parametrize("kind", [POWER, TRACES], ids=lambda kind: kind.name)
def test_learners_come_out_as_published(kind: Kind, months: int) -> None:
    assert after_a_year(kind, months) == pytest.approx(PUBLISHED[months], abs=0.04)


def test_steps_are_forgotten_as_published() -> None:
    # Kovacs: 45 of 52 points at week 0, 34 at week 16 without practice.
    assert pytest.approx(34) == 45 * 2 ** (-16 * 7 / HALF_LIFE_DAYS)
    middle = STEPS.truth(1.0)
    first, later = middle.chances(np.array([0.0, 112.0]))
    # 21 of 26 points or more, each with the chance of 45/52 and 34/52 (binomial tail).
    for chance, share in ((first, 45 / 52), (later, 34 / 52)):
        tail = sum(
            math.comb(26, points) * share**points * (1 - share) ** (26 - points)
            for points in range(21, 27)
        )
        assert chance == pytest.approx(tail)


@pytest.mark.parametrize("kind", [*MAIN, *OTHER], ids=lambda kind: kind.name)
def test_every_law_forgets_and_practice_brings_back(kind: Kind) -> None:
    truth = learner(kind, ("suction",), seed=5)["suction"]
    days = np.arange(1.0, 200.0)
    chances = truth.chances(days)
    assert (np.diff(chances) < 0).all() and 0 < chances[-1] < chances[0] < 1
    truth.practise(200.0, clean=True)
    assert truth.chances(np.array([201.0]))[0] > chances[-1]


def test_spacing_pays_where_it_is_said_to() -> None:
    def lasting(kind: Kind, gap: float) -> float:
        truth = kind.truth(1.0)
        for number in range(1, 5):
            truth.practise(number * gap, clean=True)
        return float(truth.chances(np.array([4 * gap + 90]))[0])

    assert lasting(POWER, 20.0) > lasting(POWER, 0.001) + 0.02
    assert lasting(STEPS, 20.0) > lasting(STEPS, 0.1) + 0.02
    assert len(COURSE_TRACES) == 4


@pytest.mark.parametrize("schedule", [in_turn, widening])
@pytest.mark.parametrize("minutes", [0, 4, 5, 40, 333, 2000])
def test_a_fixed_schedule_takes_the_minutes_it_is_given(schedule: Fixed, minutes: int) -> None:
    sessions = schedule(tuple(MINUTES), MINUTES, minutes)
    assert minutes - min(MINUTES.values()) < minutes_spent(sessions, MINUTES) <= minutes
    assert all(0 < day <= DAYS for day, _ in sessions)
    assert sessions == sorted(sessions)


@pytest.mark.parametrize("slots", [False, True])
def test_the_comparison_is_at_equal_time_and_the_same_every_time(slots: bool) -> None:
    row = compare(POWER, MINUTES, 0.7, range(3), slots)
    mean = sum(one.minutes for one in row.plan) / 3
    for outcomes in row.fixed.values():
        assert all(mean - 6 < one.minutes <= mean + 1 for one in outcomes)
    assert row == compare(POWER, MINUTES, 0.7, range(3), slots)
    for name in row.fixed:
        assert -1 < difference(row, name, "chance").mean < 1


def test_an_interval_holds_its_mean_and_narrows() -> None:
    values = list(np.random.default_rng(1).normal(0.5, 0.1, 400))
    few, many = interval(values[:20]), interval(values)
    assert few.low < few.mean < few.high
    assert many.high - many.low < few.high - few.low
    # The usual interval of a mean: 1.96 standard errors either way.
    assert many.high - many.low == pytest.approx(2 * 1.96 * 0.1 / 20, rel=0.15)
