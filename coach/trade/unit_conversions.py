"""Numbers that were read, in other units of the same kind."""

from __future__ import annotations

from coach.core.units import UNITS_OF, Pressure, Quantity, Unit
from coach.trade.liquid_oxygen import KILOGRAMS_PER_POUND
from coach.trade.temperature import Degree, Temperature

KILOPASCALS_PER_MMHG = 0.1333224
"""1 mmHg in kPa (NIST SP 811, 2008, appendix B.8)."""

MILLIMETRES_PER_INCH = 25.4
"""Exact (NIST SP 811, 2008, appendix B.8)."""

GLUCOSE_MG_PER_DL = 18.0156
"""1 mmol/L of glucose in mg/dL: its molar mass is 180.156 g/mol (PubChem, compound 5793)."""

HECTOPASCALS_PER_CMH2O = 0.980665
"""1 cmH2O (conventional) in hPa (NIST SP 811, 2008, appendix B.8)."""

NEWTONS_PER_POUND = 4.448222
"""1 lbf in newtons (NIST SP 811, 2008, appendix B.8)."""

NEWTONS_PER_KILOGRAM = 9.80665
"""1 kgf in newtons, exact (NIST SP 811, 2008, appendix B.8)."""

_NEWTONS_PER_UNIT = {
    Unit.NEWTONS: 1.0,
    Unit.POUNDS_FORCE: NEWTONS_PER_POUND,
    Unit.KILOGRAMS_FORCE: NEWTONS_PER_KILOGRAM,
}
DEGREES = {
    Unit.DEGREES_CELSIUS: Degree.CELSIUS,
    Unit.DEGREES_FAHRENHEIT: Degree.FAHRENHEIT,
}
"""The scale of each unit of temperature."""

_TENTHS = frozenset({Unit.DEGREES_CELSIUS, Unit.DEGREES_FAHRENHEIT, Unit.MILLIMOLES_PER_LITRE})
"""Units whose meters show one decimal place (common practice, no source)."""


def read_to(unit: Unit) -> float:
    """The smallest part of a unit that is read: a tenth of a degree or a millimole, else one."""
    return 0.1 if unit in _TENTHS else 1.0


def reads_the_same(value: float, unit: Unit, shown: float, shown_unit: Unit) -> bool | None:
    """Whether a number that was read is the one shown, forgiving the rounding of both units.

    None where there is no way from the one unit to the other.
    """
    converted = converted_to(value, unit, shown_unit)
    if converted is None:
        return None
    one_off = converted_to(value + read_to(unit), unit, shown_unit)
    said_to = read_to(shown_unit) if one_off is None else abs(one_off - converted)
    return abs(converted - shown) < max(said_to, read_to(shown_unit)) / 2


def converted_to(value: float, unit: Unit, wanted: Unit) -> float | None:
    """A number in another unit of the same kind; None where there is no way from one to the other.

    French and millimetres are not converted: one is an outer, the other an inner measure. Nor is a
    share of a weight that nobody has told.
    """
    if unit is wanted:
        return value
    if unit in _NEWTONS_PER_UNIT and wanted in _NEWTONS_PER_UNIT:
        return value * _NEWTONS_PER_UNIT[unit] / _NEWTONS_PER_UNIT[wanted]
    if unit in DEGREES and wanted in DEGREES:
        return Temperature.of(value, DEGREES[unit]).in_degree(DEGREES[wanted])
    if {unit, wanted} <= set(UNITS_OF[Quantity.PRESSURE]):
        return Pressure.of(value, unit).in_unit(wanted)
    ratios = {
        (Unit.MINUTES, Unit.SECONDS): 60.0,
        (Unit.SECONDS, Unit.MINUTES): 1 / 60.0,
        (Unit.MILLIMETRES_OF_MERCURY, Unit.KILOPASCAL): KILOPASCALS_PER_MMHG,
        (Unit.KILOPASCAL, Unit.MILLIMETRES_OF_MERCURY): 1 / KILOPASCALS_PER_MMHG,
        (Unit.INCHES, Unit.MILLIMETRES): MILLIMETRES_PER_INCH,
        (Unit.MILLIMETRES, Unit.INCHES): 1 / MILLIMETRES_PER_INCH,
        (Unit.POUNDS, Unit.KILOGRAMS): KILOGRAMS_PER_POUND,
        (Unit.KILOGRAMS, Unit.POUNDS): 1 / KILOGRAMS_PER_POUND,
        (Unit.GRAMS, Unit.MILLIGRAMS): 1000.0,
        (Unit.MILLIGRAMS, Unit.GRAMS): 1 / 1000.0,
        (Unit.CENTIMETRES_OF_WATER, Unit.HECTOPASCAL): HECTOPASCALS_PER_CMH2O,
        (Unit.HECTOPASCAL, Unit.CENTIMETRES_OF_WATER): 1 / HECTOPASCALS_PER_CMH2O,
        (Unit.MILLIMOLES_PER_LITRE, Unit.MILLIGRAMS_PER_DECILITRE): GLUCOSE_MG_PER_DL,
        (Unit.MILLIGRAMS_PER_DECILITRE, Unit.MILLIMOLES_PER_LITRE): 1 / GLUCOSE_MG_PER_DL,
    }
    ratio = ratios.get((unit, wanted))
    return None if ratio is None else value * ratio


def in_first_unit(quantity: Quantity, unit: Unit, value: float) -> float:
    """A number in the first unit of its quantity; as it is where there is no way to that unit."""
    if quantity is Quantity.SIZE:
        return value
    converted = converted_to(value, unit, UNITS_OF[quantity][0])
    return value if converted is None else converted
