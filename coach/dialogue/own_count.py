"""A rate that the learner counted and worked out alone: the coach did not time it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from coach.core.meaning import Doubt, Reading
from coach.core.units import RATES, Quantity, Unit
from coach.dialogue.progress import open_steps, suggested
from coach.dialogue.state import State
from coach.procedure.model import Step
from coach.trade.rates import Counted

SECONDS_A_MINUTE = 60.0

RATE_OF = {Counted.BREATHS: Quantity.BREATHING_RATE, Counted.PULSE: Quantity.PULSE_RATE}
"""The rate that a count of something comes to."""


def as_count(
    state: State, reading: Reading, mentioned: Collection[str]
) -> tuple[Reading, Collection[str]]:
    """A rate as the count it came from, and the step it is for; any other number as it is.

    It is for the step spoken of in the same breath, or else for the one that is due, or for the
    only open one in whose range it lies.
    """
    rated = reading.quantity in RATES
    step = _counting(state, mentioned, reading) if rated else None
    if step is None or step.count is None:
        return reading, mentioned
    rate = reading.values[0]
    outside = not step.count.low <= rate <= step.count.high
    counted = replace(
        reading,
        quantity=Quantity.COUNT,
        values=(round(rate * step.count.seconds / SECONDS_A_MINUTE, 3),),
        unit=Unit.COUNTED,
        doubt=Doubt.OUT_OF_RANGE if outside else reading.doubt,
    )
    return counted, (step.id,)


def _counting(state: State, mentioned: Collection[str], reading: Reading) -> Step | None:
    rate = reading.values[0]
    counting = [
        step
        for step in open_steps(state)
        if step.count is not None and reading.quantity in {Quantity.RATE, RATE_OF[step.count.of]}
    ]
    due = suggested(state)
    told = [step for step in counting if step.id in mentioned]
    if told or due in counting:
        return told[0] if told else due
    fits = [s for s in counting if s.count is not None and s.count.low <= rate <= s.count.high]
    return fits[0] if len(fits) == 1 else None
