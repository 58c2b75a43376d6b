"""Numbers that were told, held against what the scenario had shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from coach.assessment.replay import Moment
from coach.core.units import Quantity, Unit
from coach.dialogue.state import State, Told
from coach.dialogue.weight import is_share
from coach.procedure.model import Step
from coach.report.attempt import NumberResult
from coach.trade.temperature import Degree, scale_of
from coach.trade.unit_conversions import DEGREES, converted_to, reads_the_same

IN_ANY_UNIT_FROM = 3
"""The way of talking from which a number counts as the one shown in another unit too."""

HALF_A_UNIT = 0.5
"""A number is the one that was shown if it rounds to it."""

_UNIT_OF = {degree: unit for unit, degree in DEGREES.items()}


def as_shown(
    number: NumberResult, quantity: Quantity, at_s: float, moments: Sequence[Moment]
) -> NumberResult:
    """The number held against what had last been shown of its quantity at a time (seconds).

    As it is where nothing was shown, or nothing that it can be compared with.
    """
    unit = Unit(number.unit)
    for told in reversed(_shown_by(quantity, at_s, moments)):
        if told.unit is unit or moments[-1].after.conversation >= IN_ANY_UNIT_FROM:
            right = _is_right(number.values[0], unit, told, moments[-1].after)
            if right is not None:
                low, high = (_in_unit(end, told.unit, unit) for end in _ends(told))
                return replace(number, low=low, high=high, in_range=right)
    return number


def told_besides(moments: Sequence[Moment], begun_s: float) -> Iterator[NumberResult]:
    """A weight and a temperature that were told where the scenario had shown one.

    No step waits for them: they belong to the step that has a use for them.
    """
    state = moments[-1].after
    for name, quantity in (
        ("weight-told", Quantity.WEIGHT),
        ("temperature-told", Quantity.TEMPERATURE),
    ):
        step = next((s for s in state.skill.steps if _has_use(s, quantity)), None)
        said = [(m.event.at_s, told) for m in moments for told in _noted(m, name)]
        if step is None or not said:
            continue
        at_s, (value, unit) = said[-1]
        corrected = len({told for _, told in said}) > 1
        bare = NumberResult(
            step.id,
            str(quantity),
            *((value,), str(unit), value, value),
            in_range=True,
            corrected=corrected,
            at_s=round(at_s - begun_s, 3),
        )
        if _shown_by(quantity, at_s, moments):
            yield as_shown(bare, quantity, at_s, moments)


def _has_use(step: Step, quantity: Quantity) -> bool:
    if quantity is Quantity.TEMPERATURE:
        return step.thermometer
    return any(map(is_share, step.readings))


def _noted(moment: Moment, name: str) -> Iterator[tuple[float, Unit]]:
    """The number and unit of each such note; a bare temperature is on the scale it can be of."""
    for data in moment.noted(name):
        value = float(str(data["value"]))
        if "unit" in data:
            yield value, Unit(str(data["unit"]))
            continue
        degree = Degree(str(data["degree"])) if data["degree"] else scale_of(value)
        if degree is not None:
            yield value, _UNIT_OF[degree]


def _shown_by(quantity: Quantity, at_s: float, moments: Sequence[Moment]) -> list[Told]:
    """What had been shown of the quantity by then, what was shown last at the end."""
    shown: list[Told] = []
    for moment in moments:
        if moment.event.at_s > at_s:
            break
        shown += [told for told in moment.after.told if told.quantity is quantity]
    return shown


def _in_unit(value: float, unit: Unit, wanted: Unit) -> float:
    """The number in another unit, to four digits; as it is where it is in that unit."""
    converted = value if unit is wanted else converted_to(value, unit, wanted)
    return value if converted is None or unit is wanted else float(f"{converted:.4g}")


def _ends(told: Told) -> tuple[float, float]:
    return told.value - told.within, told.value + told.within


def _is_right(value: float, unit: Unit, told: Told, state: State) -> bool | None:
    if told.within:
        low, high = _ends(told)
        converted = converted_to(value, unit, told.unit)
        return None if converted is None else low <= converted <= high
    if state.conversation < IN_ANY_UNIT_FROM:
        return abs(value - told.value) < HALF_A_UNIT
    return reads_the_same(value, unit, told.value, told.unit)
