"""Which numbers can be meant for a quantity, and which lie within what a step allows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from coach.core.meaning import Expectation
from coach.core.units import RATES, UNITS_OF, Pressure, Quantity, Unit
from coach.language.context import Range
from coach.trade.liquid_oxygen import KILOGRAMS_PER_POUND
from coach.trade.temperature import (
    HIGHEST_CELSIUS,
    LOWEST_CELSIUS,
    Degree,
    Temperature,
)

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

LIGHTEST_KG, HEAVIEST_KG = 2.0, 350.0
"""Kilograms that a patient may weigh (from memory)."""

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

_ANY = (0.0, 100_000.0)
_AIRWAY_LENGTH = (30.0, 200.0)
_MEANT: dict[Unit | Quantity, tuple[float, float]] = {
    Quantity.FLOW: (0.0, 60.0),
    Quantity.SATURATION: (35.0, 100.0),
    Quantity.BURNED_AREA: (0.0, 100.0),
    **dict.fromkeys(RATES, (4.0, 250.0)),
    Quantity.VACUUM: (20.0, 760.0),
    Quantity.LENGTH: _AIRWAY_LENGTH,
    Quantity.BLOOD_PRESSURE: (40.0, 260.0),
    Quantity.TIME: _ANY,
    Quantity.GLUCOSE: (10.0, 600.0),
    Quantity.DOSE: _ANY,
    Quantity.COUNT: (0.0, 250.0),
    Quantity.AIRWAY_PRESSURE: (0.0, 60.0),
    Quantity.PULL: (0.0, 150.0),
    Quantity.TEMPERATURE: (LOWEST_CELSIUS, HIGHEST_CELSIUS),
    Quantity.WEIGHT: (LIGHTEST_KG, HEAVIEST_KG),
    Unit.MILLIMETRES: (3.0, 12.0),
    Unit.FRENCH: (10.0, 40.0),
}
"""Numbers a person could well say here; wide, so that a doubt is rather raised than missed.
Common practice, no source; flowmeters beyond the usual 15 or 25 L/min go to about 60."""

SIZES_MEANT = {unit: _MEANT[unit] for unit in UNITS_OF[Quantity.SIZE]}
"""Sizes of tubes that a person could well say, inside in millimetres and outside in French."""

_LAWFUL: dict[Unit | Quantity, tuple[float, float]] = {
    Quantity.FLOW: (0.0, 25.0),
    Quantity.SATURATION: (35.0, 100.0),
    Quantity.BURNED_AREA: (0.0, 100.0),
    **dict.fromkeys(RATES, (0.0, 300.0)),
    Quantity.VACUUM: (0.0, 760.0),
    Quantity.LENGTH: (10.0, 200.0),
    Quantity.BLOOD_PRESSURE: (30.0, 300.0),
    Quantity.TIME: _ANY,
    Quantity.GLUCOSE: (10.0, 600.0),
    Quantity.DOSE: _ANY,
    Quantity.COUNT: (0.0, 250.0),
    Quantity.AIRWAY_PRESSURE: (0.0, 30.0),
    Quantity.PULL: (0.0, 50.0),
    Quantity.TEMPERATURE: (LOWEST_CELSIUS, HIGHEST_CELSIUS),
    Quantity.WEIGHT: (LIGHTEST_KG, HEAVIEST_KG),
    Unit.MILLIMETRES: (2.0, 130.0),
    Unit.FRENCH: (3.0, 60.0),
}
"""Numbers that stand without a question where no step narrows them. 760 mmHg is all the air
there is (the standard atmosphere); the rest is common practice, no source."""


@dataclass(frozen=True, slots=True)
class Moment:
    """What was asked, and the numbers that make sense for each quantity at this moment.

    `highest_psi` is the highest gauge of a cylinder that is believed (psi). `besides` are the
    quantities that no step waits for and that are heard where they are told by name.
    """

    expect: Expectation | None = None
    expect_range: Range | None = None
    step_ranges: Mapping[Quantity, Range] = field(default_factory=dict)
    highest_psi: float = 2640.0
    besides: frozenset[Quantity] = frozenset()

    @property
    def quantity(self) -> Quantity | None:
        """The quantity that was asked for, if a number was."""
        return self.expect if isinstance(self.expect, Quantity) else None

    def awaits(self, quantity: Quantity) -> bool:
        """Whether some step has a use for a number of the quantity."""
        return quantity is self.quantity or quantity in self.step_ranges

    def hears(self, quantity: Quantity) -> bool:
        """Whether a number that is told to be of the quantity has a use."""
        return self.awaits(quantity) or quantity in self.besides

    def range_of(self, quantity: Quantity) -> Range | None:
        """The numbers the moment allows for a quantity."""
        if quantity is self.quantity and self.expect_range is not None:
            return self.expect_range
        return self.step_ranges.get(quantity)

    def own_unit(self, quantity: Quantity, value: float) -> Unit:
        """The unit taken for a bare number: that of the range asked for, else the quantity's first.

        A size of which nobody knows the range is millimetres from 6 to 9 and from 40 on, else
        French; a temperature takes the scale on which somebody may live.
        """
        asked = self.range_of(quantity)
        if asked and asked.unit in UNITS_OF[quantity]:
            return asked.unit
        if quantity is Quantity.SIZE:
            return Unit.MILLIMETRES if value >= 40 or 6 <= value <= 9 else Unit.FRENCH
        if quantity is Quantity.TEMPERATURE and value > HIGHEST_CELSIUS:
            return Unit.DEGREES_FAHRENHEIT
        return UNITS_OF[quantity][0]

    def could_be_meant(self, quantity: Quantity, unit: Unit, value: float) -> bool:
        """Whether a person could well say this number of this quantity."""
        if quantity is Quantity.PRESSURE:
            return 0 <= Pressure.of(value, unit).psi <= self.highest_psi
        low, high = _MEANT[unit] if quantity is Quantity.SIZE else _MEANT[quantity]
        if unit is Unit.MILLIMETRES and value > high:
            low, high = _AIRWAY_LENGTH
        return low <= _in_first_unit(quantity, unit, value) <= high

    def allows(self, quantity: Quantity, unit: Unit, value: float, lower: bool = False) -> bool:
        """Whether the number lies in the range of the moment, or makes sense if there is none.

        `lower`: it is the lower number of a blood pressure.
        """
        asked = self.range_of(quantity)
        if asked is not None and asked.lower is not None and lower:
            asked = replace(asked, low=asked.lower[0], high=asked.lower[1])
        for one in (asked, *asked.also) if asked is not None else ():
            # rounding: 13,790 kPa must lie in a range that ends at 2000 psi
            converted = converted_to(value, unit, one.unit)
            if converted is not None:
                slack = slack_of(quantity, other=unit is not one.unit)
                low, high = (abs(end) * slack + 1e-9 for end in (one.low, one.high))
                return one.low - low <= converted <= one.high + high
        if quantity is Quantity.PRESSURE:
            return self.could_be_meant(quantity, unit, value)
        low, high = _LAWFUL[unit] if quantity is Quantity.SIZE else _LAWFUL[quantity]
        return low <= _in_first_unit(quantity, unit, value) <= high


def slack_of(quantity: Quantity, other: bool) -> float:
    """How far a number may lie beyond a range given in another unit, as a share of its ends.

    Depths are printed in inches and in centimetres, each rounded: 1.5 inches and 4 centimetres.
    """
    if not other:
        return 0.0
    return 0.05 if quantity is Quantity.LENGTH else 1e-3


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


def _in_first_unit(quantity: Quantity, unit: Unit, value: float) -> float:
    if quantity is Quantity.SIZE:
        return value
    converted = converted_to(value, unit, UNITS_OF[quantity][0])
    return value if converted is None else converted
