"""Numbers that a quantity can well have, so that one beyond them is questioned."""

from __future__ import annotations

from coach.core.units import RATES, UNITS_OF, Quantity, Unit
from coach.trade.runs import HIGHEST_GAUGE_PSI
from coach.trade.temperature import HIGHEST_CELSIUS, LOWEST_CELSIUS
from coach.trade.unit_conversions import converted_to

LIGHTEST_KG, HEAVIEST_KG = 2.0, 350.0
"""Kilograms that a patient may weigh (from memory)."""

ANY = (0.0, 100_000.0)
"""Any number that is ever said."""

_LAWFUL: dict[Unit | Quantity, tuple[float, float]] = {
    Quantity.PRESSURE: (0.0, HIGHEST_GAUGE_PSI),
    Quantity.FLOW: (0.0, 25.0),
    Quantity.SATURATION: (35.0, 100.0),
    Quantity.BURNED_AREA: (0.0, 100.0),
    **dict.fromkeys(RATES, (0.0, 300.0)),
    Quantity.VACUUM: (0.0, 760.0),
    Quantity.LENGTH: (10.0, 200.0),
    Quantity.BLOOD_PRESSURE: (30.0, 300.0),
    Quantity.TIME: ANY,
    Quantity.GLUCOSE: (10.0, 600.0),
    Quantity.DOSE: ANY,
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


def lawful_range(quantity: Quantity, unit: Unit) -> tuple[float, float]:
    """The lowest and highest lawful number of a quantity, in that unit.

    Those of the quantity's first unit where there is no way from it to that unit.
    """
    low, high = _LAWFUL[unit] if quantity is Quantity.SIZE else _LAWFUL[quantity]
    first = unit if quantity is Quantity.SIZE else UNITS_OF[quantity][0]
    ends = converted_to(low, first, unit), converted_to(high, first, unit)
    return (low if ends[0] is None else ends[0], high if ends[1] is None else ends[1])


def is_lawful(quantity: Quantity, unit: Unit, value: float) -> bool:
    """Whether a number in that unit is lawful for its quantity."""
    low, high = lawful_range(quantity, unit)
    return low - 1e-9 <= value <= high + 1e-9
