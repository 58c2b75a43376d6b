"""The weights of the memory model, for skills of the hands.

Those that come with the package `fsrs` were fitted to cards with one answer. Learners as they have
it would be able after a year of practice every month, three months, six months, and year in 95,
81, 64 and 46 %; published are 58, 26, 21 and 15 % (Anderson). So what decides how fast a skill
fades is taken from published practice of skills instead, and left open between its ends: some
skills are gone within hours, some hold for weeks, and which this is for a learner is told by the
attempts. Everything else is as the package has it.

- Anderson 2019 (Resuscitation 135, 153; excellent compressions): a power law with growing stability
  that gives 58, 27, 20 and 16 % has its first 90 % at 0.012 days, and a practice lengthens the
  stability by 1.16 times the part that was forgotten.
- Kovacs (84 students): airway score 45 of 52 at week 0, 34 at week 16. With steps forgotten one by
  one at that rate, and 80 % of the points needed, the chance has fallen to 90 % of its first after
  11 days.
"""

from __future__ import annotations

from fsrs.scheduler import DEFAULT_PARAMETERS, LOWER_BOUNDS_PARAMETERS, UPPER_BOUNDS_PARAMETERS

SOONEST_DAYS, LATEST_DAYS = 0.012, 11.0
"""Days until the chance has fallen to 90 % after the first time that a skill was recalled: Anderson
and Kovacs as above."""

SETS = 5
"""Sets of weights between these ends, each so many times longer than the one before (our own
choice: with more the simulated plans were the same)."""

GROWTH = 1.16
"""By which a practice lengthens the stability, times the part that was forgotten (Anderson)."""

_FIRST = range(4)
_RECALLED = 2
_GROWTH_SCALE, _GROWTH_SLOPE = 8, 10
"""Where the weights stand in the model: stabilities after a first again, hard, good, easy; what
makes stability grow."""

_DIFFICULTY = 5.1
"""Of a skill that was first led through, from 1 to 10; growth is in proportion to 11 less it."""


def weight_sets() -> tuple[tuple[float, ...], ...]:
    """The sets, from the fastest forgetting to the slowest."""
    step = (LATEST_DAYS / SOONEST_DAYS) ** (1 / (SETS - 1))
    return tuple(_weights(SOONEST_DAYS * step**number) for number in range(SETS))


def _weights(first_days: float) -> tuple[float, ...]:
    """As the package has them, but for the first stabilities and the growth.

    Growth is exp(w8) (11 - difficulty) stability ** -w9 (exp(w10 (1 - chance)) - 1), which for a
    chance near 1 is w10 (11 - difficulty) (1 - chance) if w8 is 0.
    """
    weights = list(DEFAULT_PARAMETERS)
    longer = first_days / DEFAULT_PARAMETERS[_RECALLED]
    for rating in _FIRST:
        lowest, highest = LOWER_BOUNDS_PARAMETERS[rating], UPPER_BOUNDS_PARAMETERS[rating]
        weights[rating] = min(max(DEFAULT_PARAMETERS[rating] * longer, lowest), highest)
    weights[_GROWTH_SCALE] = 0.0
    weights[_GROWTH_SLOPE] = GROWTH / (11 - _DIFFICULTY)
    return tuple(weights)
