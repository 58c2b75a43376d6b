"""Which numbers can be meant for a quantity, and which lie within what a step allows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from coach.core.meaning import Expectation
from coach.core.units import RATES, UNITS_OF, Pressure, Quantity, Unit
from coach.language.context import Range
from coach.trade.lawful_numbers import ANY, HEAVIEST_KG, LIGHTEST_KG, is_lawful
from coach.trade.temperature import HIGHEST_CELSIUS, LOWEST_CELSIUS
from coach.trade.unit_conversions import converted_to, in_first_unit

_AIRWAY_LENGTH = (30.0, 200.0)
_MEANT: dict[Unit | Quantity, tuple[float, float]] = {
    Quantity.FLOW: (0.0, 60.0),
    Quantity.SATURATION: (35.0, 100.0),
    Quantity.BURNED_AREA: (0.0, 100.0),
    **dict.fromkeys(RATES, (4.0, 250.0)),
    Quantity.VACUUM: (20.0, 760.0),
    Quantity.LENGTH: _AIRWAY_LENGTH,
    Quantity.BLOOD_PRESSURE: (40.0, 260.0),
    Quantity.TIME: ANY,
    Quantity.GLUCOSE: (10.0, 600.0),
    Quantity.DOSE: ANY,
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
        return low <= in_first_unit(quantity, unit, value) <= high

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
        return is_lawful(quantity, unit, value)


def slack_of(quantity: Quantity, other: bool) -> float:
    """How far a number may lie beyond a range given in another unit, as a share of its ends.

    Depths are printed in inches and in centimetres, each rounded: 1.5 inches and 4 centimetres.
    """
    if not other:
        return 0.0
    return 0.05 if quantity is Quantity.LENGTH else 1e-3
