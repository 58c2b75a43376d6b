"""Invented learners who forget by laws of their own, none of which is the plan's memory model.

The parameters are fitted so that a population of such learners comes out as published:

- Anderson 2019 (Resuscitation 135, 153; 167 people, 12 months): 58, 26, 21 and 15 % gave excellent
  compressions after practice every month, three months, six months, and once a year.
- Kovacs (randomised, 84 students): airway score 45 of 52 at week 0, 34 at week 16 without practice.

How far skills differ from each other is taken from what is published of different ones: skills of
twenty studies decayed as early as two weeks, that of placing a laryngeal mask was unchanged after
9 to 12 months. How far learners differ is our own choice.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Row = NDArray[np.float64]

SKILLS_SPREAD = 0.8
"""Standard deviation of the logarithm of how long a skill is kept: two weeks to a year, a factor
of 26, as the middle 95 % of skills."""

LEARNERS_SPREAD = 0.4
"""The same of learners (our own choice, no source)."""

CEILING = 45 / 52
"""The share that is reached at once after practice: Kovacs, week 0."""

POINTS, ENOUGH = 26, 21
"""Points of the simulated score, half of Kovacs's 52, and those from which it is clean: 80 %, as in
the usual rule of this program."""


class Truth(Protocol):
    """What a learner really has of one skill."""

    def chances(self, days: Row) -> Row:
        """The chance of a clean attempt on days not before the last practice."""

    def practise(self, day: float, clean: bool) -> None:
        """The skill was practised, with correction where it was not clean."""


@dataclass
class PowerLaw:
    """Forgetting by a power of time; each practice slows it, more so the more was forgotten.

    chance = CEILING (1 + t / scale) ** -power; scale grows by 1 + growth (1 - what was kept). With
    `teaches` below 1 a practice that was not clean slows it by that part only.
    """

    scale_days: float
    power: float
    growth: float
    ceiling: float = CEILING
    teaches: float = 1.0
    last: float = 0.0

    def chances(self, days: Row) -> Row:
        """As Truth."""
        kept: Row = (1 + (days - self.last) / self.scale_days) ** -self.power
        return self.ceiling * kept

    def practise(self, day: float, clean: bool) -> None:
        """As Truth."""
        kept = float(self.chances(np.array([day]))[0]) / self.ceiling
        self.scale_days *= 1 + self.growth * (1 - kept) * (1.0 if clean else self.teaches)
        self.last = day


@dataclass
class Traces:
    """Every practice leaves a trace, the traces fade and add up, and what they come to is recalled
    or not: activation = ln sum t ** -fading (Pavlik and Anderson 2005, Cognitive Science 29, 559,
    without their spacing term: these figures do not call for it)."""

    fading: float
    threshold: float
    noise: float
    days: list[float] = field(default_factory=list)

    def chances(self, days: Row) -> Row:
        """As Truth."""
        since = np.maximum(days[:, None] - np.array(self.days)[None, :], 1 / 72)
        activation = np.log((since**-self.fading).sum(axis=1))
        chances: Row = 1 / (1 + np.exp(-(activation - self.threshold) / self.noise))
        return chances

    def practise(self, day: float, clean: bool) -> None:
        """As Truth."""
        self.days.append(day)


@dataclass
class Steps:
    """Every step of a skill is forgotten at an even rate (a half-life); ENOUGH of POINTS is clean.

    Each practice lengthens the half-life, more so the more was forgotten.
    """

    half_life_days: float
    growth: float
    last: float = 0.0

    def chances(self, days: Row) -> Row:
        """As Truth."""
        share = CEILING * 2 ** (-(days - self.last) / self.half_life_days)
        return _at_least(share)

    def practise(self, day: float, clean: bool) -> None:
        """As Truth."""
        kept = 2 ** (-(day - self.last) / self.half_life_days)
        self.half_life_days *= 1 + self.growth * (1 - kept)
        self.last = day


def _at_least(share: Row) -> Row:
    """The chance of ENOUGH or more of POINTS points, each had with this share (binomial)."""
    total = np.zeros_like(share)
    for points in range(ENOUGH, POINTS + 1):
        ways = math.comb(POINTS, points)
        total = total + ways * share**points * (1 - share) ** (POINTS - points)
    return total


COURSE_TRACES = tuple(n / 72 for n in range(4))
"""Four goes twenty minutes apart, the course on day 0 of a learner with traces."""

HALF_LIFE_DAYS = 16 * 7 * math.log(2) / math.log(45 / 34)
"""Of a step: from 45 to 34 points in 16 weeks (Kovacs)."""


@dataclass(frozen=True)
class Kind:
    """A law of forgetting: `truth` makes a skill that is kept `longer` times as long as the middle
    one; `spread` multiplies how far they differ; `fitted` says to what the law was fitted."""

    name: str
    fitted: str
    truth: Callable[[float], Truth]
    spread: float = 1.0


def _power(longer: float) -> PowerLaw:
    return PowerLaw(0.01384 * longer, 0.16874, 1.15977)


def _traces(longer: float) -> Traces:
    return Traces(0.4363 / longer**0.4, 0.25965, 0.82041, list(COURSE_TRACES))


def _steps(longer: float) -> Steps:
    return Steps(HALF_LIFE_DAYS * longer, 1.15977)


POWER = Kind("power law", "Anderson 2019, spacing too", _power)
TRACES = Kind("adding traces", "Anderson 2019, no spacing effect", _traces)
STEPS = Kind("steps with a half-life", "Kovacs; spacing as in the power law", _steps)
MAIN = (POWER, TRACES, STEPS)
"""The laws that are fitted to published figures."""

OTHER = (
    Kind(
        "half-life, no spacing effect",
        "Kovacs; every practice starts the same half-life",
        lambda longer: Steps(HALF_LIFE_DAYS * longer, 0.0),
    ),
    Kind(
        "power law, a miss teaches nothing",
        "Anderson 2019; only clean practice slows forgetting",
        lambda longer: replace(_power(longer), teaches=0.0),
    ),
    replace(POWER, name="power law, all alike", spread=0.0),
    replace(TRACES, name="adding traces, all alike", spread=0.0),
    replace(STEPS, name="steps with a half-life, all alike", spread=0.0),
)
"""Where the plan may fare otherwise."""


def learner(kind: Kind, skills: Sequence[str], seed: int) -> dict[str, Truth]:
    """The skills of one invented learner; the same seed gives the same learner."""
    chance = np.random.default_rng([seed, 1])
    of_learner = LEARNERS_SPREAD * chance.normal()
    return {
        skill: kind.truth(math.exp(kind.spread * (of_learner + SKILLS_SPREAD * chance.normal())))
        for skill in skills
    }
