"""Numbers that their reading can never be: they do not stand, whatever is answered."""

from __future__ import annotations

from coach.core.meaning import Reading
from coach.core.units import UNITS_OF, Quantity, Unit
from coach.dialogue.state import State
from coach.procedure.model import ReadingSpec, Scored, Step
from coach.trade.birth_score import POINTS_OF_SIGN
from coach.trade.consciousness import POINTS_OF_PART
from coach.trade.possible import POSSIBLE
from coach.trade.unit_conversions import converted_to

Ends = tuple[float, float, Unit]
"""Lowest, highest, and the unit of both."""

RULED_OUT_FROM = 3
"""The way of talking in which an impossible number is asked for anew and never stands."""


BY_NAME_FROM = 4
"""The way of talking in which points are those of the part of a score that is named with them, and
a number that is asked for anew is that of the reading it was asked for."""


def ends_of(state: State, step: Step, spec: ReadingSpec) -> Ends | None:
    """Lowest and highest that a reading can ever be; None where nothing is ruled out."""
    if spec.scale:
        return spec.low, spec.high, spec.unit
    part = points_of(state, step, spec)
    if part is not None:
        return (*part, spec.unit)
    if spec.quantity is Quantity.SIZE:
        ends, unit = POSSIBLE.get(spec.unit), spec.unit
    else:
        ends, unit = POSSIBLE.get(spec.quantity), UNITS_OF[spec.quantity][0]
    return (*ends, unit) if ends else None


def points_of(state: State, step: Step, spec: ReadingSpec) -> tuple[int, int] | None:
    """Fewest and most points of a part of a score; None for any other reading."""
    if spec.quantity is not Quantity.COUNT:
        return None
    for other in state.skill.steps:
        if other.score is not None and step.id in other.score.parts:
            return (
                POINTS_OF_SIGN if other.score.of is Scored.BIRTH else POINTS_OF_PART.get(spec.name)
            )
    return None


def beyond(state: State, step: Step, spec: ReadingSpec, reading: Reading) -> Ends | None:
    """Lowest and highest of a reading of which this number cannot be, in the unit that it was said
    in; None of any other number."""
    ends = ends_of(state, step, spec) if state.conversation >= RULED_OUT_FROM else None
    if ends is None:
        return None
    low, high, unit = ends
    values = (converted_to(value, reading.unit, unit) for value in reading.values)
    if all(value is None or low <= value <= high for value in values):
        return None
    told = (converted_to(end, unit, reading.unit) for end in (low, high))
    shown = [float(f"{end:.3g}") for end in told if end is not None]
    return (shown[0], shown[1], reading.unit) if len(shown) == 2 else ends
