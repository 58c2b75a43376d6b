"""The unit that a question carries, and the question that asks for it."""

from __future__ import annotations

from coach.core.meaning import Reading
from coach.core.units import UNITS_OF, Quantity, Unit
from coach.dialogue.state import State
from coach.language.normal import plain
from coach.language.unit_rivals import CENTIMETRES, MILLIMETRES_PER_CENTIMETRE, unit_name
from coach.procedure.model import ReadingSpec
from coach.trade.wording import number_words


def with_unit(spec: ReadingSpec, pressure_unit: Unit = Unit.PSI) -> str:
    """The question of a number, carrying its unit wherever there is more than one.

    `pressure_unit` is that in which a pressure without its unit is taken.
    """
    if not spec.ask or len(UNITS_OF[spec.quantity]) < 2:
        return spec.ask
    unit = pressure_unit if spec.quantity is Quantity.PRESSURE else spec.unit
    asked = f" {plain(spec.ask)} "
    names = [CENTIMETRES] if spec.in_centimetres else [unit_name(unit)]
    if any(f" {plain(name)} " in asked for name in names):
        return spec.ask
    return f"{spec.ask.rstrip('?. ')}, in {unit_name(unit)}?"


def pressure_unit(state: State) -> Unit:
    """The unit in which a pressure said without one is taken."""
    return state.started.pressure_unit if state.started else Unit.PSI


def number_said(reading: Reading) -> str:
    """The bare number as it was said, in figures."""
    value = reading.values[0]
    if reading.could_be_in[:1] == (CENTIMETRES,):
        value /= MILLIMETRES_PER_CENTIMETRE
    return f"{round(value, 3):g}"


def which_unit(reading: Reading) -> str:
    """The question which unit a number was meant in: "twenty-eight millimeters, or French?"."""
    first, *others = reading.could_be_in
    number = number_words(float(number_said(reading)))
    return f"{number} {first}, or {number} {' or '.join(others)}?"
