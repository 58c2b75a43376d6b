"""Two numbers of one kind in a breath: each is held against its own range."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Doubt, Reading
from coach.procedure.model import ReadingSpec, Step
from coach.trade.unit_conversions import converted_to


def held_against_its_own(step: Step, spec: ReadingSpec, reading: Reading) -> Reading:
    """The number, doubted where it lies outside the range of the reading that it turned out to be.

    The language knows one range of a kind at a moment, that of the number which is asked for now:
    "at full power five hundred thirty, turned down to one fifteen" gives the second as well.
    """
    alike = [other for other in step.readings if other.quantity is spec.quantity]
    if len(alike) < 2 or len(reading.values) != 1 or reading.quantity is not spec.quantity:
        return reading
    value = converted_to(reading.values[0], reading.unit, spec.unit)
    if value is None:
        return reading
    if not spec.low <= value <= spec.high:
        return replace(reading, doubt=Doubt.OUT_OF_RANGE)
    return replace(reading, doubt=None) if reading.doubt is Doubt.OUT_OF_RANGE else reading
